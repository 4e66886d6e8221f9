"""A question with one right answer, and which slip gives which other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pint

from enginemath.answers.quantities import Asked
from enginemath.answers.tolerance import READ, Tolerance
from enginemath.answers.verdict import (
    NOTHING_WRITTEN,
    RIGHT,
    TOO_COARSE,
    Verdict,
    not_yet,
    too_large,
    unreadable,
)
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.units import CC_PER_CUBIC_INCH, MM_PER_INCH, Refused, nominal

_WHAT = {"mm": "length", "cc": "volume", "kPa": "pressure"}
_FACTORS = {
    "mm": {
        MM_PER_INCH: "Look at the unit: inches or mm?",
        1000: "Look at the unit: thou or inches?",
    },
    "cc": {
        CC_PER_CUBIC_INCH: "Look at the unit: cubic inches or cc?",
        1000: "Look at the unit: L or mL?",
    },
    "kPa": {6.894757: "Look at the unit: psi or kPa?", 100: "Look at the unit: bar or kPa?"},
}


@dataclass(frozen=True)
class Question:
    """What is asked for, and what each slip would give.

    Args:
        right: the answer.
        slips: hint for the student (never the answer), and the answer that earns it.
        place: part of the drawing to look at, see `PLACES`.
        tolerance: the rule that it is judged by; None: that of readings in its unit.
    """

    right: pint.Quantity
    slips: Sequence[tuple[str, pint.Quantity]] = ()
    place: str = ""
    tolerance: Tolerance | None = None

    @property
    def unit(self) -> str:
        """The unit in which the answers are compared: cc, mm or kPa."""
        return next(unit for unit in _WHAT if self.right.is_compatible_with(unit))

    @property
    def asked(self) -> Asked:
        """The quantity as the reader of answers takes it."""
        return Asked(_WHAT[self.unit], self.unit)

    def judge(self, text: str) -> Verdict:
        """Judge a text, whatever is in it.

        Args:
            text: what the student wrote; a number without a unit is taken to be in `unit`.

        >>> from enginemath.units import Quantity
        >>> no_start = "A burette seldom starts at zero. What ran out in each fill?"
        >>> question = Question(Quantity(47.5, "cc"), [(no_start, Quantity(48.1, "cc"))])
        >>> question.judge("47.5 cc").sentence, question.judge("47.5").sentence
        ('right', 'right; write the unit: cc was taken')
        >>> question.judge("48.10 cc").sentence
        'not yet. A burette seldom starts at zero. What ran out in each fill?'
        >>> question.judge("47.5 mm").sentence
        '"47.5 mm": a volume is wanted here, and this is a length'
        """
        return judge_text(text, self.asked, self._judge)

    def _judge(self, answer: Answer) -> Verdict:
        rule = self.tolerance or READ[self.unit]
        right = self._number(self.right)
        slips = [(hint, self._number(value)) for hint, value in self.slips]
        grade = rule.grade(answer, right, (value for _, value in slips))
        if grade:
            return RIGHT if grade == "right" else TOO_COARSE
        near = [
            (round(abs(answer.value - value), 9), not_yet(hint, self.place))
            for hint, value in slips
            if rule.is_near(answer, value) or (answer.holds(value) and rule.is_fine(answer, value))
        ]
        near += [
            (round(abs(answer.value - right * off), 9), not_yet(hint))
            for factor, hint in _FACTORS[self.unit].items()
            for off in (factor, 1 / factor)
            if abs(answer.value - right * off) <= 0.002 * abs(right) * off
            or (answer.holds(right * off) and answer.half_width < 0.01 * abs(right) * off)
        ]
        if near:
            return min(near, key=lambda each: each[0])[1]
        if answer.value * right < 0:
            return not_yet("Look at the sign: which way does it count?")
        return TOO_COARSE if answer.stops_at_zeros(right) else too_large(answer.value, right)

    def _number(self, quantity: pint.Quantity) -> float:
        return float(nominal(quantity.m_as(self.unit)))


def judge_text(text: str, asked: Asked, judge: Callable[[Answer], Verdict]) -> Verdict:
    """The verdict on a text: nothing written, refused, or what is made of its number.

    Args:
        text: what the student wrote.
        asked: the quantity.
        judge: what is made of the number that was read.
    """
    if not text.strip():
        return NOTHING_WRITTEN
    try:
        answer = read_answer(text, asked)
    except Refused as refusal:
        return unreadable(str(refusal))
    return judge(answer).without_unit(answer.taken_as)
