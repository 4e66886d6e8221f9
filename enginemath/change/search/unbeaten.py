"""Plans that no other beats, compared one by one, and a list of them that is not too long."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from enginemath.change.search.best import TIE, Places
from enginemath.change.search.choices import Array

MOST_LISTED = 1_000
FINEST_STEP = 0.01
"""Of ratio."""


@dataclass(frozen=True)
class Listed:
    """The plans that no other beats, or some of them where there are very many."""

    numbers: list[int]
    count: int
    """How many there are."""
    step: float | None = None
    """None where all are listed. Else one plan is listed for each price and each step of this
    much ratio from the aim: the one that takes off the least metal. So is the nearest of all."""


def unbeaten(places: Places) -> Array:
    """Which plans no other beats in all three measures, in order; one of those level in all.

    >>> price, distance, metal = [1, 1, 2, 2], [5, 3, 3, 1], [0, 2, 2, 9]
    >>> rows = (price, distance, metal, range(4))
    >>> unbeaten(Places(*(np.array(row) for row in rows))).tolist()
    [1, 0, 3]
    """
    order = np.lexsort((places.number, places.third, places.second, places.first))
    price, distance, metal = places.first[order], places.second[order], places.third[order]
    ends = np.flatnonzero(np.diff(price, append=np.inf)) + 1
    kept = np.zeros(len(order), dtype=bool)
    steps, least = np.array([-np.inf]), np.array([np.inf])
    start = 0
    for end in ends.tolist():
        d, m = distance[start:end], metal[start:end]
        ahead = np.minimum.accumulate(np.append(np.inf, m[:-1]))
        cheaper = least[np.searchsorted(steps, d, "right") - 1]
        here = m < np.minimum(ahead, cheaper)
        kept[start:end] = here
        if here.any():
            at = np.searchsorted(steps, d[here])
            steps, least = np.insert(steps, at, d[here]), np.insert(least, at, m[here])
            least = np.minimum.accumulate(least)
        start = end
    return order[kept]


def listed(places: Places) -> Listed:
    """All of the unbeaten plans, or one in each step of ratio where they are more than a thousand.

    The step is 0.01 of ratio, or 0.02, 0.04 … until no more than a thousand are left, or one for
    each price.

    Args:
        places: the unbeaten plans in order, with their distances from the aim in ratio.
    """
    if len(places) <= MOST_LISTED:
        return Listed(places.number.tolist(), len(places))
    step = FINEST_STEP
    while len(kept := _one_a_step(places, step)) > MOST_LISTED and step < places.second.max():
        step *= 2
    return Listed(places.number[kept].tolist(), len(places), step)


def _one_a_step(places: Places, step: float) -> Array:
    steps = np.floor(places.second / step + TIE)
    # In order of distance, so the last in a step takes off the least metal.
    last = (np.diff(places.first, append=np.inf) != 0) | (np.diff(steps, append=-1) != 0)
    last[np.argmin(places.second)] = True
    return np.flatnonzero(last)
