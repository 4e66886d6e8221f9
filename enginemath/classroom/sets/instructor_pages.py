"""What the instructor prints: the answers, and one page about the class set."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.classroom.from_outside import csv_text
from enginemath.classroom.sets.key import Key
from enginemath.classroom.sets.worksheet import CAUTIONS
from enginemath.sheets.html_page import fill
from enginemath.units import show_ratio, true_minus
from enginemath.units.words import count


def answer_sheet(key: Key) -> str:
    """The right answer to every question, a row for each student; keep it from the class."""
    rows = [
        {
            "student": entry.student,
            "engine": entry.engine,
            "answers": [
                true_minus(entry.assignment.written(question.name))
                for question in key.level.questions
            ],
        }
        for entry in key.entries
    ]
    return fill("classroom/sets/answers.html", title=key.title, level=key.level, rows=rows)


@dataclass(frozen=True)
class Place:
    """Who works on one cylinder in one group."""

    place: str
    group: str
    students: tuple[str, ...]


def who_works_where(key: Key) -> list[Place]:
    """Every cylinder in the bay with those who read it, in the order of engine and cylinder."""
    found: dict[tuple[str, int, str, str], list[str]] = {}
    for entry in key.entries:
        if entry.bay:
            bay = entry.bay
            at = bay.name, bay.bench.cylinder, bay.bench.group, bay.place
            found.setdefault(at, []).append(entry.student.name)
    return [
        Place(place, group, tuple(names)) for (_, _, group, place), names in sorted(found.items())
    ]


def summary(key: Key, made_secret: bool) -> str:
    """One page: what was handed out, how to collect it, how to mark it.

    Args:
        made_secret: whether the secret was drawn and kept beside the key.
    """
    periods = Counter(entry.student.period or "none given" for entry in key.entries)
    overview = [
        ("students", f"{len(key.entries)}"),
        ("by period", ", ".join(f"{period}: {n}" for period, n in sorted(periods.items()))),
        *_engines(key),
    ]
    overview += [
        (f"{question.words}s", _range([e.assignment.right[question.name] for e in key.entries]))
        for question in key.level.questions
        if not question.unit
    ]
    return fill(
        "classroom/sets/summary.html",
        title=key.title,
        level=key.level,
        overview=overview,
        places=who_works_where(key),
        made_secret=made_secret,
        cautions=CAUTIONS,
    )


def _engines(key: Key) -> list[tuple[str, str]]:
    """The engines that were drawn, or those that stand in the bay."""
    if key.is_of_bay:
        named = {e.bay.name: e.bay.readings.count for e in key.entries if e.bay}
        said = (f"{name}: {count(cylinders, 'cylinder')}" for name, cylinders in named.items())
        return [("in the bay", ", ".join(said))]
    counts = Counter(entry.assignment.readings.count for entry in key.entries)
    inches = sum(entry.assignment.readings.in_inches for entry in key.entries)
    drawn = ", ".join(f"{n} with {cylinders} cylinders" for cylinders, n in sorted(counts.items()))
    return [("engines", drawn), ("lengths in inches", f"{inches} of {len(key.entries)}")]


def _range(ratios: Sequence[float]) -> str:
    return f"{show_ratio(min(ratios))} to {show_ratio(max(ratios))}"


def blank_answers(key: Key) -> str:
    """A table to type answers from paper into: a row for each student."""
    boxes = [box.name for e in key.entries if e.bay for box in e.bay.record.boxes]
    names = [*dict.fromkeys(boxes), *(question.name for question in key.level.questions)]
    rows = [[entry.student.id, entry.student.name, *("" for _ in names)] for entry in key.entries]
    return csv_text([["id", "name", *names], *rows])
