"""A choice that somebody writes down for an engine with two banks, in lessons and panels."""

from __future__ import annotations

import re

import pytest

from enginemath.change.combination import choice_of, machined
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list_file import parse_options
from enginemath.change.work_order import order_text, plan_order, work_order
from enginemath.lesson import check_choice, compare_choice, show_order
from enginemath.panels.build_sheet import BuildSheet, build_sheet_numbers
from enginemath.panels.choose_the_change import choose_the_change_numbers
from enginemath.sheets import parse
from enginemath.units import Refused, in_mm
from tests.change.eight import OPTIONS, SHEET

EIGHT, LIST = parse(SHEET), parse_options(OPTIONS)
BANKS = ("left", "right")
STEEL = {"gasket": "steel", "piston": "as measured"}


def test_each_bank_is_cut_by_its_own_depth_and_each_setup_is_paid() -> None:
    """Steel gasket 128, two deck setups of 260 each, no head."""
    choice = choice_of(
        LIST, **STEEL, deck_cut={"left": "0.020 in", "right": "0.012 in"}, head_cut={}, banks=BANKS
    )
    assert choice.price == 128 + 2 * 260
    before, after = EIGHT.engine, machined(EIGHT.engine, LIST, choice)
    cut = [
        in_mm(old.clearance - new.clearance) / 25.4
        for old, new in zip(before.decks, after.decks, strict=True)
    ]
    assert cut == pytest.approx([0.020, 0.012] * 4)


def test_one_depth_is_cut_off_every_bank_and_paid_for_each() -> None:
    choice = choice_of(LIST, **STEEL, deck_cut="0.012 in", head_cut="0 in", banks=BANKS)
    assert choice.price == 128 + 2 * 260
    assert len(choice.deck_cuts) == 2


def test_the_plan_s_first_is_the_choice_that_is_checked(
    capsys: pytest.CaptureFixture[str],
) -> None:
    plan = plan_report(EIGHT, LIST, 3)["plans"][1]
    cuts = {
        f"{face}_cut": {bank: f"{mm} mm" for bank, mm in plan[f"{face}_cuts_mm"].items()}
        for face in ("deck", "head")
    }
    check_choice(EIGHT, LIST, gasket=plan["gasket"], piston=plan["piston"], **cuts)
    said = capsys.readouterr().out
    assert f"mean ratio {plan['compression_ratio']:.3f}" in said
    assert f"price {plan['price']:g}" in said
    assert "BROKEN" not in said


def test_a_bank_that_the_engine_has_not_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    check_choice(EIGHT, LIST, **STEEL, deck_cut={"middle": "0.012 in"}, head_cut="0 in")
    assert capsys.readouterr().out == (
        'deck cut: bank "middle": the engine has no such bank; its banks: left, right\n'
    )


def test_rods_and_crank_can_be_chosen_too(capsys: pytest.CaptureFixture[str]) -> None:
    check_choice(EIGHT, LIST, **STEEL, rods="long", deck_cut={"left": "0.008 in"}, head_cut={})
    assert "price 868" in capsys.readouterr().out
    check_choice(EIGHT, LIST, **STEEL, rods="longer", deck_cut="0 in", head_cut="0 in")
    assert 'rods "longer": not on the list' in capsys.readouterr().out


def test_a_choice_of_two_banks_is_compared_and_ordered(capsys: pytest.CaptureFixture[str]) -> None:
    few = re.sub(r"(?s)\[\[piston\]\].*?(?=\[\[rods|\[tolerances|\Z)", "", OPTIONS)
    few = re.sub(r"(?s)\[head_cut\].*?(?=\[\[|\[[a-z])", "", few)
    small = parse_options(few)
    cuts = {"deck_cut": {"left": "0.020 in", "right": "0.012 in"}, "head_cut": "0 in"}
    compare_choice(EIGHT, small, **STEEL, **cuts)
    assert re.match(
        r"right\. Of \d+ combinations, \d+ keep to every limit\. Yours is one",
        capsys.readouterr().out,
    )
    show_order(EIGHT, LIST, **STEEL, **cuts)
    said = capsys.readouterr().out
    assert "Cut the deck of bank left to a height of 9.0050 in" in said
    assert "Cut the deck of bank right to a height of 9.0130 in" in said


def test_the_order_of_a_choice_is_the_order_of_the_plan() -> None:
    plans = plan_report(EIGHT, LIST, 2)["plans"]
    cuts = {
        f"{face}_cut": {bank: f"{mm} mm" for bank, mm in plans[1][f"{face}_cuts_mm"].items()}
        for face in ("deck", "head")
    }
    by_choice = work_order(EIGHT, LIST, choice_of(LIST, **STEEL, **cuts, banks=BANKS))
    assert order_text(by_choice) == order_text(plan_order(EIGHT, LIST, 2))


def test_a_choice_of_one_cut_is_no_order_for_two_banks() -> None:
    choice = choice_of(LIST, **STEEL, deck_cut="0.012 in", head_cut="0 in")
    with pytest.raises(Refused, match="the engine has 2 banks"):
        work_order(EIGHT, LIST, choice)


def test_the_panel_shows_plans_and_orders_of_two_banks() -> None:
    panel = BuildSheet(EIGHT, LIST, projector=False)
    assert len(build_sheet_numbers(EIGHT, LIST)) == 5
    for number in (0, 4):
        panel.plans.take(number)
        words = panel.words()
        assert "Cut the deck of bank left to a height of" in words
        assert "deck cut, bank left:" in panel.order.html
        assert panel.picture is not None


def test_a_cut_of_every_bank_is_paid_for_each_in_lesson_9() -> None:
    numbers = choose_the_change_numbers(
        EIGHT,
        options=LIST,
        gasket="steel",
        piston="as measured",
        deck_cut="0.012 in",
        head_cut="0 in",
    )
    assert numbers["price"] == 128 + 2 * 260
