"""Every combination of a long price list, as arrays."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from enginemath.change.job import Job
from enginemath.change.price_list import Options
from enginemath.change.search.arrays import ArrayGrid, arrays_of
from enginemath.change.search.front import SEED_STEP, Front, front_of
from enginemath.change.search.grid import grids_of
from enginemath.change.search.ranked import Feasible, Misses
from enginemath.change.search.result import Listed, Numbers, SearchResult
from enginemath.change.search.sweep import Progress, sweep

_WORTH_A_BAR = 50_000_000


def search_many(job: Job, top: int) -> SearchResult:
    """Try every combination of an engine with one bank; an interrupt keeps what was found so far.

    Args:
        job: the engine and what can be done to it.
        top: number of plans, and of nearest misses, to keep.
    """
    options = job.options
    (bank,) = grids_of(job)
    grid = arrays_of(bank)

    def numbers(places: Iterable[int]) -> list[Numbers]:
        return [_numbers(grid, int(place), job.part_counts[-1]) for place in places]

    feasible = Feasible(grid, options, top)
    with _bar("plans", grid) as progress:
        swept = sweep(grid, feasible, progress)
    best = numbers(feasible.best.kept.number)
    if not swept.complete:
        return SearchResult(swept.tried, False, feasible.count, best)
    if not feasible.count:
        misses = Misses(grid, options, top)
        with _bar("nearest misses", grid) as progress:
            complete = sweep(grid, misses, progress).complete
        nearest = numbers(misses.nearest.kept.number)
        return SearchResult(swept.tried, complete, 0, [], Listed([], 0), nearest)
    front = _front(grid, options, feasible)
    found = None if front is None else front_of(front.unbeaten, numbers)
    return SearchResult(swept.tried, True, feasible.count, best, found)


def _numbers(grid: ArrayGrid, place: int, cranks: int) -> Numbers:
    gasket, piston, bottom, *cuts = grid.numbers(place)
    return (gasket, piston, *divmod(bottom, cranks), *cuts)


def _front(grid: ArrayGrid, options: Options, feasible: Feasible) -> Front | None:
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
    return front if complete else None


@contextmanager
def _bar(what: str, grid: ArrayGrid) -> Iterator[Progress]:
    """A progress bar on standard error, where somebody may be waiting in front of it."""
    if grid.combinations < _WORTH_A_BAR or not sys.stderr.isatty():
        yield lambda _: None
        return
    from tqdm import tqdm

    with tqdm(total=grid.combinations, desc=what, unit="", unit_scale=True, leave=False) as bar:
        yield bar.update
