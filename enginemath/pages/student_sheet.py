"""The student's sheet of a lesson: two sides of paper to guess, work and record on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import escape
from typing import Any

from enginemath.pages import word_list
from enginemath.pages.judged_lessons import asks
from enginemath.pages.steps import Box, Lesson, Step, lesson_named, lesson_names
from enginemath.pages.text import as_html, reading_names, unbroken
from enginemath.pages.working import Shown, Working
from enginemath.sheets.html_page import fill

BENCH, EXIT = "On the bench", "Exit ticket"
_NAME_OF_A_COLUMN = re.compile(r"(?<=[a-z])_(?=[a-z])")


@dataclass(frozen=True)
class Blank:
    """An answer to write by hand.

    Args:
        label: the quantity's trade name.
        unit: that is printed after the line; empty where the student writes it.
    """

    label: str
    unit: str


@dataclass(frozen=True)
class Task:
    """A step that is done with a pen.

    Args:
        title: its heading.
        text: as HTML.
        given: what it shows to work with, as HTML.
        blanks: to write in.
    """

    title: str
    text: str
    given: tuple[str, ...] = ()
    blanks: tuple[Blank, ...] = ()


def student_sheet(name: str) -> str:
    """The sheet of a lesson as a page to print, on Letter or A4.

    One side holds the guess and the working, the other the record of the bench and the exit ticket.
    Nothing on it is an answer.

    Args:
        name: of the lesson: ``"04-cc-the-chamber"``.

    Returns:
        An HTML page that needs nothing else.

    Raises:
        Refused: the kit has no lesson of that name.

    >>> page = student_sheet("07-add-it-up")
    >>> "compression ratio" in page, "name" in page, "<script" in page
    (True, True, False)
    """
    lesson = lesson_named(name)
    bench = [step for step in lesson.steps if step.title == BENCH]
    leaving = [step for step in lesson.steps if step.title == EXIT]
    return fill(
        "pages/student_sheet.html",
        number=f"{lesson.number:02d}",
        title=lesson.title,
        about=unbroken(as_html(lesson.about)),
        guess=[_text(step) for step in _guessed(lesson)],
        tasks=list(_tasks(lesson)),
        bench=[_text(step) for step in bench],
        questions=[question for step in leaving for question in questions_in(step.text)],
    )


def papers() -> dict[str, str]:
    """All that is printed: the sheets by their lessons' names, and the word list."""
    return {
        **{name: student_sheet(name) for name in lesson_names()},
        word_list.NAME: paper("words"),
    }


def paper(name: str) -> str:
    """One thing to print: a lesson's sheet, or the word list.

    Raises:
        Refused: nothing has that name.
    """
    return word_list.word_list() if name == word_list.NAME else student_sheet(name)


def questions_in(text: str) -> list[str]:
    """The numbered questions of a text, each as HTML.

    >>> questions_in("1. Why?\\n2. How\\n   much?")
    ['Why?', 'How much?']
    """
    found = re.findall(r"^\d+\. (.*(?:\n(?!\d+\. |\n).*)*)", text, re.MULTILINE)
    paragraphs = [as_html(" ".join(each.split())) for each in found]
    return [unbroken(each.removeprefix("<p>").removesuffix("</p>")) for each in paragraphs]


def _text(step: Step) -> str:
    """A step's text with all of its parts, which lie open on paper."""
    whole = step.html or as_html(step.text)
    for part in step.parts:
        whole += f"<h3>{escape(part.title)}</h3>{as_html(part.text)}"
    return unbroken(whole)


def _guessed(lesson: Lesson) -> list[Step]:
    return [step for step in lesson.steps if step.title == "Predict"]


def _tasks(lesson: Lesson) -> Iterator[Task]:
    """The steps with boxes or with places to write in, up to the bench, part by part."""
    working, labels, title = Working(), _labels(lesson.name), ""
    for step in lesson.steps:
        given = _given(working, step)
        if step.title in (BENCH, EXIT) or not (step.boxes or reading_names(step.whole_text)):
            continue
        heading, title = "" if step.title == title else step.title, step.title
        texts = [step.html or as_html(step.text), *(as_html(part.text) for part in step.parts)]
        heads = [heading, *(part.title for part in step.parts)]
        for part, (head, text) in enumerate(zip(heads, texts, strict=True)):
            boxes = [box for box in step.boxes if box.part == part]
            blanks = [Blank(labels.get(box.key, _plain(box)), box.unit) for box in boxes]
            laid_out = given.get(part, []) if step.boxes else []
            yield Task(head, unbroken(text), tuple(laid_out), tuple(blanks))


def _given(working: Working, step: Step) -> dict[int, list[str]]:
    """What a step lays out to work with, by its parts; what needs an answer first is left out."""
    given: dict[int, list[str]] = {}
    for box in step.boxes:
        working.names[box.name] = ""
    for cell in step.cells:
        if cell.kind == "check":
            continue
        try:
            shown, _ = working.run(cell)
        except Exception:
            continue
        before = given.setdefault(cell.part, [])
        for html in map(_as_html, shown):
            if html.startswith("<pre>") and before and before[-1].startswith("<svg"):
                before.pop()  # the table says it in numbers
            before.append(html)
    return given


def _as_html(shown: Shown) -> str:
    if shown.kind == "text":
        tag = "pre" if "  " in shown.value else "p"
        text = _NAME_OF_A_COLUMN.sub(" ", shown.value)
        return f"<{tag}>{unbroken(escape(text, quote=False))}</{tag}>"
    if shown.kind == "png":
        return f'<img alt="" src="data:image/png;base64,{shown.value}">'
    return shown.value


@cache
def _labels(name: str) -> dict[str, str]:
    """What each box is called."""
    asked: Any = asks(name)
    return {each.boxes[-1]: each.label for each in asked.asked if len(each.boxes) == 1}


def _plain(box: Box) -> str:
    return box.name.removeprefix("my_").replace("_", " ")
