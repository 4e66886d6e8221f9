"""Standard air at a height: US Standard Atmosphere 1976, from 5 km below the sea to 20 km above.

Every formula takes the altitude above sea level as a quantity, or bare in metres; it answers
with a quantity, or bare in kPa, kelvin or kg/m³. Pressures are absolute.

Source: U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF), equations 18, 23, 33a, 33b and 42
(constants and equation numbers from memory; tested against its table).
"""

from __future__ import annotations

import math

from enginemath.units import Number, Refused
from enginemath.units.any_number import bare, higher_of, lies_within, lower_of, with_unit

SEA_LEVEL_PRESSURE = 101.325  # kPa
SEA_LEVEL_TEMPERATURE = 288.15  # K
GAS_CONSTANT = 8.31432 / 28.9644  # kJ/(kg·K)
GRAVITY = 9.80665  # m/s²
EARTH_RADIUS = 6_356_766  # m
LAPSE = 0.0065  # K lost with each metre in the troposphere
TROPOPAUSE = 11_000  # m, geopotential
LOWEST, HIGHEST = -5_000, 20_000  # m

_FALL = GRAVITY / (1000 * GAS_CONSTANT)  # K/m


def geopotential(altitude: Number) -> Number:
    """Height that counts in the air's weight: gravity weakens as one climbs.

        h = r·z/(r + z)

    r is the earth's radius, 6 356 766 m.

    Args:
        altitude: z, true (geometric) height above sea level, a length; bare in metres.

    Returns:
        A length; bare in metres.

    Raises:
        Refused: outside −5 to 20 km.

    Source: US Standard Atmosphere 1976, equation 18.

    >>> round(geopotential(10_000.0), 1)
    9984.3
    """
    return with_unit(_height(altitude), "m", like=altitude)


def temperature(altitude: Number) -> Number:
    """Temperature of standard air.

        T = T₀ − L·h, from 11 km up constant

    T₀ is 288.15 K, L is 6.5 K for each kilometre of `geopotential` height h.

    Args:
        altitude: above sea level, a length; bare in metres.

    Returns:
        A temperature; bare in kelvin.

    Raises:
        Refused: outside −5 to 20 km.

    Source: US Standard Atmosphere 1976, equation 23.

    >>> round(temperature(1000.0), 2)
    281.65
    """
    return with_unit(_temperature(_height(altitude)), "kelvin", like=altitude)


def pressure_ratio(altitude: Number) -> Number:
    """Absolute pressure of standard air as a share of that at sea level.

        δ = (T/T₀)^(g/(R·L)), to 11 km

        δ = δ₁₁·e^(−g·(h − 11 km)/(R·T)), from there up

    This, and not `density_ratio`, scales an absolute pressure.

    Args:
        altitude: above sea level, a length; bare in metres. `geopotential` gives h of it, and
            `temperature` T and L.

    Returns:
        δ, a bare number.

    Raises:
        Refused: outside −5 to 20 km.

    Source: US Standard Atmosphere 1976, equations 33a and 33b.

    >>> round(pressure_ratio(5000 * 0.3048), 3)  # 5000 ft
    0.832
    """
    height = _height(altitude)
    thinner = (_temperature(height) / SEA_LEVEL_TEMPERATURE) ** (_FALL / LAPSE)
    above_tropopause = higher_of(height, TROPOPAUSE) - TROPOPAUSE
    return thinner * math.e ** (-_FALL * above_tropopause / _temperature(TROPOPAUSE))


def density_ratio(altitude: Number) -> Number:
    """Density of standard air as a share of that at sea level.

        σ = δ·T₀/T

    It falls more slowly than the pressure, since the air is colder. Tables of "altitude
    factors" may hold this ratio: it scales the mass of air that is drawn in, not a pressure.

    Args:
        altitude: above sea level, a length; bare in metres. `pressure_ratio` gives δ of it, and
            `temperature` T and T₀.

    Returns:
        σ, a bare number.

    Raises:
        Refused: outside −5 to 20 km.

    Source: ideal gas; US Standard Atmosphere 1976, equation 42.

    >>> round(density_ratio(5000 * 0.3048), 3)  # 5000 ft
    0.862
    """
    colder = _temperature(_height(altitude)) / SEA_LEVEL_TEMPERATURE
    return pressure_ratio(altitude) / colder


def pressure(altitude: Number) -> Number:
    """Absolute pressure of standard air.

        p = p₀·δ

    p₀ is 101.325 kPa.

    Args:
        altitude: above sea level, a length; bare in metres. `pressure_ratio` gives δ of it.

    Returns:
        A pressure; bare in kPa.

    Raises:
        Refused: outside −5 to 20 km.

    Source: US Standard Atmosphere 1976, equations 33a and 33b.

    >>> round(pressure(1000.0), 2)
    89.88
    """
    return with_unit(SEA_LEVEL_PRESSURE * pressure_ratio(altitude), "kPa", like=altitude)


def density(altitude: Number) -> Number:
    """Density of standard air.

        ρ = ρ₀·σ, with ρ₀ = p₀/(R·T₀)

    Args:
        altitude: above sea level, a length; bare in metres. `density_ratio` gives σ of it.

    Returns:
        Mass of a volume; bare in kg/m³.

    Raises:
        Refused: outside −5 to 20 km.

    Source: ideal gas; US Standard Atmosphere 1976, equation 42.

    >>> round(density(0.0), 4), round(density(1000.0), 4)
    (1.225, 1.1117)
    """
    at_sea_level = SEA_LEVEL_PRESSURE / (GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)
    return with_unit(at_sea_level * density_ratio(altitude), "kg/m**3", like=altitude)


def _height(altitude: Number) -> Number:
    metres = bare(altitude, "m")
    if not lies_within(metres, LOWEST, HIGHEST):
        raise Refused(
            f"altitude {metres} m: the standard air here reaches from {LOWEST} m to {HIGHEST} m; "
            "was it in feet?"
        )
    return EARTH_RADIUS * metres / (EARTH_RADIUS + metres)


def _temperature(height: Number) -> Number:
    return SEA_LEVEL_TEMPERATURE - LAPSE * lower_of(height, TROPOPAUSE)
