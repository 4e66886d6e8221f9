"""What follows from the ratio alone, where the gas keeps its heat capacity."""

from __future__ import annotations

from enginemath.formulas.compressed_gas import GAMMA
from enginemath.units import Number


def otto_efficiency(ratio: Number, gamma: Number = GAMMA) -> Number:
    """Share of the heat that the constant-volume cycle turns into work.

        η = 1 − 1/r^(γ−1)

    Args:
        ratio: r, compression ratio, a bare number above 1.
        gamma: γ, ratio of the heat capacities, above 1.

    Returns:
        A bare number between 0 and 1.

    Source: Heywood (1988) §5.4 (from memory).

    >>> round(otto_efficiency(8), 4), round(otto_efficiency(9.827), 4)
    (0.5647, 0.5991)
    """
    return 1 - ratio ** (1 - gamma)


def efficiency_gain(ratio: Number, raised_by: Number = 1, gamma: Number = GAMMA) -> Number:
    """What raising the ratio is worth: work gained from the same heat, as a share.

        gain = η(r + Δr)/η(r) − 1

    Args:
        ratio: r, compression ratio now, a bare number above 1.
        raised_by: Δr, points of ratio; 8 raised by 1 is 9.
        gamma: γ, ratio of the heat capacities.

    Returns:
        A bare number; 0.035 means 3.5 % more work. Each further point is worth less.

    Source: `otto_efficiency` after over before, less 1.

    >>> round(efficiency_gain(8), 3), round(efficiency_gain(10), 3)
    (0.035, 0.025)
    """
    return otto_efficiency(ratio + raised_by, gamma) / otto_efficiency(ratio, gamma) - 1


def otto_mean_effective_pressure(
    pressure: Number, ratio: Number, pressure_rise: Number, gamma: Number = GAMMA
) -> Number:
    """Work of a cycle over the swept volume, for the constant-volume cycle.

        pm = p₁·r·(r^(γ−1) − 1)·(α − 1)/((γ − 1)·(r − 1))

    Args:
        pressure: p₁, absolute, before compression; any unit.
        ratio: r, compression ratio, a bare number above 1.
        pressure_rise: α, pressure after combustion / pressure before it.
        gamma: γ, ratio of the heat capacities.

    Returns:
        Pressure, in the unit of `pressure`.

    Source: work of the four corners over V₁ − V₂, ideal gas; Heywood (1988) §5.4 (from memory).

    >>> round(otto_mean_effective_pressure(1.0, 8, 25 / 8**1.4), 2)
    1.34
    """
    per_ratio = ratio * (ratio ** (gamma - 1) - 1) / ((gamma - 1) * (ratio - 1))
    return pressure * per_ratio * (pressure_rise - 1)


def charge_heat(heating_value: Number, air_fuel_ratio: Number) -> Number:
    """Heat that a kilogram of charge, air and fuel together, gets from its fuel.

        q = H/(1 + A/F)

    Args:
        heating_value: H, heat of a kilogram of the fuel; bare in kJ/kg.
        air_fuel_ratio: A/F, mass of air / mass of fuel.

    Returns:
        Heat, in the unit of `heating_value`.

    Source: mass balance.

    >>> charge_heat(44_000, 15)
    2750.0
    """
    return heating_value / (1 + air_fuel_ratio)
