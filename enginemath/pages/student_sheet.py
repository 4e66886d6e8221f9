"""The student's sheet of a lesson: two sides of paper to guess, work and record on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from enginemath.pages import word_list
from enginemath.pages.steps import Lesson, Step, lesson_named, lesson_names
from enginemath.pages.text import as_html, reading_names, unbroken
from enginemath.pages.working import Shown, Working, labels
from enginemath.sheets.html_page import fill

BENCH, EXIT = "On the bench", "Exit ticket"
_NAME_OF_A_COLUMN = re.compile(r"(?<=[a-z])_(?=[a-z])")
_ELSEWHERE = "<p>What is worked out here stands on the page, and on the board.</p>"


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
        leads: it only leads to the task after it, and stands in one column with it.
    """

    title: str
    text: str
    given: tuple[str, ...] = ()
    blanks: tuple[Blank, ...] = ()
    leads: bool = False


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
    working, title = Working(), ""
    for step in lesson.steps:
        given = _given(working, step)
        if step.title in (BENCH, EXIT) or not (step.boxes or reading_names(step.whole_text)):
            continue
        heading, title = "" if step.title == title else step.title, step.title
        texts = [step.html or as_html(step.text), *(as_html(part.text) for part in step.parts)]
        heads = [heading, *(part.title for part in step.parts)]
        named = _labels(working, step)
        for part, (head, text) in enumerate(zip(heads, texts, strict=True)):
            boxes = [box for box in step.boxes if box.part == part]
            blanks = [Blank(named[box.key], box.unit) for box in boxes]
            laid_out = given.get(part, [])
            if not step.boxes:  # what is worked out there would tell a guess
                laid_out = [_ELSEWHERE] if part == min(given, default=-1) else []
            leads = part == 0 < len(step.parts) and not (
                laid_out or blanks or "data-reading" in text
            )
            yield Task(head, unbroken(text), tuple(laid_out), tuple(blanks), leads)


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
            if html.startswith(("<pre>", "<table>")) and before and before[-1].startswith("<svg"):
                before.pop()  # the table says it in numbers
            before.append(html)
    return given


def _as_html(shown: Shown) -> str:
    if shown.kind == "text":
        text = unbroken(escape(_NAME_OF_A_COLUMN.sub(" ", shown.value), quote=False))
        text = text.replace(" × ", "\u00a0×\u00a0")
        return _in_columns(text) or (f"<pre>{text}</pre>" if "  " in text else f"<p>{text}</p>")
    if shown.kind == "png":
        return f'<img alt="" src="data:image/png;base64,{shown.value}">'
    return shown.value + _in_words(shown.says)


def _in_words(says: str) -> str:
    """The numbers of a small picture; not of a tool that is to be read, nor of a chart."""
    if "to be read" in says or "\n" in says or not re.search(r"\d\.\d", says):
        return ""
    return f"<p>{unbroken(escape(says, quote=False))}</p>"


def _in_columns(text: str) -> str:
    """Lines in three columns or more as a table; empty where they are no table.

    >>> _in_columns("row  size  off\\n126   151    0")
    '<table><tr><th>row</th><th>size</th><th>off</th></tr><tr><td>126</td><td>151</td><td>0</td></tr></table>'
    """
    rows = [re.split(" {2,}", line.strip()) for line in text.splitlines()]
    if len(rows) < 2 or len(rows[0]) < 3 or len({len(row) for row in rows}) > 1:
        return ""
    kinds = ["td" if re.search(r"\d", "".join(rows[0])) else "th", *["td"] * (len(rows) - 1)]
    lines = [
        "".join(f"<{kind}>{cell}</{kind}>" for cell in row)
        for kind, row in zip(kinds, rows, strict=True)
    ]
    return f"<table>{''.join(f'<tr>{line}</tr>' for line in lines)}</table>"


def _labels(working: Working, step: Step) -> dict[str, str]:
    """What each box is called, as on the page."""
    named = {box.key: box.name.removeprefix("my_").replace("_", " ") for box in step.boxes}
    for cell in reversed(step.cells):
        if cell.kind == "check":
            ours = [box for box in step.boxes if box.part == cell.part]
            named |= labels(cell, ours, working.judge(cell, step.boxes, {}))
    return named
