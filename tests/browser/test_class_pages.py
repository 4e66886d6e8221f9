"""The printed pages of a class in a real browser: they fit the paper, and fetch nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.sets.levels import LEVELS
from enginemath.pages.steps import lesson_names
from enginemath.pages.student_sheet import student_sheet
from tests.classroom.bay_sets import AtTheBench, hand_in_bay, make_bay
from tests.classroom.class_sets import SECRET, hand_in, make

pytestmark = pytest.mark.browser

PAPERS = ("A4", "Letter")
MOST_SHEETS = {level: 3 if level == "plan" else 2 for level in LEVELS}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small set of every level, and the marks of one."""
    folder = tmp_path_factory.mktemp("class")
    for level in LEVELS:
        made = make(folder / level, 3, level)
        for entry in made.key.entries:
            wrong = {
                question.name: question.written(
                    next(iter(entry.assignment.tempting(question.name).values()))
                )
                for question in entry.assignment.questions
            }
            hand_in(made, folder / f"{level}-back", entry, wrong)
        mark(folder / f"{level}-back", folder / f"{level}-marks", SECRET, None, made.folder)
    return folder


class Reader:
    """One window in which a page after the other is opened, and what each asked for and said."""

    def __init__(self, browser: Any):
        self.page = browser.new_page()
        self.asked: list[str] = []
        self.said: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))

    def open(self, file: Path, width: int = 1000) -> Any:
        """Open a page, in a window of a width, and forget what the last one asked and said."""
        self.page.goto("about:blank")
        self.page.set_viewport_size({"width": width, "height": 800})
        self.asked.clear()
        self.said.clear()
        self.page.goto(file.as_uri())
        return self.page


@pytest.fixture(scope="module")
def reader(browser: Any) -> Iterator[Reader]:
    reader = Reader(browser)
    yield reader
    reader.page.close()


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("level", LEVELS)
def test_a_worksheet_fits_its_paper(reader: Reader, folder: Path, level: str) -> None:
    for file in sorted((folder / level / "students").glob("*.html")):
        page = reader.open(file)
        for paper in PAPERS:
            pdf = page.pdf(format=paper, print_background=False)
            assert 1 <= sheets(pdf) <= MOST_SHEETS[level], (file, paper)


def test_summary_and_feedback_are_one_sheet_each(reader: Reader, folder: Path) -> None:
    files = [folder / level / "instructor" / "summary.html" for level in LEVELS]
    files += [next((folder / f"{level}-marks" / "feedback").iterdir()) for level in LEVELS]
    for file in files:
        page = reader.open(file)
        for paper in PAPERS:
            assert sheets(page.pdf(format=paper)) == 1, (file, paper)


def test_a_sheet_about_the_bay_is_two_sheets_and_its_feedback_one(
    reader: Reader, tmp_path: Path
) -> None:
    """Readings on the first, questions on the second; no box or label runs over its edge."""
    made = make_bay(tmp_path / "set", 1, "heron-eight")
    (entry,) = made.key.entries
    assert entry.bay
    paper = AtTheBench(entry.bay.record, 1, {"chamber": 3.0}).paper(entry)
    hand_in_bay(made, tmp_path / "back", entry, paper)
    mark(tmp_path / "back", tmp_path / "marks", SECRET, None, made.folder)
    stem = entry.student.file
    files = {
        made.students / f"{stem}.html": 2,
        tmp_path / "marks" / "feedback" / f"{stem}.html": 1,
        tmp_path / "marks" / "class.html": 2,
        made.instructor / "summary.html": 1,
    }
    too_wide = """() => [...document.querySelectorAll(".ruled-box")].filter(
        box => box.scrollWidth > box.clientWidth || box.scrollHeight > box.clientHeight).length"""
    for file, most in files.items():
        for width in (360, 1000):
            page = reader.open(file, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, file
            assert page.evaluate(too_wide) == 0
        for paper_size in PAPERS:
            assert sheets(page.pdf(format=paper_size)) <= most, (file, paper_size)


@pytest.mark.parametrize("width", [360, 1000])
def test_pages_stay_inside_the_window_and_fetch_nothing(
    reader: Reader, folder: Path, width: int
) -> None:
    for level in ("dome", "plan"):
        files = [
            next((folder / level / "students").glob("*.html")),
            folder / level / "instructor" / "summary.html",
            folder / f"{level}-marks" / "class.html",
            next((folder / f"{level}-marks" / "feedback").iterdir()),
        ]
        if width > 400:
            files.append(folder / level / "instructor" / "answers.html")
        for file in files:
            page = reader.open(file, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, file
            assert reader.asked == [file.as_uri()]
            assert reader.said == []


def test_labels_of_the_drawing_do_not_run_into_each_other(reader: Reader, folder: Path) -> None:
    boxes = """() => [...document.querySelectorAll("svg text")].map(text => {
        const box = text.getBoundingClientRect();
        return [text.textContent, box.x, box.y, box.right, box.bottom];
    })"""
    for level in LEVELS:
        for file in (folder / level / "students").glob("*.html"):
            found = reader.open(file).evaluate(boxes)
            for place, (one, left, top, right, bottom) in enumerate(found):
                for other, x, y, end, foot in found[place + 1 :]:
                    across = min(right, end) - max(left, x)
                    down = min(bottom, foot) - max(top, y)
                    assert across <= 1 or down <= 0.4 * (bottom - top), (file, one, other)


@pytest.mark.parametrize("name", lesson_names())
def test_a_lesson_s_sheet_is_two_sides_of_paper(reader: Reader, tmp_path: Path, name: str) -> None:
    file = tmp_path / "sheet.html"
    file.write_text(student_sheet(name), encoding="utf-8")
    page = reader.open(file, 720)  # as wide as the printed part of A4
    assert page.evaluate("document.documentElement.scrollWidth") <= 720
    for paper in PAPERS:
        assert sheets(page.pdf(format=paper)) <= 2, paper
    assert reader.asked == [file.as_uri()]
    assert reader.said == []
