"""Every panel in JupyterLab in a real browser: names, keyboard, numbers, axe, zoom."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest

from enginemath.panels import add_it_up_numbers
from enginemath.units import show_ratio
from tests.panels.opened import ALL, WITH_A_GUESS

from .conftest import serve
from .test_lessons import Visit

pytestmark = pytest.mark.browser
ASKING = ["add_it_up()", "how_sure()"]
"""Calls that ask for a guess first; the last one's question is long."""
ODD_NAME = "<script>window.ran = true</script> " + "Engine of the third bay, no papers; " * 4
ODD = [
    "from enginemath.sheets import EXAMPLE, parse\n"
    f"engine = parse(EXAMPLE.replace('Bench engine, bay 3', {ODD_NAME!r}))",
    "add_it_up(engine)",
]
"""An engine with a name as somebody may type it: very long, and with a script in it."""
PANELS = [*ALL, *ASKING, "odd name"]
"""What stands on the page, from above."""


def notebook_of(calls: list[str], file: Path) -> None:
    """Write a notebook with one call of a panel a cell."""
    cells = [nbformat.v4.new_code_cell("from enginemath.panels import *")]
    cells += [nbformat.v4.new_code_cell(call) for call in calls]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    notebook = nbformat.v4.new_notebook(cells=cells, metadata={"kernelspec": kernel})
    nbformat.write(notebook, file)


def call_of(name: str) -> str:
    """The line that opens a panel without a guess."""
    return f"{name}({', '.join(f'{key}={value}' for key, value in ALL[name].items())})"


@pytest.fixture(scope="module")
def visit(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visit]:
    """One page with all panels, and after them some that ask for a guess."""
    folder = tmp_path_factory.mktemp("panels")
    notebook_of([*map(call_of, ALL), *ASKING, *ODD], folder / "panels.ipynb")
    for address in serve("jupyterlab", folder):
        visit = Visit(browser, f"{address}/lab/tree/panels.ipynb")
        visit.run_all()
        visit.page.locator(".em-panel").nth(len(PANELS) - 1).wait_for()
        visit.page.locator(".em-panel .em-drawing svg").nth(len(PANELS) - 1).wait_for()
        yield visit
        visit.page.close()


def panel_of(visit: Visit, name: str) -> Any:
    """The panel of a name on the page."""
    return visit.page.locator(".em-panel").nth(list(ALL).index(name))


def control_of(panel: Any, name: str) -> Any:
    """The control of a dimension in a panel."""
    return panel.locator(".em-control").filter(has=panel.page.get_by_label(name, exact=True)).first


def when(page: Any, condition: str, *arguments: Any) -> None:
    """Wait for something to come true in the page."""
    page.wait_for_function(condition, arg=list(arguments), timeout=10_000)


def settle(page: Any) -> None:
    """Wait until the kernel has no more to say, and the panels have stood still for some frames."""
    page.get_by_text("| Idle").first.wait_for()
    page.evaluate(
        """async () => {
            const parts = '.em-side, .em-drawing svg, .em-status, .em-control';
            const places = () => JSON.stringify(
                [...document.querySelectorAll(parts)].map(part => part.getBoundingClientRect()));
            let before = '', still = 0;
            while (still < 4) {
                await new Promise(requestAnimationFrame);
                const now = places();
                still = now === before ? still + 1 : 0;
                before = now;
            }
        }"""
    )


def test_all_open_and_ask_nobody_else(visit: Visit) -> None:
    assert visit.page.locator(".em-panel").count() == len(PANELS)
    assert visit.errors == []
    assert visit.hosts <= {"127.0.0.1"}
    shown = visit.page.locator("img[id$=still]")
    assert shown.count() == len(PANELS), "each has a still picture for paper"
    assert not any(still.is_visible() for still in shown.all()), "hidden where the panel lives"


def test_every_handle_says_its_name_and_its_value_with_the_unit(visit: Visit) -> None:
    controls = visit.page.locator(".em-control:visible").evaluate_all(
        """controls => controls.map(control => {
            const part = selector => control.querySelector(selector);
            const handle = part('.noUi-handle');
            return [part('label').textContent, part('input').value,
                handle.getAttribute('aria-label'), handle.getAttribute('aria-valuetext'),
                [...control.querySelectorAll('button')].map(one => one.ariaLabel)];
        })"""
    )
    for label, value, name, said, buttons in controls:
        assert name == label
        assert said == value
        assert re.search(r"\d ?(mm|in|cc|m|°|strokes|of thread|of 10)$", value), value
        assert buttons == [f"reset {label}"]
    assert len(controls) > 30


@pytest.mark.parametrize("name", list(ALL))
def test_axe_finds_nothing_serious(visit: Visit, name: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    place = list(ALL).index(name)
    panel_of(visit, name).evaluate("(panel, place) => { panel.id = `panel-${place}`; }", place)
    found = Axe().run(visit.page, context={"include": [[f"#panel-{place}"]]})
    serious = {
        rule["id"]: [node["html"][:200] for node in rule["nodes"]]
        for rule in found.response["violations"]
        if rule["impact"] in ("serious", "critical")
    }
    assert serious == {}
    assert len(found.response["passes"]) > 5, "axe looked at something"


def test_the_drawing_follows_an_arrow_key_to_the_librarys_number(visit: Visit) -> None:
    panel = panel_of(visit, "add_it_up")
    handle = control_of(panel, "chamber").locator(".noUi-handle")
    for _ in range(12):
        handle.press("ArrowRight")
    when(visit.page, "([box]) => box.value === '48.10 cc'",
         control_of(panel, "chamber").locator("input").element_handle())  # fmt: skip
    numbers = add_it_up_numbers("heron-four")
    clearance = numbers["clearance"].m_as("cc") + 48.10 - 46.90
    ratio = show_ratio((numbers["swept"].m_as("cc") + clearance) / clearance)
    when(visit.page, "([panel, ratio]) => panel.querySelector('svg title').textContent"
         ".includes(`Compression ratio ${ratio}`)", panel.element_handle(), ratio)  # fmt: skip
    status = panel.locator(".em-status")
    assert f"compression ratio {ratio}" in status.text_content()
    assert status.get_attribute("role") == "status"
    assert handle.get_attribute("aria-valuetext") == "48.10 cc"


def test_a_value_between_the_steps_is_not_moved_by_the_browser(visit: Visit) -> None:
    """The Heron Four's bore, 88.34 mm, lies between two steps of its slider."""
    panel = panel_of(visit, "bore_and_stroke")
    assert control_of(panel, "bore").locator("input").input_value() == "88.340 mm"
    assert "Bore 88.340 mm" in panel.locator("svg").text_content()


def test_a_typed_number_with_another_unit_and_a_bad_one(visit: Visit) -> None:
    panel = panel_of(visit, "gasket_and_deck")
    control = control_of(panel, "compressed thickness")
    box, message = control.locator("input"), control.locator(".em-message")
    box.fill("50 thou")
    box.press("Enter")
    when(visit.page, "([box]) => box.value === '1.270 mm'", box.element_handle())
    settle(visit.page)
    picture = panel.locator("svg").evaluate("svg => svg.outerHTML")
    box.fill("50")
    box.press("Enter")
    message.get_by_text("no unit").wait_for()
    when(visit.page, "([box]) => box.getAttribute('aria-invalid') === 'true'",
         box.element_handle())  # fmt: skip
    assert message.get_attribute("role") == "status"
    beside, below = box.bounding_box(), message.bounding_box()
    assert 0 < below["y"] - beside["y"] < 90, "the message stands by the box"
    assert panel.locator("svg").evaluate("svg => svg.outerHTML") == picture
    box.fill("1.35 mm")
    box.press("Enter")
    when(visit.page, "([box]) => box.getAttribute('aria-invalid') === 'false'",
         box.element_handle())  # fmt: skip


def test_a_panel_is_worked_with_the_keyboard_alone(visit: Visit) -> None:
    """Guess, reveal, move a slider, type a number, reset it, change the unit: no mouse."""
    page = visit.page
    panel = page.locator(".em-panel").nth(len(ALL))
    assert "clearance" not in panel.locator("svg title").text_content()

    def tab_to(where: str) -> Any:
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("where => document.activeElement.matches(where)", where):
                outline = page.evaluate(
                    "() => { const s = getComputedStyle(document.activeElement);"
                    " return s.outlineStyle !== 'none' || s.boxShadow !== 'none'; }"
                )
                assert outline, "the focus can be seen"
                return page.evaluate_handle("document.activeElement")
        raise AssertionError(f"no way to {where} with the Tab key")

    panel.locator("select").first.focus()
    tab_to(".em-entry input")
    page.keyboard.type("9.5:1")
    page.keyboard.press("Enter")
    panel.locator(".em-feedback").get_by_text("You guessed 9.50").wait_for()
    when(page, "([panel]) => !panel.querySelector('.em-control input').disabled",
         panel.element_handle())  # fmt: skip
    panel.locator("select").first.focus()
    tab_to(".em-control .noUi-handle")
    said = panel.locator(".em-status").text_content()
    page.keyboard.press("ArrowRight")
    when(page, "([panel, said]) => panel.querySelector('.em-status').textContent !== said",
         panel.element_handle(), said)  # fmt: skip
    tab_to(".em-control input")
    page.keyboard.press("Control+A")
    page.keyboard.type("55 thou")
    page.keyboard.press("Enter")
    when(page, "([panel]) => panel.querySelector('svg').textContent.includes('1.397 mm')",
         panel.element_handle())  # fmt: skip
    tab_to(".em-control button")
    page.keyboard.press("Enter")
    when(page, "([panel]) => panel.querySelector('svg').textContent.includes('1.350 mm')",
         panel.element_handle())  # fmt: skip
    panel.get_by_label("lengths in").focus()
    page.keyboard.press("ArrowDown")
    when(page, "([panel]) => panel.querySelector('svg').textContent.includes('0.0531 in')",
         panel.element_handle())  # fmt: skip
    panel.get_by_label("projector").focus()
    page.keyboard.press(" ")
    when(page, "([panel]) => panel.classList.contains('em-projector')", panel.element_handle())
    page.keyboard.press(" ")
    when(page, "([panel]) => !panel.classList.contains('em-projector')", panel.element_handle())


@pytest.mark.parametrize("place", range(len(ALL) + len(ASKING)), ids=[*ALL, *ASKING])
def test_nothing_is_cut_off_at_200_percent(visit: Visit, place: int) -> None:
    """A window of 1280 by 800 at 200 % zoom is 640 by 400 of the page's own pixels."""
    page = visit.page
    page.set_viewport_size({"width": 640, "height": 400})
    try:
        panel = page.locator(".em-panel").nth(place)
        settle(page)
        cut = panel.evaluate(
            """panel => {
                const room = panel.getBoundingClientRect(), cut = [];
                const parts = panel.querySelectorAll(
                    'label, button, select, .em-drawing, .em-status, input[type=text]');
                for (const part of parts) {
                    const box = part.getBoundingClientRect();
                    if (!box.width) continue;
                    const text = part.textContent || part.value;
                    if (box.right > room.right + 1 || box.left < room.left - 1) cut.push(text);
                    const wide = part.scrollWidth > part.clientWidth + 2;
                    if (wide && part.matches('label, button, input')) cut.push(`${text} inside`);
                }
                return cut;
            }"""
        )
        assert cut == []
        drawing = panel.locator(".em-drawing")
        svg = drawing.locator("svg")
        wide, drawn = svg.bounding_box()["width"], float(svg.get_attribute("width"))
        assert wide >= min(600, drawn), "its text is not shrunk against the zoom"
        when(page, "([picture]) => picture.scrollWidth <= picture.clientWidth + 1"
             " || picture.tabIndex === 0", drawing.element_handle())  # fmt: skip
    finally:
        page.set_viewport_size({"width": 1280, "height": 1000})


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1920, 1080)])
@pytest.mark.parametrize("name", ["gasket_and_deck", "choose_the_change", "fuel_air_and_cam"])
def test_on_a_projector_the_controls_stand_beside_the_picture(
    visit: Visit, name: str, width: int, height: int
) -> None:
    """With the file list closed, and nothing overlaps or has to be scrolled sideways."""
    page, panel = visit.page, panel_of(visit, name)
    page.set_viewport_size({"width": width, "height": height})
    page.keyboard.press("Control+B")
    page.locator("#filebrowser").wait_for(state="hidden")
    panel.get_by_label("projector").check()
    try:
        when(page, "([panel]) => panel.classList.contains('em-projector')", panel.element_handle())
        settle(page)
        side = panel.locator(".em-side").bounding_box()
        drawing = panel.locator(".em-drawing")
        picture = drawing.bounding_box()
        assert side["x"] + side["width"] <= picture["x"]
        assert abs(side["y"] - picture["y"]) < 5
        room = panel.bounding_box()
        assert picture["x"] + picture["width"] <= room["x"] + room["width"]
        assert drawing.evaluate("picture => picture.scrollWidth <= picture.clientWidth")
    finally:
        panel.get_by_label("projector").uncheck()
        page.keyboard.press("Control+B")
        page.locator("#filebrowser").wait_for(state="visible")
        page.set_viewport_size({"width": 1280, "height": 1000})


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1280, 800)])
@pytest.mark.parametrize("projector", [False, True], ids=["screen", "projector"])
@pytest.mark.parametrize("name", WITH_A_GUESS)
def test_a_slider_and_the_number_that_it_changes_are_seen_together(
    visit: Visit, name: str, projector: bool, width: int, height: int
) -> None:
    """The first slider, the whole picture, and the first line of words below it.

    In large type beside the file list the picture is too high: there the words come before it.
    """
    page, panel = visit.page, panel_of(visit, name)
    page.set_viewport_size({"width": width, "height": height})
    panel.get_by_label("projector").set_checked(projector)
    try:
        when(page, "([panel, projector]) => panel.classList.contains('em-projector') === projector",
             panel.element_handle(), projector)  # fmt: skip
        settle(page)
        room = page.locator(".jp-WindowedPanel-outer").first.bounding_box()["height"]
        top = panel.locator(".noUi-target:visible").first.bounding_box()["y"]
        words = panel.locator(".em-status div div").first.bounding_box()
        picture = panel.locator("svg").bounding_box()
        if projector:
            assert words["y"] + words["height"] <= picture["y"]
            assert picture["y"] + 0.4 * picture["height"] - top <= room
        else:
            assert words["y"] >= picture["y"] + picture["height"]
            assert words["y"] + 18 - top <= room
    finally:
        panel.get_by_label("projector").uncheck()
        page.set_viewport_size({"width": 1280, "height": 1000})


@pytest.mark.parametrize("width", [640, 900, 1280])
def test_no_button_is_stretched(visit: Visit, width: int) -> None:
    """Every button is as high as its own text needs, whatever stands beside it in the grid."""
    visit.page.set_viewport_size({"width": width, "height": 1000})
    try:
        settle(visit.page)
        high = visit.page.locator(".em-panel button:visible").evaluate_all(
            "all => all.map(one => [one.textContent, one.getBoundingClientRect().height])"
        )
        assert len(high) > 40
        assert [(text, px) for text, px in high if px > 32] == []
    finally:
        visit.page.set_viewport_size({"width": 1280, "height": 1000})


@pytest.mark.parametrize("width", [640, 1280])
def test_a_long_name_with_a_script_stays_a_name(visit: Visit, width: int) -> None:
    page, panel = visit.page, visit.page.locator(".em-panel").nth(PANELS.index("odd name"))
    page.set_viewport_size({"width": width, "height": 800})
    try:
        settle(page)
        assert ODD_NAME in panel.locator(".em-entry label").first.text_content()
        assert page.evaluate("window.ran") is None
        room = panel.bounding_box()
        parts = panel.locator("select:visible, label:visible, button:visible").all()
        assert len(parts) > 10
        for part in parts:
            box = part.bounding_box()
            assert box["x"] + box["width"] <= room["x"] + room["width"] + 1
    finally:
        page.set_viewport_size({"width": 1280, "height": 1000})


def test_the_console_stayed_quiet(visit: Visit) -> None:
    assert visit.errors == []
    assert visit.hosts <= {"127.0.0.1"}
