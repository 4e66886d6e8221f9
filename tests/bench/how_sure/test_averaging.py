"""From readings to a mean: its scatter, what the scale cannot show, the tool's own error."""

from __future__ import annotations

import time
from typing import Any

import pytest
from uncertainties import ufloat

from enginemath.bench.how_sure.averaging import UNEVEN, Reading, averages, odd_ones, scatter_of
from enginemath.bench.how_sure.interval import sources_of
from enginemath.bench.how_sure.labels import Label

TOOL = {"mic": ufloat(0.0, 0.003, Label("mic", "mm", kind="tool"))}


def one_mean(readings: list[Reading], poured: bool = False) -> Any:
    return averages({("bore", 1): readings}, TOOL, "mm", poured)["bore", 1]


def test_the_scatter_of_the_mean_and_its_degrees_of_freedom() -> None:
    """JCGM 100:2008, 4.2: s = 0.02, n = 3."""
    mean = one_mean([Reading(92.00), Reading(92.02), Reading(92.04)])
    (source,) = sources_of(mean)
    assert mean.nominal_value == pytest.approx(92.02)
    assert source.contribution == pytest.approx(0.02 / 3**0.5)
    assert source.degrees_of_freedom == 2


def test_three_equal_readings_are_not_exact() -> None:
    floor = 0.005 / 3**0.5
    (source,) = sources_of(one_mean([Reading(92.0, floor=floor)] * 3))
    assert source.contribution == pytest.approx(floor)
    assert source.rectangular
    (poured,) = sources_of(one_mean([Reading(92.0, floor=floor)] * 3, poured=True))
    assert poured.contribution == pytest.approx(floor / 3**0.5)


def test_a_tool_s_own_error_does_not_average_out() -> None:
    mean = one_mean([Reading(value, {"mic": 1}) for value in (92.0, 92.0, 92.0, 92.0)])
    (source,) = sources_of(mean)
    assert source.name == "mic"
    assert source.contribution == pytest.approx(0.003)


def test_a_second_tool_for_half_of_the_readings_helps() -> None:
    tools = {**TOOL, "other": ufloat(0.0, 0.003, Label("other", "mm", kind="tool"))}
    readings = [Reading(92.0, {name: 1}) for name in ("mic", "other")]
    mean = averages({("bore", 1): readings}, tools, "mm")["bore", 1]
    assert mean.std_dev == pytest.approx(0.003 / 2**0.5)


def test_one_value_without_anything_is_exact() -> None:
    assert one_mean([Reading(92.0)]) == 92.0


def test_a_given_spread_and_the_rock_are_sources() -> None:
    mean = one_mean([Reading(0.35, rock=0.05, given=0.01)])
    found = {source.name: source.contribution for source in sources_of(mean)}
    assert found["rock of the piston"] == pytest.approx(0.05 / 3**0.5)
    assert found["bore, cylinder 1"] == pytest.approx(0.01)


def rock_of(readings: list[Reading]) -> float:
    """Half-width of what the rock may put the mean off."""
    found = {source.name: source.contribution for source in sources_of(one_mean(readings))}
    return found.get("rock of the piston", 0.0) * 3**0.5


def test_the_mean_of_both_sides_takes_the_rock_out() -> None:
    """Read again, what the piston moves between both sides is in the scatter of the means."""
    once, again = Reading(0.35, rock=0.04), Reading(0.353, rock=0.02)
    assert rock_of([once]) == pytest.approx(0.04)
    assert rock_of([once, again]) == pytest.approx(UNEVEN * 0.03)


def test_a_piston_that_leans_the_other_way_each_time_leaves_nothing() -> None:
    assert rock_of([Reading(0.35, rock=0.04), Reading(0.353, rock=-0.04)]) == 0


def test_one_side_alone_has_the_whole_rock() -> None:
    one_side = [Reading(value, rock=0.04, one_sided=True) for value in (0.35, 0.353)]
    assert rock_of(one_side) == pytest.approx(0.04)


def test_many_readings_of_one_thing_take_their_time_once() -> None:
    """Each was set against the mean of all anew: 10⁵ rows took more than six minutes."""
    cells = {1: [Reading(92.0 + n % 5 / 100) for n in range(20_000)]}
    started = time.process_time()
    assert odd_ones(cells) == []
    assert time.process_time() - started < 2


def test_scatter_is_pooled_where_it_is_alike() -> None:
    """JCGM 100:2008, 4.2.4: (2·0.01² + 1·0.02²)/3 with 3 degrees of freedom."""
    found = scatter_of({1: [0.0, 0.01, 0.02], 2: [0.0, 0.02 * 2**0.5]})
    assert found[1] == found[2]
    assert found[1].s == pytest.approx(((2 * 0.01**2 + 0.02**2) / 3) ** 0.5)
    assert found[1].degrees_of_freedom == 3


def test_a_cylinder_that_scatters_otherwise_keeps_its_own() -> None:
    alike = {n: [47.0, 47.1, 46.9, 47.05, 46.95] for n in range(1, 4)}
    found = scatter_of({**alike, 4: [47.0, 49.0, 45.0, 48.0, 46.0]})
    assert found[1].degrees_of_freedom == 12
    assert found[4].degrees_of_freedom == 4
    assert not found[4].pooled


def test_repeats_at_one_place_count_once_where_places_differ() -> None:
    """A taper of 0.10 mm read four times each: two places, not eight readings."""
    readings = [
        Reading(value + step, place=place)
        for place, value in (("top", 92.00), ("bottom", 92.10))
        for step in (0.0, 0.001, -0.001, 0.0005)
    ]
    (source,) = sources_of(one_mean(readings))
    assert source.degrees_of_freedom == 1
    assert source.contribution == pytest.approx(0.05, rel=0.02)


def test_a_blunder_is_named_and_no_honest_scatter_is() -> None:
    pours = [Reading(cc, rows=(row,)) for row, cc in enumerate((47.4, 47.6, 47.5, 51.9), start=2)]
    (odd,) = odd_ones({1: pours, 2: [Reading(46.9), Reading(47.0)]})
    assert odd.reading.rows == (5,)
    assert odd.others == pytest.approx(47.5)
    assert odd_ones({1: pours[:3], 2: [Reading(46.9), Reading(47.0)]}) == []
    assert odd_ones({1: [Reading(47.0), Reading(52.0)]}) == []
