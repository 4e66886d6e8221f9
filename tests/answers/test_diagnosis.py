"""What the diagnosis says of single answers, right, rounded and wrong."""

from __future__ import annotations

import json
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers import CATALOGUE, QUANTITIES, diagnose, predictions
from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.mistakes import AT_CLOSING
from enginemath.engine.stack import mean, stacks
from enginemath.sheets import parse, read_sheet
from enginemath.sheets.class_readings import group_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Refused
from tests.answers.drawn_engines import draw
from tests.answers.sheets import FULL, full

FILLS = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'


def ids(diagnosis):
    return [each.mistakes for each in diagnosis.explanations]


# The ratio is 9.82696, the clearance volume 66.6496 cc, the swept volume 588.3135 cc.
@pytest.mark.parametrize(
    ("quantity", "written"),
    [
        ("compression_ratio", "9.8"),
        ("compression_ratio", "9.83"),
        ("compression_ratio", "9.827"),
        ("compression_ratio", "9.8270:1"),
        ("compression_ratio", "9.826963714"),
        ("compression_ratio", "9.8272"),  # volumes to 0.01 cc
        ("compression_ratio", "9.833"),  # volumes to 0.1 cc: 588.3 and 66.6
        ("swept_volume", "588.3"),
        ("swept_volume", "588 cc"),
        ("swept_volume", "35.9 cu in"),
        ("swept_volume", "0.5883 L"),
        ("displacement", "2353"),
        ("displacement", "2.353 L"),
        ("gasket_volume", "7.5"),
        ("deck_volume", "2.33"),
        ("crown_volume", "8.8"),
        ("clearance_volume", "66.65"),
        ("effective_ratio", "8.13"),
    ],
)
def test_right(quantity, written):
    diagnosis = diagnose(full(), quantity, written)
    assert diagnosis.correct
    assert diagnosis.explanations == ()
    assert diagnosis.says.startswith("right")


@pytest.mark.parametrize("written", ["9.84", "9.82", "9.86", "9.85", "9.7", "9.9", "9.8320"])
def test_a_small_slip_does_not_hide_in_the_tolerance(written):
    assert not diagnose(full(), "compression_ratio", written).correct


@pytest.mark.parametrize(
    ("written", "id"),
    [("9.8525", "cylinder-bore-for-gasket-bore"), ("9.862", "depth-at-bdc-as-stroke")],
)
def test_a_mistake_worth_three_hundredths_is_named(written, id):
    assert ids(diagnose(full(), "compression_ratio", written))[0] == (id,)


# Whole cc and π = 3.14 give 655/67; a real path of rounding, not a mistake of method.
@pytest.mark.parametrize("written", ["9.776", "9.78", "9.7761"])
def test_early_rounding_is_no_mistake_of_method(written):
    diagnosis = diagnose(full(), "compression_ratio", written)
    assert not diagnosis.correct
    assert diagnosis.verdict.kind == "nearly"
    assert ids(diagnosis)[0] == ()
    assert "Early rounding" in diagnosis.explanations[0].says
    assert not any(len(mistakes) == 1 for mistakes in ids(diagnosis))


def test_a_mistake_that_gives_exactly_the_number_comes_before_early_rounding():
    # A chamber of 51.2 cc: depth for stroke gives 590.640/70.350 + 1, whole cc 588/70 + 1.
    sheet = parse(FULL.replace(FILLS, 'volume = "51.2 cc"'))
    diagnosis = diagnose(sheet, "compression_ratio", "9.40")
    assert ids(diagnosis) == [("depth-at-bdc-as-stroke",), ()]
    assert "Early rounding (whole cc)" in diagnosis.explanations[1].says


def test_digits_cut_off():
    # The deck volume is 2.3267 cc.
    diagnosis = diagnose(full(), "deck_volume", "2.32")
    assert diagnosis.verdict.kind == "nearly"
    assert ids(diagnosis) == [()]
    assert "cut off" in diagnosis.explanations[0].says


@pytest.mark.parametrize(
    ("quantity", "written"), [("compression_ratio", "10"), ("clearance_volume", "67 cc")]
)
def test_too_few_digits_are_asked_for(quantity, written):
    diagnosis = diagnose(full(), quantity, written)
    assert not diagnosis.correct
    assert ids(diagnosis) == [()]
    assert "one more digit" in diagnosis.explanations[0].says


def test_two_mistakes_that_give_one_number():
    diagnosis = diagnose(full(), "compression_ratio", "36.31")
    two = {("radius-for-diameter",), ("whole-engine-for-one-cylinder",)}
    assert set(ids(diagnosis)[:2]) == two
    assert all("ask for the working" in each.says for each in diagnosis.explanations[:2])
    assert "Show your working" in diagnosis.says


def test_one_mistake_is_not_asked_about_twice():
    diagnosis = diagnose(full(), "compression_ratio", "8.827")
    assert ids(diagnosis)[0] == ("forgot-plus-one",)
    assert "ask for the working" not in diagnosis.explanations[0].says


def test_two_mistakes_together():
    # Without the gasket the clearance is 59.1452 cc, and 588.3135/59.1452 is 9.9469.
    diagnosis = diagnose(full(), "compression_ratio", "9.947")
    assert {"gasket-forgotten", "forgot-plus-one"} in [set(each) for each in ids(diagnosis)]
    best = diagnosis.explanations[0]
    assert best.predicted == pytest.approx(9.9469, abs=5e-5)
    assert "guess" in best.says


@pytest.mark.parametrize("written", ["12.345", "13.11", "7.7777", "251.3", "0", "-9.83", "1e9"])
def test_nothing_known_accuses_nobody(written):
    diagnosis = diagnose(full(), "compression_ratio", written)
    assert diagnosis.explanations == ()
    assert diagnosis.verdict.kind == "unknown"
    assert "show your working" in diagnosis.says


def test_a_volume_without_a_unit_is_in_cc():
    assert diagnose(full(), "swept_volume", "588.3").correct
    left_in_inches = diagnose(full(), "swept_volume", "35.90")
    assert not left_in_inches.correct
    assert ids(left_in_inches)[0] == ("cubic-inches-as-cc",)


def test_inch_sheet_with_discs_left_in_cubic_inches():
    # The Heron Eight: the gasket is 3.880 in wide and 0.0390 in thick, 0.46113 in³.
    sheet = read_sheet(path("heron-eight.toml"))
    diagnosis = diagnose(sheet, "gasket_volume", "0.461")
    assert ids(diagnosis)[0] == ("cubic-inches-as-cc",)


CYLINDERS = FULL.replace(
    FILLS,
    'volumes = ["46.1 cc", "47.5 cc", "48.2 cc", "47.9 cc"]',
)


def test_a_ratio_is_the_mean_over_the_cylinders():
    sheet = parse(CYLINDERS)
    ratios = [stack.ratio for stack in stacks(sheet.engine)]
    diagnosis = diagnose(sheet, "compression_ratio", f"{mean(ratios):.2f}")
    assert diagnosis.correct
    assert diagnosis.expected == pytest.approx(mean(ratios))


def test_the_ratio_of_the_mean_chamber_is_right_too():
    sheet = parse(CYLINDERS)
    clearances = [stack.clearance.m_as("cc") for stack in stacks(sheet.engine)]
    swept = sheet.engine.cylinder.swept.m_as("cc")
    of_the_mean = swept / mean(clearances) + 1
    assert of_the_mean != pytest.approx(
        diagnose(sheet, "compression_ratio", "9").expected, rel=5e-5
    )
    assert diagnose(sheet, "compression_ratio", f"{of_the_mean:.4f}").correct


def test_one_cylinder_alone_is_said_so():
    sheet = parse(CYLINDERS)
    third = stacks(sheet.engine)[2].ratio
    diagnosis = diagnose(sheet, "compression_ratio", f"{third:.3f}")
    assert not diagnosis.correct
    assert diagnosis.verdict.kind == "nearly"
    assert "cylinder 3" in diagnosis.explanations[0].says
    assert ids(diagnosis)[0] == ()


def test_a_flat_piston_has_no_crown():
    sheet = parse(FULL.replace('[piston]\ndish = "6.0 cc"\nreliefs = "2.8 cc"\n', ""))
    for written in ("0", "0.0", "0.00 cc"):
        assert diagnose(sheet, "crown_volume", written).correct
    assert not diagnose(sheet, "crown_volume", "6.0").correct


def test_json_holds_what_the_plan_says():
    found = json.loads(json.dumps(diagnose(full(), "compression_ratio", "10.95").as_dict()))
    assert set(found) == {"quantity", "unit", "expected", "correct", "explanations"}
    assert found["quantity"] == "compression_ratio"
    assert found["unit"] == ""
    assert found["expected"] == pytest.approx(9.8270, abs=5e-5)
    assert found["correct"] is False
    first = found["explanations"][0]
    assert set(first) == {"mistakes", "predicted", "says"}
    assert first["mistakes"] == ["gasket-forgotten"]
    assert first["predicted"] == pytest.approx(10.9469, abs=5e-5)
    assert diagnose(full(), "deck_volume", "2.3").as_dict()["unit"] == "cc"


def test_text_for_the_instructor():
    text = str(diagnose(full(), "compression_ratio", "10.95"))
    assert "10.95 written, 9.827 expected: not right" in text
    assert "left the gasket out" in text
    assert "ask for the working" in str(diagnose(full(), "compression_ratio", "12.345"))
    assert str(diagnose(full(), "deck_volume", "2.33 cc")).endswith("2.327 cc expected: right")


@pytest.mark.parametrize(
    ("quantity", "written", "reason"),
    [
        ("compression ratio", "9.83", "unknown; did you mean compression_ratio"),
        ("weather", "9.83", "unknown; there are compression_ratio, clearance_volume"),
        ("compression_ratio", "9,83", "decimal point"),
        ("swept_volume", "588 mm", "a volume is wanted"),
    ],
)
def test_refusals(quantity, written, reason):
    with pytest.raises(Refused, match=reason):
        diagnose(full(), quantity, written)


def test_an_effective_ratio_that_the_sheet_does_not_hold():
    with pytest.raises(Refused, match=r"no cam\.intake_closes"):
        diagnose(parse(FULL.replace('intake_closes = "60 deg"', "")), "effective_ratio", "8.13")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(list(QUANTITIES)), st.integers(1, 6), st.data())
def test_the_student_is_never_told_the_answer(seed, quantity, decimals, data):
    engine = draw(seed)
    if quantity in AT_CLOSING and engine.closes is None:
        quantity = "compression_ratio"
    sheet = parse(engine.text)
    right = diagnose(sheet, quantity, "1.0").expected
    wrong = data.draw(st.floats(-2, 2)) * right + data.draw(st.floats(-5, 5))
    diagnosis = diagnose(sheet, quantity, f"{wrong:.{decimals}f}")
    assert not any(f"{right:.{places}f}" in diagnosis.says for places in (1, 2, 3))
    assert len(diagnosis.explanations) <= 5
    assert diagnosis.correct == (diagnosis.verdict.kind == "right")
    assert not (diagnosis.correct and diagnosis.explanations)
    json.dumps(diagnosis.as_dict(), allow_nan=False)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(list(QUANTITIES)), st.integers(1, 8))
def test_a_right_answer_is_always_right(seed, quantity, decimals):
    engine = draw(seed)
    if quantity in AT_CLOSING and engine.closes is None:
        quantity = "compression_ratio"
    sheet = parse(engine.text)
    right = diagnose(sheet, quantity, "1.0").expected
    assert diagnose(sheet, quantity, f"{right:.{decimals}f}").correct


def test_every_pair_of_the_table_engine_is_found():
    """Every two mistakes, worked out by the catalogue and written to four decimals."""
    usual = {id: found[0] for id, found in predictions(full(), "compression_ratio").items()}
    hand, found, tried = HandCalculation("compression_ratio", readings_of(full())), 0, 0
    for one, other in combinations([id for id in CATALOGUE if id in usual], 2):
        slips = (CATALOGUE[one].slips[0], CATALOGUE[other].slips[0])
        ratio = hand.answer(slips)
        if ratio is None or min(abs(ratio - usual[one]), abs(ratio - usual[other])) < 1e-4:
            continue
        diagnosis = diagnose(full(), "compression_ratio", f"{ratio:.4f}")
        tried += 1
        found += {one, other} in [set(each) for each in ids(diagnosis)]
    assert tried > 250
    assert found / tried > 0.97


def test_a_disc_rounded_in_cubic_inches_is_rounding_and_no_slip():
    """0.461 cu in of a gasket, π/4 · 3.881² · 0.039, is 7.55 cc; unrounded it is 7.56 cc."""
    sheet = group_sheet("heron-eight", cylinder=3, group="A")
    verdict = diagnose(sheet, "gasket_volume", "7.55 cc").verdict
    assert verdict.kind == "nearly"
    assert diagnose(sheet, "gasket_volume", "7.50 cc").verdict.kind == "unknown"
