"""The compression test. At least 75 % of the highest: service manuals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.bench.compression_test import CompressionTest
from enginemath.units import Quantity, Refused

pressures = st.lists(st.floats(100.0, 2000.0), min_size=2, max_size=8)


def test_low_cylinder_is_named() -> None:
    test = CompressionTest(("180 psi", "175 psi", "120 psi", "178 psi"))
    assert test.low == (3,)
    assert test.share == pytest.approx(100 * 120 / 180)
    assert "Cylinder 3 is low: 827 kPa (120 psi) is 67 % of the highest" in test.says
    assert "1241 kPa (180 psi) in cylinder 1" in test.says


def test_exactly_three_quarters_is_enough() -> None:
    assert CompressionTest(("160 psi", "120 psi")).low == ()
    assert CompressionTest(("160 psi", "119.9 psi")).low == (2,)


def test_dead_cylinder_and_several_low_ones() -> None:
    test = CompressionTest(("0 kPa", "1200 kPa", "700 kPa"))
    assert test.low == (1, 3)
    assert test.share == 0
    assert test.says.count("is low") == 2


def test_even_engine() -> None:
    said = CompressionTest(("12.1 bar", "12.4 bar", "11.9 bar")).says
    assert said == (
        "Lowest cylinder at 96 % of the highest: even; at least 75 % is wanted (service manuals)."
    )


@given(pressures)
def test_units_do_not_change_the_finding(kilopascals: list[float]) -> None:
    in_kpa = CompressionTest(tuple(Quantity(p, "kPa") for p in kilopascals))
    in_psi = CompressionTest(tuple(Quantity(p, "kPa").to("psi") for p in kilopascals))
    assert in_kpa.share == pytest.approx(in_psi.share, abs=1e-8)
    if abs(in_kpa.share - 75) > 1e-6:
        assert bool(in_kpa.low) == (in_kpa.share < 75)


@given(pressures)
def test_low_ones_are_the_lowest(kilopascals: list[float]) -> None:
    test = CompressionTest(tuple(Quantity(p, "kPa") for p in kilopascals))
    others = [p for n, p in enumerate(kilopascals, start=1) if n not in test.low]
    assert all(kilopascals[number - 1] < min(others) for number in test.low)


@pytest.mark.parametrize(
    ("readings", "message"),
    [
        (("1200 kPa",), "at least two"),
        (("0 psi", "0 psi"), "every reading is zero"),
        (("1200 kPa", "-5 kPa"), "cannot be negative"),
        (("1200 kPa", "1200"), "no unit"),
        (("1200 kPa", "12 mm"), "a pressure is wanted"),
        (("1200 kPa", "1200 bar"), "outside what an engine can have"),
        (("1200 kPa", Quantity(float("nan"), "kPa")), "not a number"),
    ],
)
def test_what_cannot_be_read_is_refused(readings: tuple, message: str) -> None:
    with pytest.raises(Refused, match=message):
        CompressionTest(readings)
