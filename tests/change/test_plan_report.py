"""What `enginemath plan` says, as data and as a page."""

from __future__ import annotations

import json
from typing import Any

import pytest

from enginemath.change.plan_report import plan_report, plan_text
from enginemath.change.price_list_file import parse_options, read_options
from enginemath.change.search import ranked as feasible_module
from enginemath.engine.parts import plain
from enginemath.sheets import EXAMPLE, Sheet, kit_data, parse, read_sheet
from enginemath.units import Refused
from tests.change.options_text import OPTIONS
from tests.change.search.by_hand import plans

FIELDS = {
    "gasket",
    "piston",
    "deck_cut_mm",
    "head_cut_mm",
    "compression_ratio",
    "squish_mm",
    "deck_clearance_mm",
    "price",
    "in_band_probability",
}


@pytest.fixture
def sheet() -> Sheet:
    return parse(EXAMPLE)


def heron(name: str) -> tuple[Sheet, dict[str, Any]]:
    sheet = read_sheet(kit_data.path(f"heron-{name}.toml"))
    return sheet, plan_report(sheet, read_options(kit_data.path(f"heron-{name}-options.toml")))


@pytest.mark.parametrize("name", ["four", "eight"])
def test_the_kit_s_own_plans_are_those_found_by_hand(name: str) -> None:
    """With coarser steps of the cuts, since by hand it takes its time."""
    sheet = read_sheet(kit_data.path(f"heron-{name}.toml"))
    text = kit_data.path(f"heron-{name}-options.toml").read_text(encoding="utf-8")
    text = text.replace("0.05 mm", "0.20 mm").replace("0.002 in", "0.005 in")
    options = parse_options(text.replace("[9.0, 9.5]", "[8.9, 9.6]"))
    report = plan_report(sheet, options, 5)
    by_hand = plans(plain(sheet.engine), options)
    assert report["tried"] == options.combinations
    assert report["complete"] is True
    assert report["feasible"] == len(by_hand) > 5
    assert len(report["plans"]) == 5
    for plan, expected in zip(report["plans"], by_hand, strict=False):
        assert set(plan) >= FIELDS
        assert (plan["gasket"], plan["piston"]) == (expected.gasket.name, expected.piston.name)
        assert plan["compression_ratio"] == pytest.approx(
            sum(expected.ratios) / len(expected.ratios)
        )
        assert plan["lowest_ratio"] == pytest.approx(min(expected.ratios))
        assert plan["highest_ratio"] == pytest.approx(max(expected.ratios))
        assert plan["squish_mm"] == pytest.approx(
            sum(expected.squishes) / len(expected.squishes), abs=1e-8
        )
        assert plan["lowest_squish_mm"] == pytest.approx(min(expected.squishes), abs=1e-8)
        assert plan["deck_clearance_mm"] == pytest.approx(
            sum(expected.decks) / len(expected.decks), abs=1e-8
        )
        assert plan["price"] == expected.price
        assert 0 < plan["in_band_probability"] <= 1
    json.dumps(report, allow_nan=False)


def test_a_piston_cut_level_with_the_deck_is_nothing_unusual(sheet: Sheet) -> None:
    """Seven cuts of 0.05 mm take off 0.35 mm, and not a hair more."""
    options = parse_options("""\
        format = 1
        target = { ratio = [10.21, 10.23] }
        deck_cut = { step = "0.05 mm", max = "0.35 mm", price = 140 }
    """)
    report = plan_report(sheet, options)
    (level,) = report["plans"]
    assert level["deck_cut_mm"] == 0.35
    assert str(level["deck_clearance_mm"]) == str(level["lowest_deck_clearance_mm"]) == "0.0"
    assert not [text for text in report["warnings"] if "deck clearance" in text.split(":")[1]]


def test_the_trade_offs_of_the_heron_four() -> None:
    """As its description says: four questions, four different plans."""
    _, report = heron("four")
    front = report["front"]

    def metal(plan: dict[str, Any]) -> float:
        return plan["deck_cut_mm"] + plan["head_cut_mm"]

    cheapest = min(front, key=lambda plan: plan["price"])
    sparing = min(front, key=metal)
    nearest = min(front, key=lambda plan: abs(plan["compression_ratio"] - 9.25))
    chosen = [
        (plan["gasket"], plan["piston"], plan["deck_cut_mm"], plan["head_cut_mm"])
        for plan in (cheapest, sparing, nearest)
    ]
    assert len(set(chosen)) == 3
    assert cheapest["price"] == report["plans"][0]["price"]


def test_cuts_come_without_the_noise_of_floats() -> None:
    _, report = heron("four")
    for plan in report["plans"]:
        assert plan["deck_cut_mm"] == round(plan["deck_cut_mm"], 2)
        assert plan["head_cut_mm"] == round(plan["head_cut_mm"], 2)


def test_as_many_plans_as_asked_for(sheet: Sheet) -> None:
    options = parse_options(OPTIONS)
    everything = plan_report(sheet, options, 10_000)
    assert len(everything["plans"]) == everything["feasible"] > 3
    assert plan_report(sheet, options, 3)["plans"] == everything["plans"][:3]


@pytest.mark.parametrize("top", [0, -1, 2.5])
def test_no_whole_number_of_plans_is_refused(sheet: Sheet, top: Any) -> None:
    with pytest.raises(Refused, match="write a whole number"):
        plan_report(sheet, parse_options(OPTIONS), top)


def test_it_says_the_same_every_time(sheet: Sheet) -> None:
    options = parse_options(OPTIONS)
    assert plan_report(sheet, options) == plan_report(sheet, options)


class TestProbability:
    BARE = OPTIONS[: OPTIONS.index("[tolerances]")]

    def test_is_null_where_nothing_is_uncertain(self, sheet: Sheet) -> None:
        plans = plan_report(sheet, parse_options(self.BARE), 50)["plans"]
        assert plans
        assert all(plan["in_band_probability"] is None for plan in plans)

    def test_is_null_where_the_work_is_not_done(self, sheet: Sheet) -> None:
        only_head = self.BARE + '[tolerances]\nhead_cut = "0.02 mm"\n'
        for plan in plan_report(sheet, parse_options(only_head), 50)["plans"]:
            assert (plan["in_band_probability"] is None) == (plan["head_cut_mm"] == 0)

    def test_a_new_gasket_s_thickness_counts_and_the_old_one_s_does_not(self, sheet: Sheet) -> None:
        only_gasket = self.BARE + '[tolerances]\ncompressed_thickness = "0.02 mm"\n'
        for plan in plan_report(sheet, parse_options(only_gasket), 100)["plans"]:
            assert (plan["in_band_probability"] is None) == (plan["gasket"] == "as measured")

    def test_the_sheet_s_own_uncertainty_counts(self) -> None:
        unsure = parse(EXAMPLE.replace('"0.35 mm"', '"0.35 ± 0.02 mm"'))
        plans = plan_report(unsure, parse_options(self.BARE), 50)["plans"]
        assert all(plan["in_band_probability"] is not None for plan in plans)


class TestNothingFits:
    OUT_OF_REACH = OPTIONS.replace("[9.8, 10.4]", "[14.0, 14.5]").replace("aim = 10.1\n", "")

    def test_names_the_limits_that_the_nearest_break(self, sheet: Sheet) -> None:
        report = plan_report(sheet, parse_options(self.OUT_OF_REACH), 4)
        assert (report["feasible"], report["plans"], report["front"]) == (0, [], [])
        assert len(report["nearest_misses"]) == 4
        for miss in report["nearest_misses"]:
            assert set(miss) >= FIELDS - {"in_band_probability"}
            assert any("below 14.000" in broken for broken in miss["breaks"])

    def test_the_nearest_breaks_least(self, sheet: Sheet) -> None:
        tight = OPTIONS.replace('["0.90 mm", "1.30 mm"]', '["0.30 mm", "0.32 mm"]')
        first = plan_report(sheet, parse_options(tight), 1)["nearest_misses"][0]
        assert first["squish_mm"] == pytest.approx(0.35 - 0.30 + 0.70)
        assert "squish of cylinder 1 is 0.750 mm, above 0.320 mm" in first["breaks"]

    def test_a_deck_too_high_is_named(self, sheet: Sheet) -> None:
        high = OPTIONS.replace('"0.00 mm"', '"0.50 mm"')
        first = plan_report(sheet, parse_options(high), 1)["nearest_misses"][0]
        assert any("below 0.500 mm" in broken for broken in first["breaks"])

    def test_a_squish_that_is_not_known_is_no_fit(self) -> None:
        poured = EXAMPLE.replace(
            'bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"\nfree_thickness = "1.35 mm"',
            'volume = "7.5 cc"',
        )
        options = parse_options('format = 1\n[target]\nratio = [9, 11]\nsquish = ["0 mm", "9 mm"]')
        report = plan_report(parse(poured), options)
        assert report["feasible"] == 0
        assert "squish is wanted and not known" in report["nearest_misses"][0]["breaks"][0]
        assert report["nearest_misses"][0]["squish_mm"] is None
        anything = parse_options("format = 1\n[target]\nratio = [9, 11]")
        assert plan_report(parse(poured), anything)["feasible"] == 1

    def test_the_page_lists_them(self, sheet: Sheet) -> None:
        page = plan_text(plan_report(sheet, parse_options(self.OUT_OF_REACH), 2))
        assert "none keeps to every limit" in page
        assert "The nearest misses" in page
        assert "2: ratio of cylinder 1 is" in page


class TestInterrupt:
    """Ctrl-C in the middle of a search of several blocks."""

    FINE = OPTIONS.replace('"0.05 mm"\nmax = "0.30 mm"', '"0.0005 mm"\nmax = "0.30 mm"').replace(
        '"0.05 mm"\nmax = "0.40 mm"', '"0.0005 mm"\nmax = "0.40 mm"'
    )

    @pytest.fixture
    def interrupted(self, sheet: Sheet, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
        visit, calls = feasible_module.Feasible.visit, []

        def interrupted_visit(self: Any, rows: Any, head_cuts: slice) -> None:
            calls.append(head_cuts)
            if len(calls) == 4:
                raise KeyboardInterrupt
            visit(self, rows, head_cuts)

        monkeypatch.setattr(feasible_module.Feasible, "visit", interrupted_visit)
        return plan_report(sheet, parse_options(self.FINE))

    def test_keeps_what_was_found(self, interrupted: dict[str, Any]) -> None:
        assert interrupted["complete"] is False
        assert 0 < interrupted["tried"] < interrupted["combinations"]
        assert 0 < interrupted["feasible"] <= interrupted["tried"]
        assert len(interrupted["plans"]) == 10
        assert all(plan["lowest_ratio"] >= 9.8 for plan in interrupted["plans"])
        assert interrupted["front"] is None

    def test_the_page_says_so(self, interrupted: dict[str, Any]) -> None:
        assert "Stopped early" in plan_text(interrupted)

    def test_uninterrupted_it_goes_on(self, sheet: Sheet) -> None:
        report = plan_report(sheet, parse_options(self.FINE))
        assert report["complete"] is True
        assert report["tried"] == report["combinations"]


class TestPage:
    def test_it_defers_to_maker_and_shop(self, sheet: Sheet) -> None:
        page = plan_text(plan_report(sheet, parse_options(OPTIONS)))
        assert "not permission to cut or to run" in page
        assert "maker's minimum and a qualified machine shop decide" in " ".join(page.split())

    def test_it_speaks_the_unit_of_the_sheet(self) -> None:
        assert " in " in plan_text(heron("eight")[1])
        assert " mm " in plan_text(heron("four")[1])

    def test_it_says_what_to_measure_again(self) -> None:
        page = plan_text(heron("eight")[1])
        for check in ("gasket's compressed thickness", "crowns", "squish", "piston to valve"):
            assert check in page

    def test_it_shows_the_ends_of_the_trade_off(self) -> None:
        page = plan_text(heron("four")[1])
        for end in ("cheapest", "nearest", "least metal"):
            assert f"\n{end:>11}  " in page

    def test_an_engine_that_may_stay_as_it_is(self, sheet: Sheet) -> None:
        options = parse_options("format = 1\n[target]\nratio = [9, 11]")
        assert "Plan 1 leaves the engine as it was measured" in plan_text(
            plan_report(sheet, options)
        )

    def test_names_from_the_file_cannot_move_the_cursor(self, sheet: Sheet) -> None:
        options = parse_options(OPTIONS.replace('"thin"', '"\\u001b[2Jthin"'))
        assert "\x1b" not in plan_text(plan_report(sheet, options))

    def test_a_missing_squish_range_is_pointed_out(self, sheet: Sheet) -> None:
        options = parse_options("format = 1\n[target]\nratio = [9, 11]")
        assert any("no squish range" in words for words in plan_report(sheet, options)["warnings"])

    def test_a_gasket_that_would_hang_into_the_cylinder_is_pointed_out(self, sheet: Sheet) -> None:
        small = OPTIONS.replace('bore = "93.2 mm"', 'bore = "91.0 mm"')
        warnings = plan_report(sheet, parse_options(small))["warnings"]
        assert any("hang into the cylinder" in words for words in warnings)


def test_a_front_too_long_to_list_says_how_it_is_listed(sheet: Sheet) -> None:
    options = parse_options("""\
        format = 1
        target = { ratio = [9.9, 10.9], aim = 10.8 }
        deck_cut = { step = "0.0002 mm", max = "0.35 mm", price = 140 }
        head_cut = { step = "0.05 mm", max = "0.4 mm", price = 90, cc_per_mm = 4.1 }
    """)
    report = plan_report(sheet, options)
    assert report["front_count"] > 1000 >= len(report["front"]) > 50
    assert report["front_step"] == 0.01
    words = " ".join(plan_text(report).split())
    assert f"No plan beats these {report['front_count']} in price" in words
    assert f"{len(report['front'])} of them are listed: at each price, one for each 0.01" in words
