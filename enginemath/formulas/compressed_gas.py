"""A gas that is compressed along p·Vⁿ = constant."""

from __future__ import annotations

from enginemath.units import Number
from enginemath.units.any_number import bare, with_unit

GAMMA = 1.4
"""Ratio of the heat capacities of cold air."""


def compressed_pressure(pressure: Number, ratio: Number, exponent: Number = GAMMA) -> Number:
    """Absolute pressure after compression along p·Vⁿ = constant.

        p₂ = p₁·rⁿ

    Args:
        pressure: p₁, absolute, before; any unit.
        ratio: r, volume before / volume after.
        exponent: n, a bare number; γ where no heat is lost.

    Returns:
        Absolute pressure, in the unit of `pressure`.

    Source: p₁·V₁ⁿ = p₂·V₂ⁿ with r = V₁/V₂.

    >>> round(compressed_pressure(14.7, 7), 2)  # psi absolute
    224.11
    """
    return pressure * ratio**exponent


def compressed_temperature(temperature: Number, ratio: Number, exponent: Number = GAMMA) -> Number:
    """Temperature after compression along p·Vⁿ = constant.

        T₂ = T₁·r^(n−1)

    Args:
        temperature: T₁, before; bare in kelvin.
        ratio: r, volume before / volume after.
        exponent: n, a bare number; γ where no heat is lost.

    Returns:
        A temperature; bare in kelvin.

    Source: `compressed_pressure` and p·V/T = constant, ideal gas.

    >>> round(compressed_temperature(293.0, 6))
    600
    """
    kelvin = bare(temperature, "kelvin") * ratio ** (exponent - 1)
    return with_unit(kelvin, "kelvin", like=temperature)


def compression_work(
    pressure: Number, volume: Number, ratio: Number, exponent: Number = GAMMA
) -> Number:
    """Work that compression along p·Vⁿ = constant puts into the gas.

        W = p₁·V₁·(r^(n−1) − 1)/(n − 1)

    Args:
        pressure: p₁, absolute pressure before.
        volume: V₁, volume before.
        ratio: r, volume before / volume after.
        exponent: n, a bare number, not 1.

    Returns:
        Work, as pressure times volume: joules from kPa and litres, or from Pa and m³.

    Source: the integral of p·dV.

    >>> round(compression_work(100.0, 0.240, 6), 1)
    62.9
    """
    return pressure * volume * (ratio ** (exponent - 1) - 1) / (exponent - 1)
