"""Every combination of a short price list, one after the other, in plain Python."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from enginemath.change.job import Job
from enginemath.change.search.grid import Grid, Row, grids_of
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE, Listed, Numbers, SearchResult, listed

Rank = tuple[float, float, float, Numbers]
"""Three measures, the smallest first, and the numbers, which break a tie."""


@dataclass(frozen=True)
class _Setup:
    """The cuts of one bank, with one combination of parts."""

    measure: float
    """Its share of the mean ratio, or how far it misses the limits."""
    price: int
    metal: float
    steps: tuple[int, int]


_OfBank = Callable[[Grid, Bounds, tuple[int, int, int]], Iterator[_Setup]]
"""Finds the setups of one bank with some parts."""


def search_few(job: Job, top: int) -> SearchResult:
    """Try every combination.

    Args:
        job: the engine and what can be done to it.
        top: number of plans, and of nearest misses, to keep.
    """
    grids, bounds = grids_of(job), Bounds.of(job.options)
    aim = bounds.aim
    plans = sorted(
        (price, _ticks(abs(mean - aim)), metal, numbers)
        for mean, price, metal, numbers in _combined(job, grids, bounds, _feasible)
    )
    if not plans:
        misses = sorted(
            (round(miss, 9), price, metal, numbers)
            for miss, price, metal, numbers in _combined(job, grids, bounds, _misses)
        )
        nearest = [numbers for *_, numbers in misses[:top]]
        return SearchResult(job.combinations, True, 0, [], Listed([], 0), nearest)
    best = [numbers for *_, numbers in plans[:top]]
    return SearchResult(job.combinations, True, len(plans), best, _front(plans))


def _combined(job: Job, grids: Sequence[Grid], bounds: Bounds, of_bank: _OfBank) -> Iterator[Rank]:
    """Every combination of parts with a setup of each bank that a filter lets through."""
    cranks = job.part_counts[-1]
    for gasket, piston, bottom in grids[0].parts():
        parts = (gasket, piston, *divmod(bottom, cranks))
        setups = []
        for grid in grids:
            setups.append(list(of_bank(grid, bounds, (gasket, piston, bottom))))
            if not setups[-1]:
                break
        else:
            for chosen in itertools.product(*setups):
                yield (
                    math.fsum(setup.measure for setup in chosen),
                    sum(setup.price for setup in chosen),
                    _ticks(math.fsum(setup.metal for setup in chosen)),
                    (*parts, *itertools.chain(*(setup.steps for setup in chosen))),
                )


def _rows(grid: Grid, bounds: Bounds, parts: tuple[int, int, int]) -> Iterator[tuple[int, Row]]:
    for step in grid.deck.steps:
        row = grid.row(*parts, step)
        if bounds.can_be_assembled(row):
            yield step, row


def _feasible(grid: Grid, bounds: Bounds, parts: tuple[int, int, int]) -> Iterator[_Setup]:
    for step, row in _rows(grid, bounds, parts):
        if not bounds.lengths_fit(row):
            continue
        volumes = grid.volumes(*parts, step)
        for head_step in filter(grid.leaves_a_chamber, grid.head.steps):
            added = grid.head.added(head_step)
            if bounds.band_fits(row, added):
                share = grid.ratio_share(volumes, added)
                yield _setup(grid, row, share, step, head_step)


def _misses(grid: Grid, bounds: Bounds, parts: tuple[int, int, int]) -> Iterator[_Setup]:
    for step, row in _rows(grid, bounds, parts):
        lengths = bounds.lengths_miss(row)
        volumes = grid.volumes(*parts, step)
        for head_step in filter(grid.leaves_a_chamber, grid.head.steps):
            added = grid.head.added(head_step)
            if min(volume for _, volume in volumes) + added > 0:
                ratios = grid.ratios((*parts, step, head_step))
                miss = lengths + bounds.band_misses(min(ratios), max(ratios))
                yield _setup(grid, row, miss, step, head_step)


def _setup(grid: Grid, row: Row, measure: float, step: int, head_step: int) -> _Setup:
    price = row.price + grid.head.paid(head_step)
    return _Setup(measure, price, row.metal + grid.head.depth(head_step), (step, head_step))


def _ticks(length: float) -> int:
    """In whole ticks, so that what is closer than a tie is equal."""
    return round(length / TIE)


def _front(plans: Sequence[Rank]) -> Listed:
    prices, ticks, _, numbers = zip(*unbeaten(plans), strict=True)
    return listed(prices, [distance * TIE for distance in ticks], numbers)


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
    for price, distance, metal, numbers in plans:
        at = bisect_right(steps, (distance, metal))
        if at and steps[at - 1][1] <= metal:
            continue
        front.append((price, distance, metal, numbers))
        while at < len(steps) and steps[at][1] >= metal:
            del steps[at]
        steps.insert(at, (distance, metal))
    return front
