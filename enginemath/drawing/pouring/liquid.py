"""How high a poured volume stands, in a chamber and over a piston's crown."""

from __future__ import annotations

from enginemath.drawing.cylinder.piston import DrawnPiston
from enginemath.drawing.cylinder.stand_in_shapes import CutCone
from enginemath.formulas.geometry import disc, frustum, π
from enginemath.units import MM3_PER_CC


def level_in_chamber(cone: CutCone, cc: float) -> float:
    """How high a volume stands in a chamber whose narrow end is below.

    Args:
        cone: the chamber's shape.
        cc: volume.

    Returns:
        mm above the roof.

    Source: a cut cone is a cone of radius r less one of radius n: V = π·H·(r³ − n³)/(3·(w − n)).

    >>> cone = CutCone(wide=41.4, narrow=24.8, height=13.5)
    >>> round(level_in_chamber(cone, frustum(2 * 41.4, 2 * 24.8, 13.5) / 1000), 9)
    13.5
    """
    widening = (cone.wide - cone.narrow) / cone.height
    radius = (cone.narrow**3 + 3 * cc * MM3_PER_CC * widening / π) ** (1 / 3)
    return (radius - cone.narrow) / widening


def level_over_crown(body: DrawnPiston, depth: float, cc: float) -> float:
    """How high a volume stands over a piston that was let down the bore.

    Found by halving: the volume below a level always grows with it.

    Args:
        body: the piston.
        depth: deck to the crown's edge, mm.
        cc: volume, at most all that there is to fill.

    Returns:
        mm above the crown's edge; negative inside the dish.

    >>> flat = DrawnPiston(92.0, None, None, None, land_height=6.0, land_clearance=0.6)
    >>> round(level_over_crown(flat, 12.7, disc(92.0, 5.0) / 1000), 6)
    5.0
    """
    low, high = -body.crown_depth, depth
    target = cc * MM3_PER_CC
    for _ in range(40):
        middle = (low + high) / 2
        if _below(body, middle) < target:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _below(body: DrawnPiston, level: float) -> float:
    """Volume between the crown and a level above the crown's edge, mm³."""
    filled = disc(body.bore, max(level, 0.0))
    if body.dish:
        sunk = min(max(level + body.dish.height, 0.0), body.dish.height)
        filled += _cone_volume(body.dish.narrow, body.dish.wide, body.dish.height, sunk)
    if body.dome:
        covered = min(max(level, 0.0), body.dome.height)
        filled -= _cone_volume(body.dome.wide, body.dome.narrow, body.dome.height, covered)
    if body.reliefs:
        ring = body.reliefs
        share = min(max(level + ring.depth, 0.0), ring.depth) / ring.depth
        centroid = (ring.inner + ring.outer + ring.apex) / 3
        inner = ring.apex + share * (centroid - ring.apex)
        filled += 2 * π * inner * share * share * (ring.outer - ring.inner) * ring.depth / 2
    return filled


def _cone_volume(start: float, end: float, height: float, filled: float) -> float:
    at_level = start + (end - start) * filled / height
    return frustum(2 * start, 2 * at_level, filled)
