"""A hand calculation judged step by step: what is right, what follows from an earlier slip, what
is wrong.

A number that is wrong only because an earlier one was is not another slip: it follows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.slip import Slip, misdivided
from enginemath.answers.by_hand.steps import STEPS, reach
from enginemath.answers.diagnosis import explain
from enginemath.answers.mistakes import CATALOGUE, Mistake
from enginemath.answers.suspects import DRIFT, Search, search_of
from enginemath.answers.tolerance import TOLERANCES, WORKED
from enginemath.answers.verdict import RIGHT, TOO_COARSE, UNKNOWN, Verdict
from enginemath.answers.wording import HINTS, number
from enginemath.answers.written_answer import Answer
from enginemath.formulas.compression import compression_ratio

_CLOSING = {"rod_length", "crank_at_closing"}
"""Readings that place the piston when the intake closes, and change no volume."""
_NOT_CLEARANCE = {
    *("swept", "cylinders", "remaining", "scaled"),
    *("wanted", "change", "new_thickness", "deck_clearance"),
}
"""What a step takes besides a written clearance, and what is made of it."""
_RIGHTLY_DIVIDED = replace(misdivided(lambda _: compression_ratio), volumes={"cylinders": 1})
"""Undoes a slip in the ratio itself, and leaves those in the volumes of one cylinder."""

TOO_EARLY = "right from the numbers before, which were rounded too early"


@dataclass(frozen=True)
class JudgedStep:
    """One step of a hand calculation.

    Args:
        name: one of `STEPS`.
        answer: the number that was written.
        expected: from the sheet's readings; a volume or ratio is the mean over the cylinders.
        from_earlier: what the numbers written before it give; None where there are none.
        verdict: what is made of it.
        led_astray: whether a number that it rests on shows a slip, or follows from one.
    """

    name: str
    answer: Answer
    expected: float
    from_earlier: float | None
    verdict: Verdict
    led_astray: bool


@dataclass(frozen=True)
class _Given:
    """What a calculation gives, and how far the rounding of what went in may move it."""

    value: float
    slack: float = 0.0

    def is_what(self, answer: Answer, drift: float = 0.0) -> bool:
        """Whether an answer is this, rounded; `drift` is a share of it."""
        reach = answer.half_width * 1.001 + self.slack + drift * abs(self.value)
        return abs(answer.value - self.value) <= reach


def _careful(value: float, name: str) -> _Given:
    rule = TOLERANCES[name]
    return _Given(value, rule.share * abs(value) + rule.slack)


class Working:
    """The numbers that were written for the steps of one sheet's hand calculation.

    Args:
        readings: of the sheet.
        answers: by step, one of `STEPS`; a step that was not written down is left out.

    >>> from enginemath.answers.by_hand.readings import readings_of
    >>> from enginemath.sheets import EXAMPLE, parse
    >>> free_thickness = {"gasket_volume": Answer(9.21, 0.005, True),
    ...                   "clearance_volume": Answer(67.84, 0.005, True)}
    >>> working = Working(readings_of(parse(EXAMPLE)), free_thickness)
    >>> [step.verdict.kind for step in working.judged()]
    ['mistake', 'follows']
    """

    def __init__(self, readings: Readings, answers: Mapping[str, Answer]):
        self.readings = readings
        self.answers = {name: answers[name] for name in STEPS if name in answers}
        self.by_hand = cache(lambda name: HandCalculation(name, readings))
        self.astray: set[str] = set()
        """Steps judged so far whose number shows a slip, or follows from one."""
        self.rough: set[str] = set()
        """Steps judged so far whose method is right and whose digits are not."""
        self.kept: set[str] = set()
        """Steps judged so far whose number is right."""

    def judged(self) -> Iterator[JudgedStep]:
        """Each step that was written, in the order of the blackboard."""
        for name in self.answers:
            step = self._step(name)
            {
                "right": self.kept,
                "nearly": self.rough,
                "follows": self.astray if step.led_astray else self.rough,
            }.get(step.verdict.kind, self.astray).add(name)
            yield step

    def _step(self, name: str) -> JudgedStep:
        answer, used = self.answers[name], self._used(name)
        earlier = self._given(name) if used else None
        led_astray = bool(self.astray & used.keys())
        verdict = self._judge(name, answer, led_astray).without_unit(answer.taken_as)
        from_earlier = earlier.value if earlier else None
        return JudgedStep(name, answer, self._right(name), from_earlier, verdict, led_astray)

    def _right(self, name: str) -> float:
        right = self.by_hand(name).answer()
        assert right is not None
        return right

    def _judge(self, name: str, answer: Answer, led_astray: bool) -> Verdict:
        search = search_of(name, self.readings) if STEPS[name].is_searched else None
        grade = search.grade(answer) if search else WORKED.grade(answer, self._right(name))
        if grade == "right":
            return RIGHT
        return (
            self._follows(name, answer)
            or self._explained(name, answer, search, led_astray)
            or self._follows_some(name, answer)
            or replace(UNKNOWN, place=STEPS[name].place)
        )

    def _explained(
        self, name: str, answer: Answer, search: Search | None, led_astray: bool
    ) -> Verdict | None:
        """The mistake that gives an answer, if one does."""
        return next(self._explanations(name, answer, search, led_astray), None)

    def _explanations(
        self, name: str, answer: Answer, search: Search | None, led_astray: bool
    ) -> Iterator[Verdict]:
        """One mistake made on the way from the readings, one made here, and what is less likely."""

        @cache
        def known() -> tuple[list[Verdict], list[Verdict]]:
            return self._sifted(self._slips_anywhere(name, answer, search), name)

        if not led_astray:
            yield from (found for found in known()[0] if len(found.mistakes) < 2)
        here, here_belied = self._sifted(self._slips_here(name, answer), name)
        yield from (*here, *here_belied)
        yield from itertools.chain.from_iterable(known())

    def _follows(self, name: str, answer: Answer) -> Verdict | None:
        """Right from all of the numbers before."""
        used = self._used(name)
        given = self._given(name) if used else None
        own = self._own(name)
        if given is None or not given.is_what(answer, DRIFT if own else 0.0):
            return None
        return _followed(own) if own else Verdict("nearly", HINTS["rounded"], tells=TOO_EARLY)

    def _follows_some(self, name: str, answer: Answer) -> Verdict | None:
        """Right from some of the student's own wrong numbers, from most of them first."""
        own = self._own(name)
        for size in range(len(own) - 1, 0, -1):
            for sources in itertools.combinations(own, size):
                given = self._given(name, without=set(own) - set(sources))
                if given and given.is_what(answer, DRIFT):
                    return _followed(sources)
        return None

    def _own(self, name: str) -> tuple[str, ...]:
        """The steps before it that it is worked from and that are not right."""
        return tuple(step for step in self._used(name) if step in self.astray | self.rough)

    def _slips_anywhere(
        self, name: str, answer: Answer, search: Search | None
    ) -> Iterator[Verdict]:
        """The mistakes that, made anywhere on the way from the readings, give the answer."""
        if search:
            yield from (each.verdict for each in explain(search, answer, STEPS[name]))
        elif WORKED.grade(answer, self._right(name)) == "nearly":
            yield TOO_COARSE

    def _sifted(self, ways: Iterable[Verdict], name: str) -> tuple[list[Verdict], list[Verdict]]:
        """Those that agree with the steps that are written right, and those that do not."""
        ways = list(ways)
        belied = [found for found in ways if self._is_belied(found.mistakes, name)]
        return [found for found in ways if found not in belied], belied

    def _is_belied(self, mistakes: tuple[str, ...], name: str) -> bool:
        """Whether the steps that are written right show that one of the mistakes was not made."""
        for id in mistakes:
            slips = [slip for slip in CATALOGUE[id].slips if self._may_explain(slip, name)]
            if slips and all(self._would_show(slip) for slip in slips):
                return True
        return False

    def _may_explain(self, slip: Slip, name: str) -> bool:
        if not self._is_open_to(slip, name):
            return False
        given = self._with(slip, name)
        return given is not None and not math.isclose(given, self._right(name))

    def _is_open_to(self, slip: Slip, name: str) -> bool:
        return slip.touches(name) and (not slip.applies or bool(slip.applies(self.readings)))

    def _would_show(self, slip: Slip) -> bool:
        """What is only left out of a sum does not show in what it comes to itself."""
        given = {step: self._with(slip, step) for step in self.kept}
        return any(
            value and not _careful(value, step).is_what(self.answers[step])
            for step, value in given.items()
        )

    def _with(self, slip: Slip, name: str) -> float | None:
        """What a step comes to if a slip is made from the readings on, for one cylinder."""
        return self.by_hand(name).answer([slip, _RIGHTLY_DIVIDED])

    def _slips_here(self, name: str, answer: Answer) -> Iterator[Verdict]:
        """The mistakes that, made in this step alone, give the answer, the commonest first."""
        if STEPS[name].is_searched and not self._used(name):
            return
        unmade = self._given(name)
        found: list[tuple[float, Mistake, Slip, float]] = []
        for mistake in CATALOGUE.values():
            for slip in mistake.slips:
                given = self._given(name, slip) if self._may_be_made(slip, name) else None
                changed = given and not (unmade and math.isclose(given.value, unmade.value))
                if given and changed and given.is_what(answer):
                    found.append((mistake.commonness * slip.share, mistake, slip, given.value))
        for _, mistake, slip, value in sorted(found, key=lambda each: -each[0]):
            source = ", from the numbers before" if self._used(name) else ""
            tells = slip.tells or mistake.tells
            says = f"The student {tells}: {number(value, STEPS[name])}{source}."
            hint = slip.hint or mistake.hint
            yield Verdict("mistake", hint, mistake.place, (mistake.id,), says)

    def _may_be_made(self, slip: Slip, name: str) -> bool:
        if not self._is_open_to(slip, name):
            return False
        if not STEPS[name].needs:
            return not STEPS[name].is_searched and bool(slip.readings)
        if "clearance_volume" in self._used(name) and not slip.volumes.keys() <= _NOT_CLEARANCE:
            return False
        return slip.readings.keys() <= _CLOSING

    def _used(self, name: str) -> dict[str, Answer]:
        """The numbers written before that a step is worked from."""
        return {step: self.answers[step] for step in STEPS[name].rests_on(self.answers)}

    def _given(
        self, name: str, *slips: Slip, without: Iterable[str] = frozenset()
    ) -> _Given | None:
        """What a step gives from the numbers before, or from the sheet where there are none.

        Args:
            slips: made in it.
            without: steps whose number is taken from the sheet all the same.
        """

        def work(values: Mapping[str, float]) -> float | None:
            return self.by_hand(name).from_written(values, slips)

        used = {step: each for step, each in self._used(name).items() if step not in set(without)}
        value = work({step: answer.value for step, answer in used.items()})
        return None if value is None else _Given(value, reach(work, used, value))


def _followed(sources: tuple[str, ...]) -> Verdict:
    own = " and ".join(STEPS[source].words for source in sources)
    return Verdict(
        "follows",
        f"Your method is right here. The number rests on your {own}: mend that first.",
        tells=f"follows from the student's own {own}",
    )
