"""A group's sheet holds what the group wrote down, and agrees with the class's sheet."""

from __future__ import annotations

import pytest

from enginemath.engine.stack import stacks
from enginemath.sheets import read_sheet
from enginemath.sheets.class_readings import deck_sides, group_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Refused, nominal

PISTONS = {"heron-one": (1,), "heron-four": (1, 2, 3, 4), "heron-eight": (1, 3, 6, 8)}
GROUPS = {"heron-one": "ABCDE", "heron-four": "ABCDE", "heron-eight": "ABCD"}
CASES = [
    (engine, cylinder, group)
    for engine, cylinders in PISTONS.items()
    for cylinder in cylinders
    for group in GROUPS[engine]
]
BUBBLE = ("heron-four", 3, "C")


@pytest.mark.parametrize(("engine", "cylinder", "group"), CASES)
def test_each_group_finds_about_the_ratio_of_the_class(
    engine: str, cylinder: int, group: str
) -> None:
    sheet = group_sheet(engine, cylinder=cylinder, group=group)
    (of_group,) = stacks(sheet.engine)
    of_class = stacks(read_sheet(path(f"{engine}.toml")).engine)[cylinder - 1]
    gap = abs(of_group.ratio - nominal(of_class.ratio))
    # One group's pours are good to about 0.2 cc in 15 to 70: some hundredths of the ratio.
    assert gap < 0.08 or (engine, cylinder, group) == BUBBLE
    assert sheet.engine.gasket.free_thickness > sheet.engine.gasket.compressed_thickness


def test_the_bubble_shows_in_the_ratio() -> None:
    engine, cylinder, group = BUBBLE
    (of_group,) = stacks(group_sheet(engine, cylinder=cylinder, group=group).engine)
    of_class = stacks(read_sheet(path(f"{engine}.toml")).engine)[cylinder - 1]
    assert of_group.ratio - nominal(of_class.ratio) > 0.12


def test_the_raw_fills_are_kept() -> None:
    sheet = group_sheet("heron-four", cylinder=3, group="C")
    assert sheet.written["chamber"]["fills"] == [["0.45 mL", "24.95 mL"], ["0.40 mL", "21.25 mL"]]
    assert sheet.written["piston"]["known_depth"] == {"depth": "6.02 mm", "poured": "46.9 cc"}


def test_both_sides_of_the_pin() -> None:
    assert deck_sides("heron-eight", cylinder=1, group="A") == ("0.013 in", "0.010 in")


def test_a_piston_that_a_group_did_not_pour() -> None:
    with pytest.raises(Refused, match="cylinder 2: no reading on record"):
        group_sheet("heron-eight", cylinder=2, group="A")
