"""What students get: complete, offline, harmless, and with nothing to read an answer out of."""

from __future__ import annotations

import ast
import base64
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import nbformat
import pytest
from nbformat import v4

from enginemath.classroom.sets.figure import whole_px
from enginemath.classroom.sets.key import FILE, FOLDER, Entry
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import make_class_set
from enginemath.classroom.sets.roster import Student, roster_of
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.units import Refused
from tests.classroom.class_sets import SECRET, make, run_cells, with_hints
from tests.classroom.sets.test_roster import HOSTILE

levels = pytest.mark.parametrize("level", LEVELS)


def everything_in(folder: Path, entry: Entry) -> str:
    """All that a student can read: page, notebook, and the drawings inside it."""
    stem = folder / "students" / entry.student.file
    page = stem.with_name(f"{stem.name}.html").read_text(encoding="utf-8")
    content = json.loads(stem.with_name(f"{stem.name}.ipynb").read_text(encoding="utf-8"))
    drawings = [
        base64.b64decode(data).decode()
        for cell in content["cells"]
        for attached in cell.get("attachments", {}).values()
        for data in attached.values()
    ]
    return "\n".join([page, json.dumps(content, ensure_ascii=False), *drawings])


@pytest.mark.parametrize("hints", [False, True])
@levels
def test_no_answer_can_be_read_out_of_a_students_files(
    level: str, hints: bool, tmp_path: Path
) -> None:
    """No number in them is an answer to within the last digit asked for."""
    made = make(tmp_path, 5, level, hints=hints)
    for entry in made.key.entries:
        text = everything_in(tmp_path, entry)
        numbers = [float(found) for found in re.findall(r"\d+\.\d+", text)]
        assert len(numbers) > 20
        for question in entry.assignment.questions:
            right = abs(entry.assignment.right[question.name])
            for number in numbers:
                assert abs(number - right) > 10**-question.decimals, question.name
            assert question.written(right) not in text
            assert repr(right) not in text


def test_the_search_for_answers_can_fail(tmp_path: Path) -> None:
    made = make(tmp_path, 1, "dish")
    (entry,) = made.key.entries
    answers = (tmp_path / FOLDER / "answers.html").read_text(encoding="utf-8")
    for question in entry.assignment.questions:
        assert question.written(abs(entry.assignment.right[question.name])) in answers


@levels
def test_the_key_holds_no_answer_and_no_secret(level: str, tmp_path: Path) -> None:
    made = make(tmp_path, 3, level)
    key = (tmp_path / FOLDER / FILE).read_text(encoding="utf-8")
    assert SECRET not in key
    for entry, kept in zip(made.key.entries, json.loads(key)["students"], strict=True):
        numbers = {abs(float(found)) for found in re.findall(r"\d+\.\d+", json.dumps(kept))}
        for question in entry.assignment.questions:
            right = abs(entry.assignment.right[question.name])
            assert min(abs(number - right) for number in numbers) > 10**-question.decimals


def test_the_secret_is_in_no_students_file(tmp_path: Path) -> None:
    make_class_set([Student("7", "Ana Silva")], tmp_path, LEVELS["flat"])
    secret = (tmp_path / FOLDER / "class-secret.txt").read_text().strip()
    assert len(secret) > 20
    for file in (tmp_path / "students").iterdir():
        assert secret not in file.read_text(encoding="utf-8")


class Page(HTMLParser):
    """Tags, attributes that fetch something, and the text of a page."""

    def __init__(self, text: str):
        super().__init__()
        self.tags: list[str] = []
        self.fetched: list[str] = []
        self.text: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            assert not name.startswith("on")
            if name in ("src", "href", "xlink:href", "data", "action"):
                self.fetched.append(value or "")

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def test_hostile_names_do_no_harm(tmp_path: Path) -> None:
    students = roster_of("name,id\n" + HOSTILE)
    made = make_class_set(students, tmp_path, LEVELS["flat"], ClassSecret(SECRET))
    assert {file.parent.name for file in tmp_path.rglob("*.ipynb")} == {"students"}
    assert len(list(made.students.iterdir())) == 2 * len(students)
    for file in tmp_path.rglob("*.html"):
        page = Page(file.read_text(encoding="utf-8"))
        assert "script" not in page.tags
        assert page.fetched == []
    for entry in made.key.entries:
        stem = made.students / entry.student.file
        page = Page(stem.with_name(f"{stem.name}.html").read_text(encoding="utf-8"))
        assert entry.student.name in "".join(page.text)
        content = json.loads(stem.with_name(f"{stem.name}.ipynb").read_text(encoding="utf-8"))
        heading = "".join(content["cells"][0]["source"])
        assert "<script" not in heading
    table = (made.instructor / "typed-answers.csv").read_text(encoding="utf-8-sig")
    assert not re.search(r"(?m)(^|,)\"?[=+@]", table)


@levels
def test_pages_are_complete_and_offline(level: str, tmp_path: Path) -> None:
    made = make(tmp_path, 1, level)
    for file in tmp_path.rglob("*.html"):
        text = file.read_text(encoding="utf-8")
        addresses = set(re.findall(r"https?://[^\"' <)]+", text))
        assert addresses <= {"http://www.w3.org/2000/svg"}
        assert "default-src 'none'" in text
    (page,) = made.students.glob("*.html")
    text = page.read_text(encoding="utf-8")
    assert text.count("<svg") == (2 if level in ("dome", "cam") else 1)
    assert text.count('class="question"') == len(LEVELS[level].questions)
    assert "π/4 · bore² · stroke" in text
    assert "eye protection" in text
    ids = re.findall(r' id="([^"]+)"', text)
    assert len(ids) == len(set(ids))


@levels
def test_every_reading_is_on_the_page_and_in_the_notebook(level: str, tmp_path: Path) -> None:
    made = make(tmp_path, 2, level)

    def texts(value: object) -> list[str]:
        if isinstance(value, dict):
            return [text for each in value.values() for text in texts(each)]
        if isinstance(value, list):
            return [text for each in value for text in texts(each)]
        return [str(value)]

    for entry in made.key.entries:
        seen = everything_in(tmp_path, entry)
        for table in ("cylinder", "deck", "gasket", "piston", "chamber", "ring_land", "cam"):
            for reading in texts(entry.written.get(table, {})):
                assert seen.count(reading) >= 2, reading


@pytest.mark.parametrize("level", ["full", "plan", "cam"])
def test_notebooks_are_as_nbformat_writes_them(level: str, tmp_path: Path) -> None:
    make_cell = {"code": v4.new_code_cell, "markdown": v4.new_markdown_cell}
    for file in make(tmp_path, 2, level, hints=True).students.glob("*.ipynb"):
        content = nbformat.read(file, as_version=4)
        cells = []
        for number, cell in enumerate(content.cells):
            cells.append(make_cell[cell.cell_type](cell.source, id=f"cell-{number}"))
            if "attachments" in cell:
                cells[-1].attachments = cell.attachments
        made = v4.new_notebook(cells=cells, metadata=content.metadata)
        assert nbformat.reads(nbformat.writes(made), as_version=4) == content


@pytest.mark.parametrize("hints", [False, True])
def test_notebooks_are_valid_and_begin_blank(hints: bool, tmp_path: Path) -> None:
    made = make(tmp_path, 2, "plan", hints=hints)
    for file in made.students.glob("*.ipynb"):
        content = nbformat.read(file, as_version=4)
        nbformat.validate(content)
        sources = [cell.source for cell in content.cells if cell.cell_type == "code"]
        assert all(f'{question.name} = ""' in sources for question in made.key.level.questions)
        assert any("check_sheet(" in source for source in sources) == hints
        for source in sources:
            compile(source, "cell", "exec")


def test_the_cells_run_and_the_hints_hold_no_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, entry = with_hints(tmp_path, "plan")
    run_cells(file, {"swept_volume": "1.0 cc"})
    said = capsys.readouterr().out
    assert "swept volume: not yet" in said
    assert "compression ratio: nothing written yet" in said
    for question in entry.assignment.questions:
        assert entry.assignment.written(question.name) not in said


@levels
def test_the_check_cell_checks_every_question_and_asks_for_nothing_else(
    level: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Answers written as the notebook asks are right, all of them."""
    file, entry = with_hints(tmp_path, level)
    assert "a volume or a length with its unit" in file.read_text(encoding="utf-8")
    run_cells(
        file,
        {
            question.name: f"{entry.assignment.written(question.name)} {question.unit}".strip()
            for question in entry.assignment.questions
        },
    )
    said = capsys.readouterr().out.splitlines()
    assert said == [f"{question.words}: right" for question in entry.assignment.questions]


def test_a_new_notebook_imports_from_the_kit_alone(tmp_path: Path) -> None:
    for level in ("plan", "cam"):
        file, _ = with_hints(tmp_path / level, level)
        code = "".join(
            cell.source + "\n"
            for cell in nbformat.read(file, as_version=4).cells
            if cell.cell_type == "code"
        )
        modules = {
            node.module for node in ast.walk(ast.parse(code)) if isinstance(node, ast.ImportFrom)
        }
        assert modules == {"enginemath"}


def test_the_same_files_again(tmp_path: Path) -> None:
    make(tmp_path / "one", 3)
    make(tmp_path / "other", 3)
    make(tmp_path / "other", 3)
    for file in (tmp_path / "one").rglob("*"):
        if file.is_file():
            twin = tmp_path / "other" / file.relative_to(tmp_path / "one")
            assert file.read_bytes() == twin.read_bytes()


def test_a_late_student_changes_nobody_elses_sheet(tmp_path: Path) -> None:
    made = make(tmp_path, 3)
    before = {file: file.read_bytes() for file in made.students.iterdir()}
    make(tmp_path, 4)
    assert all(file.read_bytes() == content for file, content in before.items())
    assert len(list(made.students.iterdir())) == len(before) + 2


def test_a_sheet_that_was_filled_in_is_never_overwritten(tmp_path: Path) -> None:
    made = make(tmp_path, 3)
    file = sorted(made.students.glob("*.ipynb"))[1]
    file.write_text(file.read_text(encoding="utf-8").replace('""', '"1"'), encoding="utf-8")
    before = {each: each.read_bytes() for each in tmp_path.rglob("*") if each.is_file()}
    with pytest.raises(Refused, match="there already, and different"):
        make(tmp_path, 3)
    with pytest.raises(Refused, match="there already, and different"):
        make(tmp_path, 3, "flat")
    assert {each: each.read_bytes() for each in tmp_path.rglob("*") if each.is_file()} == before


def test_whole_px_leaves_words_alone() -> None:
    svg = '<g opacity="0.7"><path d="M1.26 -0.4L3.6 4"/><text x="1.2">12.50 mm</text></g>'
    assert whole_px(svg) == ('<g opacity="0.7"><path d="M1 0L4 4"/><text x="1">12.50 mm</text></g>')
