"""Every lesson in JupyterLab in a real browser: run all, move a slider by keyboard, look."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from enginemath.engine.stack import stack_of
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Quantity, show_ratio

from .conftest import LESSONS, stop_kernels

pytestmark = pytest.mark.browser
LISTED = ".jp-DirListing-item"
STEP = Quantity(0.1, "cc")
"""Of the slider of a chamber."""
NAMES = sorted(file.stem for file in LESSONS.glob("*.ipynb"))
SCREENSHOTS = os.environ.get("ENGINEMATH_SCREENSHOTS")


class Visit:
    """A page that remembers what went wrong on it and whom it asked."""

    def __init__(self, browser: Any, address: str, shows: str = ".jp-Notebook .jp-Cell"):
        self.page = browser.new_page(viewport={"width": 1280, "height": 1000})
        self.page.set_default_timeout(20_000)
        self.errors: list[str] = []
        self.hosts: set[str] = set()
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("request", lambda request: self.hosts.add(urlsplit(request.url).hostname))
        self.page.goto(address)
        self.page.wait_for_selector(shows, timeout=60_000)

    def _heard(self, message: Any) -> None:
        if message.type == "error":
            self.errors.append(message.text)

    def run_all(self) -> None:
        """Run every cell through the menu, as a student does, and wait until all are done."""
        self.page.get_by_text("| Idle").first.wait_for(timeout=60_000)
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.locator("#jp-mainmenu-run").get_by_text("Run All Cells", exact=True).click()
        self.page.wait_for_function(
            """() => {
                const prompts = [...document.querySelectorAll(
                    '.jp-CodeCell .jp-InputArea-prompt')].map(p => p.textContent.trim());
                return prompts.length && prompts.every(text => /\\[\\d+\\]/.test(text));
            }""",
            timeout=120_000,
        )


@pytest.fixture(scope="module")
def labs() -> Iterator[list[Visit]]:
    """JupyterLab left open from lesson to lesson, as a student leaves it; empty at first."""
    visits: list[Visit] = []
    yield visits
    for visit in visits:
        visit.page.close()


@pytest.fixture
def lesson(
    browser: Any, lab: str, labs: list[Visit], request: pytest.FixtureRequest
) -> Iterator[Visit]:
    """A lesson opened from the list of files; after one that failed, JupyterLab is loaded anew."""
    visit = labs.pop() if labs else Visit(browser, f"{lab}/lab/tree/lessons?reset", LISTED)
    failed = request.session.testsfailed
    visit.page.locator(LISTED, has_text=f"{request.param}.ipynb").dblclick()
    visit.page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
    yield visit
    if request.session.testsfailed == failed:
        close_notebook(visit)
        labs.append(visit)
    else:
        visit.page.close()
    stop_kernels(lab)


def close_notebook(visit: Visit) -> None:
    """Close the lesson and end its kernel; the page keeps nothing of it."""
    page = visit.page
    page.keyboard.press("Control+Shift+Q")
    page.get_by_role("dialog").get_by_role("button", name="Ok").click()
    page.locator(".jp-Notebook").wait_for(state="detached")
    page.get_by_text("| Idle").wait_for(state="hidden")
    visit.errors.clear()


@pytest.mark.parametrize("lesson", NAMES, indirect=True, ids=NAMES)
def test_lesson(lesson: Visit, request: pytest.FixtureRequest) -> None:
    name = request.node.callspec.id
    lesson.run_all()
    panel = lesson.page.locator(".em-panel").first
    panel.wait_for(timeout=30_000)
    panel.scroll_into_view_if_needed()
    give_a_guess(panel)
    if name == "00-start-here":
        status_bar_tells_what_the_kernel_does(lesson.page)
    if name == "07-add-it-up":
        drawing_shows_the_librarys_ratio(panel)
    handles = panel.locator(".noUi-handle:visible")
    if handles.count():
        moved_by_keyboard(panel, handles.first)
    if SCREENSHOTS:
        panel.screenshot(path=Path(SCREENSHOTS) / f"{name}.png")
    assert lesson.page.locator('.jp-OutputArea-output[data-mime-type*="stderr"]').count() == 0
    assert lesson.errors == []
    assert lesson.hosts <= {"127.0.0.1"}


def drawing_shows_the_librarys_ratio(panel: Any) -> None:
    """After one press of a key, and after nine more."""
    from playwright.sync_api import expect

    stack = stack_of(read_sheet(path("heron-four.toml")).engine)
    chamber = panel.locator(".em-control", has_text="chamber").first
    box, title = chamber.locator("input"), panel.locator("svg > title").first
    volume = Quantity(float(box.input_value().removesuffix(" cc")), "cc")
    for presses in (1, 9):
        volume += presses * STEP
        for _ in range(presses):
            chamber.locator(".noUi-handle").press("ArrowRight")
        expect(box).to_have_value(f"{volume.m:.2f} cc", timeout=10_000)
        ratio = show_ratio(stack.with_part("chamber", volume).ratio.nominal_value)
        expect(title).to_contain_text(f"Compression ratio {ratio}", timeout=10_000)
        assert ratio in panel.locator("svg").first.text_content().split("ratio", 1)[1]
    assert volume.m > stack.chamber.m.nominal_value


def status_bar_tells_what_the_kernel_does(page: Any) -> None:
    """In the toolbar it would have the toolbar measure its buttons at each move of a slider."""
    page.locator("#jp-bottom-panel .jp-Notebook-ExecutionIndicator").wait_for()
    assert page.locator("jp-toolbar .jp-Notebook-ExecutionIndicator").count() == 0


def give_a_guess(panel: Any) -> None:
    """Panels that ask to predict first show their answer once a guess is given."""
    from playwright.sync_api import expect

    ask = panel.get_by_role("button", name="show the answer")
    entry = ask.locator("xpath=..")
    for guess in ("9.0", "50 cc", "1 mm"):
        if not ask.count() or not ask.is_enabled():
            return
        reply = entry.locator(".em-feedback").text_content()
        entry.locator("input[type=text]").first.fill(guess)
        ask.click()
        panel.page.wait_for_function(
            "([entry, reply]) => entry.querySelector('.em-feedback').textContent !== reply",
            arg=[entry.element_handle(), reply],
        )
        if entry.locator(".em-feedback", has_text="You guessed").count():
            break
    expect(ask).to_be_disabled()


def moved_by_keyboard(panel: Any, handle: Any) -> None:
    """An arrow key on a slider changes the picture and what the slider says."""
    assert handle.get_attribute("aria-label")
    before = panel.locator("svg").first.evaluate("svg => svg.outerHTML")
    said = handle.get_attribute("aria-valuetext")
    for _ in range(3):
        handle.press("ArrowRight")
    panel.page.wait_for_function(
        "([panel, before]) => panel.querySelector('svg').outerHTML !== before",
        arg=[panel.element_handle(), before],
        timeout=10_000,
    )
    assert handle.get_attribute("aria-valuetext") != said
    assert re.search(r"\d", handle.get_attribute("aria-valuetext"))
