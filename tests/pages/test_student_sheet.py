"""The student's sheets to print: what is on them, and what is not."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from enginemath.pages.steps import lesson_named, lesson_names
from enginemath.pages.student_sheet import student_sheet
from enginemath.pages.text import as_html, reading_names, unbroken
from enginemath.units import Refused

sheet_of = cache(student_sheet)
SOLVED = Path(__file__).parents[2] / "instructor" / "solved"
PYTHON = re.compile(r"[a-z]+\(|[a-z]_[a-z]|Traceback|lambda| = [\"']")


def words_of(page: str) -> str:
    """What stands on the paper, without tags, pictures and styles."""
    page = re.sub(r"<(style|svg|math).*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"<[^>]+>", " ", page)


def answers(name: str) -> dict[str, str]:
    """The solved lesson's answers that are numbers worked out, by the boxes' names."""
    cells = json.loads((SOLVED / f"{name}.ipynb").read_text("utf-8"))["cells"]
    written = "\n".join(
        "".join(cell["source"]) for cell in cells if "answer" in cell["metadata"].get("tags", [])
    )
    return dict(re.findall(r'^(\w+) = "(\d+\.\d\d+ (?:cc|mm|in))"', written, re.MULTILINE))


@pytest.mark.parametrize("name", lesson_names())
def test_a_sheet_has_all_that_is_written_and_no_python_word(name: str) -> None:
    page = sheet_of(name)
    lesson = lesson_named(name)
    assert page.count('class="blank"') == sum(len(step.boxes) for step in lesson.steps)
    bench = next(step for step in lesson.steps if step.title == "On the bench")
    for place in reading_names(bench.whole_text):
        assert f'data-reading="{place}"' in page
    assert page.count("<li>") >= 3, "three questions to leave with"
    assert PYTHON.findall(words_of(page)) == []


def test_no_answer_stands_before_its_box() -> None:
    """What comes after may lay out what was worked out before it, as the lesson does."""
    looked = 0
    for name in lesson_names():
        before, told = "", answers(name)
        boxes = [box.name for step in lesson_named(name).steps for box in step.boxes]
        for box, piece in zip(boxes, sheet_of(name).split('class="blank"'), strict=False):
            before += words_of(piece).replace("\u00a0", " ")
            assert box not in told or told[box] not in before, (name, box)
        looked += len(told)
    assert looked >= 10


@pytest.mark.parametrize("name", lesson_names())
def test_no_number_stands_apart_from_its_unit_or_its_doubt(name: str) -> None:
    words = words_of(sheet_of(name))
    assert not re.search(r"\d (?!cc the chamber)(mm|cc|mL|in|kPa)\b", words)
    assert not re.search(r" ±|± ", words)


def test_a_tag_is_left_as_it_is() -> None:
    assert unbroken('<a title="5 mm">5 mm</a>') == '<a title="5 mm">5\u00a0mm</a>'
    assert unbroken(as_html("5 minutes, 3 in a row")) == "<p>5\u00a0minutes, 3\u00a0in a row</p>"


def test_a_lesson_that_is_not_there_is_refused() -> None:
    with pytest.raises(Refused, match="there is no lesson"):
        student_sheet("12-none")


def test_the_numbers_of_a_small_picture_are_told_in_words_and_its_lists_are_tables() -> None:
    told = words_of(sheet_of("05-gasket-and-deck")).replace("\u00a0", " ")
    for reading in ("gasket bore 89.90 mm", "compressed thickness 1.33 mm", "0.40 mm at the other"):
        assert reading in told
    assert "Thimble: line 38" not in sheet_of("03-reading-the-tools").split("</svg>")[1]
    assert "<tr><td>126</td><td>4</td><td>3.94</td>" in sheet_of("01-bore-and-stroke")


def test_a_heading_stays_with_the_task_that_it_leads_to() -> None:
    assert '<section class="leads">\n<h2>Your turn</h2>' in student_sheet("06-dish-and-dome")
    assert (
        '<section class="leads">' not in student_sheet("05-gasket-and-deck").split("Your turn")[1]
    )
