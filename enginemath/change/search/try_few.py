"""Every combination of a short price list, one after the other, in plain Python."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from enginemath.change.price_list import Options
from enginemath.change.search.grid import Choices, Grid
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE, Listed, SearchResult, listed

Rank = tuple[float, float, float, int]
"""Three measures, the smallest first, and the place in the grid, which breaks a tie."""


def search_few(grid: Grid, options: Options, top: int) -> SearchResult:
    """Try every combination.

    Args:
        grid: of the engine and the options.
        options: with the target and the limits.
        top: number of plans, and of nearest misses, to keep.
    """
    bounds = Bounds.of(grid, options)
    rows = [row for row in grid.rows() if bounds.can_be_assembled(row)]
    head_cuts = [cut for cut in grid.head_cuts if grid.leaves_a_chamber(cut)]
    plans = sorted(_plans(rows, head_cuts, grid, bounds, options.target.aim))
    tried = grid.combinations
    if not plans:
        nearest = sorted(_misses(rows, head_cuts, bounds))[:top]
        return SearchResult(tried, True, 0, [], Listed([], 0), [place for *_, place in nearest])
    best = [place for *_, place in plans[:top]]
    return SearchResult(tried, True, len(plans), best, _front(plans))


def _plans(
    rows: Sequence[Choices], head_cuts: Sequence[Choices], grid: Grid, bounds: Bounds, aim: float
) -> Iterator[Rank]:
    for row in rows:
        if not bounds.lengths_fit(row):
            continue
        for cut in head_cuts:
            clearance = row.clearance + cut.clearance
            if bounds.band_fits(clearance):
                distance = abs(grid.mean_ratio(clearance) - aim)
                metal = row.metal + cut.metal
                yield row.price + cut.price, _ticks(distance), _ticks(metal), row.place + cut.place


def _misses(
    rows: Sequence[Choices], head_cuts: Sequence[Choices], bounds: Bounds
) -> Iterator[Rank]:
    for row in rows:
        lengths = bounds.lengths_miss(row)
        for cut in head_cuts:
            clearance = row.clearance + cut.clearance
            if bounds.has_room(clearance):
                miss = round(lengths + bounds.band_misses(clearance), 9)
                metal = row.metal + cut.metal
                yield miss, _ticks(row.price + cut.price), _ticks(metal), row.place + cut.place


def _ticks(length: float) -> int:
    """In whole ticks, so that what is closer than a tie is equal."""
    return round(length / TIE)


def _front(plans: Sequence[Rank]) -> Listed:
    prices, ticks, _, places = zip(*unbeaten(plans), strict=True)
    return listed(prices, [distance * TIE for distance in ticks], places)


def unbeaten(plans: Sequence[Rank]) -> list[Rank]:
    """The plans that no other beats in all three measures.

    Args:
        plans: in order; of plans level in everything the first stands for all.

    >>> unbeaten([(1, 3, 2, 0), (1, 5, 0, 1), (2, 1, 9, 2), (2, 3, 2, 3)])
    [(1, 3, 2, 0), (1, 5, 0, 1), (2, 1, 9, 2)]
    """
    front: list[Rank] = []
    steps: list[tuple[float, float]] = []
    """Distance and metal of what is known: the farther off, the less metal."""
    for price, distance, metal, place in plans:
        at = bisect_right(steps, (distance, metal))
        if at and steps[at - 1][1] <= metal:
            continue
        front.append((price, distance, metal, place))
        while at < len(steps) and steps[at][1] >= metal:
            del steps[at]
        steps.insert(at, (distance, metal))
    return front
