"""A student's notebook, cut into the steps of a lesson page.

What is for the notebook or for the page alone is marked as `instructor/make_lessons.py` says. A
text cell's ``picture`` says which picture of the panel goes with it; ``part`` makes it a part of
the step that is on, or, without a heading, more of the part before it. A code cell with the tag
``notebook`` is not on the page.
"""

from __future__ import annotations

import ast
import json
import re
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

from enginemath import panels
from enginemath.classroom.editions import edition_of
from enginemath.sheets.kit_data import kit_folder
from enginemath.units import Refused

OPENING = "from enginemath.lesson import *"
"""The line that opens the kit in a notebook; a page is open already."""
PREDICTED = "predict"
"""Under which the guess in words is kept; that of a panel is kept under the panel's name."""
_HEADING = re.compile(r"^#{1,3} +(.+)$", re.MULTILINE)
_EXAMPLE = re.compile(r"#\s*(.+)$")
_PREDICTED = re.compile(
    r"^\| you predicted \| it is \|\n\|[-|]+\|\n((?:\|.*\|\n?)+)\n*", re.MULTILINE
)


@dataclass(frozen=True)
class Box:
    """A box to answer in.

    Args:
        name: of the answer in the notebook.
        key: under which the answer is kept: no other box of the lesson has it.
        example: how an answer is written.
        unit: that stands behind the box; an answer typed without a unit is in it.
        part: of its step, counted from 1; 0 for the step itself.
        takes: the panel's setting that is the answer; empty where it is typed.
    """

    name: str
    key: str
    example: str = ""
    unit: str = ""
    part: int = 0
    takes: str = ""


@dataclass(frozen=True)
class Cell:
    """A piece of the kit's own working.

    Args:
        code: as it stands in the notebook.
        kind: ``panel``, ``check``, or ``working``.
        part: see `Box`.
    """

    code: str
    kind: str
    part: int = 0


@dataclass(frozen=True)
class Part:
    """A piece of a step that is opened by its title: one of them is open at a time.

    Args:
        title: its heading.
        text: in the notebook's own mark-up.
        picture: see `Step`.
    """

    title: str
    text: str
    picture: str = ""


@dataclass(frozen=True)
class Predicted:
    """What the guess in words was about, and what was found.

    Args:
        asked: in a few words.
        found: as it reads after "it is".
    """

    asked: str
    found: str


@dataclass
class Step:
    """One step of a lesson.

    Args:
        number: from 1.
        title: its heading, or that of the step that it goes on with.
        heading: whether the heading is its own.
        text: in the notebook's own mark-up, without the heading.
        cells: the working, in its order.
        boxes: to answer in.
    """

    number: int
    title: str
    heading: bool = False
    text: str = ""
    cells: list[Cell] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    predicts: bool = False
    """Whether a guess is to be written before the lesson goes on."""
    picture: str = ""
    """The panel's picture that is touched here; empty where none is spoken of."""
    html: str = ""
    """The text, where it is made already."""
    predicted: tuple[Predicted, ...] = ()
    """What its text lays beside the student's guess."""

    @property
    def has_panel(self) -> bool:
        """Whether the lesson's panel is first spoken of here."""
        return any(cell.kind == "panel" for cell in self.cells)

    @property
    def panel(self) -> str:
        """The name of its panel; empty for none."""
        calls = [cell.code.partition("(")[0] for cell in self.cells if cell.kind == "panel"]
        return calls[0] if calls else ""

    @property
    def guess(self) -> str:
        """Under which its guess is kept: the panel's name, or that it was written before one."""
        return self.panel or PREDICTED

    @property
    def whole_text(self) -> str:
        """The text with that of its parts."""
        return "\n\n".join([self.text, *(part.text for part in self.parts)])

    @property
    def records(self) -> bool:
        """Whether there is a table to be filled in on the bench."""
        return bool(re.search(r"^\|.*\|\s*\|", self.text, re.MULTILINE))


@dataclass(frozen=True)
class Lesson:
    """A lesson as a page shows it.

    Args:
        name: of its notebook, without ending.
        number: as its name begins.
        title: in its first line.
        about: its goal.
        edition: by which an older one is told from a newer; empty where it has none.
    """

    name: str
    number: int
    title: str
    about: str
    steps: tuple[Step, ...]
    edition: str = field(default="", kw_only=True)

    def step(self, number: Any) -> Step:
        """A step by its number.

        Raises:
            Refused: there is none.
        """
        if type(number) is int and 1 <= number <= len(self.steps):
            return self.steps[number - 1]
        raise Refused(f"step {number}: this lesson has steps 1 to {len(self.steps)}")


def lesson_names() -> list[str]:
    """The kit's lessons, in their order.

    >>> lesson_names()[7]
    '07-add-it-up'
    """
    return sorted(path.stem for path in kit_folder("lessons").glob("*.ipynb"))


@cache
def lesson_named(name: str) -> Lesson:
    """One of the kit's lessons.

    Raises:
        Refused: there is none of that name.

    >>> lesson_named("07-add-it-up").title
    'Add it up'
    """
    if name not in lesson_names():
        raise Refused(f'there is no lesson "{name}"; there are: {", ".join(lesson_names())}')
    return lesson_in(kit_folder("lessons") / f"{name}.ipynb")


def lesson_in(notebook: Path) -> Lesson:
    """The lesson in a student's notebook."""
    return lesson_of_text(notebook.read_text(encoding="utf-8"), notebook.stem)


def lesson_of_text(text: str, name: str) -> Lesson:
    """The lesson in a notebook's text.

    Args:
        text: of the kit's own making: its working is run.
        name: of the lesson.
    """
    cells = json.loads(text)["cells"]
    cut = _Cutter()
    for cell in cells:
        cut.add(cell["cell_type"], "".join(cell["source"]), cell["metadata"])
    first = cut.steps[0]
    number, _, title = first.title.partition(" · ")
    first.title = title
    goal = first.text.split("\n\n")[-1]
    about = " ".join(goal.split())
    for step in [step for step in cut.steps if step.title == "Predict"][-1:]:
        step.predicts = True
    steps = tuple(cut.steps)
    return Lesson(name, int(number), title, about, steps, edition=edition_of(text))


_NOTEBOOK = re.compile(r"<!-- notebook -->.*?<!-- end -->", re.DOTALL)
_PAGE = re.compile(r"<!-- page\n(.*?)-->", re.DOTALL)
_IN_CODE = re.compile(r"\s*In code[^.:]*:\s*$")


def for_page(source: str) -> str:
    """A text as the page shows it.

    >>> for_page("One.\\n<!-- notebook -->\\nRun it.\\n<!-- end -->\\n<!-- page\\nTwo.\\n-->")
    'One.\\n\\nTwo.'
    """
    text = _PAGE.sub(r"\1", _NOTEBOOK.sub("", source))
    return _IN_CODE.sub("", re.sub(r"\n{3,}", "\n\n", text)).strip()


def _without_predicted(text: str) -> tuple[str, tuple[Predicted, ...]]:
    """A text, and what the table in it says of the guess in words."""
    found = _PREDICTED.search(text)
    if not found:
        return text, ()
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in found[1].splitlines()]
    told = tuple(Predicted(asked, answer) for asked, answer in cells)
    return _PREDICTED.sub("", text, count=1).strip(), told


class _Cutter:
    """Takes cells one by one and puts them into steps."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self._keys: dict[str, int] = {}

    def add(self, kind: str, source: str, metadata: dict[str, Any]) -> None:
        tags = metadata.get("tags", [])
        if kind == "markdown":
            picture = metadata.get("picture", "")
            if metadata.get("part"):
                self._add_part(for_page(source), picture)
                return
            self._add_text(for_page(source))
            self.steps[-1].picture = picture or self.steps[-1].picture
        elif "notebook" in tags:
            pass
        elif source.strip() == OPENING:
            self._drop_what_speaks_of_it()
        elif "answer" in tags:
            self.steps[-1].boxes += self._boxes(source, metadata)
        else:
            self.steps[-1].cells.append(Cell(source, self._kind(source), self._part))

    @property
    def _part(self) -> int:
        return len(self.steps[-1].parts)

    def _add_part(self, source: str, picture: str) -> None:
        now, headings = self.steps[-1], _HEADING.findall(source)
        if headings:
            now.parts.append(Part(headings[0], _HEADING.sub("", source, count=1).strip(), picture))
        elif source:
            last = now.parts.pop()
            now.parts.append(replace(last, text=f"{last.text}\n\n{source}".strip()))

    def _add_text(self, source: str) -> None:
        if not source:
            return
        headings = _HEADING.findall(source)
        text = _HEADING.sub("", source, count=1).strip() if headings else source.strip()
        text, predicted = _without_predicted(text)
        now = self.steps[-1] if self.steps else None
        if now and not headings and not now.cells and not now.boxes and not now.records:
            now.text = f"{now.text}\n\n{text}".strip()
            return
        title = headings[0] if headings else now.title if now else ""
        if len(self.steps) > 1 and now and headings and not now.text and not now.cells:
            now.title, now.text, now.heading = title, text, True  # a heading over a heading
            return
        step = Step(len(self.steps) + 1, title, bool(headings), text, predicted=predicted)
        self.steps.append(step)

    def _drop_what_speaks_of_it(self) -> None:
        """The paragraph that says how the kit is opened in a notebook."""
        now = self.steps[-1]
        now.text = now.text.rpartition("\n\n")[0]

    def _boxes(self, source: str, metadata: dict[str, Any]) -> list[Box]:
        units, takes = metadata.get("units", {}), metadata.get("takes", {})
        found = []
        lines = source.splitlines()
        for node in ast.parse(source).body:
            assert isinstance(node, ast.Assign)
            (target,) = node.targets
            assert isinstance(target, ast.Name)
            again = self._keys[target.id] = self._keys.get(target.id, 0) + 1
            key = target.id if again == 1 else f"{target.id}-{again}"
            example = _EXAMPLE.search(lines[node.lineno - 1])
            told = example[1].removeprefix("like ").strip('"') if example else ""
            unit, taken = units.get(target.id, ""), takes.get(target.id, "")
            found.append(Box(target.id, key, told, unit, self._part, taken))
        return found

    def _kind(self, source: str) -> str:
        call = re.match(r"(\w+)\(.*\)$", source.strip())
        if call and call[1] in panels.__all__ and not call[1].endswith("_numbers"):
            return "panel"
        asked = any(box.part == self._part for box in self.steps[-1].boxes)
        return "check" if asked else "working"
