"""Small tools for any number; expectations are counted on the fingers."""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from enginemath.units import Quantity
from enginemath.units.any_number import bare, higher_of, lies_within, lower_of, with_unit


def test_units_go_off_and_on_again() -> None:
    foot = Quantity(1.0, "foot")
    assert bare(foot, "mm") == pytest.approx(304.8, rel=1e-15)  # 1 ft = 0.3048 m: NIST SP 811
    again = with_unit(bare(foot, "mm"), "mm", like=foot)
    assert again.m_as("foot") == pytest.approx(1.0, rel=1e-15)
    assert with_unit(5.0, "mm", like=7.0) == 5.0


def test_array_is_limited_element_by_element() -> None:
    values = np.array([1.0, 5.0, 9.0])
    assert list(lower_of(values, 5.0)) == [1.0, 5.0, 5.0]
    assert list(higher_of(values, 5.0)) == [5.0, 5.0, 9.0]


def test_limit_keeps_the_uncertainty_of_the_number_that_counts() -> None:
    assert lower_of(ufloat(3.0, 0.1), 8.0).std_dev == 0.1
    assert getattr(lower_of(ufloat(9.0, 0.1), 8.0), "std_dev", 0.0) == 0.0
    assert higher_of(ufloat(9.0, 0.1), 8.0).std_dev == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("number", "inside"),
    [
        (0.0, True),
        (8.0, True),
        (8.1, False),
        (float("nan"), False),
        (ufloat(7.9, 5.0), True),
        (np.array([1.0, 8.0]), True),
        (np.array([1.0, 8.1]), False),
        (np.array([1.0, float("nan")]), False),
    ],
)
def test_range_holds_for_every_element(number: object, inside: bool) -> None:
    assert lies_within(number, 0, 8) is inside
