"""Standard air against its table, against its own weight, and in every kind of number."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from uncertainties import ufloat

from enginemath.formulas import atmosphere
from enginemath.units import Quantity, Refused

FORMULAS = (
    atmosphere.geopotential,
    atmosphere.temperature,
    atmosphere.pressure,
    atmosphere.density,
    atmosphere.pressure_ratio,
    atmosphere.density_ratio,
)
heights = st.floats(-5_000, 20_000)


# US Standard Atmosphere 1976, as printed in Mechanical Engineers' Handbook vol. 4, Table 6
# (geometric altitude; read in a public copy). Tolerance: the printed digits.
@pytest.mark.parametrize(
    ("altitude", "bar", "kelvin", "density"),
    [("1000 m", 0.8988, 281.65, 1.1117), ("2000 m", 0.795, 275.15, 1.0066)],
)
def test_printed_table(altitude: str, bar: float, kelvin: float, density: float) -> None:
    height = Quantity(altitude)
    assert atmosphere.pressure(height).m_as("bar") == pytest.approx(bar, abs=6e-5)
    assert atmosphere.temperature(height).m_as("kelvin") == pytest.approx(kelvin, abs=6e-3)
    assert atmosphere.density(height).m_as("kg/m**3") == pytest.approx(density, abs=6e-5)


# US Standard Atmosphere 1976, table of main properties; from memory.
@pytest.mark.parametrize(
    ("metres", "pascal", "kelvin"),
    [(0, 101325.0, 288.15), (5_000, 54048.0, 255.676), (11_000, 22700.0, 216.774),
     (15_000, 12112.0, 216.65), (20_000, 5529.3, 216.65)],
)  # fmt: skip
def test_higher_up(metres: float, pascal: float, kelvin: float) -> None:
    assert 1000 * atmosphere.pressure(metres) == pytest.approx(pascal, rel=6e-5)
    assert atmosphere.temperature(metres) == pytest.approx(kelvin, abs=6e-3)


def test_pressure_and_density_fall_by_different_shares() -> None:
    """At 5000 ft 0.832 and 0.862: common practice, no source; both follow from the standard."""
    height = Quantity(5000, "foot")
    assert atmosphere.pressure_ratio(height) == pytest.approx(0.832, abs=5e-4)
    assert atmosphere.density_ratio(height) == pytest.approx(0.862, abs=5e-4)


def test_air_carries_its_own_weight() -> None:
    """dp/dz = −ρ·g(z), integrated by SciPy with gravity that weakens as the square."""
    radius = 6_356_766.0

    def slope(height: float, pressure: np.ndarray) -> list[float]:
        gravity = 9.80665 * (radius / (radius + height)) ** 2
        return [-pressure[0] / (287.0529 * atmosphere.temperature(height)) * gravity]

    found = solve_ivp(
        slope, (0, 19_000), [101_325.0], t_eval=[1524, 9000, 19_000], rtol=1e-9, max_step=500
    )
    for height, pascal in zip(found.t, found.y[0], strict=True):
        assert 1000 * atmosphere.pressure(height) == pytest.approx(pascal, rel=2e-6)


def test_layers_meet_without_a_step() -> None:
    meeting = 11_019.07  # metres; 11 000 m geopotential
    for formula in FORMULAS:
        assert formula(meeting - 0.01) == pytest.approx(formula(meeting + 0.01), rel=1e-5)


@given(heights, heights)
def test_higher_is_thinner(one: float, other: float) -> None:
    low, high = sorted((one, other))
    if high - low < 1:
        return
    assert atmosphere.pressure(low) > atmosphere.pressure(high)
    assert atmosphere.density(low) > atmosphere.density(high)
    assert atmosphere.temperature(low) >= atmosphere.temperature(high)


@given(heights)
def test_feet_and_metres_give_one_answer(metres: float) -> None:
    feet = Quantity(metres / 0.3048, "foot")
    try:
        in_feet = atmosphere.pressure(feet).m_as("kPa")
    except Refused:  # a rounding past the end of the range
        assert abs(metres) >= 4_999
        return
    assert in_feet == pytest.approx(atmosphere.pressure(metres), rel=1e-12)


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_kind_of_number(formula: object) -> None:
    array = formula(np.array([0.0, 1524.0, 15_000.0]))
    assert list(array) == pytest.approx([formula(z) for z in (0.0, 1524.0, 15_000.0)])
    slope = (formula(1525.0) - formula(1523.0)) / 2
    uncertain = formula(ufloat(1524.0, 10.0))
    assert uncertain.nominal_value == pytest.approx(formula(1524.0))
    assert uncertain.std_dev == pytest.approx(abs(10 * slope), rel=1e-4)
    both = formula(Quantity(ufloat(5000.0, 30.0), "foot"))
    magnitude = getattr(both, "magnitude", both)
    assert magnitude.nominal_value == pytest.approx(formula(1524.0))


@pytest.mark.parametrize("metres", [-5_001.0, 20_001.0, float("nan"), float("inf")])
@pytest.mark.parametrize("formula", FORMULAS)
def test_beyond_the_model_is_refused(formula: object, metres: float) -> None:
    with pytest.raises(Refused, match="was it in feet"):
        formula(metres)
    with pytest.raises(Refused, match="standard air here reaches from -5000 m to 20000 m"):
        formula(Quantity(metres, "m"))
