"""What the ratio means when the engine turns: effective ratio and cranking pressure.

Pressures are absolute unless the name says gauge. A computed ratio is not permission to run.
"""

from __future__ import annotations

from typing import NamedTuple

import pint

from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of
from enginemath.formulas import atmosphere
from enginemath.formulas.compressed_gas import compressed_pressure, compressed_temperature
from enginemath.formulas.compression import compression_ratio
from enginemath.formulas.geometry import disc, piston_drop
from enginemath.units import (
    CC,
    MM,
    MM3_PER_CC,
    Number,
    Quantity,
    Refused,
    in_mm,
    magnitude_in,
    show,
)
from enginemath.units.any_number import bare, settled

POLYTROPIC_EXPONENT = 1.25
"""The exponent of compression at cranking speed; common practice, no source.

Air that keeps its heat has 1.40 cold and about 1.37 when compressed. A running engine shows
about 1.3 (Heywood 1988 §9.2, from memory), for it loses heat to the walls. On the starter the
charge has ten times longer to lose heat and to leak past the rings, hence a little less.
"""


def swept_from_intake_closing(
    bore: Number,
    crank_radius: Number,
    rod_length: Number,
    intake_closes: Number,
    pin_offset: Number = 0,
) -> Number:
    """Part of the swept volume that is left to compress once the intake valve is shut.

        Vt = π/4·b²·x(180° + θ)

    Args:
        bore: b, a length.
        crank_radius: a length.
        rod_length: centre to centre, a length.
        intake_closes: θ, angle after bottom dead centre; a bare number is in degrees. State the
            valve lift at which it was read (see `timing_note`).
        pin_offset: a length; positive towards the side the crank turns to after top dead centre.

    Returns:
        Volume, in the cube of the length unit.

    Source: bore area times the piston's distance x from the top, by the true rod geometry
    (`geometry.piston_drop`), 180° and the angle after the piston's top dead centre.

    >>> round(swept_from_intake_closing(92.0, 44.25, 145.0, 60.0) / 1000, 2)  # mm give mm³
    475.51
    """
    after_top = 180 + bare(intake_closes, "degree")
    return disc(bore, piston_drop(crank_radius, rod_length, after_top, pin_offset))


def trapped_ratio(
    bore: Number,
    crank_radius: Number,
    rod_length: Number,
    exhaust_closes: Number,
    clearance: Number,
    pin_offset: Number = 0,
) -> Number:
    """Compression ratio of a two-stroke, counted from the closing of its exhaust.

        rₜ = (π/4·b²·x(180° + θ) + Vc)/Vc

    The ratio over the full stroke counts what leaves through the open port: makers state the one
    or the other, so say which.

    Args:
        bore: b, a length.
        crank_radius: a length.
        rod_length: centre to centre, a length.
        exhaust_closes: θ, angle after bottom dead centre at which the exhaust port or valve is
            shut; a bare number is in degrees. A port that opens θ before bottom dead centre
            closes θ after it, where the pin is not offset.
        clearance: Vc, volume at top dead centre, in the cube of the length unit.
        pin_offset: a length; see `swept_from_intake_closing`.

    Returns:
        A bare number.

    Source: Heywood and Sher, The Two-Stroke Cycle Engine (1999), §1.2 (from memory): the trapped
    compression ratio, volume at exhaust port closing over clearance volume.

    >>> round(trapped_ratio(54.0, 27.0, 105.0, 85.0, 12_000.0), 3)  # mm and mm³; full stroke 11.306
    7.271
    """
    volume = swept_from_intake_closing(bore, crank_radius, rod_length, exhaust_closes, pin_offset)
    return compression_ratio(volume, clearance)


def effective_ratio(trapped_swept: Number, clearance: Number) -> Number:
    """Compression ratio counted from the closing of the intake valve.

        rₑ = (Vt + Vc)/Vc

    Args:
        trapped_swept: Vt, see `swept_from_intake_closing`, a volume.
        clearance: Vc, volume at top dead centre, in the same unit.

    Returns:
        A bare number.

    Source: `compression.compression_ratio` of what is trapped.

    >>> round(effective_ratio(475.506, 66.6496), 4)
    8.1344
    """
    return compression_ratio(trapped_swept, clearance)


def cranking_pressure(
    effective_ratio: Number, ambient: Number, exponent: Number = POLYTROPIC_EXPONENT
) -> Number:
    """Absolute pressure at the end of compression on the starter, throttle open.

        p₂ = p₁·rₑⁿ

    Args:
        effective_ratio: rₑ, a bare number; see `effective_ratio`.
        ambient: p₁, absolute pressure of the air outside; any unit.
        exponent: n, the polytropic exponent, a bare number.

    Returns:
        Absolute pressure, in the unit of `ambient`. A tester shows `gauge_pressure`.

    Source: `compressed_gas.compressed_pressure` from ambient air at intake closing.

    >>> round(cranking_pressure(8.1344, 101.325))
    1392
    """
    return compressed_pressure(ambient, effective_ratio, exponent)


def cranking_temperature(
    effective_ratio: Number, ambient: Number, exponent: Number = POLYTROPIC_EXPONENT
) -> Number:
    """Mean temperature of the charge at the end of compression on the starter.

        T₂ = T₁·rₑ^(n−1)

    Args:
        effective_ratio: rₑ, a bare number; see `effective_ratio`.
        ambient: T₁, temperature of the air at intake closing; bare in kelvin.
        exponent: n, the polytropic exponent, a bare number.

    Returns:
        A temperature; bare in kelvin.

    Source: `compressed_gas.compressed_temperature`.

    >>> round(cranking_temperature(8.1344, 293.15))
    495
    """
    return compressed_temperature(ambient, effective_ratio, exponent)


def gauge_pressure(pressure: Number, ambient: Number) -> Number:
    """What a gauge shows: it reads zero in the air of the place.

        gauge = absolute − ambient

    Args:
        pressure: absolute pressure; any unit.
        ambient: absolute pressure of the air at the gauge, in the same unit.

    Returns:
        Gauge pressure, in that unit; negative below the air's pressure.

    Source: the definition of gauge pressure.

    >>> round(gauge_pressure(1392.0, 101.325))
    1291
    """
    return pressure - ambient


def absolute_pressure(gauge: Number, ambient: Number) -> Number:
    """Absolute pressure from a gauge reading; the inverse of `gauge_pressure`.

        absolute = gauge + ambient

    Args:
        gauge: pressure as the gauge shows it; negative for a vacuum.
        ambient: absolute pressure of the air at the gauge, in the same unit.

    Returns:
        Absolute pressure, in that unit.

    Source: the definition of gauge pressure.

    >>> absolute_pressure(1290.675, 101.325)
    1392.0
    """
    return gauge + ambient


def pressure_at_altitude(pressure: Number, altitude: Number) -> Number:
    """An absolute pressure known at sea level, in the thinner air of a height.

        p = p₀·δ

    Args:
        pressure: p₀, absolute, at sea level; any unit. Never a gauge reading: make it absolute
            with the air it was read in, scale, then subtract the air of the height.
        altitude: above sea level, a length; bare in metres. Standard air gives δ of it.

    Returns:
        Absolute pressure, in the unit of `pressure`.

    Raises:
        Refused: an altitude beyond standard air.

    Source: `atmosphere.pressure_ratio`; not the density ratio that some tables hold.

    >>> round(pressure_at_altitude(1392.0, 1524.0))  # 5000 ft
    1158
    """
    return pressure * atmosphere.pressure_ratio(altitude)


class Cranking(NamedTuple):
    """One cylinder on the starter: throttle open, standard air of the place."""

    effective_ratio: Number
    ambient: pint.Quantity
    """The air's absolute pressure."""
    pressure: pint.Quantity
    """The absolute pressure at the end of compression."""
    temperature: pint.Quantity
    """The charge's mean temperature at the end of compression."""

    @property
    def gauge(self) -> pint.Quantity:
        """What a compression tester shows there.

            gauge = absolute − ambient

        Returns:
            Gauge pressure, in kPa.

        Source: `gauge_pressure`.

        >>> air, end = Quantity(101.325, "kPa"), Quantity(1392.0, "kPa")
        >>> on_the_starter = Cranking(8.1344, air, end, temperature=Quantity(495.0, "kelvin"))
        >>> print(show(on_the_starter.gauge, "kPa"))
        1291 kPa
        """
        return gauge_pressure(self.pressure, self.ambient)


def cranking(engine: Engine, number: int = 0, exponent: Number = POLYTROPIC_EXPONENT) -> Cranking:
    """Effective ratio, of a two-stroke trapped ratio, and cranking pressure of one cylinder.

        rₑ = (Vt + Vc)/Vc, p₂ = p₁·rₑⁿ, T₂ = T₁·rₑ^(n−1)

    Args:
        engine: with rod length and intake closing, or exhaust closing of a two-stroke; altitude
            where none is given is sea level.
        number: of the cylinder, from 0.
        exponent: n, the polytropic exponent, a bare number.

    Returns:
        Effective ratio, absolute pressures in kPa, and temperature in kelvin, in the standard air
        of the engine's altitude.

    Raises:
        Refused: no rod length, or no closing on the sheet.

    Source: `effective_ratio`, `cranking_pressure` and `cranking_temperature`.

    >>> from enginemath.engine.parts import Chamber, Cylinder, Deck, Gasket, Piston, RingLand
    >>> engine = Engine("Heron Four", Cylinder("92.0 mm", "88.5 mm", "145 mm"),
    ...     (Chamber("47.5 cc"),), Gasket("93.2 mm", "1.10 mm"), (Deck("0.35 mm"),),
    ...     Piston(dish="6.0 cc", reliefs="2.8 cc"), RingLand("6.0 mm", "0.60 mm"),
    ...     intake_closes="60 deg", altitude="1200 m")
    >>> on_the_starter = cranking(engine)
    >>> round(on_the_starter.effective_ratio, 4)
    8.1344
    >>> print(show(on_the_starter.pressure, "kPa"), show(on_the_starter.gauge, "kPa"))
    1205 kPa 1117 kPa
    """
    closes = engine.traps_at
    if closes is None:
        what = "exhaust" if engine.is_two_stroke else "intake"
        raise Refused(f"{what} closing: needed for the effective ratio, and not given")
    cylinder, altitude = engine.cylinders[number], engine.altitude
    lengths = cylinder.bore, cylinder.crank_radius, cylinder.rod_length
    bore, radius, rod = (magnitude_in(MM, length) for length in lengths)
    offset = magnitude_in(MM, cylinder.pin_offset)
    trapped = swept_from_intake_closing(bore, radius, rod, closes, offset)
    clearance = magnitude_in(CC, stack_of(engine, number).clearance)
    ratio = settled(effective_ratio(settled(trapped) / MM3_PER_CC, clearance))
    height = Quantity(0.0, "m") if altitude is None else altitude
    ambient = atmosphere.pressure(height)
    return Cranking(
        ratio,
        ambient,
        settled(cranking_pressure(ratio, ambient, exponent)),
        cranking_temperature(ratio, atmosphere.temperature(height), exponent),
    )


SEAT_LIFT = 0.2
"""Valve lift in mm up to which a timing counts as seat timing; common practice, no source."""


def timing_note(intake_closes: pint.Quantity, checking_lift: pint.Quantity | None = None) -> str:
    """Say what an intake closing means: seat timing, or timing at a checking lift.

    Args:
        intake_closes: angle after bottom dead centre.
        checking_lift: valve lift at which it was read, a length; None if nobody said.

    Returns:
        One to three sentences.

    Source: common practice, no source.

    >>> print(timing_note(Quantity(60, "degree")))
    Intake closes 60.0° after bottom dead centre, valve lift not stated. Seat timing and timing
    at a checking lift differ by tens of degrees: ask the cam card which it is.
    >>> print(timing_note(Quantity(38, "degree"), Quantity(0.050, "inch")))
    Intake closes 38.0° after bottom dead centre at a checking lift of 1.270 mm (0.0500 in). The
    valve is still open then, and shuts tens of degrees later: the effective ratio comes out too
    high. Use seat timing.
    """
    said = f"Intake closes {show(intake_closes, 'deg')} after bottom dead centre"
    if checking_lift is None:
        return (
            f"{said}, valve lift not stated. Seat timing and timing at a checking lift differ by "
            "tens of degrees: ask the cam card which it is."
        )
    lift = f"{show(checking_lift, 'mm')} ({show(checking_lift, 'in')})"
    if in_mm(checking_lift) <= SEAT_LIFT:
        return f"{said}: seat timing, read at a lift of {lift}."
    return (
        f"{said} at a checking lift of {lift}. The valve is still open then, and shuts tens of "
        "degrees later: the effective ratio comes out too high. Use seat timing."
    )
