"""The sample class in `instructor/` is marked as its README says."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import pytest

from enginemath.classroom.commands import mark

SAMPLE = Path(__file__).parents[2] / "instructor" / "sample-class"

SCORES = {
    "2101": ("7", ""),
    "2102": ("6", "gasket-uncompressed"),
    "2103": ("6", "forgot-plus-one"),
    "2104": ("6", "radius-for-diameter"),
    "2105": ("6", ""),
    "2106": ("6", ""),
    "2107": ("6", "gasket-uncompressed"),
    "2108": ("0", ""),
    "2109": ("", ""),
    "2110": ("", ""),
    "2111": ("7", ""),
    "2112": ("", ""),
    "2113": ("5", ""),
    "2114": ("", ""),
}


@pytest.fixture(scope="module")
def marks(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    out = tmp_path_factory.mktemp("marks")
    return str(mark(SAMPLE / "returned", out, key=SAMPLE / "set")), out


def test_the_gradebook(marks: tuple[str, Path]) -> None:
    text = (marks[1] / "gradebook.csv").read_text(encoding="utf-8-sig")
    table = list(csv.DictReader(StringIO(text, newline="")))
    assert {row["id"]: (row["score"], row["mistakes"]) for row in table} == SCORES
    rows = {row["id"]: row for row in table}
    assert rows["2104"]["displacement_verdict"] == "carried forward"
    assert rows["2104"]["compression_ratio_verdict"] == "carried forward"
    assert rows["2105"]["notes"].startswith("deck volume was written more than once")
    assert "maeve-quill-2109.ipynb: not a whole notebook" in rows["2109"]["notes"]
    assert "ask both" in rows["2112"]["notes"]


def test_the_faults(marks: tuple[str, Path]) -> None:
    assert marks[0].startswith("10 of 14 papers marked")
    for words in (
        "maeve-quill-2109.ipynb: not a whole notebook",
        "signed as Rafi Benali (2112): not marked, ask both",
        "teo.docx: neither a notebook nor a table of answers",
        "typed-answers.csv, row 3: id 2999: not on the roster",
    ):
        assert words in marks[0]


def test_the_class_page(marks: tuple[str, Path]) -> None:
    page = (marks[1] / "class.html").read_text(encoding="utf-8")
    again = page[page.index("Teach again") : page.index("<h2>Questions")]
    assert "2 of 10 used the gasket&#39;s free thickness" in again
    assert "Pavel Dorn (2108)" in page


def test_the_readme_names_everybody() -> None:
    readme = (SAMPLE / "README.md").read_text(encoding="utf-8")
    roster = (SAMPLE / "roster.csv").read_text(encoding="utf-8").splitlines()[1:]
    for name, *_ in csv.reader(roster):
        assert name in readme
