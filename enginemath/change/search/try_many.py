"""Every combination of a long price list, as arrays."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import ArrayGrid
from enginemath.change.search.front import SEED_STEP, Front
from enginemath.change.search.ranked import Feasible, Misses
from enginemath.change.search.result import Listed, SearchResult
from enginemath.change.search.sweep import Progress, sweep

_WORTH_A_BAR = 50_000_000


def search_many(grid: ArrayGrid, options: Options, top: int) -> SearchResult:
    """Try every combination; an interrupt keeps what was found so far.

    Args:
        grid: of the engine and the options, as arrays.
        options: with the target and the limits.
        top: number of plans, and of nearest misses, to keep.
    """
    feasible = Feasible(grid, options, top)
    with _bar("plans", grid) as progress:
        swept = sweep(grid, feasible, progress)
    best = feasible.best.kept
    if not swept.complete:
        return SearchResult(swept.tried, False, feasible.count, best.number.tolist())
    if not feasible.count:
        misses = Misses(grid, options, top)
        with _bar("nearest misses", grid) as progress:
            complete = sweep(grid, misses, progress).complete
        nearest = misses.nearest.kept.number.tolist()
        return SearchResult(swept.tried, complete, 0, [], Listed([], 0), nearest)
    return SearchResult(
        swept.tried, True, feasible.count, best.number.tolist(), _front(grid, options, feasible)
    )


def _front(grid: ArrayGrid, options: Options, feasible: Feasible) -> Listed | None:
    front = Front(grid, options)
    coarser = grid.thinned(SEED_STEP)
    if coarser.combinations < grid.combinations:
        coarse = Front(coarser, options)
        if not sweep(coarser, coarse, lambda _: None).complete:
            return None
        front.learn(coarse)
    front.offer(feasible.best.kept)
    with _bar("trade-off", grid) as progress:
        complete = sweep(grid, front, progress).complete
    return front.listed if complete else None


@contextmanager
def _bar(what: str, grid: ArrayGrid) -> Iterator[Progress]:
    """A progress bar on standard error, where somebody may be waiting in front of it."""
    if grid.combinations < _WORTH_A_BAR or not sys.stderr.isatty():
        yield lambda _: None
        return
    from tqdm import tqdm

    with tqdm(total=grid.combinations, desc=what, unit="", unit_scale=True, leave=False) as bar:
        yield bar.update
