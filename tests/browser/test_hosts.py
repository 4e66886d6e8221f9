"""The same panel in Notebook 7 and in a saved page, without a network."""

from __future__ import annotations

import base64
import re
import shutil
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import nbformat
import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from enginemath import quiet_lab
from enginemath.panels import add_it_up_numbers
from enginemath.units import show_ratio

from .conftest import LESSONS, serve
from .test_lessons import Visit
from .test_panels import notebook_of

pytestmark = pytest.mark.browser
RATIO = show_ratio(add_it_up_numbers("heron-four")["ratio"])
PANEL = "add_it_up(predict=False)"
PICTURE = r'src="data:image/svg\+xml;base64,([^"]+)"'
HERE = {"127.0.0.1", "", None}  # a file, and a picture inside a page, have no host
BEGUN = re.compile(r"\[(\*|\d+)\]")
"""In a cell's margin once it was asked to run."""
LESSON = LESSONS / "07-add-it-up.ipynb"
LESSON_TEXT = "\n\n".join(
    cell.source
    for cell in nbformat.read(LESSON, as_version=4).cells
    if cell.cell_type == "markdown"
)
HEADINGS = re.findall(r"^#+ (.+)$", LESSON_TEXT, re.MULTILINE)
FORMULAS = re.findall(r"\$[^$]+\$", LESSON_TEXT)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the kit's JupyterLab, over one lesson."""
    folder = tmp_path_factory.mktemp("hosts")
    shutil.copy(LESSON, folder)
    yield from serve("jupyterlab", folder)


def works(panel: Any) -> None:
    """The panel is alive: an arrow key changes the ratio, and the handle has a name."""
    title = panel.locator("svg title")
    assert f"Compression ratio {RATIO}" in title.text_content()
    handle = panel.locator(".noUi-handle").first
    for _ in range(5):
        handle.press("ArrowRight")
    panel.page.wait_for_function(
        "([panel, before]) => !panel.querySelector('svg title').textContent.includes(before)",
        arg=[panel.element_handle(), f"ratio {RATIO}"],
        timeout=10_000,
    )
    assert handle.get_attribute("aria-label") == "chamber"
    assert handle.get_attribute("aria-valuetext") == "47.40 cc"
    assert not panel.page.locator("img[id$=still]").first.is_visible()
    handle.press("Home")
    panel.locator("svg desc").get_by_text("Chamber 31.90 cc").wait_for(state="attached")
    panel.locator(".noUi-handle[aria-valuetext='31.90 cc']").wait_for()
    panel.get_by_role("button", name="reset all").press("Enter")
    panel.page.wait_for_function(
        "([panel, before]) => panel.querySelector('svg title').textContent.includes(before)",
        arg=[panel.element_handle(), f"ratio {RATIO}"],
        timeout=10_000,
    )


def asked_nobody(visit: Visit) -> None:
    """No request left the machine, and nothing went wrong."""
    assert visit.hosts <= HERE
    assert visit.errors == []


def run_all(page: Any) -> None:
    """Run every cell through the menu; a first try that comes too early is made again."""
    page.locator(".jp-NotebookKernelStatus-fade").wait_for(state="attached", timeout=60_000)
    for _ in range(20):
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_text("Run All Cells", exact=True).click()
        with suppress(PlaywrightTimeout):
            page.locator(".jp-InputArea-prompt", has_text=BEGUN).first.wait_for(timeout=3_000)
            page.locator(".em-panel svg").first.wait_for(timeout=60_000)
            return
    pytest.fail("the panel did not appear")


def test_notebook_7(browser: Any, tmp_path: Path) -> None:
    notebook_of([PANEL], tmp_path / "panel.ipynb")
    for address in serve("notebook", tmp_path):
        visit = Visit(browser, f"{address}/notebooks/panel.ipynb")
        run_all(visit.page)
        panel = visit.page.locator(".em-panel").first
        works(panel)
        assert visit.hosts <= HERE
        visit.page.close()


def shows_the_lesson(page: Any, formula: str) -> None:
    """All headings to the last, and each formula set by the element that sets formulas here."""
    headings = page.locator("h1, h2, h3").all_text_contents()
    assert [heading.removesuffix("¶") for heading in headings] == HEADINGS
    assert len(FORMULAS) >= 3
    page.locator(formula).nth(len(FORMULAS) - 1).wait_for()
    assert page.locator(formula).count() == len(FORMULAS)
    fractions = sum(formula.count(r"\frac") for formula in FORMULAS)
    assert page.locator("mfrac").count() == fractions
    assert not re.search(r"[$\\]", page.inner_text("body")), "TeX is left"


def test_a_lesson_saved_from_the_menu(browser: Any, server: str, tmp_path: Path) -> None:
    """Save and Export Notebook As, HTML: what the menu asks the server for, opened as a file."""
    with urllib.request.urlopen(f"{server}/nbconvert/html/{LESSON.name}", timeout=60) as reply:
        (tmp_path / "lesson.html").write_bytes(reply.read())
    visit = Visit(browser, (tmp_path / "lesson.html").as_uri())
    shows_the_lesson(visit.page, "math")
    assert visit.page.locator("img[id$=still]").first.is_visible()
    asked_nobody(visit)
    visit.page.close()


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A panel in two saved pages, run by nbconvert: as it opens, and moved afterwards."""
    folder = tmp_path_factory.mktemp("saved")
    move = 'import asyncio\npanel.take("chamber", 50.0)\nawait asyncio.sleep(1)'
    notebook_of([PANEL], folder / "panel.ipynb")
    notebook_of([f"panel = {PANEL}\npanel", move], folder / "moved.ipynb")
    subprocess.run(
        [*(sys.executable, "-m", "nbconvert", "--to", "html", "--execute"), "panel", "moved"],
        cwd=folder,
        env=quiet_lab.environment(),
        check=True,
        capture_output=True,
    )
    return folder


def pictures_in(page: Path) -> list[str]:
    """The still pictures in a saved page."""
    found = re.findall(PICTURE, page.read_text(encoding="utf-8"))
    return [base64.b64decode(picture).decode() for picture in found]


def test_a_saved_page_shows_the_last_picture_and_prints(browser: Any, saved: Path) -> None:
    """Without a network: what remains is the still picture, on Letter and A4, all of it."""
    (picture,) = pictures_in(saved / "panel.html")
    assert f"ratio {RATIO}</text>" in picture
    visit = Visit(browser, (saved / "panel.html").as_uri())
    page = visit.page
    still = page.locator("img[id$=still]")
    assert still.is_visible()
    assert f"Compression ratio {RATIO}" in still.get_attribute("alt")
    for width, height in ((8.5, 11.0), (8.27, 11.69)):
        page.emulate_media(media="print")
        page.set_viewport_size({"width": round(96 * (width - 0.8)), "height": round(96 * height)})
        assert still.is_visible()
        box = still.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 96 * (width - 0.8) + 1, "not cut off at the edge"
        pdf = page.pdf(width=f"{width}in", height=f"{height}in", margin={"left": "0.4in",
                       "right": "0.4in"})  # fmt: skip
        assert pdf.startswith(b"%PDF")
    asked_nobody(visit)
    page.close()


def test_the_still_picture_follows_the_last_state(saved: Path) -> None:
    numbers = add_it_up_numbers("heron-four")
    clearance = numbers["clearance"].m_as("cc") + 50.0 - 46.90
    ratio = show_ratio((numbers["swept"].m_as("cc") + clearance) / clearance)
    (picture,) = pictures_in(saved / "moved.html")
    assert f"ratio {ratio}</text>" in picture
