"""The audit of a hand calculation: every step worked again, and where it first went wrong.

A number that is wrong only because an earlier one was is not another slip: it follows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from functools import cache
from typing import Any, Literal

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.by_hand.slip import Slip, misdivided
from enginemath.answers.by_hand.steps import STEPS, reach, step_of
from enginemath.answers.diagnosis import CLOSE, explain, is_correct
from enginemath.answers.mistakes import CATALOGUE, Mistake
from enginemath.answers.quantities import QUANTITIES
from enginemath.answers.suspects import Search
from enginemath.answers.wording import number
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.formulas.compression import compression_ratio
from enginemath.sheets import Sheet
from enginemath.units import Refused

Verdict = Literal["right", "rounded", "follows", "slip"]
_Judged = tuple[Verdict, tuple[str, ...], str]
"""Verdict, ids of the mistakes, and what to say of a step."""

_CLOSING = {"rod_length", "crank_at_closing"}
"""Readings that place the piston when the intake closes, and change no volume."""
_NOT_CLEARANCE = {"swept", "cylinders", "remaining", "scaled"}
"""Volumes, and what is made of them, that a ratio takes besides a written clearance."""
_RIGHTLY_DIVIDED = replace(misdivided(lambda _: compression_ratio), volumes={"cylinders": 1})
"""Undoes a slip in the ratio itself, and leaves those in the volumes of one cylinder."""


@dataclass(frozen=True)
class Audited:
    """One step of a hand calculation.

    Args:
        name: one of `STEPS`.
        written: as it was written.
        answer: its number, in cc, mm or bare.
        expected: from the sheet's readings; a volume or ratio is the mean over the cylinders.
        from_earlier: what the numbers written before it give; None where there are none.
        verdict: ``"right"``; ``"rounded"`` where the method is right; ``"follows"`` from an
            earlier slip; or a ``"slip"`` of its own.
        mistakes: ids of what explains a slip; empty where nothing does.
        says: for the instructor; it holds the answer.
    """

    name: str
    written: str
    answer: float
    expected: float
    from_earlier: float | None
    verdict: Verdict
    mistakes: tuple[str, ...]
    says: str

    def __str__(self) -> str:
        """One line for the instructor."""
        return f"{STEPS[self.name].words}: {self.written.strip()} written, {self.says}"


@dataclass(frozen=True)
class Audit:
    """A hand calculation with each step judged, in the order of the blackboard."""

    steps: tuple[Audited, ...]

    @property
    def first_slip(self) -> Audited | None:
        """Where it first went wrong; None where it did not."""
        return next((step for step in self.steps if step.verdict == "slip"), None)

    @property
    def slips(self) -> tuple[Audited, ...]:
        """Every step with a slip of its own: what follows from an earlier one is not counted."""
        return tuple(step for step in self.steps if step.verdict == "slip")

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers and texts, ready for JSON."""
        first = self.first_slip
        return {
            "first_slip": first and first.name,
            "steps": [asdict(step) | {"mistakes": list(step.mistakes)} for step in self.steps],
        }

    def __str__(self) -> str:
        """For the instructor: it holds the answers."""
        first = self.first_slip
        verdict = f"First slip: {STEPS[first.name].words}." if first else "No slip."
        return "\n".join([*map(str, self.steps), verdict])


def audit(sheet: Sheet, working: Mapping[str, str]) -> Audit:
    """Work a hand calculation again, step by step.

    Args:
        sheet: the engine that was worked on.
        working: what was written for each step, by the names in `STEPS`; a step that was not
            written down is left out.

    Raises:
        Refused: no such step, or a number that cannot be read; names the step.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> working = {"swept_volume": "588.3 cc", "gasket_volume": "9.21 cc",
    ...            "clearance_volume": "67.84 cc", "compression_ratio": "9.672"}
    >>> print(audit(parse(EXAMPLE), working))
    swept volume: 588.3 cc written, right
    gasket volume: 9.21 cc written, 7.504 cc expected: a slip. The student used the gasket's \
free thickness, not the compressed one: 9.210 cc.
    clearance volume: 67.84 cc written, 66.131 cc expected: follows from the numbers before
    compression ratio: 9.672 written, 9.896 expected: follows from the numbers before
    First slip: gasket volume.
    """
    return Audit(tuple(_Auditor(sheet, working).steps()))


def _read(working: Mapping[str, str]) -> dict[str, Answer]:
    for name in working:
        step_of(name)
    read = {}
    for name, step in STEPS.items():
        if name in working:
            try:
                read[name] = read_answer(working[name], step)
            except Refused as refusal:
                raise Refused(f"{step.words}: {refusal}") from None
    return read


@dataclass(frozen=True)
class _Given:
    """What a calculation gives, and how far the rounding of what went in may move it."""

    value: float
    slack: float = 0.0

    def is_what(self, answer: Answer) -> bool:
        return abs(answer.value - self.value) <= answer.half_width * 1.001 + self.slack


def _careful(value: float) -> _Given:
    return _Given(value, CLOSE * abs(value))


class _Auditor:
    def __init__(self, sheet: Sheet, working: Mapping[str, str]):
        self.working, self.written = working, _read(working)
        self.readings = readings_of(sheet)
        self.by_hand = cache(lambda name: HandCalculation(name, self.readings))
        self.astray: set[str] = set()
        """Steps written so far whose number is wrong."""
        self.kept: set[str] = set()
        """Steps written so far whose number is right."""

    def steps(self) -> Iterator[Audited]:
        for name in self.written:
            step = self._step(name)
            if step.verdict in ("slip", "follows"):
                self.astray.add(name)
            elif step.verdict == "right":
                self.kept.add(name)
            yield step

    def _step(self, name: str) -> Audited:
        answer = self.written[name]
        earlier = self._given(name) if self._used(name) else None
        verdict, mistakes, why = self._judge(name, answer, earlier)
        expected = self._right(name)
        return Audited(
            name,
            self.working[name],
            answer.value,
            expected,
            earlier.value if earlier else None,
            verdict,
            mistakes,
            f"{number(expected, STEPS[name])} expected: {why}" if why else "right",
        )

    def _right(self, name: str) -> float:
        right = self.by_hand(name).answer()
        assert right is not None
        return right

    def _judge(self, name: str, answer: Answer, earlier: _Given | None) -> _Judged:
        search = Search(name, self.readings) if name in QUANTITIES else None
        if self._is_right(name, answer, search):
            return "right", (), ""
        led_astray = bool(self.astray & self._used(name).keys())
        if earlier and earlier.is_what(answer):
            if led_astray:
                return "follows", (), "follows from the numbers before"
            return "rounded", (), "right from the numbers before, which were rounded too early"
        here, here_belied = self._sifted(self._slips_here(name, answer), name)
        known, known_belied = self._sifted(self._slips_anywhere(name, answer, search), name)
        alone = [judged for judged in known if len(judged[1]) < 2 and not led_astray]
        first = next(itertools.chain(alone, here, here_belied, known, known_belied), None)
        return first or ("slip", (), "a slip that no usual mistake explains: ask for the working")

    def _is_right(self, name: str, answer: Answer, search: Search | None) -> bool:
        if search:
            return is_correct(search, answer)
        return _careful(self._right(name)).is_what(answer)

    def _slips_anywhere(
        self, name: str, answer: Answer, search: Search | None
    ) -> Iterator[_Judged]:
        """The mistakes that, made anywhere on the way from the readings, give the answer."""
        for each in explain(search, answer, STEPS[name]) if search else ():
            if each.kind == "mistake":
                yield "slip", each.mistakes, f"a slip. {each.says}"
            else:
                yield "rounded", (), each.says

    def _sifted(self, ways: Iterable[_Judged], name: str) -> tuple[list[_Judged], list[_Judged]]:
        """Those that agree with the steps that are written right, and those that do not."""
        ways = list(ways)
        belied = [judged for judged in ways if self._is_belied(judged[1], name)]
        return [judged for judged in ways if judged not in belied], belied

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
            value and not _careful(value).is_what(self.written[step])
            for step, value in given.items()
        )

    def _with(self, slip: Slip, name: str) -> float | None:
        """What a step comes to if a slip is made from the readings on, for one cylinder."""
        return self.by_hand(name).answer([slip, _RIGHTLY_DIVIDED])

    def _slips_here(self, name: str, answer: Answer) -> Iterator[_Judged]:
        """The mistakes that, made in this step alone, give the answer, the commonest first."""
        unmade = self._given(name)
        found: list[tuple[float, Mistake, float]] = []
        for mistake in CATALOGUE.values():
            for slip in mistake.slips:
                given = self._given(name, slip) if self._may_be_made(slip, name) else None
                changed = given and not (unmade and math.isclose(given.value, unmade.value))
                if given and changed and given.is_what(answer):
                    found.append((mistake.commonness * slip.share, mistake, given.value))
        for _, mistake, value in sorted(found, key=lambda each: -each[0]):
            source = ", from the numbers before" if self._used(name) else ""
            says = f"The student {mistake.tells}: {number(value, STEPS[name])}{source}."
            yield "slip", (mistake.id,), f"a slip. {says}"

    def _may_be_made(self, slip: Slip, name: str) -> bool:
        if not self._is_open_to(slip, name):
            return False
        if not STEPS[name].needs:
            return name not in QUANTITIES and bool(slip.readings)
        if "clearance_volume" in self._used(name) and not slip.volumes.keys() <= _NOT_CLEARANCE:
            return False
        return slip.readings.keys() <= _CLOSING

    def _used(self, name: str) -> dict[str, Answer]:
        """The numbers written before that a step is worked from."""
        return {step: self.written[step] for step in STEPS[name].rests_on(self.written)}

    def _given(self, name: str, *slips: Slip) -> _Given | None:
        """What a step gives from the numbers before, or from the sheet where there are none."""

        def work(values: Mapping[str, float]) -> float | None:
            return self.by_hand(name).from_written(values, slips)

        used = self._used(name)
        value = work({step: answer.value for step, answer in used.items()})
        return None if value is None else _Given(value, reach(work, used, value))
