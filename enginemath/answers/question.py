"""A question with one right answer, and which slip gives which other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import pint

from enginemath.units import CC_PER_CUBIC_INCH, MM_PER_INCH, Quantity, Refused, nominal, read_as

SLACK = {"cc": 0.006, "mm": 0.0013, "kPa": 0.6}
"""How far a right answer may be off: the last digit that a shop writes, and a rounding."""


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
    """

    right: pint.Quantity
    slips: Sequence[tuple[str, pint.Quantity]] = ()

    @property
    def unit(self) -> str:
        """cc, mm or kPa, in which the answers are compared."""
        return next(unit for unit in SLACK if self.right.is_compatible_with(unit))

    def verdict(self, text: str) -> str:
        """Judge a text in one sentence, whatever is in it.

        >>> no_start = "A burette seldom starts at zero. What ran out in each fill?"
        >>> question = Question(Quantity(47.5, "cc"), [(no_start, Quantity(48.1, "cc"))])
        >>> question.verdict("47.5 cc")
        'right'
        >>> question.verdict("48.10 cc")
        'not yet. A burette seldom starts at zero. What ran out in each fill?'
        >>> question.verdict("47.5 mm")
        '"47.5 mm": a volume is wanted here, and this is a length'
        """
        if not text.strip():
            return "nothing written yet"
        try:
            answer = read_as(text, self.unit)
        except Refused as refusal:
            return str(refusal)
        given = nominal(answer.m_as(self.unit))
        right = nominal(self.right.m_as(self.unit))
        if abs(given - right) <= SLACK[self.unit]:
            return "right"
        half = _half_of_last_digit(text, answer, self.unit)
        if given and abs(given - right) <= half < abs(right):
            return "right as far as it goes; write one more digit"
        return f"not yet. {self._hint(given, right)}"

    def _hint(self, given: float, right: float) -> str:
        near = [
            (abs(given - nominal(value.m_as(self.unit))), hint)
            for hint, value in self.slips
            if abs(given - nominal(value.m_as(self.unit))) <= SLACK[self.unit]
        ]
        if near:
            return min(near)[1]
        for factor, hint in _FACTORS[self.unit].items():
            if any(abs(given - right * f) <= 0.002 * abs(right) * f for f in (factor, 1 / factor)):
                return hint
        if given * right < 0:
            return "Look at the sign: which way does it count?"
        return f"It is too {'large' if abs(given) > abs(right) else 'small'}: go step by step."


def _half_of_last_digit(text: str, answer: pint.Quantity, unit: str) -> float:
    digits = re.search(r"\d+\.?(\d*)|\.(\d+)", text)
    if digits is None or "/" in text:
        return 0.0
    decimals = len(digits[1] or digits[2] or "")
    one = Quantity(1.0, answer.units).m_as(unit)
    return 0.5 * 10.0**-decimals * one * (1 + 1e-9)
