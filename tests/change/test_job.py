"""What an engine's price list offers: banks, heights, stock, and whether a gasket is bought."""

from __future__ import annotations

from typing import Any

import pytest

from enginemath.change.job import Depths, job_of
from enginemath.change.plan_report import plan_report, plan_text
from enginemath.change.price_list_file import parse_options
from enginemath.sheets import EXAMPLE, parse
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import Refused
from tests.change.eight import OPTIONS, SHEET
from tests.change.options_text import OPTIONS as PLAIN


def names(job: Any, parts: str) -> list[str]:
    return [option.name for option in getattr(job.options, parts)]


def test_every_field_of_the_price_list_is_used() -> None:
    job = job_of(parse(SHEET), parse_options(OPTIONS))
    assert names(job, "gaskets") == ["steel", "composite"]
    assert names(job, "pistons") == ["as measured", "next size"]
    assert names(job, "rods") == ["as measured", "long"]
    assert names(job, "cranks") == ["as measured", "stroker"]
    assert [bank.name for bank in job.banks] == ["left", "right"]
    assert [bank.places for bank in job.banks] == [(0, 2, 4, 6), (1, 3, 5, 7)]
    heads = [bank.heights.head.m_as("inch") for bank in job.banks if bank.heights.head is not None]
    assert heads == pytest.approx([4.520, 4.500])
    assert 'gasket "copper": none in stock, no choice' in job.notes
    assert job.combinations == 2 * 2 * 2 * 2 * (6 * 4) ** 2


def test_the_depths_left_by_clean_up_and_minimum() -> None:
    """0.018 in of block is left: 0.016 is the last step; 0.010 in has to be cut, so 0.012."""
    text = OPTIONS.replace('block_height_min = "9.000 in"', 'block_height_min = "9.007 in"')
    text = text.replace('head_height = "4.500 in"', 'deck_clean_up = "0.010 in"')
    left, right = job_of(parse(SHEET), parse_options(text)).banks
    assert (left.deck, right.deck) == (Depths(True, 1, 4), Depths(False, 3, 4))
    assert list(right.deck) == [3, 4]
    assert left.head == right.head == Depths(True, 1, 3)


class TestTheGasketIsBought:
    def test_on_a_sheet_of_format_2(self) -> None:
        report = plan_report(parse(SHEET), parse_options(OPTIONS), 20)
        assert report["plans"]
        assert {plan["gasket"] for plan in report["plans"]} <= {"steel", "composite"}
        assert min(plan["price"] for plan in report["plans"]) >= 64

    def test_unless_the_sheet_says_that_it_is_used_again(self) -> None:
        sheet = parse(SHEET.replace("[gasket]", "[gasket]\nreuse = true"))
        assert names(job_of(sheet, parse_options(OPTIONS)), "gaskets")[0] == "as measured"

    def test_unless_none_is_listed_and_then_it_is_said(self) -> None:
        text = "format = 1\n[target]\nratio = [9, 10]\nsquish = ['0.02 in', '0.09 in']"
        report = plan_report(parse(SHEET), parse_options(text))
        assert report["plans"][0]["gasket"] == "as measured"
        assert any("no gasket is listed" in note for note in report["notes"])
        assert "no gasket is listed" in plan_text(report)

    def test_a_sheet_of_format_1_keeps_its_meaning_and_it_is_said(self) -> None:
        sheet, options = parse(EXAMPLE), parse_options(PLAIN)
        assert names(job_of(sheet, options), "gaskets")[0] == "as measured"
        report = plan_report(sheet, options)
        assert any("a used gasket is not priced" in note for note in report["notes"])


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            'name = "right"',
            'name = "rihgt"',
            'bank "rihgt" of the price list: the engine has no such bank',
        ),
        ("9.000 in", "9.030 in", r"block height of bank left: 9\.0250 in is below the maker's"),
        ("4.480 in", "4.510 in", r"head height of bank right: 4\.5000 in is below the maker's"),
        ('head = "4.520 in"', "", "head height of bank left: the maker's minimum is given and"),
        (
            'head = "4.520 in"',
            'head = "4.520 in"\nblock = "9.025 in"',
            "in the options file; leave",
        ),
        ('head_height = "4.500 in"', 'deck_clean_up = "0.019 in"', "deck of bank right: it has to"),
    ],
)
def test_what_does_not_go_with_the_engine_is_refused(old: str, new: str, says: str) -> None:
    sheet = parse(SHEET)
    if "deck_clean_up" in new:
        sheet = parse(SHEET.replace("9.025 in", "9.017 in"))
    options = parse_options(OPTIONS.replace(old, new))
    with pytest.raises(Refused, match=says):
        job_of(sheet, options)


def test_rods_for_an_engine_whose_rods_nobody_measured() -> None:
    with pytest.raises(Refused, match="the rods of the engine were not measured"):
        job_of(parse(SHEET.replace('rod_length = "5.700 in"\n', "")), parse_options(OPTIONS))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            'minimums_from = "shop manual, page 12"',
            "",
            r"limits\.minimums_from: missing; say where",
        ),
        ('"shop manual, page 12"', "12", r"limits\.minimums_from: write it in words"),
        ('"9.000 in"', '"9.000 ± 0.001 in"', r"limits\.block_height_min: write it without ±"),
        ('intake_valve = "0.120 in"', "", r"heights\.intake_valve: missing"),
        ("stock = 0", "stock = -1", r"gasket\[3\]\.stock: -1: write a whole number"),
        ("stock = 0", "stock = 1.5", r"gasket\[3\]\.stock"),
        ('clean_up = "0.004 in"', 'clean_up = "0.030 in"', r"deck_cut\.clean_up: .* more than the"),
        ("clean_up", 'needed = "yes"\nclean_up', r"deck_cut\.needed: .*write true or false"),
        ('length = "5.710 in"', "", r"rods\[1\]\.length: missing"),
        ('stroke = "3.500 in"', 'stroke = "3.5"', r"crank\[1\]\.stroke"),
        ('name = "stroker"', "", r"crank\[1\]\.name: missing"),
        ('overbore = "0.030 in"', 'overbore = "30 in"', r"piston\[1\]\.overbore"),
        ('[[bank]]\nname = "right"', "[[bank]]", r"bank\[1\]\.name: missing"),
        ("[[gasket]]", '[[bank]]\nname = "right"\n[[gasket]]', r"bank\[2\]\.name: .*two tables"),
        ("head_height =", "height =", r"bank\[1\]\.height: unknown; did you mean head_height"),
    ],
)
def test_a_wrong_field_is_named(old: str, new: str, says: str) -> None:
    with pytest.raises(SheetRefused, match=says):
        parse_options(OPTIONS.replace(old, new, 1))


def test_the_plans_keep_to_the_heights_and_the_valves() -> None:
    """By hand: the heights less the cuts; the valves come nearer by all that is taken away."""
    report = plan_report(parse(SHEET), parse_options(OPTIONS), 30)
    assert len(report["plans"]) == 30
    for plan in report["plans"]:
        cuts = {face: plan[f"{face}_cuts_mm"] for face in ("deck", "head")}
        for bank, head in (("left", 4.520), ("right", 4.500)):
            deck_left = plan["deck_heights_mm"][bank] / 25.4
            assert deck_left == pytest.approx(9.025 - cuts["deck"][bank] / 25.4, abs=1e-6)
            assert deck_left >= 9.000 - 1e-9
            head_left = plan["head_heights_mm"][bank] / 25.4
            assert head_left == pytest.approx(head - cuts["head"][bank] / 25.4, abs=1e-6)
            assert head_left >= 4.480 - 1e-9
            nearer = (cuts["deck"][bank] + cuts["head"][bank]) / 25.4
            nearer += 0.045 - {"steel": 0.036, "composite": 0.041}[plan["gasket"]]
            nearer += 0.010 * (plan["rods"] == "long") + 0.010 * (plan["crank"] == "stroker")
            nearer -= 0.010 * (plan["piston"] == "next size")
            assert nearer <= min(0.120 - 0.080, 0.135 - 0.100) + 1e-6
    assert "deck_cut_mm" not in report["plans"][0]
