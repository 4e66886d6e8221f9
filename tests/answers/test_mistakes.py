"""The catalogue does to the hand calculation what the school's table of mistakes says.

Source of the numbers: the table of one invented engine, worked out apart from this code and
printed to four decimals; that the mistakes are made: common practice, no source.
"""

from __future__ import annotations

import re

import pytest

from enginemath.answers import CATALOGUE, QUANTITIES, predictions
from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.sheets import parse
from tests.answers.sheets import FULL, full

RATIO = {
    "radius-for-diameter": 36.3079,
    "whole-engine-for-one-cylinder": 36.3079,
    "forgot-plus-one": 8.8270,
    "ratio-upside-down": 0.1018,
    "gasket-forgotten": 10.9469,
    "gasket-uncompressed": 9.6067,
    "cylinder-bore-for-gasket-bore": 9.8525,
    "dish-subtracted": 11.7652,
    "crown-forgotten": 10.7002,
    "reliefs-forgotten": 10.2141,
    "deck-forgotten": 10.1462,
    "deck-sign": 10.4895,
    "depth-at-bdc-as-stroke": 9.8619,
    "deck-counted-twice-in-pour": 9.5292,
    "crevice-forgotten": 9.8962,
    "cubic-inches-as-cc": 1.5387,
    "inch-factor-not-cubed": 2.3682,
    "inch-factor-squared": 4.4752,
    "thousand-slip": 89.2696,
    "crank-radius-as-stroke": 5.4135,
}
EFFECTIVE = {
    "rod-ignored": 7.6202,
    "angle-from-tdc": 3.7210,
    "ratio-scaled-not-volume": 7.9427,
}
RIGHT = {
    "compression_ratio": 9.8270,
    "effective_ratio": 8.1344,
    "swept_volume": 588.3135,
    "clearance_volume": 66.6496,
}
ALL_IDS = {*RATIO, *EFFECTIVE, "dome-added", "inches-as-mm", "start-reading-not-subtracted",
           "refill-not-counted"}  # fmt: skip
LAST_DIGIT = 0.000051


@pytest.mark.parametrize(("quantity", "value"), RIGHT.items())
def test_right_answers_of_the_table(quantity, value):
    by_hand = HandCalculation(quantity, readings_of(full()))
    assert by_hand.answer() == pytest.approx(value, abs=LAST_DIGIT)


@pytest.mark.parametrize(("id", "ratio"), RATIO.items())
def test_ratio_of_the_table(id, ratio):
    assert predictions(full(), "compression_ratio")[id][0] == pytest.approx(ratio, abs=LAST_DIGIT)


@pytest.mark.parametrize(("id", "ratio"), EFFECTIVE.items())
def test_effective_ratio_of_the_table(id, ratio):
    assert predictions(full(), "effective_ratio")[id][0] == pytest.approx(ratio, abs=LAST_DIGIT)


def test_inches_as_mm_of_the_table():
    # "about 10.90": the thickness of 0.0433 in typed as 0.0433 mm.
    found = predictions(full(), "compression_ratio")["inches-as-mm"]
    assert found[0] == pytest.approx(10.90, abs=0.005)


def test_fills_that_are_added_up_wrongly():
    # 25.00 + 23.10 = 48.10 in place of 47.50; the last fill alone is 23.10.
    found = predictions(full(), "clearance_volume")
    right = RIGHT["clearance_volume"]
    assert found["start-reading-not-subtracted"][0] == pytest.approx(right + 0.6, abs=LAST_DIGIT)
    assert found["refill-not-counted"][0] == pytest.approx(right - 24.4, abs=LAST_DIGIT)


def test_a_dome_added_is_twice_the_dome_too_much():
    text = FULL.replace('dish = "6.0 cc"', 'dome = "4.5 cc"')
    found = predictions(parse(text), "crown_volume")
    assert found["dome-added"][0] == pytest.approx(4.5 + 2.8)
    assert "dish-subtracted" not in found


def test_every_id_of_the_plan_is_there():
    assert set(CATALOGUE) >= ALL_IDS


@pytest.mark.parametrize("mistake", CATALOGUE.values(), ids=list(CATALOGUE))
def test_words_for_student_and_instructor(mistake):
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", mistake.id)
    assert "?" in mistake.hint
    assert mistake.hint[-1] in ".?"
    assert len(mistake.hint) <= 110
    assert mistake.tells[0].islower()
    assert not mistake.tells.endswith(".")
    assert 0 < mistake.commonness < 0.1


def test_a_hint_does_not_accuse():
    """A hint asks; what was done is for the instructor."""
    words = [(m.hint, m.tells) for m in CATALOGUE.values()]
    assert len({hint for hint, _ in words}) == len({tells for _, tells in words}) == len(words)
    assert not any(tells.casefold() in hint.casefold() for hint, tells in words)


def test_every_mistake_can_be_made_somewhere():
    dome = parse(FULL.replace('dish = "6.0 cc"', 'dome = "4.5 cc"'))
    pour = parse(
        FULL.replace(
            'dish = "6.0 cc"\nreliefs = "2.8 cc"',
            'known_depth = { depth = "12.70 mm", poured = "93.2 cc" }',
        )
    )
    made = {
        id for q in QUANTITIES for sheet in (full(), dome, pour) for id in predictions(sheet, q)
    }
    assert made == set(CATALOGUE)


@pytest.mark.parametrize(
    ("without", "ids"),
    [
        ('free_thickness = "1.35 mm"\n', {"gasket-uncompressed"}),
        (
            '[ring_land]\nheight = "6.0 mm"\nclearance = "0.60 mm"\n',
            {"crevice-forgotten", "land-clearance-on-each-side"},
        ),
        ('reliefs = "2.8 cc"\n', {"reliefs-forgotten", "reliefs-subtracted"}),
        ('dish = "6.0 cc"\n', {"dish-subtracted", "crown-forgotten"}),
        (', ["0.00 mL", "23.10 mL"]', {"refill-not-counted"}),
    ],
)
def test_a_mistake_that_the_sheet_does_not_allow_is_not_looked_for(without, ids):
    assert without in FULL
    left = predictions(parse(FULL.replace(without, "")), "compression_ratio")
    assert not ids & set(left)
    assert ids <= set(predictions(full(), "compression_ratio"))


def test_a_single_has_no_whole_engine():
    single = parse(FULL.replace("count = 4", "count = 1"))
    for quantity in ("compression_ratio", "swept_volume", "displacement"):
        found = predictions(single, quantity)
        assert not {"whole-engine-for-one-cylinder", "one-cylinder-for-whole-engine"} & set(found)


def test_a_poured_gasket_has_no_thickness_to_mistake():
    text = re.sub(r"\[gasket\]\n(.*\n){3}", '[gasket]\nvolume = "7.50 cc"\n', FULL)
    found = predictions(parse(text), "gasket_volume")
    assert not {"gasket-uncompressed", "cylinder-bore-for-gasket-bore", "inches-as-mm"} & set(found)
