"""The class's raw readings: what each group found, and what is not on record."""

from __future__ import annotations

import pytest

from enginemath.sheets import class_readings
from enginemath.sheets.class_readings import fills_of_group, record
from enginemath.units import Refused, read


def test_a_volume_is_the_sum_of_its_fills() -> None:
    pours = class_readings.chamber_pours("heron-four", 3)
    assert pours["C"].m_as("cc") == pytest.approx((24.95 - 0.45) + (21.25 - 0.40))


def test_a_deck_clearance_is_the_mean_of_both_sides_of_the_pin() -> None:
    sides = [read(row["reading"]).m for row in record("heron-four-deck", cylinder=2, group="D")]
    assert len(sides) == 2
    found = class_readings.deck_readings("heron-four", 2)["D"]
    assert found.m_as("mm") == pytest.approx(sum(sides) / 2)


def test_a_reading_of_the_whole_engine_needs_no_cylinder() -> None:
    assert set(class_readings.gauge_readings("heron-four", "free thickness")) == set("ABCDE")
    with pytest.raises(Refused, match="colour: no such reading of heron-four on record"):
        class_readings.gauge_readings("heron-four", "colour")


@pytest.mark.parametrize(
    ("table", "cylinder", "group", "says"),
    [
        ("heron-four-deck", 5, None, "cylinder 5: no reading"),
        ("heron-four-deck", 1, "F", "group F, cylinder 1: no reading"),
        ("heron-nine-deck", 1, "A", "no data file"),
    ],
)
def test_what_is_not_on_record_is_said(
    table: str, cylinder: int, group: str | None, says: str
) -> None:
    with pytest.raises(Refused, match=says):
        record(table, cylinder=cylinder, group=group)


def test_a_group_that_poured_nothing_is_refused() -> None:
    with pytest.raises(Refused, match="group 'Z': there are A, B"):
        fills_of_group("heron-four", 1, "Z")
