"""Readings taken off drawn burettes, by their lines and numbers alone."""

from __future__ import annotations

import numpy as np

from .reader import Reading


def column_reading(reading: Reading) -> float:
    """mL at the top of the liquid in the slim burette."""
    marks = [t for t in reading.texts if t.kind == "tick"]
    # The number's base line stands 0.35 em below its mark.
    heights = [t.box[3] - 0.20 * t.size - 0.35 * t.size for t in marks]
    slope, start = np.polyfit(heights, [float(t.text) for t in marks], 1)
    top = reading.one("column-liquid").box[1]
    return slope * top + start


def window_reading(reading: Reading) -> float:
    """mL at the lowest point of the magnified meniscus."""
    tenths = _heights(reading, "mark-tenth") + _heights(reading, "mark-half")
    whole = _heights(reading, "mark-ml")
    division = min(b - a for a, b in zip(sorted(tenths), sorted(tenths)[1:], strict=False))
    number = next(t for t in reading.texts if t.kind == "number")
    base = number.box[3] - 0.55 * number.size
    line = min(whole, key=lambda y: abs(y - base))
    (left, top), (_, control), (right, _) = reading.one("meniscus").points
    lowest = (top + control) / 2
    assert left < right
    return float(number.text) + (lowest - line) / division * 0.1


def _heights(reading: Reading, kind: str) -> list[float]:
    return sorted({y for shape in reading.all(kind) for _, y in shape.points})
