"""The hand calculation without slips agrees with the library, and with a student apart from it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.by_hand.volumes import Habit
from enginemath.answers.mistakes import AT_CLOSING, CATALOGUE
from enginemath.engine.running import cranking
from enginemath.engine.stack import mean, mean_ratio, stacks
from enginemath.sheets import parse
from enginemath.units import Refused
from tests.answers import hand_student
from tests.answers.drawn_engines import draw
from tests.answers.sheets import FULL, full

SEEDS = st.integers(0, 10_000)


def by_hand(quantity, sheet, **how):
    return HandCalculation(quantity, readings_of(sheet)).answer(**how)


@settings(max_examples=40, deadline=None)
@given(SEEDS)
def test_agrees_with_the_stack_of_the_library(seed):
    sheet = parse(draw(seed).text)
    engine = sheet.engine
    parts = stacks(engine)
    for quantity, value in {
        "compression_ratio": mean_ratio(engine),
        "clearance_volume": mean([stack.clearance for stack in parts]).m_as("cc"),
        "swept_volume": engine.cylinder.swept.m_as("cc"),
        "displacement": engine.displacement.m_as("cc"),
        "gasket_volume": engine.gasket.volume.m_as("cc"),
        "deck_volume": mean([stack.deck for stack in parts]).m_as("cc"),
        "crown_volume": engine.piston.crown.m_as("cc"),
    }.items():
        assert by_hand(quantity, sheet) == pytest.approx(value, rel=1e-9, abs=1e-9)
    if engine.intake_closes is not None:
        ratios = [cranking(engine, number).effective_ratio for number in range(engine.count)]
        assert by_hand("effective_ratio", sheet) == pytest.approx(mean(ratios), rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(SEEDS)
def test_agrees_with_a_student_who_works_apart(seed):
    engine = draw(seed)
    sheet = parse(engine.text)
    for quantity in hand_student.QUANTITIES:
        if quantity == "effective_ratio" and engine.closes is None:
            continue
        right = hand_student.answer(engine, quantity)
        assert by_hand(quantity, sheet) == pytest.approx(right, rel=1e-9, abs=1e-9)


def test_an_offset_pin_counts_in_the_effective_ratio():
    sheet = parse(
        FULL.replace('rod_length = "145 mm"', 'rod_length = "145 mm"\npin_offset = "2 mm"')
    )
    effective = by_hand("effective_ratio", sheet)
    assert effective == pytest.approx(cranking(sheet.engine).effective_ratio, rel=1e-9)
    assert effective != pytest.approx(by_hand("effective_ratio", full()), rel=1e-6)


def test_whole_cc_and_a_short_pi():
    # (588 + 67) / 67: swept 3.14/4 · 92.0² · 88.5 = 588.0 cc, clearance 66.6 cc, in whole cc.
    habit = Habit("whole cc, π = 3.14", sums=0, π=3.14)
    assert by_hand("compression_ratio", full(), habit=habit) == pytest.approx(655 / 67)
    assert by_hand("swept_volume", full(), habit=Habit("π", π=3.14)) == pytest.approx(
        3.14 * 46.0**2 * 88.5 / 1000
    )


def test_a_half_is_rounded_up_as_taught():
    habit = Habit("every volume in whole cc", parts=0)
    # Chamber 47.5, gasket 7.5044, deck 2.3267, dish 6.0, reliefs 2.8, crevice 0.5186.
    clearance = by_hand("clearance_volume", full(), habit=habit)
    assert clearance == 48 + 8 + 2 + 6 + 3 + 1


@pytest.mark.parametrize(
    "missing", ['rod_length = "145 mm"\n', '[cam]\nintake_closes = "60 deg"\n']
)
@pytest.mark.parametrize("name", AT_CLOSING)
def test_what_begins_at_the_closing_takes_rod_and_cam(name, missing):
    words = name.replace("_", " ")
    with pytest.raises(Refused, match=rf"{words}: the sheet has no (cylinder|cam)\."):
        HandCalculation(name, readings_of(parse(FULL.replace(missing, ""))))


def test_a_calculation_that_cannot_be_finished_gives_none():
    # Everything above the piston is forgotten but the dome: the clearance volume is zero.
    nothing = parse(
        FULL.replace("fills = [", "# ")
        .replace('_thickness = "1.10 mm"', '_thickness = "3.0 mm"')
        .replace('_thickness = "1.35 mm"', '_thickness = "3.5 mm"')
        .replace("[chamber]", '[chamber]\nvolume = "1.0 cc"')
        .replace('dish = "6.0 cc"\nreliefs = "2.8 cc"', 'dome = "1.0 cc"')
    )
    slips = [
        CATALOGUE[id].slips[0] for id in ("gasket-forgotten", "deck-forgotten", "crevice-forgotten")
    ]
    assert by_hand("compression_ratio", nothing, slips=slips) is None


def test_working_leaves_the_readings_alone():
    readings = readings_of(full())
    before = dict(vars(readings))
    hand = HandCalculation("effective_ratio", readings)
    right = hand.answer()
    for mistake in CATALOGUE.values():
        for slip in mistake.slips:
            if not slip.applies or slip.applies(readings):
                hand.answer((slip,))
    assert vars(readings) == before
    assert hand.answer() == right
