"""A number written for a step takes its place in the steps that are worked from it."""

from __future__ import annotations

import pytest

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.by_hand.steps import STEPS, step_of
from enginemath.answers.mistakes import CATALOGUE
from enginemath.sheets import Sheet, parse
from enginemath.units import Refused
from tests.answers.sheets import FULL, full

CHAMBERS = (44.0, 47.0, 48.0, 51.0)
NEEDED = sorted({need for step in STEPS.values() for need in step.needs})


def uneven() -> Sheet:
    """The same engine with a chamber of its own for each cylinder, 47.5 cc on average."""
    fills = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
    assert fills in FULL
    return parse(FULL.replace(fills, f"volumes = {[f'{chamber} cc' for chamber in CHAMBERS]}"))


def by_hand(name: str, sheet: Sheet) -> HandCalculation:
    return HandCalculation(name, readings_of(sheet, target=10.4))


@pytest.mark.parametrize("sheet", [full(), uneven()], ids=["alike", "uneven"])
@pytest.mark.parametrize("name", NEEDED)
def test_a_step_comes_to_what_was_written_for_it(name: str, sheet: Sheet) -> None:
    assert by_hand(name, sheet).from_written({name: 12.34}) == pytest.approx(12.34)


@pytest.mark.parametrize("part", STEPS["clearance_volume"].needs)
def test_a_written_part_moves_the_sum_alike(part: str) -> None:
    right = by_hand(part, full()).answer()
    total = by_hand("clearance_volume", full())
    assert right is not None
    assert total.from_written({part: right + 1.25}) == pytest.approx((total.answer() or 0.0) + 1.25)


def test_cylinders_stay_as_far_apart_as_they_were() -> None:
    clearances = [70.0 + chamber - 47.5 for chamber in CHAMBERS]
    ratio = by_hand("compression_ratio", uneven()).from_written(
        {"swept_volume": 600.0, "clearance_volume": 70.0}
    )
    assert ratio == pytest.approx(sum((600.0 + each) / each for each in clearances) / 4)


@pytest.mark.parametrize("id", ["gasket-forgotten", "deck-sign", "crown-forgotten"])
def test_nothing_is_left_out_of_a_sum_that_is_written(id: str) -> None:
    ratio = by_hand("compression_ratio", full())
    written = {"swept_volume": 588.0, "clearance_volume": 70.0}
    assert ratio.from_written(written, CATALOGUE[id].slips[:1]) == pytest.approx(9.4)


def test_what_is_not_written_is_put_together_itself() -> None:
    ratio = step_of("compression_ratio")
    assert list(ratio.rests_on({"swept_volume", "clearance_volume", "gasket_volume"})) == [
        "swept_volume",
        "clearance_volume",
    ]
    assert list(ratio.rests_on({"swept_volume", "gasket_volume", "deck_volume"})) == [
        "swept_volume",
        "gasket_volume",
        "deck_volume",
    ]
    assert not list(step_of("gasket_volume").rests_on(STEPS))


def test_an_unknown_step_is_refused() -> None:
    with pytest.raises(Refused, match=r'step "deck volume": unknown; did you mean deck_volume\?'):
        step_of("deck volume")
