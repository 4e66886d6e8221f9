"""The shape of a bore that was read at several heights and in several directions."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from statistics import fmean
from typing import NamedTuple

from enginemath.bench.how_sure.averaging import Reading

_HEIGHTS = {
    "top": "top",
    "upper": "top",
    "middle": "middle",
    "mid": "middle",
    "centre": "middle",
    "center": "middle",
    "bottom": "bottom",
    "lower": "bottom",
}
_NO_WORDS = {"of", "the", "bore", "in", "at", "side", "and", "to"}


class BoreShape(NamedTuple):
    """How far a bore is from a cylinder, in mm; None where it was not read for it."""

    taper: float | None
    """Largest difference between heights in one direction."""
    out_of_round: float | None
    """Largest difference between directions at one height."""


def place_of(place: str) -> tuple[str, str]:
    """Height and direction that a place names, in any order; empty for one that it does not.

    >>> place_of("top, across"), place_of("Along / bottom of the bore"), place_of("thrust side")
    (('top', 'across'), ('bottom', 'along'), ('', 'thrust'))
    """
    words = [word for word in re.findall(r"\w+", place.casefold()) if word not in _NO_WORDS]
    height = next((_HEIGHTS[word] for word in words if word in _HEIGHTS), "")
    return height, " ".join(word for word in words if word not in _HEIGHTS)


def shape_of(readings: Iterable[Reading]) -> BoreShape:
    """Taper and out of round of one bore; repeats at one place count once.

    Args:
        readings: in mm, each with its place, such as "top, across" or "bottom, along".

    Source: common practice: three heights, and two directions square to each other, one along
    the crank and one across it.

    >>> places = {"top, across": 92.05, "top, along": 92.03, "bottom, across": 92.01}
    >>> shape = shape_of(Reading(mm, place=place) for place, mm in places.items())
    >>> round(shape.taper, 3), round(shape.out_of_round, 3)
    (0.04, 0.02)
    """
    read: dict[tuple[str, str], list[float]] = defaultdict(list)
    for reading in readings:
        read[place_of(reading.place)].append(reading.value)
    means = {place: fmean(values) for place, values in read.items()}
    by_direction: dict[str, dict[str, float]] = defaultdict(dict)
    by_height: dict[str, dict[str, float]] = defaultdict(dict)
    for (height, direction), mean in means.items():
        if height:
            by_direction[direction][height] = mean
        if direction:
            by_height[height][direction] = mean
    return BoreShape(_widest(by_direction.values()), _widest(by_height.values()))


def _widest(groups: Iterable[dict[str, float]]) -> float | None:
    spans = [max(found.values()) - min(found.values()) for found in groups if len(found) > 1]
    return max(spans, default=None)
