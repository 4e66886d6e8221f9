"""The air-standard cycle against textbooks, Cantera and SciPy.

Every textbook value was read in a public copy of a companion notebook that re-keys the example;
tolerances cover the printed digits.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from uncertainties import ufloat

from enginemath.engine import cycle
from enginemath.engine.cycle import dual, otto
from enginemath.formulas.compression import clearance_for, compression_ratio
from enginemath.formulas.gas import DRY_AIR, TEXTBOOK_AIR, Gas
from enginemath.formulas.geometry import disc
from enginemath.units import Quantity, Refused

ratios = st.floats(4.0, 16.0)
heats = st.floats(100.0, 2500.0)


class TestTextbooks:
    """Examples with air of constant heat capacity."""

    # H. N. Gupta, Fundamentals of Internal Combustion Engines, Example 2.1 p. 44.
    gupta_ratio = compression_ratio(disc(20.0, 25.0), 1570.0)

    def test_gupta_from_geometry_to_work(self) -> None:
        ratio = self.gupta_ratio
        assert 100 * cycle.otto_efficiency(ratio) == pytest.approx(51.17, abs=0.005)
        assert cycle.compressed_pressure(1.0, ratio) == pytest.approx(12.29, abs=0.005)
        hot = cycle.compressed_temperature(300.0, ratio)
        assert hot - 273.15 == pytest.approx(341.3, abs=0.05)

    def test_gupta_work_and_mean_effective_pressure(self) -> None:
        """The work is of the charge in one cylinder: mass from p·V = m·R·T."""
        ratio, air = self.gupta_ratio, Gas("R 0.287, cv 0.718", 0.287, (0.718,))
        hot = cycle.compressed_temperature(300.0, ratio)
        burnt = otto(ratio, 100.0, 300.0, air.energy(1673.0) - air.energy(hot), air)
        swept = Quantity(disc(20.0, 25.0), "cc")
        mass = 100.0 * (swept + Quantity(1570, "cc")).m_as("m**3") / (0.287 * 300.0)
        assert mass * burnt.work == pytest.approx(4.26, abs=0.02)
        assert burnt.mean_effective_pressure / 100 == pytest.approx(5.42, abs=0.02)

    def test_mathur_and_sharma(self) -> None:
        """Mathur & Sharma, Internal Combustion Engine, Example 2.3 p. 48."""
        ratio = compression_ratio(disc(17.0, 30.0), 1025.0)
        assert ratio == pytest.approx(7.6433, abs=5e-5)
        assert 100 * cycle.otto_efficiency(ratio) == pytest.approx(55.7, abs=0.05)

    def test_rajput_efficiency_and_mean_effective_pressure(self) -> None:
        """R. K. Rajput, A Textbook of Internal Combustion Engines, Example 3.8 p. 96."""
        assert 100 * cycle.otto_efficiency(8) == pytest.approx(56.47, abs=0.005)
        rise = 25 / cycle.compressed_pressure(1.0, 8)
        assert cycle.otto_mean_effective_pressure(1.0, 8, rise) == pytest.approx(1.34, abs=0.005)

    def test_rajput_heat_capacity_that_grows(self) -> None:
        """Rajput, Example 4.5 p. 189: compression along p·V^1.33, then 44 MJ/kg at 15 : 1."""
        heat = cycle.charge_heat(44_000, 15)
        hot = cycle.compressed_temperature(338.0, 7, 1.33)
        pressure = cycle.compressed_pressure(1.0, 7, 1.33)
        growing, constant = Gas("growing", 0.287, (0.71, 20e-5)), Gas("constant", 0.287, (0.71,))
        for air, bar in ((growing, 65.52), (constant, 93.52)):
            burnt = air.heated(hot, heat)
            assert pressure * burnt / hot == pytest.approx(bar, abs=0.02)

    def test_granet_and_bluestein(self) -> None:
        """Granet & Bluestein, Thermodynamics and Heat Power, Examples 9.1 p. 462, 9.4 p. 465."""
        assert 100 * cycle.otto_efficiency(7) == pytest.approx(54.08, abs=0.005)
        assert cycle.compressed_pressure(14.7, 7) == pytest.approx(224.11, abs=0.01)

    def test_openstax(self) -> None:
        """OpenStax University Physics vol. 2, Example 3.7: 240 to 40 cm³, γ = 1.40."""
        assert cycle.compressed_pressure(1e5, 240 / 40) == pytest.approx(1.23e6, abs=5e3)
        assert cycle.compressed_temperature(293.0, 6) == pytest.approx(600, abs=1)
        assert -cycle.compression_work(1e5, 240e-6, 6) == pytest.approx(-63, abs=1)

    def test_clearance_share(self) -> None:
        """M. C. Potter, Thermodynamics Demystified, Example 7.1 p. 175: 100/11 % at ratio 12."""
        assert 100 * clearance_for(12, 1.0) == pytest.approx(9.09, abs=0.005)

    def test_ratio_six(self) -> None:
        """1 − 6^−0.4, worked with logarithms: lg 6 = 0.778151 (from memory)."""
        assert cycle.otto_efficiency(6) == pytest.approx(1 - 10 ** (-0.4 * 0.778151), abs=1e-6)


class TestWarmAir:
    """Cengel & Boles, Thermodynamics: An Engineering Approach, Example 9-2 p. 498."""

    found = otto(8, 100.0, 290.0, 800.0)

    def test_states(self) -> None:
        assert self.found.states[2].temperature == pytest.approx(1575.1, abs=2)
        assert self.found.states[2].pressure == pytest.approx(4345, abs=6)

    def test_yield(self) -> None:
        assert self.found.work == pytest.approx(418.17, abs=1.5)
        assert 100 * self.found.efficiency == pytest.approx(52.3, abs=0.1)
        assert self.found.mean_effective_pressure == pytest.approx(574, abs=2)


@pytest.fixture(scope="module")
def cantera_air() -> Any:
    """Cantera's own air: other coefficients, fitted by others, and a rounder composition."""
    cantera = pytest.importorskip("cantera", reason="Cantera is in the test extra")
    return cantera.Solution("air.yaml")


def cantera_cycle(
    air: Any, ratio: float, kelvin: float, heat: float, later: float = 0.0
) -> tuple[list[tuple[float, float]], float, float]:
    """(temperature, pressure) of each corner, the work in J/kg, and the swept volume."""

    def corner() -> tuple[float, float]:
        return air.T, air.P / 1000

    air.TP = kelvin, 1e5
    corners, large, energy = [corner()], air.volume_mass, air.int_energy_mass
    air.SV = air.entropy_mass, large / ratio
    corners.append(corner())
    air.UV = air.int_energy_mass + 1000 * heat, large / ratio
    corners.append(corner())
    if later:
        air.HP = air.enthalpy_mass + 1000 * later, air.P
        corners.append(corner())
    air.SV = air.entropy_mass, large
    corners.append(corner())
    work = 1000 * (heat + later) - (air.int_energy_mass - energy)
    return corners, work / 1000, large - large / ratio


@pytest.mark.parametrize("ratio", [6.0, 8.0, 9.827, 12.0, 16.0])
@pytest.mark.parametrize(("kelvin", "heat"), [(290.0, 800.0), (300.0, 1500.0), (330.0, 2000.0)])
def test_whole_cycle_within_a_tenth_of_a_percent(
    ratio: float, kelvin: float, heat: float, cantera_air: Any
) -> None:
    corners, work, swept = cantera_cycle(cantera_air, ratio, kelvin, heat)
    found = otto(ratio, 100.0, kelvin, heat)
    for state, (hot, pressure) in zip(found.states, corners, strict=True):
        assert state.temperature == pytest.approx(hot, rel=1e-3)
        assert state.pressure == pytest.approx(pressure, rel=1e-3)
    assert found.efficiency == pytest.approx(work / heat, rel=1e-3)
    assert found.mean_effective_pressure == pytest.approx(work / swept, rel=1e-3)


@pytest.mark.parametrize(("heat", "later"), [(900.0, 600.0), (0.0, 1200.0)])
def test_dual_cycle_within_a_tenth_of_a_percent(
    heat: float, later: float, cantera_air: Any
) -> None:
    corners, work, swept = cantera_cycle(cantera_air, 16.0, 300.0, heat, later)
    found = dual(16.0, 100.0, 300.0, heat, later)
    for state, (hot, pressure) in zip(found.states, corners, strict=True):
        assert state.temperature == pytest.approx(hot, rel=1e-3)
        assert state.pressure == pytest.approx(pressure, rel=1e-3)
    assert found.heat_in == pytest.approx(heat + later)
    assert found.mean_effective_pressure == pytest.approx(work / swept, rel=1e-3)


def test_diesel_formula() -> None:
    """1 − (β^γ − 1)/(γ·(β − 1)·r^(γ−1)), β the cut-off ratio; Heywood (1988) §5.4, from memory."""
    found = dual(18.0, 100.0, 300.0, 0.0, 1500.0, TEXTBOOK_AIR)
    cut_off = found.states[3].volume / found.states[2].volume
    formula = 1 - (cut_off**1.4 - 1) / (1.4 * (cut_off - 1) * 18**0.4)
    assert found.efficiency == pytest.approx(formula, rel=1e-10)


@given(ratios, heats)
def test_constant_gamma_cycle_is_the_closed_formula(ratio: float, heat: float) -> None:
    found = otto(ratio, 95.0, 310.0, heat, TEXTBOOK_AIR)
    assert found.efficiency == pytest.approx(cycle.otto_efficiency(ratio), rel=1e-9)
    rise = found.states[2].pressure / found.states[1].pressure
    closed = cycle.otto_mean_effective_pressure(95.0, ratio, rise)
    assert found.mean_effective_pressure == pytest.approx(closed, rel=1e-9)


@pytest.mark.parametrize("gas", [DRY_AIR, TEXTBOOK_AIR])
def test_work_is_the_area_of_the_loop(gas: Gas) -> None:
    """SciPy's quad of p·dV along both curves, p from volume by the gas."""
    found = otto(9.827, 100.0, 300.0, 1500.0, gas)
    small, large = found.states[1].volume, found.states[0].volume

    def between(volume: float) -> float:
        """Height of the loop: expansion less compression."""
        burnt, fresh = found.states[2], found.states[0]
        hot = gas.compressed(burnt.temperature, burnt.volume / volume)
        cold = gas.compressed(fresh.temperature, fresh.volume / volume)
        return gas.gas_constant * (hot - cold) / volume

    area, _ = quad(between, small, large, epsabs=1e-6)
    assert found.work == pytest.approx(area, rel=1e-6)


def test_compression_work_is_the_integral_of_pressure() -> None:
    def pressure(volume: float) -> float:
        return 100.0 * (0.65 / volume) ** 1.3

    work, _ = quad(pressure, 0.65 / 9, 0.65)
    assert cycle.compression_work(100.0, 0.65, 9, 1.3) == pytest.approx(work, rel=1e-9)


@pytest.mark.parametrize("gas", [DRY_AIR, TEXTBOOK_AIR])
def test_drawn_loop_encloses_the_work(gas: Gas) -> None:
    """Shoelace formula on the points, with enough of them."""
    for found in (otto(9.0, 100.0, 300.0, 1500.0, gas), dual(9.0, 100.0, 300.0, 700.0, 800.0, gas)):
        loop = found.points(400)
        assert all(type(number) is float for point in loop for number in point)
        area = sum(v1 * p2 - v2 * p1 for (v1, p1), (v2, p2) in pairwise(loop))
        assert abs(area) / 2 == pytest.approx(found.work, rel=1e-4)
        for state in found.states:
            corner = state.volume, state.pressure
            assert min(math.dist(corner, point) for point in loop) < 1e-6


@given(ratios, st.floats(0.1, 3.0), heats)
@settings(max_examples=40)
def test_more_ratio_is_worth_more_but_less_each_time(
    ratio: float, more: float, heat: float
) -> None:
    low, middle, high = (
        otto(ratio + step * more, 100.0, 300.0, heat).efficiency for step in range(3)
    )
    assert low < middle < high
    assert high - middle < middle - low
    assert cycle.efficiency_gain(ratio + more) < cycle.efficiency_gain(ratio)


@given(ratios, heats)
@settings(max_examples=40)
def test_warm_air_gives_less_than_cold_air_promises(ratio: float, heat: float) -> None:
    assert otto(ratio, 100.0, 300.0, heat).efficiency < cycle.otto_efficiency(ratio)


def test_gain_per_point_is_the_slope_of_the_efficiency() -> None:
    """dη/dr = (γ − 1)·r^−γ, by hand."""
    small = 1e-5
    slope = cycle.efficiency_gain(9.0, small) * cycle.otto_efficiency(9.0) / small
    assert slope == pytest.approx(0.4 * 9.0**-1.4, rel=1e-4)


def test_units_in_units_out() -> None:
    found = otto(8, Quantity(14.5038, "psi"), Quantity(290.0, "kelvin"), Quantity(0.8, "MJ/kg"))
    bare = otto(8, 100.0, 290.0, 800.0)
    assert found.mean_effective_pressure.m_as("kPa") == pytest.approx(
        bare.mean_effective_pressure, rel=1e-5
    )
    assert found.efficiency == pytest.approx(bare.efficiency, rel=1e-5)
    assert found.states[3].temperature.m_as("degC") == pytest.approx(
        bare.states[3].temperature - 273.15, rel=1e-5
    )
    assert found.points()[5] == pytest.approx(bare.points()[5], rel=1e-5)
    warmed = cycle.compressed_temperature(Quantity(20.0, "degC"), 6)
    assert warmed.m_as("kelvin") == pytest.approx(cycle.compressed_temperature(293.15, 6))


def test_arrays_and_uncertain_numbers() -> None:
    several = otto(np.array([8.0, 9.0, 10.0]), 100.0, 290.0, 800.0).efficiency
    assert list(several) == pytest.approx(
        [otto(ratio, 100.0, 290.0, 800.0).efficiency for ratio in (8.0, 9.0, 10.0)]
    )
    uncertain = otto(ufloat(9.0, 0.1), 100.0, 290.0, 800.0).efficiency
    slope = (
        otto(9.1, 100.0, 290.0, 800.0).efficiency - otto(8.9, 100.0, 290.0, 800.0).efficiency
    ) / 2
    assert uncertain.std_dev == pytest.approx(slope, rel=1e-3)


@pytest.mark.parametrize(
    ("given_values", "message"),
    [
        ((1.0, 100.0, 290.0, 800.0), "compression ratio 1.0: must lie between 1 and 40"),
        ((50, 100.0, 290.0, 800.0), "compression ratio 50"),
        ((8, 0.0, 290.0, 800.0), "pressure before compression"),
        ((8, 100.0, 20.0, 800.0), "in kelvin"),
        ((8, 100.0, 290.0, -1.0), "must not be negative"),
        ((8, 100.0, 290.0, 9000.0), "nor warm the air above 6000 K"),
        ((8, 100.0, 290.0, float("nan")), "heat nan"),
        ((float("nan"), 100.0, 290.0, 800.0), "compression ratio nan"),
        ((np.array([8.0, 0.5]), 100.0, 290.0, 800.0), "compression ratio"),
    ],
)
def test_what_cannot_be_is_refused(given_values: tuple[float, ...], message: str) -> None:
    with pytest.raises(Refused, match=message):
        otto(*given_values)


def test_piston_does_not_wait_for_the_heat() -> None:
    with pytest.raises(Refused, match="pass bottom dead centre"):
        dual(4, 100.0, 300.0, 0.0, 4000.0)
