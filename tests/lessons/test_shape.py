"""The lessons' shape, and the silent traps of comparing notebooks closed."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import nbformat
import pytest
from nbformat import NotebookNode

ROOT = Path(__file__).parents[2]
LESSONS = sorted((ROOT / "lessons").glob("*.ipynb"))
SOLVED = sorted((ROOT / "instructor" / "solved").glob("*.ipynb"))
NAMES = [path.stem for path in LESSONS]
SECTIONS = [
    "Goal",
    "Safety",
    "Predict",
    "See",
    "Work it",
    "Your turn",
    "On the bench",
    "Exit ticket",
    "What we found",
]
MOST_LINES = 8

each_lesson = pytest.mark.parametrize("path", LESSONS, ids=NAMES)
each_notebook = pytest.mark.parametrize(
    "path", LESSONS + SOLVED, ids=lambda path: f"{path.parent.name}/{path.stem}"
)


def read(path: Path) -> NotebookNode:
    return nbformat.read(path, as_version=4)


def code_cells(path: Path) -> list[NotebookNode]:
    return [cell for cell in read(path).cells if cell.cell_type == "code"]


def text_of(path: Path) -> str:
    return "\n\n".join(cell.source for cell in read(path).cells if cell.cell_type == "markdown")


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "make_lessons", ROOT / "instructor" / "make_lessons.py"
    )
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_there_are_lessons() -> None:
    assert NAMES


def test_every_lesson_has_a_solved_source() -> None:
    assert [path.stem for path in SOLVED] == NAMES


@each_notebook
def test_every_code_cell_was_run_in_order(path: Path) -> None:
    """nbval compares nothing where the execution count is missing."""
    counts = [cell.execution_count for cell in code_cells(path)]
    assert counts == list(range(1, len(counts) + 1))


@each_notebook
def test_no_committed_output_is_an_error(path: Path) -> None:
    outputs = [output for cell in code_cells(path) for output in cell.outputs]
    assert not [output for output in outputs if output.output_type == "error"]
    assert not [output for output in outputs if output.get("name") == "stderr"]


@each_notebook
def test_nothing_escapes_the_comparison(path: Path) -> None:
    markers = r"NBVAL_(IGNORE_OUTPUT|SKIP|RAISES_EXCEPTION)|nbval-(ignore-output|skip)"
    for cell in code_cells(path):
        assert not re.search(markers, cell.source)
        assert not re.search(markers, " ".join(cell.metadata.get("tags", [])))


def test_numbers_are_never_sanitised_away() -> None:
    options = (ROOT / "pyproject.toml").read_text()
    assert "--nbval" in options
    assert "--nbval-lax" not in options
    assert "sanitize" not in options


@each_lesson
def test_the_sections_come_in_order(path: Path) -> None:
    headings = re.findall(r"^## (.+)$", text_of(path), re.MULTILINE)
    assert [heading for heading in headings if heading in SECTIONS] == [
        section for section in SECTIONS if section in headings
    ]
    missing = set(SECTIONS) - set(headings)
    assert missing <= {"Safety"}, missing


@each_lesson
def test_a_student_can_read_every_code_cell(path: Path) -> None:
    for cell in code_cells(path):
        lines = [line for line in cell.source.splitlines() if line.strip()]
        assert len(lines) <= MOST_LINES, cell.source


@each_lesson
def test_imports_stand_at_the_top_only(path: Path) -> None:
    first, *others = code_cells(path)
    assert re.search(r"^(from|import) ", first.source, re.MULTILINE)
    for cell in others:
        assert not re.search(r"^\s*(from \S+ import|import )", cell.source, re.MULTILINE)


@each_lesson
def test_one_panel_alone_in_its_cell(path: Path) -> None:
    panels = [
        cell
        for cell in code_cells(path)
        if any("panel:" in str(output.get("data", "")) for output in cell.outputs)
    ]
    assert len(panels) == 1
    assert len(panels[0].source.splitlines()) == 1


@each_notebook
def test_data_is_found_through_the_library(path: Path) -> None:
    assert "../" not in "".join(cell.source for cell in code_cells(path))


@pytest.mark.parametrize("path", SOLVED, ids=lambda path: path.stem)
def test_the_student_s_lesson_is_made_from_the_solved_one(path: Path, maker: ModuleType) -> None:
    assert not maker.out_of_date(path), "run python instructor/make_lessons.py"


@pytest.mark.parametrize("path", SOLVED, ids=lambda path: path.stem)
def test_no_solution_text_in_the_student_s_lesson(path: Path, maker: ModuleType) -> None:
    lesson = (ROOT / "lessons" / path.name).read_text()
    for cell in read(path).cells:
        if "instructor" in maker.tags(cell):
            for line in filter(None, map(str.strip, cell.source.splitlines())):
                assert len(line) < 25 or line not in lesson
        if "answer" in maker.tags(cell):
            assert cell.source not in lesson


def test_answers_are_blanked(maker: ModuleType) -> None:
    blanked = maker.without_answers('ratio = "9.83"  # two decimals\n# a note\nfuel = check(1)')
    assert blanked == 'ratio = ""  # two decimals\n# a note\nfuel = ""'
    with pytest.raises(ValueError, match="one-line assignments"):
        maker.without_answers("print(9.83)")


@each_notebook
def test_a_negative_number_with_its_unit_is_printed_with_a_minus_sign(path: Path) -> None:
    """A hyphen stays where a text is quoted, and where Python prints a bare number."""
    printed = "\n".join(
        str(output.get("text", "") or output.get("data", {}).get("text/plain", ""))
        for cell in code_cells(path)
        for output in cell.outputs
    )
    unit = r"(?:mm|cc|in|cu in|thou|%|kPa)\b|%"
    hyphens = rf'(?<![\w"])-[0-9][0-9.]*(?: ± [0-9.]+)? (?:{unit})|ratio(?: moves by)? +-[0-9]'
    assert re.findall(hyphens, printed) == []
