"""A class set's sheet as a page: cut from the student's worksheet notebook, of which nothing runs.

The notebook lies where anybody can write. So its text is escaped, its pictures stand as images,
and of its code only the names of the questions are read, and the sheet of a check as a text.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from html import escape, unescape
from pathlib import Path
from typing import Any

import mistune

from enginemath.answers.by_hand.readings import Readings, readings_of
from enginemath.answers.own_readings.boxes import (
    ReadingBox,
    full_label_of,
    is_reading_box,
    spare_boxes,
)
from enginemath.answers.own_readings.judging import judge_own_paper
from enginemath.answers.own_readings.record import Record, record_of_text
from enginemath.answers.own_readings.taking import refusal_of
from enginemath.answers.paper import OnPaper, judge_paper
from enginemath.answers.verdict import unreadable
from enginemath.classroom.from_outside import clean, json_of, read_text
from enginemath.classroom.sets.notebook import METADATA
from enginemath.classroom.sets.questions import QUESTIONS
from enginemath.pages.steps import Box, Lesson, Step
from enginemath.pages.working import Judged, Shown, with_unit
from enginemath.sheets import parse
from enginemath.units import Refused

_LARGEST = 5_000_000
_MOST_FILES, _MOST_CELLS = 300, 200
_PICTURE = re.compile(r"!\[([^\]]*)\]\(attachment:([\w.-]+)\)")
_TABLE = re.compile(r"^\|.*(?:\n\|.*)*", re.MULTILINE)
_QUESTION = re.compile(r"(\w+) = ")
_OWN = "<!-- own readings -->"
_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:mm|in|mL|cc)\b)")
_READING = re.compile(r"^(read_\w{1,60}) = .*?# (mm|in|mL|cc)$", re.MULTILINE)
_BASE64 = re.compile(r"[A-Za-z0-9+/=\s]+")
_KINDS = ("image/svg+xml", "image/png")


@dataclass(frozen=True)
class ClassSheet(Lesson):
    """A student's sheet.

    Args:
        student: id of whom it was handed out to.
        mark: by which marking knows it again; answers are kept under it.
        shown: its pictures and readings, beside every step.
        checked: the build sheet and the target, where it came with hints; else None.
        bench: what is read of an engine in the bay, where it came with hints; else None.
    """

    student: str
    mark: str
    shown: tuple[Shown, ...]
    checked: tuple[str, float | None] | None
    bench: Record | None = None

    def board(self, texts: Mapping[str, str]) -> tuple[Shown, ...]:
        """What stays in sight at every question, with the readings that the student took.

        Args:
            texts: what stands in the boxes.
        """
        rows = [row for step in self.steps if (row := _own_row(step, texts))]
        if not rows:
            return self.shown
        table = f"<table><tr><th>your readings</th><th></th></tr>{''.join(rows)}</table>"
        first, *others = self.shown
        return (Shown("html", first.value.replace(_OWN, table, 1)), *others)

    @property
    def judges(self) -> bool:
        """Whether it came with hints: then answers get verdicts."""
        return self.checked is not None or self.bench is not None

    @cached_property
    def _readings(self) -> Readings | None:
        if self.checked is None:
            return None
        sheet, target = self.checked
        try:
            return readings_of(parse(sheet), target)
        except (ValueError, ArithmeticError):
            return None

    def judge(self, step: Step, texts: Mapping[str, str]) -> list[Judged]:
        """The verdicts on a step's boxes, where the sheet came with hints.

        Without them only a reading that cannot be read is told, while the student is at the bench.

        Args:
            texts: of all boxes of the sheet: what follows from an earlier answer is right.
        """
        if self.is_read(step):
            return _of_readings(step, texts)
        if not self.judges:
            return []
        units = {box.key: box.unit for each in self.steps for box in each.boxes}
        written = {key: with_unit(texts.get(key, ""), unit) for key, unit in units.items()}
        try:
            paper = self._paper(written)
        except (Refused, ArithmeticError, AssertionError):
            return []
        return [
            Judged.of(paper[box.key].verdict, (box.key,), QUESTIONS[box.name].words)
            for box in step.boxes
        ]

    def is_read(self, step: Step) -> bool:
        """Whether readings are written down in a step."""
        return any(is_reading_box(box.name) for box in step.boxes)

    def is_filled(self, step: Step, texts: Mapping[str, str]) -> bool:
        """Whether something stands in every box of a step; the last fill is to spare."""
        spare = spare_boxes([box.name for box in step.boxes])
        return all(texts[box.key].strip() for box in step.boxes if box.name not in spare)

    def _paper(self, written: Mapping[str, str]) -> Mapping[str, OnPaper]:
        if self.bench:
            answers = {name: text for name, text in written.items() if name in QUESTIONS}
            return judge_own_paper(self.bench, written, answers).steps
        if self._readings:
            return judge_paper(self._readings, written)
        raise Refused("nothing to judge by")


def _own_row(step: Step, texts: Mapping[str, str]) -> str:
    """What a student read in one step, as a row of a table; empty where nothing stands there."""
    said: list[str] = []
    for box in step.boxes:
        text = with_unit(texts.get(box.key, ""), box.unit).strip()
        if text and is_reading_box(box.name):
            if "_end_" in box.name and said:
                said[-1] += f" to {text}"
            else:
                said.append(text)
    if not said:
        return ""
    cells = full_label_of(step.boxes[0].name).partition(",")[0], "; ".join(said)
    return f"<tr>{''.join(f'<td>{_kept_together(escape(cell))}</td>' for cell in cells)}</tr>"


def _kept_together(text: str) -> str:
    """A text whose numbers stay with their units."""
    return _NUMBER_AND_UNIT.sub("\u00a0", text)


def _of_readings(step: Step, texts: Mapping[str, str]) -> list[Judged]:
    told = []
    for box in step.boxes:
        text = texts.get(box.key, "")
        why = text.strip() and refusal_of(ReadingBox(box.name, box.unit), text)
        if why:
            told.append(Judged.of(unreadable(why), (box.key,), full_label_of(box.name)))
    return told


def sheets_in(folder: Path | None, student: str = "") -> list[ClassSheet]:
    """The sheets in a work folder that are this student's.

    Args:
        student: id; empty for whoever works here without having said so.
    """
    if folder is None or not folder.is_dir():
        return []
    found: dict[str, ClassSheet] = {}
    for file in sorted(folder.glob("*.ipynb"))[:_MOST_FILES]:
        try:
            look = file.stat()
            sheet = _sheet_in(file, look.st_mtime_ns, look.st_size)
        except OSError:
            continue
        if sheet and (not student or sheet.student.casefold() == student.casefold()):
            found[sheet.name] = sheet
    return list(found.values())


@lru_cache(100)
def _sheet_in(file: Path, _time: int, _size: int) -> ClassSheet | None:
    try:
        return sheet_of(read_text(file, _LARGEST))
    except ValueError:
        return None


def sheet_of(text: str) -> ClassSheet | None:
    """The sheet in a notebook's text; None where it holds none."""
    if f'"{METADATA}"' not in text:
        return None
    try:
        content = json_of(text)
    except (ValueError, RecursionError):
        return None
    return _cut(content) if isinstance(content, dict) else None


def _cut(content: Mapping[str, Any]) -> ClassSheet | None:
    metadata = content.get("metadata")
    whose = metadata.get(METADATA) if isinstance(metadata, dict) else None
    cells = content.get("cells")
    if not isinstance(whose, dict) or not isinstance(cells, list):
        return None
    student, mark = whose.get("student"), whose.get("sheet")
    if not isinstance(student, str) or not isinstance(mark, str):
        return None
    if not re.fullmatch(r"[0-9a-f]{8,64}", mark):
        return None
    title, texts, checked, bench = "", list[str](), None, None
    asked: list[_Asked] = []
    images, tables = list[str](), list[str]()
    said = ""
    for cell in cells[:_MOST_CELLS]:
        if not isinstance(cell, dict):
            continue
        source = _source(cell)
        if cell.get("cell_type") == "markdown":
            images += _images(cell, source)
            said = _PICTURE.sub("", source).strip()
            if not title and said.startswith("# "):
                heading, _, said = said.partition("\n")
                title = _plain(heading.removeprefix("# "))
                tables += map(_html, _TABLE.findall(said))
                said = _TABLE.sub("", said).strip()
                texts.append(said)
            continue
        boxes = _boxes(source, {box.key for each in asked for box in each.boxes})
        if boxes:
            asked.append(_Asked(said, boxes))
        elif "check" in source:
            checked, bench = checked or _checked(source), bench or _bench(source)
    questions = sum(box.name in QUESTIONS for each in asked for box in each.boxes)
    if not questions:
        return None
    return ClassSheet(
        name=f"sheet-{mark}",
        number=0,
        title=title or "My sheet",
        about=f"Your own engine: {questions} questions. Your instructor marks them.",
        steps=_steps(title or "My sheet", texts, asked),
        student=clean(student, 100),
        mark=mark,
        shown=(Shown("html", _board(tables, images)),),
        checked=checked,
        bench=bench,
    )


@dataclass(frozen=True)
class _Asked:
    """What a cell asks for: what is said of it, and its boxes."""

    said: str
    boxes: list[Box]


def _boxes(source: str, taken: Collection[str]) -> list[Box]:
    """The boxes of a cell: one for an answer, one or more for readings; each stands once."""
    question = _QUESTION.match(source)
    if question and question[1] in QUESTIONS:
        found = [Box(question[1], question[1], unit=QUESTIONS[question[1]].unit)]
    else:
        readings = _READING.finditer(source[:20_000])
        found = [
            Box(each[1], each[1], unit=each[2]) for each in readings if is_reading_box(each[1])
        ]
    every = {box.key: box for box in found if box.key not in taken}
    return list(every.values())


def _steps(title: str, texts: list[str], asked: list[_Asked]) -> tuple[Step, ...]:
    steps = [Step(1, title, True, "", html="".join(map(_html, texts)))]
    for number, each in enumerate(asked, start=2):
        steps.append(Step(number, title, False, "", boxes=each.boxes, html=_html(each.said)))
    return tuple(steps)


def label_of_box(box: Box) -> str:
    """What a box of a sheet is for, in trade names."""
    return full_label_of(box.name)


def _source(cell: Mapping[str, Any]) -> str:
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    return source if isinstance(source, str) else ""


def _images(cell: Mapping[str, Any], source: str) -> list[str]:
    attached = cell.get("attachments")
    if not isinstance(attached, dict):
        return []
    found = []
    for says, name in _PICTURE.findall(source):
        forms = attached.get(name)
        forms = forms if isinstance(forms, dict) else {}
        for kind in _KINDS:
            data = forms.get(kind)
            if isinstance(data, str) and _BASE64.fullmatch(data):
                found.append(f'<img alt="{escape(says)}" src="data:{kind};base64,{data}">')
                break
    return found


def _board(tables: list[str], images: list[str]) -> str:
    """What stays in sight at every question: the readings, beside the pictures."""
    parts = (f"<div>{''.join(each)}</div>" for each in ([*tables, _OWN], images) if each)
    return f'<div class="readings">{"".join(parts)}</div>'


def _checked(source: str) -> tuple[str, float | None] | None:
    """The build sheet in a check, and its target, read as literals."""
    try:
        tree = ast.parse(source[:20_000])
    except (ValueError, SyntaxError, RecursionError, MemoryError):
        return None
    sheet, target = "", None
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
            names = [each.id for each in node.targets if isinstance(each, ast.Name)]
            if names == ["sheet"] and isinstance(node.value.value, str):
                sheet = node.value.value
        if isinstance(node, ast.keyword) and node.arg == "target":
            value = node.value.value if isinstance(node.value, ast.Constant) else None
            target = float(value) if isinstance(value, int | float) else None
    return (sheet, target) if sheet else None


def _bench(source: str) -> Record | None:
    """What is read of an engine in the bay, as a check holds it, read as a literal."""
    try:
        tree = ast.parse(source[:20_000])
        for node in ast.walk(tree):
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
                names = [each.id for each in node.targets if isinstance(each, ast.Name)]
                if names == ["bench"] and isinstance(node.value.value, str):
                    return record_of_text(node.value.value)
    except (ValueError, SyntaxError, RecursionError, MemoryError):
        pass
    return None


@cache
def _markdown() -> Any:
    return mistune.create_markdown(escape=True, plugins=["table"])


def _html(text: str) -> str:
    """A text of the notebook's; what looks like a tag is text."""
    return _kept_together(str(_markdown()(unescape(text))).strip())


def _plain(heading: str) -> str:
    """A heading without its mark-up: the page shows it as text."""
    return clean(unescape(re.sub(r"\\(.)", r"\1", heading)), 200)
