"""Volumes of drawn outlines, turned around their middle."""

from __future__ import annotations

import math

from .reader import Drawn


def centre(drawn: Drawn) -> tuple[float, float]:
    left, top, right, bottom = drawn.box
    return (left + right) / 2, (top + bottom) / 2


def turned_volume(points) -> float:
    """Volume of an outline right of x = 0, turned around it, in px³; by Green's theorem."""
    total = 0.0
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        total += (y2 - y1) * (x1 * x1 + x1 * x2 + x2 * x2) / 3
    return abs(math.pi * total)


def right_half(drawn: Drawn, middle: float | None = None) -> list[tuple[float, float]]:
    """The right half of an outline that is alike on both sides, x from its middle."""
    axis = centre(drawn)[0] if middle is None else middle
    return [(max(x - axis, 0.0), y) for x, y in drawn.points]


def px_per_mm(reading) -> float:
    """The scale, from the scale bar and the number written beside it."""
    left, _, right, _ = reading.one("scale-bar").box
    number, unit = next(t for t in reading.texts if t.kind == "scale").text.split()
    return (right - left) / (float(number) * (25.4 if unit == "in" else 1.0))
