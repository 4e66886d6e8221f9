"""What a search finds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

TIE = 1e-9
"""Distances in ratio and lengths in mm that are closer than this are equal."""
MOST_LISTED = 1_000
FINEST_STEP = 0.01
"""The finest step of the ratio in a list of plans."""


Numbers = tuple[int, ...]
"""Gasket, piston, rods and crank, counted from 0; then each bank's deck and head cut in steps."""


@dataclass(frozen=True)
class Listed:
    """The plans that no other beats, or some of them where there are very many."""

    numbers: list[Numbers]
    count: int
    """How many there are."""
    step: float | None = None
    """None where all are listed. Else one plan is listed for each price and each step of this
    much ratio from the aim: the one that takes off the least metal. So is the nearest of all."""


@dataclass(frozen=True)
class SearchResult:
    """What a search found; combinations are given by their numbers."""

    tried: int
    complete: bool
    """False where the search was interrupted."""
    feasible: int
    best: list[Numbers]
    front: Listed | None = None
    """None where it was not worked out."""
    nearest_misses: list[Numbers] = field(default_factory=list)


def listed(
    prices: Sequence[float], distances: Sequence[float], numbers: Sequence[Numbers]
) -> Listed:
    """All of the unbeaten plans, or one in each step of ratio where they are more than a thousand.

    The step is 0.01 of ratio, or 0.02, 0.04 … until no more than a thousand are left, or one for
    each price.

    Args:
        prices, distances, numbers: of the plans in order; the distance is from the aim, in ratio.
    """
    count = len(numbers)
    if count <= MOST_LISTED:
        return Listed(list(numbers), count)
    step, furthest = FINEST_STEP, max(distances)
    nearest = min(range(count), key=distances.__getitem__)
    while len(kept := _one_a_step(prices, distances, step) | {nearest}) > MOST_LISTED:
        if step >= furthest:
            break
        step *= 2
    return Listed([numbers[which] for which in sorted(kept)], count, step)


def _one_a_step(prices: Sequence[float], distances: Sequence[float], step: float) -> set[int]:
    # In order of distance, so the last in a step takes off the least metal.
    last = {
        (price, math.floor(distance / step + TIE)): number
        for number, (price, distance) in enumerate(zip(prices, distances, strict=True))
    }
    return set(last.values())
