"""The map, the hand-in, readings, what is printed: axe finds nothing, at 200 % nothing is lost."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.session import Desk, Session
from enginemath.pages.steps import lesson_named, lesson_names
from enginemath.pages.student_sheet import student_sheet
from enginemath.pages.word_list import word_list
from tests.classroom.work_files import RIGHT, lesson, work
from tests.pages.test_newer_lesson import NAME

from .axe import findings
from .test_fits import SCHOOL, SCRIPT, ZOOMED, _serve

pytestmark = pytest.mark.browser


@pytest.fixture
def page(browser: Any, tmp_path: Path) -> Iterator[Any]:
    """The map of a student who has done one lesson, begun another, and measures an engine."""
    done, begun = (lesson(RIGHT, reached=each) for each in (len(lesson_named(NAME).steps), 2))
    text = json.dumps(work("T-1", "Made Up", {NAME: done, "02-two-volumes-one-ratio": begun}))
    (tmp_path / "my-work-T-1.json").write_text(text, encoding="utf-8")
    session = Session(Desk(tmp_path))
    session.answer({"do": "map", "student": "T-1"})
    session.answer({"do": "new engine", "name": "bay 3", "cylinders": 4, "banks": "", "unit": "mm"})
    width, height, _ = SCHOOL
    context = browser.new_context(
        viewport={"width": width, "height": height}, reduced_motion="reduce"
    )
    page = context.new_page()
    page.set_default_timeout(15_000)
    page.expose_function("toPython", session.take)
    page.add_init_script(path=SCRIPT)
    page.route("**/*", _serve)
    page.goto("http://kit.test/")
    page.locator(".map li.done").wait_for()
    yield page
    context.close()


def reads(page: Any) -> None:
    """axe finds nothing as the page stands, and at 200 % nothing is cut off."""
    assert findings(page) == []
    page.set_viewport_size(ZOOMED)
    cut = page.evaluate("cutOff()")
    assert not cut, "\n".join(cut)
    width, height, _ = SCHOOL
    page.set_viewport_size({"width": width, "height": height})


def test_the_map_and_the_hand_in(page: Any) -> None:
    assert page.locator(".map li.next", has_text="Two volumes").is_visible()
    reads(page)
    page.locator(".go").evaluate("link => { link.textContent = ''; }")
    assert "link-name" in findings(page)[0], "what axe would say of a link without a word"
    page.get_by_role("button", name="not you?").click()
    page.locator(".go").evaluate("link => { link.textContent = 'Go on'; }")
    for summary in page.locator(".own-engines summary").all():
        summary.click()
    reads(page)
    page.get_by_role("button", name="hand in").click()
    page.get_by_label("name", exact=True).last.fill("")
    page.get_by_role("button", name="Save the file").click()
    page.get_by_text("Write your name and your id first.").wait_for()
    reads(page)


def test_an_engine_s_readings_one_by_one_and_all(page: Any) -> None:
    page.locator(".own-engines .engine a").click()
    entry = page.locator("#entry")
    for text, told in (("bananas", "not a reading"), ("5.3", "did you mean")):
        entry.fill(text)
        entry.press("Enter")
        page.locator(".said-so", has_text=told).wait_for()
        reads(page)
    page.locator("#out").click()
    reads(page)
    page.locator("#all").click()
    page.locator(".all table").wait_for()
    reads(page)


def test_the_word_list_and_the_sheets(page: Any) -> None:
    for printed in (word_list(), *map(student_sheet, lesson_names()[::4])):
        page.set_content(printed)
        reads(page)
