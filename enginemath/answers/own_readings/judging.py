"""A student's readings and what was worked out from them, judged apart from each other.

A reading is set against the record. The working is judged from the readings as the student wrote
them down: a blunder at the bench spoils no answer, and a slip on paper no reading.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.own_readings.boxes import ToRead
from enginemath.answers.own_readings.record import Record
from enginemath.answers.own_readings.taking import Taken, compared, own_readings, take
from enginemath.answers.paper import OnPaper, judge_paper
from enginemath.answers.verdict import NOTHING_WRITTEN, RIGHT, Verdict, not_yet, unreadable
from enginemath.units import MM_PER_INCH

AGAIN_SAID = "Read it again. "
_RIGHT = ("right", "follows")
_NEAR = 0.12
"""Share of a usual blunder by which a gap may miss it and still be told as that."""
_TURNS = (0.5, 0.025 * MM_PER_INCH)
"""Of a thimble, in mm: common practice."""
_PLACES = {
    "bore": "bore",
    "stroke": "stroke",
    "depth at bdc": "stroke",
    "deck clearance": "deck",
    "chamber": "burette",
    "gasket bore": "gasket",
    "compressed thickness": "gasket",
    "free thickness": "gasket",
    "known depth": "crown",
    "dish": "crown",
    "dome": "crown",
    "reliefs": "crown",
    "land height": "crevice",
    "land diameter": "crevice",
}


@dataclass(frozen=True)
class JudgedReading:
    """One thing that a student read, set against the record.

    Args:
        taken: as it was read.
        verdict: in line with the record, a blunder, refused, or not written down.
        is_blunder: whether it lies further from the record than tools and hands explain.
    """

    taken: Taken
    verdict: Verdict
    is_blunder: bool = False

    @property
    def asked(self) -> ToRead:
        """What was to be read."""
        return self.taken.asked

    @property
    def is_usable(self) -> bool:
        """Whether there is a number to work from."""
        return self.taken.value is not None


@dataclass(frozen=True)
class OwnPaper:
    """A paper with readings of the student's own.

    Args:
        readings: each thing that was to be read, in the order of the bench.
        steps: every answer by its step, judged from these readings.
        rests_on: by step, the blunders at the bench that its number rests on.
    """

    readings: tuple[JudgedReading, ...]
    steps: Mapping[str, OnPaper]
    rests_on: Mapping[str, tuple[ToRead, ...]]


def judge_own_paper(
    record: Record, written: Mapping[str, str], answers: Mapping[str, str]
) -> OwnPaper:
    """Judge what a student read, and what the student made of it.

    Args:
        record: of the student's cylinder; a blank one judges no reading, and no answer without
            its readings.
        written: the readings, by box.
        answers: by step, see `STEPS`.

    Raises:
        Refused: no such step.

    >>> from enginemath.answers.own_readings.record import record_of
    >>> from enginemath.sheets import EXAMPLE, parse
    >>> record = record_of(parse(EXAMPLE), 1)
    >>> written = {"read_bore": "92.5 mm", "read_stroke": "88.5 mm"}
    >>> paper = judge_own_paper(record, written, {"swept_volume": "594.73 cc"})
    >>> [each.is_blunder for each in paper.readings][:2], paper.steps["swept_volume"].verdict.kind
    ([True, False], 'right')
    >>> [thing.what for thing in paper.rests_on["swept_volume"]]
    ['bore']
    """
    readings = judge_readings(record, written)
    own = own_readings(record, [each.taken for each in readings])
    if not _leaves_room(own):
        return _without_room(readings, answers)
    blunders = [each.asked for each in readings if each.is_blunder]
    lacking = [each.asked for each in readings if not each.is_usable]
    trail = _Trail(record, readings, own)
    steps, rests_on = {}, {}
    for name, step in judge_paper(own, answers).items():
        rests_on[name] = trail.of(name, blunders)
        steps[name] = step
        if step.answer and (record.is_blank or step.verdict.kind not in _RIGHT):
            verdict = _for_want_of(trail.of(name, lacking)) or trail.of_record(name, step)
            steps[name] = replace(step, verdict=verdict)
    return OwnPaper(readings, steps, rests_on)


def judge_readings(record: Record, written: Mapping[str, str]) -> tuple[JudgedReading, ...]:
    """Set each thing that a student read against the record."""
    return tuple(_judged(record, take(thing, written)) for thing in record.to_read)


def _judged(record: Record, taken: Taken) -> JudgedReading:
    if taken.refusal:
        return JudgedReading(taken, unreadable(taken.refusal))
    reading = compared(record, taken)
    if reading is None:
        return JudgedReading(taken, NOTHING_WRITTEN)
    expected = record.expected.get(taken.asked.what)
    if expected is None or expected.allows(reading):
        return JudgedReading(taken, RIGHT.without_unit(taken.taken_as))
    hint = AGAIN_SAID + _asked_of(taken, reading, expected.value)
    verdict = not_yet(hint, _PLACES[taken.asked.what])
    return JudgedReading(taken, verdict.without_unit(taken.taken_as), is_blunder=True)


def _asked_of(taken: Taken, reading: float, expected: float) -> str:
    """A question that leads to the usual blunder, where the gap is like one."""
    gap = abs(reading - expected)
    if taken.asked.fills:
        twice = len(taken.fills) > 1 and reading > expected
        if twice and any(_is_like(gap, b - a) for a, b in taken.fills):
            return "Does one fill stand here twice?"
        if reading < 0.75 * expected:
            return "Is a fill missing?"
        if gap > 0.7 and _is_like(gap, round(gap)):
            return "Which numbered mark stands above the bottom of the meniscus?"
        return "Was air trapped below the plate, or did it leak?"
    for factor in (MM_PER_INCH, 1 / MM_PER_INCH):
        if _is_like(reading, expected * factor):
            return "Is the unit inches or mm?"
    if _is_like(reading, -expected):
        return "Did the piston stand below the deck or above it?"
    if any(_is_like(reading, expected * factor) for factor in (0.1, 10.0)):
        return "Where does the decimal point stand?"
    if any(_is_like(gap, turn) for turn in _TURNS):
        return "Is one turn of the thimble too many in it, or too few?"
    return "Did the tool show zero before, and stand square?"


def _is_like(value: float, other: float) -> bool:
    return abs(value - other) <= _NEAR * min(abs(value), abs(other))


def _leaves_room(own: Readings) -> bool:
    """Whether readings make an engine at all: a stroke, and room above the piston."""
    clearance = HandCalculation("clearance_volume", own).answer()
    return clearance is not None and clearance > 0 and own.stroke > 0 and own.land_clearance >= 0


_NO_ROOM = (
    "From your own readings no room is left above the piston, or the piston does not move. "
    "Which of them cannot be?"
)


def _without_room(readings: Sequence[JudgedReading], answers: Mapping[str, str]) -> OwnPaper:
    """Readings from which nothing can be worked: no answer is wrong by them."""
    steps = {
        name: OnPaper(unreadable(_NO_ROOM) if text.strip() else NOTHING_WRITTEN)
        for name, text in answers.items()
    }
    return OwnPaper(tuple(readings), steps, dict.fromkeys(answers, ()))


def _for_want_of(lacking: Collection[ToRead]) -> Verdict | None:
    if not lacking:
        return None
    own = " and ".join(thing.words for thing in lacking)
    return unreadable(
        f"This is worked from your own {own}: write that down so that it can be read, and this "
        "is judged from it."
    )


class _Trail:
    """Which readings a step is worked from."""

    def __init__(self, record: Record, readings: Sequence[JudgedReading], own: Readings):
        self.record, self.own = record, own
        self._readings = readings

    def of(self, name: str, things: Collection[ToRead]) -> tuple[ToRead, ...]:
        """Those of some things that change what a step comes to."""
        return tuple(thing for thing in things if self._moves(thing, name))

    def _moves(self, thing: ToRead, name: str) -> bool:
        nudged = replace(self.record, readings=self.own)
        one = Taken(
            thing, value=1.01 * _of(thing, self.own) + 0.01, depth=self.own.known_depth or 0
        )
        return not math.isclose(
            HandCalculation(name, own_readings(nudged, [one])).answer() or 0.0,
            HandCalculation(name, self.own).answer() or 0.0,
            rel_tol=1e-9,
            abs_tol=1e-9,
        )

    def of_record(self, name: str, step: OnPaper) -> Verdict:
        """A wrong answer's verdict: told where it is right from the record, not from the own."""
        on_record = HandCalculation(name, self.record.readings).answer()
        mine, answer = HandCalculation(name, self.own).answer(), step.answer
        if step.verdict.kind != "unknown" or not (
            answer and answer.sensible and on_record and mine
        ):
            return step.verdict
        if answer.holds(on_record) and abs(on_record - mine) > 4 * answer.half_width:
            return replace(
                step.verdict,
                hint="This does not come from your own readings. Which numbers did you put in?",
                tells="right from the readings on record, not from the student's own",
            )
        return step.verdict


def _of(thing: ToRead, readings: Readings) -> float:
    """The number that stands among the readings for a thing."""
    own = {
        "bore": readings.bore,
        "stroke": readings.stroke,
        "depth at bdc": readings.depth_at_bdc,
        "deck clearance": readings.decks[0],
        "chamber": readings.chambers[0],
        "gasket bore": readings.gasket_bore,
        "compressed thickness": readings.thickness,
        "free thickness": readings.free_thickness,
        "known depth": readings.poured,
        "dish": readings.dish,
        "dome": readings.dome,
        "reliefs": readings.reliefs,
        "land height": readings.land_height,
        "land diameter": readings.bore - readings.land_clearance,
    }[thing.what]
    return own or 0.0
