"""The class page, for the instructor: how it went, what to teach again, who needs a word."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.classroom.marking.mark_class import ClassMarks, Marked
from enginemath.classroom.marking.reteach import (
    TOLD,
    MistakeCount,
    by_question,
    mistakes_made,
    needs_a_word,
    to_reteach,
)
from enginemath.classroom.pages import bullets, page, table, text
from enginemath.drawing.paper.palette import BLUE, SCREEN, mix
from enginemath.drawing.paper.svg import Picture

FILE = "class.html"
FEEDBACK = "feedback"


def class_page(marks: ClassMarks) -> str:
    """The whole page."""
    key, mean = marks.key, marks.mean_percent
    came, everyone = len(marks.returned), len(marks.marked)
    average = f"; on average {mean:.0f} % of the points" if mean is not None else ""
    percents = [one.percent for one in marks.returned]
    return page(
        f"Class: {key.title}",
        [
            f"<h1>{text(key.title)}</h1>",
            f"<p>Level {key.level.name}. {came} of {everyone} papers were marked{average}.</p>",
            f"<figure>{histogram(percents)}</figure>" if percents else "",
            "<h2>Teach again</h2>",
            _reteach(marks),
            "<h2>Questions</h2>",
            _questions(marks),
            "<h2>Mistakes</h2>",
            _mistakes(marks),
            "<h2>Needs a word</h2>",
            bullets(
                f"{_name(one)}: {text('; '.join(reasons))}" for one, reasons in needs_a_word(marks)
            )
            or "<p>Nobody.</p>",
            "<h2>Files that were not marked</h2>",
            bullets(f"<code>{text(each.file)}</code>: {text(each.reason)}" for each in marks.faults)
            or "<p>None.</p>",
            '<p class="quiet">For the instructor: this page holds names. A mistake counts once for '
            "each student, where it is first made; an answer that only follows from it has its "
            "point. Two slips in one answer are a guess: ask for the working.</p>",
        ],
    )


def _reteach(marks: ClassMarks) -> str:
    counts = to_reteach(marks)
    if not counts:
        return "<p>No mistake is shared by enough of the class. Talk to the students below.</p>"
    items = []
    for count in counts:
        tells, hint = TOLD[count.id]
        question = count.questions[0]
        items.append(
            f"<strong>{_of(count, marks)} {text(tells)}</strong> ({text(question.words)}). "
            f"Ask the class: “{text(hint)}” Lesson {question.lesson:02d}."
        )
    return bullets(items)


def _of(count: MistakeCount, marks: ClassMarks) -> str:
    return f"{len(count.students)} of {len(marks.returned)}"


def _questions(marks: ClassMarks) -> str:
    headings = [
        *("Question", "right", "carried<br>forward", "nearly", "not yet", "not<br>readable"),
        *("no<br>answer", "points"),
        "",
    ]
    rows = []
    for count in by_question(marks):
        v = count.verdicts
        numbers = (
            *(v["right"], v["carried"], v["nearly"], v["mistake"] + v["unknown"]),
            *(v["unreadable"], v["missing"]),
        )
        percent = f"{100 * count.share:.0f}"
        rows.append(
            [
                text(count.question.title),
                *(str(number) if number else "·" for number in numbers),
                f"{percent} %",
                _bar(count.share),
            ]
        )
    return f'<div class="bars">{table(headings, rows, range(1, 8))}</div>'


def _mistakes(marks: ClassMarks) -> str:
    counts = mistakes_made(marks)
    if not counts:
        return "<p>No mistake of method was found.</p>"
    most = len(counts[0].students)
    rows = [
        (
            f"The student {text(TOLD[count.id][0])}.<br><code>{count.id}</code>",
            text(", ".join(question.words for question in count.questions)),
            str(len(count.students)),
            _bar(len(count.students) / most),
        )
        for count in counts
    ]
    headings = ["Mistake", "First made in", "Students", ""]
    return f'<div class="bars">{table(headings, rows, [2])}</div>'


def _bar(share: float) -> str:
    return f'<span class="bar" style="width:{100 * share:.0f}%"></span>'


def _name(one: Marked) -> str:
    said = f"{text(one.student.name)} ({text(one.student.id)})"
    if not one.file:
        return f"<strong>{said}</strong>"
    return f'<strong><a href="{FEEDBACK}/{one.student.file}.html">{said}</a></strong>'


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
