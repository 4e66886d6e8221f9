"""The catalogue does to the hand calculation what the school's table of mistakes says.

Source of the numbers: the table of one invented engine, worked out apart from this code and
printed to four decimals; that the mistakes are made: common practice, no source.
"""

from __future__ import annotations

import math
import re

import pytest

from enginemath.answers import CATALOGUE, predictions
from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.suspects import Search
from enginemath.answers.verdict import PLACES
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
TARGET = 10.4
WITH_DOME = FULL.replace('dish = "6.0 cc"', 'dome = "4.5 cc"')
KNOWN_DEPTH = FULL.replace(
    'dish = "6.0 cc"\nreliefs = "2.8 cc"',
    'known_depth = { depth = "12.70 mm", poured = "93.2 cc" }',
)

# A worked value for each mistake: the quantity that it shows in, what it gives there, and the sheet
# where it is another. Those of the table; the others are sums with the table's volumes: gasket
# 7.5044, deck 2.3267, dish 6.0, reliefs 2.8, crevice 0.5186, chamber 47.50.
SWEPT, CLEARANCE = RIGHT["swept_volume"], RIGHT["clearance_volume"]
WANTED = SWEPT / (TARGET - 1)
OPENING = math.pi / 4 * 9.32**2  # cm²
THICKER = 10 * (WANTED - CLEARANCE) / OPENING  # mm


def drop(radius: float, angle: float) -> float:
    """How far the piston stands down, by Pythagoras; rod 145 mm, the angle in radians."""
    up = radius * math.cos(angle) + math.sqrt(145.0**2 - (radius * math.sin(angle)) ** 2)
    return radius + 145.0 - up


WORKED: dict[str, tuple[str, float] | tuple[str, float, str]] = {
    **{id: ("compression_ratio", ratio) for id, ratio in RATIO.items()},
    **{id: ("effective_ratio", ratio) for id, ratio in EFFECTIVE.items()},
    "start-reading-not-subtracted": ("clearance_volume", CLEARANCE + 0.60),  # 48.10, not 47.50
    "refill-not-counted": ("clearance_volume", CLEARANCE - 24.40),  # the last fill alone
    "inches-as-mm": ("gasket_volume", OPENING * 0.110 / 25.4),
    "land-clearance-on-each-side": (
        "clearance_volume",
        CLEARANCE + 6e-3 * math.pi / 4 * (91.4**2 - 90.8**2),
    ),
    "calculator-in-radians": ("piston_drop", drop(44.25, 240.0)),
    "stroke-as-crank-radius": ("piston_drop", drop(88.5, math.radians(240))),
    "pushed-out-for-trapped": ("piston_drop", 88.5 - drop(44.25, math.radians(240))),
    "intake-closing-ignored": ("trapped_volume", SWEPT),
    "diameter-halved-twice": ("swept_volume", SWEPT / 4),
    "one-cylinder-for-whole-engine": ("displacement", SWEPT),
    "bore-not-squared": ("swept_volume", SWEPT / 92.0),
    "square-for-circle": ("swept_volume", 92.0**2 * 88.5 / 1000),
    "bore-and-stroke-exchanged": ("swept_volume", SWEPT * 88.5 / 92.0),
    "gasket-bore-for-cylinder-bore": ("deck_volume", OPENING * 0.035),
    "pour-not-reduced": ("crown_volume", 93.2, KNOWN_DEPTH),
    "dome-added": ("crown_volume", 4.5 + 2.8, WITH_DOME),
    "reliefs-subtracted": ("clearance_volume", CLEARANCE - 2 * 2.8),
    "chamber-alone": ("clearance_volume", 47.50),
    "clearance-counted-as-swept": ("compression_ratio", (SWEPT + 2 * CLEARANCE) / CLEARANCE),
    "divided-by-swept": ("compression_ratio", (SWEPT + CLEARANCE) / SWEPT),
    "present-for-wanted": ("wanted_clearance", CLEARANCE),
    "change-sign-turned": ("volume_change", CLEARANCE - WANTED),
    "wanted-for-change": ("volume_change", WANTED),
    "change-for-thickness": ("gasket_thickness", THICKER),
    "present-gasket": ("squish_clearance", 0.35 + 1.10),
}
TO_TARGET_TOO = {
    ("forgot-plus-one", "wanted_clearance"): SWEPT / TARGET,
    ("cylinder-bore-for-gasket-bore", "gasket_thickness"): 1.10 + THICKER * (93.2 / 92.0) ** 2,
    ("radius-for-diameter", "gasket_thickness"): 1.10 + THICKER / 4,
    ("change-sign-turned", "gasket_thickness"): 1.10 - THICKER,
    ("gasket-uncompressed", "gasket_thickness"): 1.35 + THICKER,
    ("deck-forgotten", "squish_clearance"): 1.10 + THICKER,
    ("deck-sign", "squish_clearance"): 1.10 + THICKER - 0.35,
}
LAST_DIGIT = 0.000051


@pytest.mark.parametrize(("quantity", "value"), RIGHT.items())
def test_right_answers_of_the_table(quantity, value):
    by_hand = HandCalculation(quantity, readings_of(full()))
    assert by_hand.answer() == pytest.approx(value, abs=LAST_DIGIT)


def gives(quantity: str, text: str = FULL) -> dict[str, list[float]]:
    """What each mistake gives, by id, the usual way first."""
    found: dict[str, list[float]] = {}
    for suspect in Search(quantity, readings_of(parse(text), TARGET)).alone:
        found.setdefault(suspect.ids[0], []).append(suspect.predicted)
    return found


@pytest.mark.parametrize("id", CATALOGUE)
def test_a_mistake_gives_what_was_worked_by_hand(id):
    """A mistake that is new in the catalogue fails here until its value stands in `WORKED`."""
    assert id in WORKED, "work a value by hand and write it into WORKED"
    quantity, value, *text = WORKED[id]
    assert gives(quantity, *text)[id][0] == pytest.approx(value, abs=4 * LAST_DIGIT)


@pytest.mark.parametrize(("id", "quantity"), TO_TARGET_TOO)
def test_a_mistake_on_the_way_to_a_target(id, quantity):
    assert gives(quantity)[id][0] == pytest.approx(TO_TARGET_TOO[id, quantity], abs=LAST_DIGIT * 4)


def test_no_worked_value_is_left_over():
    assert set(WORKED) == set(CATALOGUE)


def test_inches_as_mm_of_the_table():
    # "about 10.90": the thickness of 0.0433 in typed as 0.0433 mm.
    found = predictions(full(), "compression_ratio")["inches-as-mm"]
    assert found[0] == pytest.approx(10.90, abs=0.005)


def test_a_sheet_with_a_dome_has_no_dish_to_subtract():
    assert "dish-subtracted" not in predictions(parse(WITH_DOME), "crown_volume")


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


def test_every_mistake_has_its_place_or_none_and_every_step_its_words():
    for mistake in CATALOGUE.values():
        assert mistake.place in {*PLACES, ""}
        for slip in mistake.slips:
            assert bool(slip.tells) == bool(slip.hint)
            assert "?" in (slip.hint or "?")
            assert not re.search(r"\d", slip.hint)


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
