"""Plain solids of revolution that stand for a chamber, a dish, a dome or valve reliefs.

The real outline is not known, only its volume; the drawn solid has that volume exactly:

- chamber: a cut cone, its mouth 0.90 of the bore, its roof 0.60 of its mouth;
- dome: the same cut cone, smaller;
- dish: a cut cone sunk into the crown, its floor 0.80 of its mouth;
- valve reliefs: a ring of triangular section around the dish or dome.
"""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.formulas.geometry import frustum, π
from enginemath.units import MM3_PER_CC

CHAMBER_MOUTH, CHAMBER_ROOF = 0.90, 0.60
DISH_MOUTH, DISH_FLOOR, DISH_WIDEST, DISH_DEEPEST = 0.56, 0.80, 0.84, 0.15
RELIEF_INNER, RELIEF_OUTER, RELIEF_APEX = 0.29, 0.46, 0.80


@dataclass(frozen=True)
class CutCone:
    """A cut cone: radii of its wide and narrow end and its height, mm."""

    wide: float
    narrow: float
    height: float


@dataclass(frozen=True)
class Ring:
    """A ring of triangular section: inner and outer radius, radius and depth of its apex, mm."""

    inner: float
    outer: float
    apex: float
    depth: float


def chamber(volume: float, bore: float) -> CutCone:
    """The cut cone drawn for a chamber.

    Args:
        volume: cc.
        bore: mm.

    >>> cone = chamber(47.5, 92.0)
    >>> round(frustum(2 * cone.wide, 2 * cone.narrow, cone.height) / 1000, 9)
    47.5
    """
    mouth = CHAMBER_MOUTH * bore
    return _cone(volume, mouth, CHAMBER_ROOF * mouth)


def dish(volume: float, bore: float) -> CutCone:
    """The cut cone drawn for a dish, wider where it would be too deep.

    Args:
        volume: cc, positive.
        bore: mm.

    >>> dish(6.0, 92.0).wide
    25.76
    """
    mouth = DISH_MOUTH * bore
    cone = _cone(volume, mouth, DISH_FLOOR * mouth)
    deepest = DISH_DEEPEST * bore
    if cone.height > deepest:
        mouth = min(DISH_WIDEST * bore, mouth * (cone.height / deepest) ** 0.5)
        cone = _cone(volume, mouth, DISH_FLOOR * mouth)
    return cone


def dome(volume: float, over: CutCone, chamber_volume: float) -> CutCone:
    """The cut cone drawn for a dome: the chamber's shape, made smaller.

    Args:
        volume: cc, positive.
        over: the chamber's cone.
        chamber_volume: cc.

    >>> dome(47.5 / 8, chamber(47.5, 92.0), 47.5).wide
    20.7
    """
    share = (volume / chamber_volume) ** (1 / 3)
    return CutCone(share * over.wide, share * over.narrow, share * over.height)


def reliefs(volume: float, bore: float, inside: float) -> Ring:
    """The ring drawn for valve reliefs.

    Args:
        volume: cc.
        bore: mm.
        inside: radius of the dish or dome that it must go around, mm.

    Source: Pappus's theorem, 2π · radius of the centroid · area.

    >>> ring = reliefs(2.8, 92.0, 25.76)
    >>> area = (ring.outer - ring.inner) * ring.depth / 2
    >>> round(2 * π * (ring.inner + ring.outer + ring.apex) / 3 * area, 6)
    2800.0
    """
    outer = RELIEF_OUTER * bore
    inner = max(RELIEF_INNER * bore, min(inside, 0.94 * outer))
    apex = inner + RELIEF_APEX * (outer - inner)
    centroid = (inner + outer + apex) / 3
    depth = volume * MM3_PER_CC / (2 * π * centroid * (outer - inner) / 2)
    return Ring(inner, outer, apex, depth)


def _cone(volume: float, wide: float, narrow: float) -> CutCone:
    return CutCone(wide / 2, narrow / 2, volume * MM3_PER_CC / frustum(wide, narrow, 1.0))
