"""Air that warms up, against Cantera.

Three sets of NASA coefficients are about: those used here (TM-4513), which Cantera also holds and
which must give the same to rounding, and the older set of its `air.yaml`, fitted by others, which
must agree within 0.1 %.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from uncertainties import ufloat

from enginemath.formulas.gas import DRY_AIR, TEXTBOOK_AIR, Gas
from enginemath.units import Quantity

DRY = {"N2": 0.78084, "O2": 0.209476, "Ar": 0.00934}
LINEAR = Gas("cv = 0.71 + 20e-5 T", 0.287, (0.71, 20e-5))
temperatures = st.floats(220, 3000)


@pytest.fixture(scope="module")
def cantera() -> Any:
    return pytest.importorskip("cantera", reason="Cantera is in the test extra")


@pytest.fixture(scope="module")
def same_coefficients(cantera: Any) -> Any:
    species = [s for s in cantera.Species.list_from_file("nasa_gas.yaml") if s.name in DRY]
    air = cantera.Solution(thermo="ideal-gas", species=species)
    air.TPX = 300.0, 1e5, DRY
    return air


@pytest.fixture(scope="module")
def other_coefficients(cantera: Any) -> Any:
    return cantera.Solution("air.yaml")


def test_same_coefficients_give_the_same_air(same_coefficients: Any) -> None:
    air = same_coefficients
    assert pytest.approx(air.cp_mass - air.cv_mass, rel=1e-6) == 1000 * DRY_AIR.gas_constant
    for kelvin in (200.0, 290.0, 650.0, 999.0, 1001.0, 2500.0, 4500.0):
        air.TP = kelvin, 1e5
        assert DRY_AIR.heat_capacity(kelvin) == pytest.approx(air.cv_mass / 1000, rel=2e-6)
        assert DRY_AIR.gamma(kelvin) == pytest.approx(air.cp_mass / air.cv_mass, rel=1e-6)
        energy, enthalpy = air.int_energy_mass, air.enthalpy_mass
        air.TP = 300.0, 1e5
        risen = DRY_AIR.energy(kelvin) - DRY_AIR.energy(300.0)
        assert risen == pytest.approx((energy - air.int_energy_mass) / 1000, rel=1e-5)
        risen = DRY_AIR.enthalpy(kelvin) - DRY_AIR.enthalpy(300.0)
        assert risen == pytest.approx((enthalpy - air.enthalpy_mass) / 1000, rel=1e-5)


def test_gamma_within_a_tenth_of_a_percent(other_coefficients: Any) -> None:
    air = other_coefficients
    for kelvin in range(290, 3001, 10):
        air.TP = kelvin, 1e5
        assert DRY_AIR.gamma(float(kelvin)) == pytest.approx(air.cp / air.cv, rel=1e-3)


def compressed_by(air: Any, kelvin: float, ratio: float) -> float:
    air.TP = kelvin, 1e5
    air.SV = air.entropy_mass, air.volume_mass / ratio
    return air.T


@pytest.mark.parametrize("ratio", [0.05, 0.1, 0.5, 1.0, 4.0, 8.0, 14.0, 25.0])
@pytest.mark.parametrize("start", [290.0, 900.0, 1800.0])
def test_same_coefficients_give_the_same_compression(
    ratio: float, start: float, same_coefficients: Any
) -> None:
    expected = compressed_by(same_coefficients, start, ratio)
    if expected > 200:
        assert DRY_AIR.compressed(start, ratio) == pytest.approx(expected, rel=2e-6)


@pytest.mark.parametrize("ratio", [4.0, 6.0, 8.0, 10.0, 14.0, 20.0])
@pytest.mark.parametrize("start", [290.0, 330.0, 400.0])
def test_compression_within_a_tenth_of_a_percent(
    ratio: float, start: float, other_coefficients: Any
) -> None:
    expected = compressed_by(other_coefficients, start, ratio)
    assert DRY_AIR.compressed(start, ratio) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("gas", [DRY_AIR, TEXTBOOK_AIR, LINEAR])
def test_energy_is_the_integral_of_heat_capacity(gas: Gas) -> None:
    for low, high in ((250.0, 800.0), (800.0, 1400.0), (300.0, 3000.0)):
        area, _ = quad(gas.heat_capacity, low, high, points=[1000.0], epsabs=1e-9)
        assert gas.energy(high) - gas.energy(low) == pytest.approx(area, rel=1e-6)


@pytest.mark.parametrize("gas", [DRY_AIR, TEXTBOOK_AIR, LINEAR])
def test_relative_density_is_the_integral_of_its_definition(gas: Gas) -> None:
    for low, high in ((250.0, 800.0), (800.0, 1400.0), (300.0, 3000.0)):
        rise, _ = quad(
            lambda kelvin: gas.heat_capacity(kelvin) / (gas.gas_constant * kelvin),
            low, high, points=[1000.0], epsabs=1e-10,
        )  # fmt: skip
        density = gas.relative_density(high) / gas.relative_density(low)
        assert np.log(density) == pytest.approx(rise, rel=1e-6)


def test_constant_gamma_is_the_textbook_formula() -> None:
    assert TEXTBOOK_AIR.gamma(2000.0) == pytest.approx(1.4, rel=1e-14)
    assert TEXTBOOK_AIR.compressed(300.0, 9.0) == pytest.approx(300 * 9**0.4, rel=1e-12)


@given(temperatures, st.floats(0.04, 30.0))
def test_there_and_back(kelvin: float, ratio: float) -> None:
    compressed = DRY_AIR.compressed(kelvin, ratio)
    if 200 < compressed < 6000:
        assert DRY_AIR.compressed(compressed, 1 / ratio) == pytest.approx(kelvin, rel=1e-9)


@given(temperatures, st.floats(0.0, 2500.0))
def test_heat_is_found_again_in_the_gas(kelvin: float, heat: float) -> None:
    for content, at_pressure in ((DRY_AIR.energy, False), (DRY_AIR.enthalpy, True)):
        hot = DRY_AIR.heated(kelvin, heat, at_pressure)
        assert content(hot) - content(kelvin) == pytest.approx(heat, abs=1e-7)


@given(temperatures, st.floats(1.1, 25.0), st.floats(0.1, 5.0))
def test_tighter_is_hotter(kelvin: float, ratio: float, more: float) -> None:
    assert DRY_AIR.compressed(kelvin, ratio + more) > DRY_AIR.compressed(kelvin, ratio)


def test_warm_air_has_the_smaller_exponent() -> None:
    exponents = [DRY_AIR.gamma(kelvin) for kelvin in (300.0, 600.0, 1000.0, 2000.0, 3000.0)]
    assert exponents == sorted(exponents, reverse=True)


def test_every_kind_of_number() -> None:
    array = DRY_AIR.compressed(np.array([290.0, 1200.0]), 8.0)
    assert list(array) == pytest.approx([DRY_AIR.compressed(t, 8.0) for t in (290.0, 1200.0)])
    uncertain = DRY_AIR.compressed(ufloat(290.0, 1.0), 8.0)
    slope = (DRY_AIR.compressed(291.0, 8.0) - DRY_AIR.compressed(289.0, 8.0)) / 2
    assert uncertain.std_dev == pytest.approx(slope, rel=1e-4)
    heated = DRY_AIR.heated(650.0, ufloat(800.0, 8.0))
    slope = (DRY_AIR.heated(650.0, 801.0) - DRY_AIR.heated(650.0, 799.0)) / 2
    assert heated.std_dev == pytest.approx(8 * slope, rel=1e-4)
    celsius = DRY_AIR.compressed(Quantity(20.0, "degC"), 8.0)
    assert celsius.m_as("kelvin") == pytest.approx(DRY_AIR.compressed(293.15, 8.0))
    warmed = DRY_AIR.heated(Quantity(650.0, "kelvin"), Quantity(0.8, "MJ/kg"))
    assert warmed.m_as("kelvin") == pytest.approx(DRY_AIR.heated(650.0, 800.0))
    capacity = DRY_AIR.heat_capacity(Quantity(1500.0, "kelvin"))
    assert capacity.m_as("J/g/kelvin") == pytest.approx(DRY_AIR.heat_capacity(1500.0))
