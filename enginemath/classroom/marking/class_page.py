"""The class page, for the instructor: how it went, what to teach again, who needs a word."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginemath.classroom.marking.at_the_bench import bench_parts
from enginemath.classroom.marking.lesson_pages import lesson_parts, told_faults
from enginemath.classroom.marking.mark_class import ClassMarks
from enginemath.classroom.marking.reteach import (
    TOLD,
    MistakeCount,
    QuestionCount,
    by_question,
    mistakes_made,
    needs_a_word,
    to_reteach,
)
from enginemath.drawing.paper.palette import BLUE, SCREEN, mix
from enginemath.drawing.paper.svg import Picture
from enginemath.sheets.html_page import fill

FILE = "class.html"
FEEDBACK = "feedback"


def class_page(marks: ClassMarks) -> str:
    """The whole page."""
    percents = [one.percent for one in marks.returned]
    return fill(
        "classroom/marking/class_page.html",
        key=marks.key,
        came=len(marks.returned),
        everyone=len(marks.marked),
        mean=marks.mean_percent,
        histogram=histogram(percents) if percents else "",
        teach_again=[_told(count) for count in to_reteach(marks)],
        questions=[_answered(count) for count in by_question(marks)],
        mistakes=[_told(count) for count in mistakes_made(marks)],
        needs_a_word=needs_a_word(marks),
        feedback=FEEDBACK,
        faults=told_faults(marks.faults),
        slipped=sum(any(judged.mistakes for judged in one.judged) for one in marks.returned),
        **bench_parts(marks),
        **(lesson_parts(marks.lessons) if marks.lessons else {"lessons": None}),
    )


def _told(count: MistakeCount) -> dict[str, Any]:
    tells, hint = TOLD[count.id]
    return {
        "id": count.id,
        "tells": tells,
        "hint": hint,
        "questions": count.questions,
        "students": len(count.students),
    }


def _answered(count: QuestionCount) -> dict[str, Any]:
    found = count.verdicts
    not_yet = found["mistake"] + found["unknown"]
    return {
        "title": count.question.title,
        "counts": [
            *(found["right"], found["follows"], found["nearly"], not_yet),
            *(found["unreadable"], found["nothing_written"]),
        ],
        "share": count.share,
    }


_WIDTH, _HEIGHT = 560.0, 190.0


_BINS = 10


def bins(percents: Sequence[float]) -> list[int]:
    """Students in each tenth of the scale; 100 % belongs to the last.

    >>> bins([0, 9.9, 10, 100])
    [2, 1, 0, 0, 0, 0, 0, 0, 0, 1]
    """
    counts = [0] * _BINS
    for percent in percents:
        counts[min(int(percent * _BINS / 100), _BINS - 1)] += 1
    return counts


def histogram(percents: Sequence[float]) -> str:
    """The scores as SVG text, each bar with its number."""
    counts = bins(percents)
    step = 100 // _BINS
    told = ", ".join(
        f"{place * step} to {(place + 1) * step} percent: {count}"
        for place, count in enumerate(counts)
        if count
    )
    picture = Picture(
        "histogram",
        _WIDTH,
        _HEIGHT,
        title=f"Scores of {len(percents)} students",
        description=f"Number of students by score. {told}.",
        key="histogram",
    )
    text, small = SCREEN.text, SCREEN.small
    left, right, foot, top = 2 * text, _WIDTH - text, _HEIGHT - 3.4 * text, 1.8 * text
    wide = (right - left) / _BINS
    tall = (foot - top) / max(max(counts), 1)
    for place, count in enumerate(counts):
        x = left + place * wide
        if count:
            fill = mix(BLUE, SCREEN.paper, 0.75)
            picture.rect("bar", x + 2, foot - count * tall, wide - 4, count * tall, fill=fill)
            said = foot - count * tall - 0.7 * text
            picture.label(f"{count}", x + wide / 2, said, anchor="middle", bold=True)
        picture.label(f"{place * step}", x, foot + text, anchor="middle", size=small, kind="tick")
    picture.label("100", right, foot + text, anchor="middle", size=small, kind="tick")
    picture.lines("axis", ((left, foot, right, foot),))
    picture.label(
        "score, percent", (left + right) / 2, foot + 2.5 * text, anchor="middle", size=small
    )
    return picture.svg()
