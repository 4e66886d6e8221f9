"""Answers about an overbore, and arguments about a misprint, whatever is written."""

from __future__ import annotations

import pytest

from enginemath.answers.size_questions import (
    argument,
    judge_above_piston,
    judge_bored_out,
    judge_deck_volume,
)
from enginemath.answers.verdict import TOO_COARSE
from enginemath.engine.stack import stack_of
from enginemath.sheets import Sheet, read_sheet
from enginemath.sheets.class_readings import group_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Refused, in_cc


@pytest.fixture(scope="module")
def eight() -> Sheet:
    return read_sheet(path("heron-eight.toml"))


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("5172.5 cc", "right"),
        ("315.6 cu in", "right"),
        ("5.172 L", "right"),
        ("5253.5 cc", "on the diameter, or on each side?"),
        ("5092.1 cc", "what it was before"),
        ("80.4 cc", "how much it grows"),
        ("646.56 cc", "not yet"),
        ("5172.5", "right; write the unit: cc was taken"),
        ("5253.5", "or on each side? Write the unit: cc was taken."),
        ("", "nothing written yet"),
        ("large", "write a number"),
        ("5172.5 mm", "a volume is wanted"),
        ("5172,5 cc", "decimal point"),
        ("1e999 cc", "not a number"),
        ("9e99 cc", "not a number that can be measured"),
        ("1/0 cc", "no such fraction"),
    ],
)
def test_the_displacement_after_an_overbore(answer: str, says: str, eight: Sheet) -> None:
    """8 · π/4 · 3.845² · 3.398 in³ = 315.64 cu in = 5172.5 cc, with a pocket calculator."""
    assert says in judge_bored_out(eight, "30 thou", answer).sentence


@pytest.mark.parametrize(
    ("angle", "answer", "says"),
    [
        ("180 deg", "146.44 cc", "right"),
        ("180 deg", "8.936 cu in", "right"),
        ("180 deg", "130.63 cc", "what the piston sweeps"),
        ("180 deg", "15.81 cc", "left at the top"),
        ("90 deg", "89.83 cc", "right"),
        ("90 deg", "89.8 cc", "right"),
        ("90 deg", "81.13 cc", "The rod leans"),
        ("90 deg", "81.11 cc", "The rod leans"),  # 15.81 + 65.30, half of the stroke to a tenth
        ("90 deg", "146.44 cc", "at the very bottom"),
        ("120 deg", "120.28 cc", "right"),
        ("120 deg", "54.97 cc", "from the top or from the bottom"),
        ("120 deg", "999 cc", "too large"),
        ("120 deg", "90", "too small: go step by step. Write the unit: cc was taken."),
        ("120 deg", "120.28", "right; write the unit: cc was taken"),
        ("120 deg", "", "nothing written yet"),
        ("120 deg", "a lot", "write a number"),
        ("120 deg", "120.28 mm", "a volume is wanted"),
        ("120 deg", "120,28 cc", "decimal point"),
        ("120 deg", "361/3 cc", "right"),
    ],
)
def test_the_volume_above_the_piston(angle: str, answer: str, says: str) -> None:
    """Heron One: clearance 15.81 cc, swept 130.63 cc, crank radius 24.185 mm, rod 92.35 mm.

    Pythagoras at a quarter turn: down 24.185 + 92.35 - √(92.35² - 24.185²) = 27.408 mm, that is
    74.02 cc; at 120° down 24.185 · 1.5 + 92.35 - √(92.35² - 20.945²) = 38.685 mm, 104.48 cc.
    """
    heron_one = read_sheet(path("heron-one.toml")).engine
    assert says in judge_above_piston(heron_one, angle, answer).sentence


def test_an_argument_for_a_misprint() -> None:
    assert argument("55", " Bore ", "3.03 in")[-1].endswith("rows 51 to 54")
    assert "−6.6 %" in argument(130, "cylinders", "5")[1]


@pytest.mark.parametrize(
    ("row", "number", "should_be", "says"),
    [
        ("", "bore", "3.03 in", "row: nothing written yet"),
        ("one", "bore", "3.03 in", "write a whole number"),
        ("²", "bore", "3.03 in", "write a whole number"),
        ("999", "bore", "3.03 in", "no such row"),
        ("55", "", "3.03 in", "number: nothing written yet"),
        ("55", "ratio", "9", "write one of bore, stroke, cylinders, size"),
        ("55", "bore", "", "bore: nothing written yet"),
        ("130", "cylinders", "six", "write a whole number"),
        ("130", "cylinders", "0", "write a whole number"),
    ],
)
def test_what_cannot_be_argued(row: str, number: str, should_be: str, says: str) -> None:
    with pytest.raises(Refused, match=says):
        argument(row, number, should_be)


def test_a_volume_in_litres_needs_its_digits() -> None:
    engine = read_sheet(path("heron-four.toml")).engine
    right = in_cc(stack_of(engine).clearance + engine.cylinder.swept)
    said = judge_above_piston(engine, "180 deg", "0.6 L").sentence
    assert said == TOO_COARSE.sentence
    assert judge_above_piston(engine, "180 deg", f"{right / 1000:.4f} L").sentence == "right"


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("2.15 cc", "right"),  # π/4 · 3.815² · 0.0115 in³ · 16.387
        ("2.25 cc", "one side of the pin"),  # 0.0120 in
        ("2.06 cc", "one side of the pin"),  # 0.0110 in
        ("4.31 cc", "sum into a mean"),
        ("0.1315 cc", "in the same unit"),  # left in cubic inches
        ("-2.15 cc", "below the deck or above it"),
        ("2.16 cc", "Keep more digits"),  # the mean rounded up in its last digit
        ("9.99 cc", "no usual slip"),
        ("", "nothing written yet"),
    ],
)
def test_the_deck_volume_of_a_piston_that_rocks(answer: str, says: str) -> None:
    sheet = group_sheet("heron-eight", cylinder=3, group="A")
    verdict = judge_deck_volume(sheet, ("0.0120 in", "0.0110 in"), answer)
    assert says in verdict.sentence


@pytest.mark.parametrize(
    ("doubted", "bare", "unit"), [("size", "303", "cu in"), ("bore", "3.22", "in")]
)
def test_a_bare_number_is_in_the_unit_that_is_printed(doubted: str, bare: str, unit: str) -> None:
    assert argument(130, doubted, bare) == argument(130, doubted, f"{bare} {unit}")
