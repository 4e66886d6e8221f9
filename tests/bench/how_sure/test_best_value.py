"""One value with its ± from many readings; expected values are worked by hand beside each case."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.bench.how_sure.best_value import best_value, on_paper
from enginemath.bench.tools import CALIPER, MICROMETER, burette
from enginemath.sheets.class_readings import chamber_pours, readings_of
from enginemath.units import Quantity, Refused, deviation, read, show


def test_scatter_and_tool_add_as_squares() -> None:
    """s = 0.02 mm of three, 0.02/√3 = 0.01155; caliper 0.03/√3 = 0.01732; together 0.02082."""
    value = best_value(["89.88 mm", "89.90 mm", "89.92 mm"], CALIPER)
    assert value.magnitude.nominal_value == pytest.approx(89.90)
    assert deviation(value.magnitude) == pytest.approx(0.02082, abs=1e-5)


def test_the_burette_s_error_comes_with_every_fill() -> None:
    """No scatter: 2 × 0.06/√3 = 0.06928 cc for a 25 mL burette of class B."""
    value = best_value(["46.90 cc", "46.90 cc"], burette("25 mL", "B"), fills=2)
    assert deviation(value.magnitude) == pytest.approx(0.06928, abs=1e-5)


def test_more_repeats_do_not_cure_the_tool() -> None:
    many = best_value(["92.00 mm", "92.01 mm"] * 500, MICROMETER)
    assert deviation(many.magnitude) > 0.005 / 3**0.5


def test_one_reading_alone_is_refused() -> None:
    with pytest.raises(Refused, match="one reading alone"):
        best_value(["92.00 mm"], MICROMETER)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("46.8817 ± 0.0786 cc", "46.882 ± 0.079 cc"),
        ("88.341 ± 0.0123 mm", "88.341 ± 0.012 mm"),
        ("140.6 ± 23.4 cc", "141 ± 23 cc"),
        ("3.81502 ± 0.0005 in", "3.81502 ± 0.00050 in"),
        ("35.9 cu in", "35.9 cu in"),
    ],
)
def test_two_digits_of_the_doubt_are_written(written: str, expected: str) -> None:
    """JCGM 100:2008, 7.2.6; rounded by hand."""
    quantity = read(written)
    assert on_paper(quantity) == expected.replace("cu in", f"{quantity.units:~P}".replace("_", " "))


@given(st.floats(0.01, 1000), st.floats(0.0001, 10))
def test_what_is_written_reads_back(value: float, u: float) -> None:
    quantity = read(f"{value!r} ± {u!r} mm")
    again = read(on_paper(quantity)).magnitude
    assert abs(again.nominal_value - value) <= 0.051 * u
    assert again.std_dev == pytest.approx(u, rel=0.051)


def test_readings_come_from_every_group_and_cylinder() -> None:
    every = readings_of("heron-four", "chamber")
    by_hand = [v for n in (1, 2, 3, 4) for v in chamber_pours("heron-four", n).values()]
    assert [show(v, "cc") for v in every] == [show(v, "cc") for v in by_hand]
    assert len(readings_of("heron-eight", "poured")) == 16  # 4 of the cylinders, 4 groups
    assert len(readings_of("heron-four", "rod length")) == 5  # one a group


def test_a_known_slip_can_be_left_out() -> None:
    """Group C's bubble in cylinder 3: 45.35 cc on record."""
    kept = readings_of("heron-four", "chamber", 3, leave_out="C")
    assert min(kept) > Quantity(46, "cc")
    assert min(readings_of("heron-four", "chamber", 3)) < Quantity(46, "cc")


def test_land_clearance_is_bore_less_land() -> None:
    """Group A, cylinder 1: 88.33 − 87.78 mm."""
    first = readings_of("heron-four", "land clearance", 1)[0]
    assert first.m_as("mm") == pytest.approx(0.55)


def test_an_unknown_reading_is_refused() -> None:
    with pytest.raises(Refused, match="no such reading"):
        readings_of("heron-four", "colour")
