"""Work orders on paper: two sheets for a four, three for an eight, on Letter and on A4."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from enginemath.change.price_list_file import parse_options
from enginemath.change.work_order import order_page, plan_order
from enginemath.sheets import parse
from tests.change.eight import OPTIONS, SHEET

pytestmark = pytest.mark.browser

PAPERS = {"Letter": (216, 279), "A4": (210, 297)}
MOST = {"four": 2, "eight": 3}
MARGIN = 9
"""Of the page, above and below, in mm."""
PX_PER_MM = 96 / 25.4

# A flat four with two banks of names as long as a shop's, bores of their own, and all that a plan
# may hold: every face cut, with minimums that are known.
FOUR = """\
format = 2
name = "Flat four"
[[bank]]
name = "near side"
cylinders = [1, 3]
[[bank]]
name = "far side"
cylinders = [2, 4]
[cylinder]
count = 4
bore = ["88.34 ± 0.01 mm", "88.35 ± 0.01 mm", "88.36 ± 0.01 mm", "88.33 ± 0.01 mm"]
stroke = "85.72 ± 0.03 mm"
rod_length = "141.1 ± 0.1 mm"
[chamber]
volume = ["46.90 ± 0.15 cc", "47.40 ± 0.15 cc", "46.60 ± 0.15 cc", "47.20 ± 0.15 cc"]
[gasket]
bore = "89.90 ± 0.05 mm"
compressed_thickness = "1.35 ± 0.02 mm"
[deck]
clearance = ["0.38 ± 0.02 mm", "0.41 ± 0.02 mm", "0.44 ± 0.02 mm", "0.40 ± 0.02 mm"]
[piston]
dish = "8.4 ± 0.2 cc"
reliefs = "1.7 ± 0.1 cc"
[ring_land]
height = "6.40 ± 0.05 mm"
clearance = "0.56 ± 0.02 mm"
[cam]
intake_closes = "52 ± 2 deg"
[site]
altitude = "640 m"
[fuel]
antiknock_index = 87
"""
FOUR_OPTIONS = """\
format = 1
target = { ratio = [9.2, 10.2], squish = ["0.90 mm", "1.15 mm"] }
deck_cut = { step = "0.10 mm", max = "0.40 mm", price = 150, needed = true }
head_cut = { step = "0.40 mm", max = "0.80 mm", price = 85, needed = true, cc_per_mm = 4.8 }
tolerances = { deck_cut = "0.02 mm", head_cut = "0.02 mm", compressed_thickness = "0.02 mm" }
gasket = [{ name = "medium steel", bore = "89.2 mm", compressed_thickness = "0.95 mm", price = 58 }]
[limits]
block_height_min = "212.0 mm"
head_height_min = "118.0 mm"
minimums_from = "shop manual of the engine, pages 12 and 14"
[heights]
block = "213.0 ± 0.02 mm"
head = "119.1 mm"
"""
EIGHT_OPTIONS = OPTIONS.replace("[deck_cut]", "[deck_cut]\nneeded = true").replace(
    "[head_cut]", "[head_cut]\nneeded = true"
)


@pytest.fixture(scope="module", params=MOST)
def page(request: pytest.FixtureRequest, browser: Any) -> Iterator[tuple[str, Any]]:
    sheet, options = {"four": (FOUR, FOUR_OPTIONS), "eight": (SHEET, EIGHT_OPTIONS)}[request.param]
    order = plan_order(parse(sheet), parse_options(options), 1)
    assert len(order.cuts) == 4
    page = browser.new_page()
    page.set_content(order_page(order))
    page.emulate_media(media="print")
    yield request.param, page
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
def test_it_takes_few_sheets(page: tuple[str, Any], paper: str) -> None:
    engine, shown = page
    pdf = shown.pdf(format=paper, prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) <= MOST[engine]


@pytest.mark.parametrize("paper", PAPERS)
def test_signatures_stand_beside_the_work_and_nothing_is_cut_off(
    page: tuple[str, Any], paper: str
) -> None:
    """The bench's part begins a sheet of its own, so all above it has to fit the first."""
    _, shown = page
    width, height = PAPERS[paper]
    shown.set_viewport_size({"width": int((width - 24) * PX_PER_MM), "height": 900})
    bottom, wide, room = shown.evaluate(
        "() => [document.querySelector('.sign').getBoundingClientRect().bottom + window.scrollY,"
        " document.documentElement.scrollWidth, document.documentElement.clientWidth]"
    )
    assert bottom <= (height - 2 * MARGIN) * PX_PER_MM
    assert wide <= room
    out = shown.evaluate(
        "() => [...document.querySelectorAll('td, th, p, li')].filter("
        "e => e.getBoundingClientRect().right > document.body.getBoundingClientRect().right + 1)"
        ".map(e => e.textContent)"
    )
    assert out == []


def test_no_number_is_broken_from_its_unit_or_its_spread(page: tuple[str, Any]) -> None:
    _, shown = page
    held = shown.evaluate(
        "() => [...document.querySelectorAll('.held')]"
        ".map(e => [e.textContent, e.getClientRects().length])"
    )
    assert len(held) > 40
    assert [text for text, lines in held if lines != 1] == []
    loose = shown.evaluate(
        "() => { const w = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);"
        " const found = []; while (w.nextNode())"
        " if (!w.currentNode.parentElement.closest('svg, .held')) found.push(w.currentNode.data);"
        " return found; }"
    )
    broken = re.compile(r"\d (?:mm|in|cc|cm²|µm|%)(?!\w)| ± ")
    assert [text for text in loose if broken.search(text)] == []
