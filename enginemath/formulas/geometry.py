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

        V = π/4·d²·h

    Args:
        diameter: d, across the disc, a length.
        height: h, thickness of the disc, a length; negative gives a negative volume.

    Returns:
        Volume, in the cube of the length unit.

    Source: Machinery's Handbook, "Volumes of Solids" (formula from memory).

    >>> round(disc(93.2, 1.10), 1)  # mm and mm give mm³
    7504.4
    """
    return disc_area(diameter) * height


def disc_area(diameter: Number) -> Number:
    """Area of a circle: a bore's, or a round opening's.

        A = π/4·d²

    Args:
        diameter: d, across the circle, a length.

    Returns:
        Area, in the square of the length unit.

    Source: Machinery's Handbook, "Areas of Plane Figures" (formula from memory).

    >>> round(disc_area(92.0), 1)  # mm give mm²
    6647.6
    """
    return π / 4 * diameter * diameter


def annulus(outer_diameter: Number, inner_diameter: Number, height: Number) -> Number:
    """Volume of a ring: the crevice between bore and piston above the top ring.

        V = π/4·(b² − d²)·h

    It is worked as (b − d)·(b + d), which keeps its digits where both are nearly alike.

    Args:
        outer_diameter: b, the bore, a length.
        inner_diameter: d, the piston land, a length.
        height: h, from the crown's edge to the top ring, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: difference of two discs.

    >>> round(annulus(92.0, 91.4, 6.0), 1)
    518.6
    """
    return π / 4 * (outer_diameter - inner_diameter) * (outer_diameter + inner_diameter) * height


def spherical_cap(mouth_diameter: Number, depth: Number) -> Number:
    """Volume of a round dish or dome that is part of a sphere.

        V = π·h·(3·a² + h²)/6

    Args:
        mouth_diameter: 2·a, across the opening, a length.
        depth: h, at the centre, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: Machinery's Handbook, "Volumes of Solids", spherical segment (formula from memory).

    >>> round(spherical_cap(60.0, 10.0), 3)
    14660.766
    """
    mouth_radius = mouth_diameter / 2
    return π * depth * (3 * mouth_radius * mouth_radius + depth * depth) / 6


def frustum(top_diameter: Number, bottom_diameter: Number, height: Number) -> Number:
    """Volume of a cut cone: a dish with sloping walls.

        V = π·h·(R² + R·r + r²)/3

    Args:
        top_diameter: 2·R, one end, a length.
        bottom_diameter: 2·r, the other end, a length.
        height: h, between the ends, a length.

    Returns:
        Volume, in the cube of the length unit.

    Source: Machinery's Handbook, "Volumes of Solids", frustum of a cone (formula from memory).

    >>> round(frustum(50.0, 58.0, 12.0), 3)
    27532.918
    """
    top, bottom = top_diameter / 2, bottom_diameter / 2
    return π * height * (top * top + top * bottom + bottom * bottom) / 3


def reach(rod: Number, sideways: Number) -> Number:
    """How far a leaning rod reaches along the bore.

        y = √(l² − e²)

    At top dead centre rod and crank stand in one line: with their sum for the rod this is the
    pin's height over the crank's centre.

    Args:
        rod: l, centre to centre, a length.
        sideways: e, how far one end stands to the side of the other, a length of either sign.

    Returns:
        A length.

    Source: Pythagoras.

    >>> reach(5.0, 3.0)
    4.0
    """
    return (rod * rod - sideways * sideways) ** 0.5


def true_stroke(crank_radius: Number, rod_length: Number, pin_offset: Number = 0) -> Number:
    """Travel of the piston, a little more than twice the crank radius if the pin is offset.

        s = √((l + a)² − e²) − √((l − a)² − e²)

    Args:
        crank_radius: a, half the stroke that the crank is ground to, a length.
        rod_length: l, centre to centre, a length.
        pin_offset: e, of the piston pin from the bore's centre line, a length of either sign.

    Returns:
        A length.

    Source: Pythagoras at both dead centres.

    >>> round(true_stroke(44.25, 145.0, 1.0), 4)
    88.5023
    """
    top = reach(rod_length + crank_radius, pin_offset)
    return top - reach(rod_length - crank_radius, pin_offset)


def crank_radius(stroke: Number, rod_length: Number, pin_offset: Number = 0) -> Number:
    """Crank radius that gives a measured piston travel; the inverse of `true_stroke`.

        a = s/2·√(1 − e²/(l² − s²/4))

    Args:
        stroke: s, measured travel of the piston, a length.
        rod_length: l, centre to centre, a length.
        pin_offset: e, of the piston pin from the bore's centre line, a length of either sign.

    Returns:
        A length.

    Source: the equation of `true_stroke` solved for a.

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

        x = √((l + a)² − e²) − a·cos φ − √(l² − (a·sin φ − e)²)

    φ is θ + asin(e/(l + a)): with an offset the crank has turned a little past the upright when
    the piston is at the top. With no offset, x = a + l − a·cos θ − √(l² − a²·sin² θ).

    Args:
        crank_radius: a, a length.
        rod_length: l, centre to centre, a length.
        angle: θ, of the crank after the piston's own top dead centre; a bare number is in degrees.
        pin_offset: e, a length; positive towards the side the crank turns to after top dead
            centre.

    Returns:
        A length, 0 at top dead centre.

    Source: slider-crank; Heywood (1988) §2.2 (from memory), with the offset by Pythagoras.

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

        x = s/2·(1 − cos θ)

    Args:
        stroke: s, a length; a swept volume gives the part of it above the piston.
        angle: θ, of the crank after top dead centre; a bare number is in degrees.

    Returns:
        In the unit of the stroke, 0 at top dead centre.

    Source: the limit of `piston_drop` for a very long rod.

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

        V = Vc + π/4·b²·x

    Args:
        bore: b, a length.
        crank_radius: a length.
        rod_length: centre to centre, a length.
        angle: after top dead centre; a bare number is in degrees.
        clearance: Vc, volume left at top dead centre, in the cube of the length unit.
        pin_offset: a length; its sign as in `piston_drop`, which gives x.

    Returns:
        Volume, in the cube of the length unit.

    Source: Heywood (1988) §2.2 (from memory).

    >>> round(cylinder_volume(92.0, 44.25, 145.0, 180.0, 66649.6))
    654963
    """
    return clearance + disc(bore, piston_drop(crank_radius, rod_length, angle, pin_offset))


def sin(angle: Number) -> Number:
    """Sine of an angle of any kind.

        sin θ = opposite side / longest side

    Args:
        angle: θ, degrees as a float, an array or an uncertain number; or an angle with its unit.

    Returns:
        A bare number from −1 to 1.

    Source: the right triangle.

    >>> round(sin(30.0), 12)
    0.5
    """
    return _circular("sin", angle)


def cos(angle: Number) -> Number:
    """Cosine of an angle of any kind.

        cos θ = adjacent side / longest side

    Args:
        angle: θ, degrees as a float, an array or an uncertain number; or an angle with its unit.

    Returns:
        A bare number from −1 to 1.

    Source: the right triangle.

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
