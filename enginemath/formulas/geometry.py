"""Volumes of the plain solids and the motion of a piston, as pure formulas.

Every formula works on floats in one length unit, NumPy arrays, quantities and numbers with
uncertainty. A bare number for an angle is in degrees.
"""

from __future__ import annotations

import math
from typing import Any

from enginemath.units import Number, unit_of

π = math.pi


def disc(diameter: Number, height: Number) -> Number:
    """Volume of a disc: a gasket opening, a deck clearance, a swept cylinder.

    Args:
        diameter: across the disc, a length.
        height: thickness of the disc, a length; negative gives a negative volume.

    Returns:
        Volume, in the cube of the length unit.

    Source: π/4·d²·h, Machinery's Handbook, "Volumes of Solids" (formula from memory).

    >>> round(disc(93.2, 1.10), 1)  # mm and mm give mm³
    7504.4
    """
    return disc_area(diameter) * height


def disc_area(diameter: Number) -> Number:
    """Area of a circle, in the square of the length unit.

    >>> round(disc_area(92.0), 1)
    6647.6
    """
    return π / 4 * diameter * diameter


def annulus(outer_diameter: Number, inner_diameter: Number, height: Number) -> Number:
    """Volume of a ring: the crevice between bore and piston above the top ring.

    Args:
        outer_diameter: the bore, a length.
        inner_diameter: the piston land, a length.
        height: from the crown's edge to the top ring, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: difference of two discs.

    >>> round(annulus(92.0, 91.4, 6.0), 1)
    518.6
    """
    return π / 4 * (outer_diameter - inner_diameter) * (outer_diameter + inner_diameter) * height


def spherical_cap(mouth_diameter: Number, depth: Number) -> Number:
    """Volume of a round dish or dome that is part of a sphere.

    Args:
        mouth_diameter: across the opening, a length.
        depth: at the centre, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: π·h·(3a² + h²)/6 with a the mouth's radius; Machinery's Handbook, "Volumes of
    Solids", spherical segment (formula from memory).

    >>> round(spherical_cap(60.0, 10.0), 3)
    14660.766
    """
    mouth_radius = mouth_diameter / 2
    return π * depth * (3 * mouth_radius * mouth_radius + depth * depth) / 6


def frustum(top_diameter: Number, bottom_diameter: Number, height: Number) -> Number:
    """Volume of a cut cone: a dish with sloping walls.

    Args:
        top_diameter: one end, a length.
        bottom_diameter: the other end, a length.
        height: between the ends, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: π·h·(R² + R·r + r²)/3; Machinery's Handbook, "Volumes of Solids", frustum of a
    cone (formula from memory).

    >>> round(frustum(50.0, 58.0, 12.0), 3)
    27532.918
    """
    top, bottom = top_diameter / 2, bottom_diameter / 2
    return π * height * (top * top + top * bottom + bottom * bottom) / 3


def reach(rod: Number, sideways: Number) -> Number:
    """How far a leaning rod reaches along the bore.

    At top dead centre rod and crank stand in one line: with their sum for the rod this is the
    pin's height over the crank's centre.

    Args:
        rod: centre to centre, a length.
        sideways: how far one end stands to the side of the other, a length of either sign.

    Returns:
        A length.

    Source: Pythagoras.

    >>> reach(5.0, 3.0)
    4.0
    """
    return (rod * rod - sideways * sideways) ** 0.5


def true_stroke(crank_radius: Number, rod_length: Number, pin_offset: Number = 0) -> Number:
    """Travel of the piston, a little more than twice the crank radius if the pin is offset.

    Args:
        crank_radius: half the stroke that the crank is ground to, a length.
        rod_length: centre to centre, a length.
        pin_offset: of the piston pin from the bore's centre line, a length of either sign.

    Returns:
        A length.

    Source: √((l+r)² − e²) − √((l−r)² − e²), by Pythagoras at both dead centres.

    >>> round(true_stroke(44.25, 145.0, 1.0), 4)
    88.5023
    """
    top = reach(rod_length + crank_radius, pin_offset)
    return top - reach(rod_length - crank_radius, pin_offset)


def crank_radius(stroke: Number, rod_length: Number, pin_offset: Number = 0) -> Number:
    """Crank radius that gives a measured piston travel; the inverse of `true_stroke`.

    Args:
        stroke: measured travel of the piston, a length.
        rod_length: centre to centre, a length.
        pin_offset: a length of either sign.

    Returns:
        A length.

    Source: the equation of `true_stroke` solved for r: (s/2)·√(1 − e²/(l² − s²/4)).

    >>> crank_radius(88.5, 145.0)
    44.25
    """
    half = stroke / 2
    offset_share = pin_offset * pin_offset / (rod_length * rod_length - half * half)
    return half * (1 - offset_share) ** 0.5


def piston_drop(
    crank_radius: Number, rod_length: Number, angle: Number, pin_offset: Number = 0
) -> Number:
    """How far the piston stands below its top dead centre.

    Args:
        crank_radius: a length.
        rod_length: centre to centre, a length.
        angle: of the crank after the piston's own top dead centre; a bare number is in degrees.
        pin_offset: positive towards the side the crank turns to after top dead centre.

    Returns:
        A length, 0 at top dead centre.

    Source: slider-crank by the law of cosines; Heywood (1988) §2.2 (from memory). With an
    offset the crank stands at asin(e/(l+r)) when the piston is at the top.

    >>> round(piston_drop(44.25, 145.0, 90.0), 3), piston_drop(44.25, 145.0, 180.0)
    (51.167, 88.5)
    """
    stretched = rod_length + crank_radius
    top = reach(stretched, pin_offset)
    # The crank's direction at the piston's top dead centre has sine e/(l+r), cosine top/(l+r).
    sine = (sin(angle) * top + cos(angle) * pin_offset) / stretched
    cosine = (cos(angle) * top - sin(angle) * pin_offset) / stretched
    return top - crank_radius * cosine - reach(rod_length, crank_radius * sine - pin_offset)


def cosine_drop(stroke: Number, angle: Number) -> Number:
    """How far the piston would stand below its top dead centre if the rod did not lean.

    Args:
        stroke: a length; a swept volume gives the part of it above the piston.
        angle: of the crank after top dead centre; a bare number is in degrees.

    Returns:
        In the unit of the stroke, 0 at top dead centre.

    Source: the limit of `piston_drop` for a very long rod, s/2·(1 − cos θ).

    >>> round(cosine_drop(88.5, 90.0), 3), round(piston_drop(44.25, 145.0, 90.0), 3)
    (44.25, 51.167)
    """
    return stroke / 2 * (1 - cos(angle))


def cylinder_volume(
    bore: Number,
    crank_radius: Number,
    rod_length: Number,
    angle: Number,
    clearance: Number,
    pin_offset: Number = 0,
) -> Number:
    """Volume above the piston at any crank angle.

    Args:
        bore: a length.
        crank_radius: a length.
        rod_length: centre to centre, a length.
        angle: after top dead centre; a bare number is in degrees.
        clearance: volume left at top dead centre, in the cube of the length unit.
        pin_offset: see `piston_drop`.

    Returns:
        Volume, in the cube of the length unit.

    Source: clearance + disc; Heywood (1988) §2.2 (from memory).

    >>> round(cylinder_volume(92.0, 44.25, 145.0, 180.0, 66649.6))
    654963
    """
    return clearance + disc(bore, piston_drop(crank_radius, rod_length, angle, pin_offset))


def sin(angle: Number) -> Number:
    """Sine of a float or array in degrees, an angle quantity, or an uncertain angle.

    >>> round(sin(30.0), 12)
    0.5
    """
    return _circular("sin", angle)


def cos(angle: Number) -> Number:
    """Cosine of a float or array in degrees, an angle quantity, or an uncertain angle.

    >>> round(cos(60.0), 12)
    0.5
    """
    return _circular("cos", angle)


def _circular(function: str, angle: Number) -> Number:
    radians: Any = angle.m_as(unit_of("radian")) if hasattr(angle, "m_as") else angle * π / 180
    if isinstance(radians, (int, float)):
        return getattr(math, function)(radians)
    if hasattr(radians, "nominal_value"):
        from uncertainties import umath

        return getattr(umath, function)(radians)
    import numpy

    return getattr(numpy, function)(radians)
