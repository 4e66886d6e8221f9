"""A class at the bench: which readings are in line with the record, who takes which again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from enginemath.answers.own_readings.judging import AGAIN_SAID, JudgedReading
from enginemath.classroom.from_outside import clean
from enginemath.classroom.marking.lesson_pages import as_sentence
from enginemath.classroom.marking.mark_class import ClassMarks, Marked
from enginemath.classroom.sets.key import Entry
from enginemath.sheets.one_more_reading import Expected
from enginemath.units import MM_PER_INCH, true_minus

SAID = {
    "in line": "in line",
    "again": "read it again",
    "unreadable": "not readable",
    "missing": "not written down",
}
"""What the pages and the gradebook call a reading."""
AGAIN = "↺"
"""The sign of a reading to take again: it is no wrong answer."""
_SIGNS = {"in line": "✓", "again": AGAIN, "unreadable": "?", "missing": "–"}
_LONGEST = 60


def state_of(reading: JudgedReading) -> str:
    """One of `SAID`."""
    if reading.is_blunder:
        return "again"
    kind = reading.verdict.kind
    return {"unreadable": "unreadable", "nothing_written": "missing"}.get(kind, "in line")


@dataclass(frozen=True)
class ReadingCount:
    """How a class did at one thing that was to be read: students by state."""

    what: str
    title: str
    states: Counter[str]


def by_reading(marks: ClassMarks) -> list[ReadingCount]:
    """Every thing that was to be read, in the order of the bench."""
    found: dict[str, ReadingCount] = {}
    for one in marks.returned:
        for reading in one.readings:
            what = reading.asked.what
            count = found.setdefault(what, ReadingCount(what, reading.asked.title, Counter()))
            count.states[state_of(reading)] += 1
    return list(found.values())


def blunders_of(one: Marked) -> list[JudgedReading]:
    """What a student takes again at the bench."""
    return [reading for reading in one.readings if reading.is_blunder]


def bench_parts(marks: ClassMarks) -> dict[str, Any]:
    """What the class page shows of the bench; nothing where the engines were drawn."""
    if not marks.key.is_of_bay:
        return {"bench": None}
    entries = {entry.student.id: entry for entry in marks.key.entries}
    again = [
        (one, _told(reading, entries[one.student.id]))
        for one in marks.returned
        for reading in blunders_of(one)
    ]
    readings = [
        (count.title, [count.states[state] for state in SAID]) for count in by_reading(marks)
    ]
    students = len({one.student.id for one, _ in again})
    return {"bench": {"readings": readings, "again": again, "students": students}}


def _pieces(reading: JudgedReading) -> list[str]:
    return [clean(piece, _LONGEST) for piece in reading.taken.pieces]


def _told(reading: JudgedReading, entry: Entry) -> dict[str, Any]:
    assert entry.bay
    asked = reading.asked
    expected = entry.bay.record.expected[asked.what]
    return {
        "words": asked.words,
        "wrote": _pieces(reading),
        "poured": f"{reading.taken.value:.2f} cc" if asked.fills else "",
        "of_crown": asked.is_known_depth,
        "record": _number(expected, "cc" if asked.is_known_depth else asked.unit),
        "asks": reading.verdict.hint.removeprefix(AGAIN_SAID),
    }


def _number(expected: Expected, unit: str) -> str:
    """What a reading should give, and how far from it a careful one may lie."""
    decimals, one = (4, MM_PER_INCH) if unit == "in" else (2, 1.0)
    value, allowed = expected.value / one, expected.allowed / one
    return true_minus(f"{value:.{decimals}f} ± {allowed:.{decimals}f} {unit}")


def feedback_parts(one: Marked) -> dict[str, Any]:
    """What a student's page says of the readings; never what stands on record."""
    told = [_said(reading) for reading in one.readings]
    in_line = [each for each in told if each["state"] == "in line" and not each["hint"]]
    return {
        "bench": bool(told),
        "readings": [each for each in told if each not in in_line],
        "in_line": in_line,
    }


def _said(reading: JudgedReading) -> dict[str, Any]:
    state, verdict = state_of(reading), reading.verdict
    verdict = replace(verdict, hint=verdict.hint.removeprefix(AGAIN_SAID))
    return {
        "words": reading.asked.words,
        "title": reading.asked.title,
        "state": state,
        "said": SAID[state],
        "mark": _SIGNS[state],
        "wrote": _pieces(reading),
        "hint": "" if state == "missing" else as_sentence(verdict.advice),
    }


BENCH_COLUMNS = ("engine", "read_again", "readings_not_readable", "readings_missing")


def bench_cells(one: Marked) -> Sequence[str]:
    """A student's cells in the columns of the bench; empty where no paper came back."""
    if not one.file:
        return one.place, "", "", ""
    states: dict[str, list[str]] = {state: [] for state in SAID}
    for reading in one.readings:
        states[state_of(reading)].append(reading.asked.what)
    of = ("; ".join(states[state]) for state in ("again", "unreadable", "missing"))
    return (one.place, *of)
