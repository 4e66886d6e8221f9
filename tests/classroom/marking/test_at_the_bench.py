"""A class that read the engine itself, marked: blunders at the bench apart from slips on paper."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.pages.lesson_book import Book
from tests.classroom.bay_sets import AtTheBench, hand_in_bay, make_bay
from tests.classroom.class_sets import SECRET
from tests.classroom.work_files import entries, put, work


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> ClassSet:
    return make_bay(tmp_path_factory.mktemp("bay"), 6)


@pytest.fixture
def back(tmp_path: Path) -> Path:
    folder = tmp_path / "back"
    folder.mkdir()
    return folder


def student(entry: Entry, seed: int = 1, **off: float) -> AtTheBench:
    assert entry.bay
    return AtTheBench(entry.bay.record, seed, off)


def forgot_plus_one(one: AtTheBench) -> dict[str, str]:
    return {"compression_ratio": f"{one.worked()['compression_ratio'] - 1:.3f}"}


def gradebook(out: Path) -> list[dict[str, str]]:
    text = (out / "gradebook.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline="")))


def marked(made: ClassSet, back: Path) -> tuple[list[dict[str, str]], Path]:
    out = back.parent / "marks"
    mark(back, out, SECRET, key=made.folder, book=Book())
    return gradebook(out), out


def page(out: Path, entry: Entry) -> str:
    return (out / "feedback" / f"{entry.student.file}.html").read_text(encoding="utf-8")


def test_blunder_and_slip_are_told_apart_on_every_page(
    made: ClassSet, back: Path, tmp_path: Path
) -> None:
    good, bench, paper, both, sloppy, _ = made.key.entries
    hand_in_bay(made, back, good, student(good).paper(good))
    hand_in_bay(made, back, bench, student(bench, chamber=3.0).paper(bench))
    hand_in_bay(made, back, paper, student(paper).paper(paper) | forgot_plus_one(student(paper)))
    own = student(both, bore=4.0)
    hand_in_bay(made, back, both, own.paper(both) | forgot_plus_one(own))
    spoilt = {"read_bore": "88,34 mm", "read_land_height": "", "read_gasket_bore": "89.90"}
    hand_in_bay(made, back, sloppy, student(sloppy).paper(sloppy) | spoilt)

    rows, out = marked(made, back)
    assert [row["read_again"] for row in rows] == ["", "chamber", "", "bore", "", ""]
    assert [row["mistakes"] for row in rows][:4] == ["", "", "forgot-plus-one", "forgot-plus-one"]
    assert [row["score"] for row in rows][:4] == ["8", "8", "7", "7"]
    assert rows[4]["readings_not_readable"] == "bore"
    assert rows[4]["readings_missing"] == "land height"
    assert rows[5]["notes"] == "nothing came back"
    assert rows[1]["engine"] == "Heron Four, cylinder 1"

    told = page(out, bench)
    assert "every step is right from your own readings" in told
    assert told.count("It rests on a reading to take again: chamber volume.") == 3
    assert "At the bench" not in page(out, paper).split("<h2>")[0]
    assert "two different things" in page(out, both)
    assert "decimal point" in page(out, sloppy)
    assert "Write the unit: mm was taken." in page(out, sloppy)
    for entry in made.key.entries[:5]:
        assert entry.bay
        text = page(out, entry)
        for what in ("bore", "chamber"):
            expected = entry.bay.record.expected[what]
            assert f"{expected.value:.3f}" not in text
    whole = (out / "class.html").read_text(encoding="utf-8")
    assert "At the bench 2 of 5 read something again; on paper 2 made a mistake" in whole
    again, teach = whole.split("On paper: teach again")
    assert f"{bench.student.name} ({bench.student.id})" in again
    assert f"{paper.student.name} ({paper.student.id})" not in again
    assert "divided the swept volume alone" in teach


def test_a_page_s_work_file_is_marked_from_its_own_readings(made: ClassSet, back: Path) -> None:
    entry = made.key.entries[0]
    paper = student(entry, chamber=3.0).paper(entry)
    bare = {name: text.split()[0] for name, text in paper.items() if text}
    sheet = {"reached": 9, "student": entry.student.id, "sheet": entry.tag,
             "answers": entries(bare, "unknown")}  # fmt: skip
    put(back, work(entry.student.id, entry.student.name, {}, {entry.tag: sheet}))
    (row, *_), out = marked(made, back)
    assert (row["score"], row["read_again"]) == ("8", "chamber")
    assert "was taken" not in page(out, entry)


def test_a_typed_table_is_marked_from_its_own_readings(made: ClassSet, back: Path) -> None:
    entry = made.key.entries[2]
    paper = student(entry, 4).paper(entry)
    names = [name for name in paper if paper[name]]
    cells = [entry.student.id, *(paper[name] for name in names)]
    text = f"id,{','.join(names)}\n{','.join(cells)}\n"
    (back / "typed-answers.csv").write_text(text, encoding="utf-8")
    rows, _ = marked(made, back)
    assert (rows[2]["score"], rows[2]["read_again"], rows[2]["readings_missing"]) == ("8", "", "")


def test_the_sheet_s_own_mark_outranks_a_copy(made: ClassSet, back: Path) -> None:
    """A fuller file that only says this student's id does not stand for the student's sheet."""
    entry = made.key.entries[1]
    paper = student(entry).paper(entry)
    few = {name: paper[name] for name in ("read_bore", "read_depth_at_bdc")}
    hand_in_bay(made, back, entry, few)
    lines = [f"student_id = {entry.student.id!r}", *(f"{n} = {t!r}" for n, t in paper.items())]
    cell = {"cell_type": "code", "metadata": {}, "outputs": [], "source": "\n".join(lines)}
    copied = json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})
    (back / "z.ipynb").write_text(copied, encoding="utf-8")
    rows, _ = marked(made, back)
    assert rows[1]["file"] == f"{entry.student.file}.ipynb"
    assert rows[1]["score"] == "0"
    assert "z.ipynb holds other answers and has no mark of the sheet" in rows[1]["notes"]


def test_code_in_a_reading_s_cell_is_told(made: ClassSet, back: Path) -> None:
    entry = made.key.entries[3]
    file = hand_in_bay(made, back, entry, student(entry).paper(entry))
    text = file.read_text(encoding="utf-8")
    start = text.index('read_bore = \\"')
    end = text.index("  # mm", start)
    file.write_text(text[:start] + "read_bore = 88 + 0.34" + text[end:], encoding="utf-8")
    rows, out = marked(made, back)
    assert rows[3]["readings_not_readable"] == "bore"
    assert "This is code" in page(out, entry)


def test_marking_again_gives_the_same(made: ClassSet, back: Path) -> None:
    for entry in made.key.entries[:2]:
        hand_in_bay(made, back, entry, student(entry, 2, bore=3.0).paper(entry))
    _, out = marked(made, back)
    before = {file: file.read_bytes() for file in out.rglob("*") if file.is_file()}
    marked(made, back)
    assert before == {file: file.read_bytes() for file in out.rglob("*") if file.is_file()}
