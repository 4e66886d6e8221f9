"""A notebook is cut into steps; nothing that only a notebook needs is on the page."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.steps import lesson_in, lesson_named, lesson_names
from enginemath.pages.text import as_html, reading_names
from enginemath.units import Refused

SOLVED = Path(__file__).parents[2] / "instructor" / "solved"
each_lesson = pytest.mark.parametrize("name", lesson_names())


def notebook(tmp_path: Path, *cells: tuple[str, str, list[str]]) -> Path:
    """A notebook of these cells: kind, source, tags."""
    file = tmp_path / "07-made-up.ipynb"
    written: list[dict[str, Any]] = [
        {"cell_type": kind, "source": source.splitlines(keepends=True), "metadata": {"tags": tags}}
        for kind, source, tags in cells
    ]
    file.write_text(json.dumps({"cells": written}), encoding="utf-8")
    return file


def test_a_lesson_is_named_by_its_first_line_and_told_by_its_goal(tmp_path: Path) -> None:
    lesson = lesson_in(
        notebook(tmp_path, ("markdown", "# 07 · Made up\n\n## Goal\n\nYou can.", []))
    )
    assert (lesson.name, lesson.number, lesson.title) == ("07-made-up", 7, "Made up")
    assert lesson.about == "You can."


def test_each_working_ends_a_step_and_each_heading_begins_one(tmp_path: Path) -> None:
    lesson = lesson_in(
        notebook(
            tmp_path,
            ("markdown", "# 07 · Made up\n\nGoal.", []),
            ("markdown", "## Work it\n\nFirst.", []),
            ("code", "print(1)", []),
            ("markdown", "Second.", []),
            ("markdown", "Still second.", []),
            ("code", "print(2)", []),
            ("markdown", "### More\n\nThird.", []),
        )
    )
    told = [(step.title, step.heading, step.text, len(step.cells)) for step in lesson.steps]
    assert told == [
        ("Made up", True, "Goal.", 0),
        ("Work it", True, "First.", 1),
        ("Work it", False, "Second.\n\nStill second.", 1),
        ("More", True, "Third.", 0),
    ]


def test_a_part_belongs_to_the_step_that_is_on(tmp_path: Path) -> None:
    file = notebook(
        tmp_path,
        ("markdown", "# 07 · Made up\n\nGoal.", []),
        ("markdown", "## Your turn\n\nBoth.", []),
        ("markdown", "### One\n\nThe first.", []),
        ("code", "print(1)", []),
        ("code", 'one = ""', ["answer"]),
        ("code", "check(a=one)", []),
        ("markdown", "### Two\n\nThe second.", []),
        ("markdown", "More of it.", []),
        ("code", "print(2)", []),
        ("code", 'two = ""', ["answer"]),
        ("code", "check(a=two)", []),
    )
    written = json.loads(file.read_text(encoding="utf-8"))
    for place in (2, 6, 7):
        written["cells"][place]["metadata"]["part"] = True
    file.write_text(json.dumps(written), encoding="utf-8")
    _, turn = lesson_in(file).steps
    assert (turn.title, turn.text) == ("Your turn", "Both.")
    told = [(part.title, part.text) for part in turn.parts]
    assert told == [("One", "The first."), ("Two", "The second.\n\nMore of it.")]
    assert [(box.key, box.part) for box in turn.boxes] == [("one", 1), ("two", 2)]
    kinds = [(cell.kind, cell.part) for cell in turn.cells]
    assert kinds == [("working", 1), ("check", 1), ("working", 2), ("check", 2)]


def test_what_opens_a_notebook_is_not_on_the_page(tmp_path: Path) -> None:
    lesson = lesson_in(
        notebook(
            tmp_path,
            ("markdown", "# 07 · Made up\n\nGoal.", []),
            ("markdown", "Press Shift and Enter.", []),
            ("code", "from enginemath.lesson import *", []),
            ("markdown", "<!-- notebook -->\nFor the notebook alone.\n<!-- end -->", []),
        )
    )
    assert [step.text for step in lesson.steps] == ["Goal."]
    assert lesson.steps[0].cells == []


def test_answers_become_boxes_with_names_of_their_own(tmp_path: Path) -> None:
    lesson = lesson_in(
        notebook(
            tmp_path,
            ("markdown", "# 07 · Made up", []),
            ("markdown", "## Your turn\n\nOne.", []),
            ("code", 'mine = ""  # like "12.34 cc"\nother = ""', ["answer"]),
            ("code", "check(heron, a=mine, b=other)", []),
            ("markdown", "Two.", []),
            ("code", 'mine = ""', ["answer"]),
            ("code", "check(heron, a=mine)", []),
        )
    )
    boxes = [[(box.name, box.key, box.example) for box in step.boxes] for step in lesson.steps]
    assert boxes == [
        [],
        [("mine", "mine", "12.34 cc"), ("other", "other", "")],
        [("mine", "mine-2", "")],
    ]
    assert [cell.kind for step in lesson.steps for cell in step.cells] == ["check", "check"]


@each_lesson
def test_every_lesson_has_its_panel_its_guess_and_its_boxes(name: str) -> None:
    lesson = lesson_named(name)
    panels = [step for step in lesson.steps if step.has_panel]
    predicts = [step for step in lesson.steps if step.predicts]
    assert len(panels) == 1
    assert len(predicts) == 1
    assert predicts[0].number < panels[0].number, "the guess comes first"
    keys = [box.key for step in lesson.steps for box in step.boxes]
    assert keys
    assert len(keys) == len(set(keys))
    assert lesson.steps[-1].title == "What we found"


@each_lesson
def test_no_answer_of_the_solved_notebook_is_in_what_a_page_is_made_from(name: str) -> None:
    solved = json.loads((SOLVED / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]
    secret = [
        "".join(cell["source"])
        for cell in solved
        if "instructor" in cell["metadata"].get("tags", [])
    ]
    lesson = lesson_named(name)
    told = "\n".join(step.text for step in lesson.steps)
    assert secret or name.startswith("00")
    assert not [text for text in secret if text in told]
    answers = {cell.code for step in lesson.steps for cell in step.cells}
    given = ["".join(c["source"]) for c in solved if "answer" in c["metadata"].get("tags", [])]
    assert not answers & set(given)


IN_A_NOTEBOOK = re.compile(r"\b(Shift|[Cc]ells?|[Kk]ernel|JupyterLab|Python|in quotes|In code)\b")


@each_lesson
def test_no_word_of_the_notebook_is_on_a_page(name: str) -> None:
    told = [(step.number, word) for step in lesson_named(name).steps
            for word in IN_A_NOTEBOOK.findall(step.text)]  # fmt: skip
    assert told == []


@each_lesson
def test_a_unit_stands_behind_a_box_where_the_answer_has_one(name: str) -> None:
    asked = {"00-start-here": 0, "07-add-it-up": 4, "04-cc-the-chamber": 4}
    units = [box.unit for step in lesson_named(name).steps for box in step.boxes if box.unit]
    assert len(units) == asked.get(name, len(units))
    assert set(units) <= {"cc", "mm", "in", "mL", "kPa", "%"}


def test_a_lesson_that_there_is_not() -> None:
    with pytest.raises(Refused, match="there is no lesson"):
        lesson_named("../../etc/passwd")


def test_a_step_that_there_is_not() -> None:
    lesson = lesson_named("07-add-it-up")
    for number in (0, -1, 99, True, "1", 1.0, None):
        with pytest.raises(Refused, match="has steps 1 to"):
            lesson.step(number)


class TestText:
    def test_a_formula_is_set_and_a_link_leads_to_a_page(self) -> None:
        html = as_html(r"See [05](05-gasket-and-deck.ipynb): $\frac{a}{b}$")
        assert 'href="#05-gasket-and-deck"' in html
        assert "<mfrac>" in html

    def test_a_link_elsewhere_stays(self) -> None:
        assert 'href="https://example.org/x.ipynb"' in as_html("[x](https://example.org/x.ipynb)")

    def test_empty_cells_are_named_by_row_and_column(self) -> None:
        table = "| reading | 1 | 2 |\n|---|---|---|\n| bore | | 3 mm |\n| bore | | |"
        assert reading_names(table) == ("bore, 1", "bore, 1, 2", "bore, 2")

    def test_a_full_table_has_no_place_to_write_in(self) -> None:
        assert reading_names("| a | b |\n|---|---|\n| 1 | 2 |") == ()

    @each_lesson
    def test_the_names_of_a_lesson_s_readings_are_its_own(self, name: str) -> None:
        for step in lesson_named(name).steps:
            names = reading_names(step.text)
            assert len(names) == len(set(names))


def test_what_is_set_in_the_drawing_is_an_answer(tmp_path: Path) -> None:
    file = notebook(
        tmp_path, ("markdown", "# 07 · Made up", []), ("code", 'my_gasket = ""', ["answer"])
    )
    cells = json.loads(file.read_text("utf-8"))
    cells["cells"][1]["metadata"]["takes"] = {"my_gasket": "gasket"}
    file.write_text(json.dumps(cells), encoding="utf-8")
    (box,) = lesson_in(file).steps[0].boxes
    assert (box.name, box.takes) == ("my_gasket", "gasket")
