"""Files on people's disks, stored before the library moved into its rooms: they work as they did.

In `stored/` are two class sets made with `--hints` for three students (`cam`, `plan`: sheets,
notebooks, key and class secret), the notebooks as the students brought them back, and the marks
that they got. Of the answers none is one on which the doors disagreed then: each is right, a blank,
a line of code, a mistake, or what follows from one. The pictures are left out of most of these
files: nobody reads them back. These files are never made anew.
"""

from __future__ import annotations

import csv
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import nbformat
import pytest

import enginemath as em
from enginemath.cli import main

STORED = Path(__file__).with_name("stored")
LEVELS = ("cam", "plan")
SHEETS = ("each-cylinder", "every-table", "poured")
NAMES: dict[str, list[str]] = json.loads((STORED / "names.json").read_text(encoding="utf-8"))
BACK = sorted(STORED.glob("*/back/*.ipynb"))
HANDED_OUT = sorted(STORED.glob("*/students/*.ipynb"))

WORKED = {
    "cam": ["swept 735.93 cc", "crevice 0.74 cc", "drop 78.643 mm"],
    "plan": ["swept 248.06 cc", "crevice 0.27 cc"],
}
"""What the first student's own cell prints: a disc, a ring, and a rod that leans."""

of_every_level = pytest.mark.parametrize("level", LEVELS)
of_every_sheet = pytest.mark.parametrize("name", SHEETS)


def called(file: Path) -> str:
    return f"{file.parts[-3]}-{file.stem}"


def rows_of(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8-sig", newline="") as table:
        return list(csv.DictReader(table))


# What others import


@pytest.mark.parametrize("line", (STORED / "imports.txt").read_text(encoding="utf-8").splitlines())
def test_an_old_import_works(line: str) -> None:
    exec(line, {})


@pytest.mark.parametrize("module", NAMES)
def test_a_module_still_has_its_names(module: str) -> None:
    names: dict[str, object] = {}
    exec(f"from {module} import *", names)
    assert set(NAMES[module]) <= set(names)


def test_the_names_stored_are_those_that_were_there() -> None:
    assert {module: len(names) for module, names in NAMES.items()} == {
        "enginemath": 31,
        "enginemath.lesson": 153,
        "enginemath.panels": 24,
    }


# Worksheets handed out


def code_of(file: Path) -> list[str]:
    cells = nbformat.reads(file.read_text(encoding="utf-8"), 4).cells
    return [cell.source for cell in cells if cell.cell_type == "code"]


def run(file: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    """The lines that a notebook's cells print; an answer that is code and cannot run is a blank."""
    names: dict[str, object] = {}
    for source in code_of(file):
        try:
            exec(source, names)
        except NameError:
            name, equals, _ = source.partition(" = ")
            assert equals
            names[name] = ""
    return capsys.readouterr().out.splitlines()


def verdicts(file: Path, printed: list[str]) -> dict[str, str]:
    """What the check cell, the last that prints, says of each question that it checks."""
    (cell,) = [source for source in code_of(file) if "check(" in source]
    questions = re.findall(r"\b(\w+)=\1\b", cell)
    titles = [question.replace("_", " ") for question in questions]
    if "check_wanted_clearance(" in cell.partition("check(sheet")[2]:
        questions.append("wanted_clearance")
        titles.append("clearance volume")
    said = {}
    for question, title, line in zip(questions, titles, printed[-len(questions) :], strict=True):
        assert line.startswith(f"{title}: ")
        said[question] = line.partition(": ")[2]
    return said


@pytest.mark.parametrize("file", HANDED_OUT, ids=called)
def test_an_old_worksheets_cells_run(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = verdicts(file, run(file, capsys))
    assert len(said) >= 7
    for question, verdict in said.items():
        assert verdict, question
        assert not verdict.startswith("right"), question


@pytest.mark.parametrize("file", BACK, ids=called)
def test_an_old_check_cell_tells_right_from_wrong(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of two the doors told differently then, and of these nothing is asked here: a number without
    its unit, and one that follows from an earlier slip."""
    (row,) = [row for row in rows_of(file.parents[1] / "gradebook.csv") if row["file"] == file.name]
    answers = dict(re.findall(r'^(\w+) = "(.*)"$', "\n".join(code_of(file)), re.MULTILINE))
    for question, verdict in verdicts(file, run(file, capsys)).items():
        marks = row[f"{question}_verdict"]
        if marks == "carried forward":
            continue
        if marks != "right":
            assert not verdict.startswith("right"), question
        elif " " in answers[question] or question.endswith("ratio"):
            assert verdict.startswith("right"), question


@pytest.mark.parametrize("level", WORKED)
def test_a_students_own_work_comes_to_the_same(
    level: str, capsys: pytest.CaptureFixture[str]
) -> None:
    printed = run(STORED / level / "back" / "ana-silva-1041.ipynb", capsys)
    assert printed[: len(WORKED[level])] == WORKED[level]


# Keys and marks


def marked(level: str, folder: Path) -> list[dict[str, str]]:
    old = STORED / level
    assert main(["mark", str(old / "back"), "--out", str(folder), "--key", str(old)]) == 0
    return rows_of(folder / "gradebook.csv")


@pytest.fixture(autouse=True)
def _no_secret_of_ones_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ENGINEMATH_CLASS_SECRET", raising=False)


@of_every_level
def test_old_papers_get_the_marks_that_they_got(level: str, tmp_path: Path) -> None:
    stored = rows_of(STORED / level / "gradebook.csv")
    assert len(stored) == 3
    found = marked(level, tmp_path)
    for before, now in zip(stored, found, strict=True):
        for column, value in before.items():
            if column in ("id", "name", "period", "file"):
                assert now[column] == value
            elif column.endswith("_points") or column in ("score", "out_of", "percent"):
                assert float(now[column]) == float(value), (before["name"], column)


@of_every_level
def test_old_papers_show_the_mistakes_that_they_showed(level: str, tmp_path: Path) -> None:
    stored = rows_of(STORED / level / "gradebook.csv")
    found = marked(level, tmp_path)
    assert any(row["mistakes"] for row in stored)
    for before, now in zip(stored, found, strict=True):
        assert set(now["mistakes"].split()) == set(before["mistakes"].split()), before["name"]


@of_every_level
def test_the_secret_gives_every_student_the_engine_it_gave(level: str, tmp_path: Path) -> None:
    old = STORED / level
    secret = old / "instructor" / "class-secret.txt"
    roster = str(STORED / "roster.csv")
    words = ["class-set", roster, "--out", str(tmp_path), "--level", level, "--title", "Old doors"]
    assert main([*words, "--secret-file", str(secret)]) == 0
    stored, found = (
        json.loads((folder / "instructor" / "key.json").read_text(encoding="utf-8"))
        for folder in (old, tmp_path)
    )
    for field in ("format", "title", "level", "secret", "students"):
        assert found[field] == stored[field]
    assert {file.name for file in (tmp_path / "students").iterdir()} >= {
        file.name for file in (old / "students").iterdir()
    }


# Sheets


@of_every_sheet
def test_an_old_sheet_reads_back_equal(name: str, tmp_path: Path) -> None:
    file = STORED / f"{name}.toml"
    written: dict[str, Any] = tomllib.loads(file.read_text(encoding="utf-8"))
    sheet = em.read_sheet(file)
    assert sheet.written == written
    em.write_sheet(sheet, tmp_path / "again.toml")
    assert em.read_sheet(tmp_path / "again.toml") == sheet
    assert tomllib.loads((tmp_path / "again.toml").read_text(encoding="utf-8")) == written


@of_every_sheet
def test_an_old_sheets_engine_is_written_down_as_it_was(name: str) -> None:
    (stored,) = [
        each
        for each in json.loads((STORED / "written-down.json").read_text(encoding="utf-8"))
        if each["sheet"] == name
    ]
    assert em.sheet_of(em.read_sheet(STORED / f"{name}.toml").engine).written == stored["written"]


def test_the_old_sheets_together_hold_every_field() -> None:
    """Of format 1, as it was then."""
    held: set[str] = set()
    for name in SHEETS:
        for table, fields in em.read_sheet(STORED / f"{name}.toml").written.items():
            held |= {f"{table}.{field}" for field in fields} if isinstance(fields, dict) else set()
    assert held == {
        *("cylinder.count", "cylinder.bore", "cylinder.stroke", "cylinder.rod_length"),
        *("cylinder.pin_offset", "chamber.volume", "chamber.volumes", "chamber.fills"),
        *("gasket.bore", "gasket.compressed_thickness", "gasket.free_thickness", "gasket.volume"),
        *("deck.clearance", "deck.clearances", "deck.depth_at_bdc"),
        *("piston.dish", "piston.dome", "piston.reliefs", "piston.known_depth"),
        *("ring_land.height", "ring_land.clearance", "cam.intake_closes", "site.altitude"),
        "fuel.antiknock_index",
    }


def test_old_options_are_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Their plans are in `commands.json`."""
    for name in ("options", "options-open-area"):
        sheet, options = STORED / "every-table.toml", STORED / f"{name}.toml"
        assert main(["plan", str(sheet), str(options), "--top", "1", "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["tried"] > 1
