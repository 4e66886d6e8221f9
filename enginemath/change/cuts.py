"""Cuts of the deck and of the head, flat or at an angle."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pint

from enginemath.change.changed import NO_LENGTH, changed, in_shop_unit
from enginemath.change.cut_limits import (
    CC_PER_MM,
    DECK_CUT,
    FROM_EDGE,
    HEAD_CUT,
    HEIGHT,
    MINIMUM,
    OPEN_AREA,
    WIDTH,
)
from enginemath.engine.parts import Engine
from enginemath.units import Quantity, Refused, in_mm, nominal


def cut_deck(engine: Engine, cut: str | pint.Quantity) -> Engine:
    """Cut the block's deck: every piston comes nearer to the head.

        deck clearance = before − cut

    Args:
        engine: before the cut.
        cut: depth, a length, not negative.

    Returns:
        A new engine; each deck clearance is smaller by the cut.

    Raises:
        Refused: a cut that cannot be, or one that stands a piston into the head.

    Source: common practice, no source.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> engine = parse(EXAMPLE).engine
    >>> print(show(cut_deck(engine, "0.20 mm").decks[0].clearance, "mm"))
    0.150 mm
    >>> cut_deck(engine, "1.50 mm")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: deck cut 1.500 mm: cylinder 1: the piston stands 1.150 mm above the \
deck, the gasket is 1.100 mm: the piston would meet the head
    """
    depth = DECK_CUT.accept(cut)
    return changed(engine, f"deck cut {in_shop_unit(depth)}", lift=depth)


def open_area_of(cc_per_mm: float) -> pint.Quantity:
    """Open area of a chamber at the head's face, from the volume that a cut takes off it.

        A = ΔV/Δh

    Args:
        cc_per_mm: ΔV/Δh, a bare number in cc for a millimetre, positive.

    Returns:
        An area, in cm².

    Raises:
        Refused: a number that cannot be.

    Source: a thin slice of the chamber is its area times its thickness; 1 cc/mm is 10 cm².

    >>> print(open_area_of(4.1))
    41.0 centimeter ** 2
    """
    low, high = CC_PER_MM
    if not low < cc_per_mm <= high:
        raise Refused(f"{cc_per_mm:g} cc per mm: write a number above {low} up to {high}, like 4.1")
    return Quantity(cc_per_mm * 10.0, "cm**2")


def cut_head(engine: Engine, cut: str | pint.Quantity, open_area: str | pint.Quantity) -> Engine:
    """Cut the head flat: every chamber loses its open area times the cut.

        chamber = before − A·cut

    Args:
        engine: before the cut.
        cut: depth, a length, not negative.
        open_area: A, of one chamber at the head's face, an area; `open_area_of` has it from cc
            per mm.

    Returns:
        A new engine with smaller chambers; squish and deck clearance stay.

    Raises:
        Refused: a cut or an area that cannot be, or one that leaves no chamber.

    Source: exact while the chamber's walls stand square to the face; common practice, no source.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> engine = cut_head(parse(EXAMPLE).engine, "0.50 mm", "41 cm**2")
    >>> print(show(engine.chambers[0].volume, "cc"))
    45.45 cc
    """
    depth = HEAD_CUT.accept(cut)
    return changed(
        engine,
        f"head cut {in_shop_unit(depth)}",
        off_chambers=(depth * OPEN_AREA.accept(open_area)).to("cc"),
    )


@dataclass(frozen=True)
class AngleCut:
    """A cut that is deeper at one edge of the head than at the other.

    Args:
        shallow: depth at the shallow edge, a length, not negative.
        deep: depth at the deep edge, a length.
        width: of the face, from the shallow edge to the deep one, a length.

    Raises:
        Refused: a length that cannot be, or edges that are exchanged.

    >>> from enginemath.units import show
    >>> cut = AngleCut("0.20 mm", "1.00 mm", width="160 mm")
    >>> print(show(cut.angle, "deg"), show(cut.depth_at("100 mm"), "mm"))
    0.3° 0.700 mm
    """

    shallow: pint.Quantity
    deep: pint.Quantity
    width: pint.Quantity

    def __post_init__(self) -> None:
        for name, limit in (("shallow", HEAD_CUT), ("deep", HEAD_CUT), ("width", WIDTH)):
            object.__setattr__(self, name, limit.accept(getattr(self, name)))
        if in_mm(self.deep - self.shallow) < 0:
            raise Refused(
                f"angle cut: the deep edge loses {in_shop_unit(self.deep)} and the shallow edge "
                f"{in_shop_unit(self.shallow)}; exchanged?"
            )

    @property
    def angle(self) -> pint.Quantity:
        """How far the face is tilted.

            tan φ = (deep − shallow)/width

        Returns:
            φ, an angle in degrees.

        Source: the right triangle.

        >>> print(round(AngleCut("0.20 mm", "1.00 mm", width="160 mm").angle.m_as("degree"), 4))
        0.2865
        """
        slope = nominal(((self.deep - self.shallow) / self.width).m_as(""))
        return Quantity(math.atan(slope), "radian").to("degree")

    def depth_at(self, from_edge: str | pint.Quantity) -> pint.Quantity:
        """Depth at a distance from the shallow edge.

            depth = shallow + (deep − shallow)·distance/width

        Args:
            from_edge: distance from the shallow edge, a length, not negative and within the width.

        Returns:
            A length.

        Raises:
            Refused: a distance that cannot be, or one beyond the face.

        Source: the straight line between both edges.

        >>> from enginemath.units import show
        >>> print(show(AngleCut("0.20 mm", "1.00 mm", width="160 mm").depth_at("100 mm"), "mm"))
        0.700 mm
        """
        distance = FROM_EDGE.accept(from_edge)
        if in_mm(distance - self.width) > 0:
            raise Refused(
                f"{in_shop_unit(distance)} from the shallow edge: the face is "
                f"{in_shop_unit(self.width)} wide"
            )
        return self.shallow + (self.deep - self.shallow) * (distance / self.width).to("")


def cut_head_at_angle(
    engine: Engine, cut: AngleCut, centre: str | pint.Quantity, open_area: str | pint.Quantity
) -> Engine:
    """Cut the head at an angle that runs across every chamber alike.

        chamber = before − A·depth at its centre

    Args:
        engine: before the cut.
        cut: depths at both edges.
        centre: of the chambers' open area, from the shallow edge, a length.
        open_area: A, of one chamber at the head's face, an area.

    Returns:
        A new engine with smaller chambers.

    Raises:
        Refused: see `cut_head`.

    Source: a plane takes off open area × depth at the area's centre.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> cut = AngleCut("0.20 mm", "1.00 mm", width="160 mm")
    >>> engine = cut_head_at_angle(parse(EXAMPLE).engine, cut, "100 mm", "41 cm**2")
    >>> print(show(engine.chambers[0].volume, "cc"))
    44.63 cc
    """
    return cut_head(engine, cut.depth_at(centre), open_area)


_ROUNDING_MM = 1e-9


def metal_left(
    height: str | pint.Quantity,
    minimum: str | pint.Quantity,
    cut: str | pint.Quantity = NO_LENGTH,
) -> pint.Quantity:
    """How much may still be cut, after a cut, before the maker's minimum is reached.

        left = height − minimum − cut

    Args:
        height: of the head, or of the block from crank to deck, as measured now, a length.
        minimum: the least height that the maker allows, a length.
        cut: planned, a length, not negative.

    Returns:
        A length, not negative.

    Raises:
        Refused: the cut would go below the maker's minimum.

    Source: common practice, no source.

    >>> from enginemath.units import show
    >>> print(show(metal_left("132.60 mm", minimum="132.30 mm", cut="0.20 mm"), "mm"))
    0.100 mm
    >>> metal_left("132.60 mm", minimum="132.30 mm", cut="0.40 mm")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: cut 0.400 mm: it leaves 132.200 mm and the maker's minimum is \
132.300 mm: at most 0.300 mm may be cut
    """
    now, least, depth = HEIGHT.accept(height), MINIMUM.accept(minimum), HEAD_CUT.accept(cut)
    spare = now - least
    left = spare - depth
    if in_mm(left) >= -_ROUNDING_MM:
        return left
    most = f"at most {in_shop_unit(spare)} may be cut" if in_mm(spare) > 0 else "cut nothing"
    raise Refused(
        f"cut {in_shop_unit(depth)}: it leaves {in_shop_unit(now - depth)} and the maker's minimum "
        f"is {in_shop_unit(least)}: {most}"
    )
