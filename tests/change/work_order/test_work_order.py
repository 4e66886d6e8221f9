"""A work order holds the plan's own numbers, refuses what must not be cut, and prints offline.

Expected lengths are worked by hand beside each case from the Heron Four's sheet: deck clearances
0.38, 0.41, 0.44 and 0.40 mm, and its price list: medium gasket 0.95 mm, band 9.0 to 9.5, squish
0.90 to 1.15 mm.
"""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from enginemath.change.combination import choice_of
from enginemath.change.limits_kept import keeps_all
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list import Options
from enginemath.change.price_list_file import read_options
from enginemath.change.work_order import (
    Height,
    WorkOrder,
    order_link,
    order_page,
    order_text,
    work_order,
    write_order,
)
from enginemath.change.work_order.agreed import ordered, to_sign
from enginemath.change.work_order.bench import for_the_bench
from enginemath.change.work_order.page import PAGE_WIDTH
from enginemath.sheets import parse, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Quantity, Refused, read
from tests.old_doors.kit import averages

BLOCK = Height("212.46 mm", "212.10 mm", source="shop manual, block")
DECK_CUT = {"gasket": "medium steel", "piston": "as measured", "deck_cut": "0.35 mm"}
HEAD_CUT = {"gasket": "thin steel", "piston": "as measured", "head_cut": "0.20 mm"}


def order_of(
    engine: str = "heron-four",
    *,
    block: Height | None = None,
    head: Height | None = None,
    **choice: str,
) -> WorkOrder:
    options = read_options(path(f"{engine}-options.toml"))
    uncut = {"deck_cut": "0 mm", "head_cut": "0 mm"}
    chosen = choice_of(options, **{**uncut, **choice})
    return work_order(read_sheet(path(f"{engine}.toml")), options, chosen, block=block, head=head)


@pytest.fixture(scope="module")
def four() -> WorkOrder:
    return order_of(**DECK_CUT)


@pytest.fixture(scope="module")
def eight() -> WorkOrder:
    return order_of("heron-eight", gasket="thin steel", piston="flat top")


class Page(HTMLParser):
    """Collects tags, texts and addresses; knows whether every tag was closed."""

    def __init__(self, text: str):
        super().__init__()
        self.open: list[str] = []
        self.tags: set[str] = set()
        self.words: list[str] = []
        self.addresses: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.addresses += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag != "meta":
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


# What is refused


def test_a_choice_that_breaks_a_limit_is_not_ordered() -> None:
    """The thin gasket alone: squish of cylinder 3 is 0.44 + 0.80 = 1.24 mm."""
    with pytest.raises(Refused, match=r"not written, for squish 1\.180 to 1\.240 mm.*BROKEN"):
        order_of(gasket="thin steel", piston="as measured")


def test_a_choice_that_changes_nothing_is_not_ordered() -> None:
    with pytest.raises(Refused, match="nothing is changed"):
        order_of(gasket="as measured", piston="as measured")


def test_a_cut_below_the_maker_s_minimum_is_not_ordered() -> None:
    """212.31 − 212.10 leaves 0.21 mm to cut."""
    used = Height("212.31 mm", "212.10 mm", source="shop manual, block")
    with pytest.raises(Refused, match=r"at most 0\.210 mm may be cut"):
        order_of(**DECK_CUT, block=used)


def test_the_jobs_alone_are_those_of_the_order_and_ask_for_no_report() -> None:
    order = order_of(**DECK_CUT)
    jobs = ordered(order)
    assert not {"reports", "chance"} & vars(order).keys()
    assert jobs in to_sign(order)


def test_a_minimum_without_a_source_is_a_guess() -> None:
    with pytest.raises(Refused, match="where it was looked up"):
        Height("212.46 mm", "212.10 mm", source=" ")


@pytest.mark.parametrize("name", ["order.pdf", "order", "order.html.exe"])
def test_only_pages_and_texts_are_written(four: WorkOrder, tmp_path: Path, name: str) -> None:
    with pytest.raises(Refused, match=r"\.html"):
        write_order(four, tmp_path / name)
    assert not list(tmp_path.iterdir())


# What is permitted


def test_the_deck_cut_s_room(four: WorkOrder) -> None:
    """Least: squish of cylinder 3, 0.44 + 0.95 − 1.15. Most: deck clearance of cylinder 1."""
    least, most = four.deck_cut_room
    assert least.m_as("mm") == pytest.approx(0.24, abs=0.0011)
    assert most.m_as("mm") == pytest.approx(0.38, abs=0.0011)


def test_the_maker_s_minimum_ends_the_room() -> None:
    """212.46 − 212.10 = 0.36 mm."""
    _, most = order_of(**DECK_CUT, block=BLOCK).deck_cut_room
    assert most.m_as("mm") == pytest.approx(0.36, abs=1e-9)


@pytest.mark.parametrize("cut", ["deck_cut", "head_cut"])
def test_the_room_ends_where_a_limit_breaks(cut: str) -> None:
    order = order_of(**DECK_CUT, head_cut="0.10 mm")
    for end, way in zip(getattr(order, f"{cut}_room"), (-1, 1), strict=True):
        for beyond, kept in ((0.0, True), (0.003, False)):
            depth = end + way * Quantity(beyond, "mm")
            if depth.m >= 0:
                trial = order.choice.with_cut(cut.removesuffix("_cut"), 0, depth)
                assert keeps_all(order.job, trial) is kept


# What it says


def test_the_planned_ratio_is_the_plan_s(four: WorkOrder) -> None:
    plans = plan_report(four.sheet, four.options, top=3)["plans"]
    plan = next(plan for plan in plans if plan["deck_cut_mm"] == 0.35)
    assert plan["gasket"] == "medium steel"
    assert four.reports[1]["compression_ratio"] == pytest.approx(plan["compression_ratio"])
    assert four.chance == pytest.approx(plan["in_band_probability"], abs=0.003)


def test_the_planned_figures_by_hand(four: WorkOrder) -> None:
    """Deck clearance less 0.35 mm; squish 0.95 mm more than that."""
    text = order_text(four)
    for number, (deck, planned, squish) in enumerate(
        [
            ("0.380", "0.030", "0.980"),
            ("0.410", "0.060", "1.010"),
            ("0.440", "0.090", "1.040"),
            ("0.400", "0.050", "1.000"),
        ],
        start=1,
    ):
        row = next(line for line in text.splitlines() if line.startswith(f"{number}  "))
        assert f"{deck} → {planned}" in row
        assert f"→ {squish}" in row


def test_a_head_cut_says_what_every_chamber_loses() -> None:
    """0.20 mm at 4.8 cc per mm; 46.90 cc less 0.96 cc."""
    text = " ".join(order_text(order_of(**HEAD_CUT, deck_cut="0.10 mm")).split())
    assert "Every chamber loses 0.96 cc" in text
    assert "chamber 1, three pours" in text
    assert "46.90 → 45.94" in text


@pytest.mark.parametrize(
    ("choice", "wanted", "not_wanted"),
    [
        (DECK_CUT, ["deck clearance 4", "cam timing", "intake fit"], ["three pours", "crown of"]),
        (
            {**HEAD_CUT, "deck_cut": "0.10 mm"},
            ["head: flatness", "chamber 4", "intake fit"],
            ["crown of"],
        ),
        (
            {"gasket": "medium steel", "piston": "tall, same dish"},
            ["crown of every piston", "deck clearance 4", "squish, tightest"],
            ["three pours", "flatness", "intake fit"],
        ),
    ],
)
def test_what_is_touched_is_measured_again(
    choice: dict[str, str], wanted: list[str], not_wanted: list[str]
) -> None:
    again = for_the_bench(order_of(**choice))[1]
    names = " / ".join(row[0] for row in again.rows)
    assert all(name in names for name in [*wanted, "piston to intake valve", "ratio"])
    assert not any(name in names for name in not_wanted)
    assert all(row[-1] == "" for row in again.rows)


def test_the_minimum_is_to_be_looked_up_where_it_is_not_given(four: WorkOrder) -> None:
    rows = {s.heading: s.rows for s in to_sign(four)}["Do not cut below the maker's minimum"]
    assert rows == [("block, crank's centre line to deck", "", "", "", "")]


def test_a_known_minimum_stands_on_the_order() -> None:
    """212.46 − 0.35 − 212.10 = 0.01 mm."""
    text = order_text(order_of(**DECK_CUT, block=BLOCK))
    row = next(line for line in text.splitlines() if line.startswith("block, crank"))
    assert row.split("  ")[1:] == ["212.460 mm", "212.100 mm", "shop manual, block", "0.010 mm"]


def test_every_measured_reading_has_its_spread(four: WorkOrder) -> None:
    measured = for_the_bench(four)[-1]
    assert [row[0] for row in measured.rows if "±" not in row[1]] == []
    assert "88.340 ± 0.005 mm" in {row[0]: row[1] for row in measured.rows}["bore"]


def test_an_inch_shop_reads_inches_first(eight: WorkOrder) -> None:
    text = order_text(eight)
    assert "compressed thickness 0.0280 in (0.711 mm)" in " ".join(text.split())
    assert "crown (takes away)" in text


def test_the_cautions_and_the_signatures_are_there(four: WorkOrder) -> None:
    text = " ".join(order_text(four).split())
    for words in ("not permission to cut or to run", "overhead cam", "knock", "gloves"):
        assert words in text
    for who in ("ordered by", "machinist", "checked after the work by"):
        assert who in text


def test_a_sheet_without_spread_gets_an_order_without_a_chance() -> None:
    written = re.sub(r" ± [0-9.]+", "", averages("heron-four").read_text())
    options = read_options(path("heron-four-options.toml"))
    plain_work = replace(options, tolerances=type(options.tolerances)())
    order = work_order(parse(written), plain_work, choice_of(options, head_cut="0 mm", **DECK_CUT))
    assert order.chance is None
    text = order_text(order)
    assert "Chance" not in text
    assert "Planned with" not in text


# The paper


@pytest.mark.parametrize("which", ["four", "eight"])
def test_the_text_fits_its_page(which: str, request: pytest.FixtureRequest) -> None:
    text = order_text(request.getfixturevalue(which))
    assert max(map(len, text.splitlines())) <= PAGE_WIDTH


@pytest.mark.parametrize("which", ["four", "eight"])
def test_the_page_is_whole_and_asks_nobody(which: str, request: pytest.FixtureRequest) -> None:
    html = order_page(request.getfixturevalue(which))
    page = Page(html)
    assert page.open == []
    assert page.addresses == []
    assert "url(http" not in html
    assert "script" not in page.tags
    assert html.count("<svg") == 3


@pytest.mark.parametrize("which", ["four", "eight"])
def test_page_and_text_say_the_same(which: str, request: pytest.FixtureRequest) -> None:
    order = request.getfixturevalue(which)
    # Numbers with their units stand in elements of their own, that hold them on one line.
    words = " ".join(Page(re.sub("</?span[^>]*>", "", order_page(order))).words)
    for section in (*to_sign(order), *for_the_bench(order)):
        for said in (section.heading, *section.lines, *(c for row in section.rows for c in row)):
            assert said in words
            assert said.split()[-1:] == [] or said.split()[-1] in order_text(order)


def test_no_colour_alone_carries_a_meaning(four: WorkOrder) -> None:
    """In the page's own style there is black, white and one grey."""
    style = order_page(four).split("<style>")[1].split("</style>")[0]
    assert set(re.findall(r"#[0-9a-f]{3,6}", style)) == {"#000", "#fff", "#eee"}
    assert "size:" not in re.findall(r"@page {[^}]*}", style)[0], "Letter or A4: the printer's"


def test_a_name_cannot_break_the_page(four: WorkOrder) -> None:
    name = '<img src="x"> & "Eight"\x1b'
    sheet = replace(four.sheet, written={**four.sheet.written, "name": name})
    order = replace(four, sheet=sheet)
    assert "img" not in Page(order_page(order)).tags
    assert "\x1b" not in order_text(order)


def test_saved_orders_are_the_page_and_the_text(four: WorkOrder, tmp_path: Path) -> None:
    for name, writer in (("order.html", order_page), ("order.txt", order_text)):
        write_order(four, tmp_path / name)
        assert (tmp_path / name).read_text(encoding="utf-8") == writer(four)


def test_the_link_holds_the_page_itself(four: WorkOrder) -> None:
    page = Page(order_link(four, file_name='a"b.html'))
    assert page.open == []
    (address,) = page.addresses
    before, _, coded = address.partition(",")
    assert before == "data:text/html;charset=utf-8;base64"
    assert b64decode(coded).decode() == order_page(four)


def test_an_order_that_cuts_nothing_says_so(eight: WorkOrder) -> None:
    rows = {s.heading: s.rows for s in to_sign(eight)}["Do not cut below the maker's minimum"]
    assert rows == [("block and head", "not cut", "-", "-", "-")]


def test_the_same_order_is_the_same_paper(four: WorkOrder) -> None:
    assert order_page(four) == order_page(order_of(**DECK_CUT))


def test_the_options_are_left_alone(four: WorkOrder) -> None:
    options: Options = read_options(path("heron-four-options.toml"))
    assert four.options == options
    assert four.choice.deck_cut.m_as("mm") == pytest.approx(read("0.35 mm").m)
