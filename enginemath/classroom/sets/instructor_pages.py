"""What the instructor prints: the answers, and one page about the class set."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from enginemath.classroom.from_outside import csv_text
from enginemath.classroom.sets.key import Key
from enginemath.classroom.sets.worksheet import CAUTIONS
from enginemath.sheets.html_page import fill
from enginemath.units import show_ratio, true_minus


def answer_sheet(key: Key) -> str:
    """The right answer to every question, a row for each student; keep it from the class."""
    rows = [
        {
            "student": entry.student,
            "engine": str(entry.written["name"]).rpartition(" ")[2],
            "answers": [
                true_minus(entry.assignment.written(question.name))
                for question in key.level.questions
            ],
        }
        for entry in key.entries
    ]
    return fill("classroom/sets/answers.html", title=key.title, level=key.level, rows=rows)


def summary(key: Key, made_secret: bool) -> str:
    """One page: what was handed out, how to collect it, how to mark it.

    Args:
        made_secret: whether the secret was drawn and kept beside the key.
    """
    periods = Counter(entry.student.period or "none given" for entry in key.entries)
    counts = Counter(int(entry.written["cylinder"]["count"]) for entry in key.entries)
    inches = sum(entry.assignment.readings.in_inches for entry in key.entries)
    overview = [
        ("students", f"{len(key.entries)}"),
        ("by period", ", ".join(f"{period}: {n}" for period, n in sorted(periods.items()))),
        (
            "engines",
            ", ".join(f"{n} with {count} cylinders" for count, n in sorted(counts.items())),
        ),
        ("lengths in inches", f"{inches} of {len(key.entries)}"),
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
        made_secret=made_secret,
        cautions=CAUTIONS,
    )


def _range(ratios: Sequence[float]) -> str:
    return f"{show_ratio(min(ratios))} to {show_ratio(max(ratios))}"


def blank_answers(key: Key) -> str:
    """A table to type answers from paper into: a row for each student."""
    names = [question.name for question in key.level.questions]
    rows = [[entry.student.id, entry.student.name, *("" for _ in names)] for entry in key.entries]
    return csv_text([["id", "name", *names], *rows])
