"""The audit of a hand calculation: every step worked again, and where it first went wrong.

A number that is wrong only because an earlier one was is not another slip: it follows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from difflib import get_close_matches
from typing import Any, Literal

from enginemath.buildsheet import Sheet
from enginemath.classroom.answers import Answer, read_answer
from enginemath.classroom.diagnosis import CLOSE, explain, is_correct
from enginemath.classroom.mistakes import CATALOGUE, Mistake
from enginemath.classroom.quantities import QUANTITIES, Asked
from enginemath.classroom.readings import readings_of
from enginemath.classroom.search import Search
from enginemath.classroom.slips import Slip, change
from enginemath.classroom.volumes import Volumes, remaining_stroke, volumes_of
from enginemath.classroom.wording import number
from enginemath.stack import mean
from enginemath.units import Refused

Verdict = Literal["right", "rounded", "follows", "slip"]
_Judged = tuple[Verdict, tuple[str, ...], str]
"""Verdict, ids of the mistakes, and what to say of a step."""


def _ratio_over(v: Volumes, share: float = 1.0) -> float:
    return mean([v.ratio(v.cylinders * share * v.swept, each) for each in v.clearances()])


def _effective_ratio(v: Volumes) -> float:
    return v.remaining * _ratio_over(v) if v.scaled else _ratio_over(v, v.remaining)


_WORKED: dict[str, Callable[[Volumes], float]] = {
    "chamber_volume": lambda v: mean(v.chambers),
    "swept_volume": lambda v: v.cylinders * v.swept,
    "displacement": lambda v: v.count * v.swept,
    "gasket_volume": lambda v: v.gasket,
    "deck_volume": lambda v: mean(v.decks),
    "crown_volume": lambda v: v.crown + v.reliefs,
    "crevice_volume": lambda v: v.crevice,
    "clearance_volume": lambda v: mean(v.clearances()),
    "compression_ratio": _ratio_over,
    "effective_ratio": _effective_ratio,
}
STEPS = {name: Asked(name, "" if name.endswith("ratio") else "cc") for name in _WORKED}
"""The steps of a hand calculation, in the order of the blackboard."""

_PARTS = ("chamber_volume", "gasket_volume", "deck_volume", "crown_volume", "crevice_volume")
_PUT_TOGETHER = {
    "displacement": ("swept_volume",),
    "clearance_volume": _PARTS,
    "compression_ratio": ("swept_volume", *_PARTS, "clearance_volume"),
    "effective_ratio": ("swept_volume", *_PARTS, "clearance_volume"),
}
"""What each later step is put together from."""
_CLOSING = {"rod_length", "crank_at_closing"}
"""Readings that place the piston when the intake closes, and change no volume."""
_NOT_CLEARANCE = {"swept", "cylinders", "remaining", "scaled"}
"""Volumes, and what is made of them, that a ratio takes besides a written clearance."""


@dataclass(frozen=True)
class Step:
    """One step of a hand calculation.

    Args:
        name: one of `STEPS`.
        written: as it was written.
        answer: its number, in cc or bare.
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

    steps: tuple[Step, ...]

    @property
    def first_slip(self) -> Step | None:
        """Where it first went wrong; None where it did not."""
        return next((step for step in self.steps if step.verdict == "slip"), None)

    @property
    def slips(self) -> tuple[Step, ...]:
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

    >>> from enginemath.buildsheet import EXAMPLE, parse
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
    return Audit(tuple(_Auditor(sheet, _read(working)).steps()))


def _read(working: Mapping[str, str]) -> dict[str, tuple[str, Answer]]:
    for name in working:
        if name not in STEPS:
            close = get_close_matches(str(name), STEPS, n=1)
            meant = f"did you mean {close[0]}?" if close else f"there are {', '.join(STEPS)}"
            raise Refused(f'step "{name!s:.60}": unknown; {meant}')
    read = {}
    for name, asked in STEPS.items():
        if name in working:
            try:
                read[name] = working[name], read_answer(working[name], asked)
            except Refused as refusal:
                raise Refused(f"{asked.words}: {refusal}") from None
    return read


@dataclass(frozen=True)
class _Given:
    """What a calculation gives, and how far the rounding of what went in may move it."""

    value: float
    slack: float = 0.0

    def is_what(self, answer: Answer) -> bool:
        return abs(answer.value - self.value) <= answer.half_width * 1.001 + self.slack


class _Auditor:
    def __init__(self, sheet: Sheet, written: dict[str, tuple[str, Answer]]):
        self.written = written
        self.readings = readings_of(sheet)
        self.right = volumes_of(self.readings)
        if self.readings.crank_at_closing is not None:
            self.right.remaining = remaining_stroke(self.readings)
        self.astray: set[str] = set()
        """Steps written so far whose number is wrong."""
        self.kept: set[str] = set()
        """Steps written so far whose number is right."""

    def steps(self) -> Iterator[Step]:
        for name in self.written:
            step = self._step(name)
            if step.verdict in ("slip", "follows"):
                self.astray.add(name)
            elif step.verdict == "right":
                self.kept.add(name)
            yield step

    def _step(self, name: str) -> Step:
        written, answer = self.written[name]
        earlier = self._from_earlier(name)
        verdict, mistakes, why = self._judge(name, answer, earlier)
        expected = _WORKED[name](self.right)
        says = "right" if verdict == "right" else f"{number(expected, STEPS[name])} expected: {why}"
        from_earlier = earlier.value if earlier and math.isfinite(earlier.value) else None
        return Step(name, written, answer.value, expected, from_earlier, verdict, mistakes, says)

    def _judge(self, name: str, answer: Answer, earlier: _Given | None) -> _Judged:
        search = Search(name, self.readings) if name in QUANTITIES else None
        if self._is_right(name, answer, search):
            return "right", (), ""
        led_astray = bool(self.astray & set(self._used(name)))
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
        right = _WORKED[name](self.right)
        return _Given(right, CLOSE * abs(right)).is_what(answer)

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
        possible = slip.touches(name) and (not slip.applies or slip.applies(self.readings))
        return bool(
            possible and not math.isclose(self._with(slip, name), _WORKED[name](self.right))
        )

    def _would_show(self, slip: Slip) -> bool:
        """What is only left out of a sum does not show in what it comes to itself."""
        given = {step: self._with(slip, step) for step in self.kept}
        return any(
            value and not _Given(value, CLOSE * abs(value)).is_what(self.written[step][1])
            for step, value in given.items()
        )

    def _with(self, slip: Slip, name: str) -> float:
        """What a step comes to if a slip is made from the readings on, for one cylinder."""
        readings = replace(self.readings)
        change(readings, slip.readings)
        v = volumes_of(readings)
        if readings.crank_at_closing is not None:
            v.remaining = remaining_stroke(readings)
        change(v, {volume: new for volume, new in slip.volumes.items() if volume != "cylinders"})
        return _WORKED[name](v)

    def _slips_here(self, name: str, answer: Answer) -> Iterator[_Judged]:
        """The mistakes that, made in this step alone, give the answer, the commonest first."""
        unmade = self._given(name)
        found: list[tuple[float, Mistake, float]] = []
        for mistake in CATALOGUE.values():
            for slip in mistake.slips:
                given = self._given(name, slip) if self._may_be_made(slip, name) else None
                if given and given.is_what(answer) and not math.isclose(given.value, unmade.value):
                    found.append((mistake.commonness * slip.share, mistake, given.value))
        for _, mistake, value in sorted(found, key=lambda each: -each[0]):
            source = ", from the numbers before" if self._used(name) else ""
            says = f"The student {mistake.tells}: {number(value, STEPS[name])}{source}."
            yield "slip", (mistake.id,), f"a slip. {says}"

    def _may_be_made(self, slip: Slip, name: str) -> bool:
        if not slip.touches(name) or (slip.applies and not slip.applies(self.readings)):
            return False
        if name not in _PUT_TOGETHER:
            return name not in QUANTITIES and bool(slip.readings)
        if "clearance_volume" in self._used(name):
            return set(slip.readings) <= _CLOSING and set(slip.volumes) <= _NOT_CLEARANCE
        return set(slip.readings) <= _CLOSING

    def _used(self, name: str) -> list[str]:
        """The numbers written before that a step is put together from."""
        used = [part for part in _PUT_TOGETHER.get(name, ()) if part in self.written]
        return [part for part in used if "clearance_volume" not in used or part not in _PARTS]

    def _from_earlier(self, name: str) -> _Given | None:
        return self._given(name) if self._used(name) else None

    def _given(self, name: str, slip: Slip | None = None) -> _Given:
        """What a step gives from the numbers before, or from the sheet where there are none."""
        value = self._work(name, slip)
        moved = (self._work(name, slip, rounded=part) for part in self._used(name))
        return _Given(value, sum(abs(each - value) for each in moved))

    def _work(self, name: str, slip: Slip | None, rounded: str = "") -> float:
        v = self._carried(name, rounded)
        if slip and slip.readings:
            readings = replace(self.readings)
            change(readings, slip.readings)
            if set(slip.readings) <= _CLOSING:
                v.remaining = remaining_stroke(readings)
            else:
                v = volumes_of(readings)
        if slip:
            change(v, slip.volumes)
            v.ratio = slip.ratio(v.ratio) if slip.ratio else v.ratio
        try:
            return _WORKED[name](v)
        except ZeroDivisionError:
            return math.inf

    def _carried(self, name: str, rounded: str) -> Volumes:
        """The volumes with the numbers written before in their places, one off by its rounding."""
        v = replace(self.right)
        for part in self._used(name):
            answer = self.written[part][1]
            off = answer.value + (answer.half_width if part == rounded else 0) - _WORKED[part](v)
            _MOVE[part](v, off)
        return v


def _each(volumes: list[float], off: float) -> list[float]:
    return [volume + off for volume in volumes]


_MOVE: dict[str, Callable[[Volumes, float], None]] = {
    "chamber_volume": lambda v, off: change(v, {"chambers": _each(v.chambers, off)}),
    "swept_volume": lambda v, off: change(v, {"swept": v.swept + off}),
    "gasket_volume": lambda v, off: change(v, {"gasket": v.gasket + off}),
    "deck_volume": lambda v, off: change(v, {"decks": _each(v.decks, off)}),
    "crown_volume": lambda v, off: change(v, {"crown": v.crown + off}),
    "crevice_volume": lambda v, off: change(v, {"crevice": v.crevice + off}),
    "clearance_volume": lambda v, off: change(v, {"chambers": _each(v.chambers, off)}),
}
"""How a volume is moved, in all cylinders alike, to what was written."""
