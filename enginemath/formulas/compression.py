"""The compression ratio: the stack of volumes at top dead centre, the ratio, and its inverses.

Volumes are of one cylinder and in one unit. Every formula works on floats, NumPy arrays,
quantities and numbers with uncertainty.
"""

from __future__ import annotations

from enginemath.formulas.geometry import disc_area
from enginemath.units import Number


def clearance_volume(
    chamber: Number, gasket: Number, deck: Number, crown: Number = 0, crevice: Number = 0
) -> Number:
    """Volume left above the piston at top dead centre.

        Vc = chamber + gasket + deck + crown + crevice

    Args:
        chamber: in the head, a volume.
        gasket: opening times compressed thickness, a volume.
        deck: piston edge to deck, a volume; positive below the deck.
        crown: a volume; a dish and valve reliefs positive, a dome negative.
        crevice: round the ring land, a volume.

    Returns:
        Volume, in the unit of the parts.

    Source: the sum of the parts.

    >>> round(clearance_volume(47.5, 7.5044, 2.3267, 8.8, 0.5185), 4)
    66.6496
    """
    return chamber + gasket + deck + crown + crevice


def compression_ratio(swept: Number, clearance: Number) -> Number:
    """Volume at bottom dead centre over volume at top dead centre.

        r = (Vs + Vc)/Vc

    Args:
        swept: Vs, bore area times stroke, a volume.
        clearance: Vc, what is left at top dead centre, a volume.

    Returns:
        A bare number.

    Source: Heywood (1988) §2.2 (from memory).

    >>> round(compression_ratio(588.3135, 66.6496), 4)
    9.827
    """
    return (swept + clearance) / clearance


def clearance_for(ratio: Number, swept: Number) -> Number:
    """Clearance volume that gives a wanted ratio; the inverse of `compression_ratio`.

        Vc = Vs/(r − 1)

    Args:
        ratio: r, wanted, a bare number above 1.
        swept: Vs, a volume.

    Returns:
        Volume, in the unit of `swept`.

    Source: `compression_ratio` solved for the clearance.

    >>> clearance_for(12, 11.0)
    1.0
    """
    return swept / (ratio - 1)


def part_for(ratio: Number, swept: Number, other_parts: Number) -> Number:
    """Volume of one part - chamber, gasket, deck or crown - that gives a wanted ratio.

        V = Vs/(r − 1) − other parts

    Args:
        ratio: r, wanted, a bare number above 1.
        swept: Vs, a volume.
        other_parts: all of the clearance volume but the part, a volume.

    Returns:
        Volume of the part, in the unit of `swept`; negative where the ratio is beyond its reach,
        or a dome.

    Source: the clearance that is wanted, less the other parts.

    >>> round(part_for(10, 588.3135, 66.6496 - 47.5), 2)  # the chamber
    46.22
    """
    return clearance_for(ratio, swept) - other_parts


def height_of(volume: Number, diameter: Number) -> Number:
    """Height of a disc: the gasket thickness or the deck clearance that holds a volume.

        h = V/(π/4·d²)

    Args:
        volume: V, in the cube of the length unit.
        diameter: d, a length.

    Returns:
        A length; negative for a negative volume.

    Source: `geometry.disc` solved for the height.

    >>> round(height_of(7504.4, 93.2), 4)
    1.1
    """
    return volume / disc_area(diameter)


def depth_at_bdc(stroke: Number, deck_clearance: Number) -> Number:
    """Depth from the deck to the piston's edge at bottom dead centre.

        depth = s + c

    It holds the deck clearance already: taken for the stroke, it counts the deck twice.

    Args:
        stroke: s, a length.
        deck_clearance: c, a length; positive below the deck at top dead centre.

    Returns:
        A length.

    Source: the sum of both; common practice, no source.

    >>> depth_at_bdc(88.5, 0.35)
    88.85
    """
    return stroke + deck_clearance
