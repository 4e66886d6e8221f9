"""Numbers read off a chart's printed ticks."""

from __future__ import annotations

import numpy as np

from tests.drawing.reader import Reading


def _number(text: str) -> float:
    return float(text.replace("−", "-"))


def across(reading: Reading, x: float) -> float:
    """The level axis's number at a place."""
    ticks = [t for t in reading.texts if t.kind == "tick"]
    foot = max(t.box[3] for t in ticks)
    level = [t for t in ticks if abs(t.box[3] - foot) < 0.1]
    slope, start = np.polyfit(
        [(t.box[0] + t.box[2]) / 2 for t in level], [_number(t.text) for t in level], 1
    )
    return float(slope * x + start)


def upright(reading: Reading, y: float) -> float:
    """The upright axis's number at a height; a number's line stands 0.55 em above its foot."""
    ticks = [t for t in reading.texts if t.kind == "tick"]
    foot = max(t.box[3] for t in ticks)
    rising = [t for t in ticks if abs(t.box[3] - foot) >= 0.1]
    slope, start = np.polyfit(
        [t.box[3] - 0.55 * t.size for t in rising], [_number(t.text) for t in rising], 1
    )
    return float(slope * y + start)
