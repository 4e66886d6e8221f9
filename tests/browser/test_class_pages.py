"""The printed pages of a class in a real browser: they fit the paper, and fetch nothing."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.levels import LEVELS
from tests.classroom.class_sets import SECRET, hand_in, make

pytestmark = pytest.mark.browser

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


def opened(browser: Any, file: Path, width: int = 1000) -> tuple[Any, list[str], list[str]]:
    """A page, with what it asked for and what it complained about."""
    page = browser.new_page(viewport={"width": width, "height": 800})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(file.as_uri())
    return page, asked, said


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("level", LEVELS)
def test_a_worksheet_fits_its_paper(browser: Any, folder: Path, level: str, paper: str) -> None:
    for file in sorted((folder / level / "students").glob("*.html")):
        page, _, _ = opened(browser, file)
        pdf = page.pdf(format=paper, print_background=False)
        page.close()
        assert 1 <= sheets(pdf) <= MOST_SHEETS[level]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_summary_and_feedback_are_one_sheet_each(browser: Any, folder: Path, paper: str) -> None:
    files = [folder / level / "instructor" / "summary.html" for level in LEVELS]
    files += [next((folder / f"{level}-marks" / "feedback").iterdir()) for level in LEVELS]
    for file in files:
        page, _, _ = opened(browser, file)
        assert sheets(page.pdf(format=paper)) == 1, file
        page.close()


@pytest.mark.parametrize("width", [360, 1000])
def test_pages_stay_inside_the_window_and_fetch_nothing(
    browser: Any, folder: Path, width: int
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
            page, asked, said = opened(browser, file, width)
            wide = page.evaluate("document.documentElement.scrollWidth")
            page.close()
            assert wide <= width, file
            assert asked == [file.as_uri()]
            assert said == []


def test_labels_of_the_drawing_do_not_run_into_each_other(browser: Any, folder: Path) -> None:
    boxes = """() => [...document.querySelectorAll("svg text")].map(text => {
        const box = text.getBoundingClientRect();
        return [text.textContent, box.x, box.y, box.right, box.bottom];
    })"""
    for level in LEVELS:
        for file in (folder / level / "students").glob("*.html"):
            page, _, _ = opened(browser, file)
            found = page.evaluate(boxes)
            page.close()
            for place, (one, left, top, right, bottom) in enumerate(found):
                for other, x, y, end, foot in found[place + 1 :]:
                    across = min(right, end) - max(left, x)
                    down = min(bottom, foot) - max(top, y)
                    assert across <= 1 or down <= 0.4 * (bottom - top), (file, one, other)
