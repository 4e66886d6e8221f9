"""The trade-off front: no other plan is as cheap, as near to the aim and as sparing of metal."""

from __future__ import annotations

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, ManyChoices
from enginemath.change.search.band import LimitFilter
from enginemath.change.search.best import Ranked, joined
from enginemath.change.search.result import TIE, Listed, listed

SEED_STEP = 0.01
"""Finer cuts, in mm, are first tried in steps of this, so that little has to be kept."""
_MOST_PRICES = 2_000
_MOST_CELLS = 100_000
_FEWEST_DEPTHS = 64
_MOST_MONEY = 1_000_000
_STRETCH = 64
"""Head cuts of a row that are turned away together."""
_STALE = 2_000
"""Newcomers that are worth bringing the table up to date for."""
_POOL = 100_000
"""Plans kept at most before those that are beaten are weeded out."""


class Front:
    """Keeps the plans that no other beats, and of plans that are level in everything one.

    A table of the nearest to the aim, by price and metal, turns most plans away at once. Where
    there are too many prices or depths for a table, its cells are coarser, and it turns away
    only what is beaten all the same. What is left is compared plan by plan.
    """

    def __init__(self, grid: ArrayGrid, options: Options):
        self.grid = grid
        self._filter = LimitFilter(grid, options)
        self._prices = _prices(grid)
        self._money, self._ranks = _ranks(grid, self._prices)
        self._depth, depths = _depths(grid, max(_FEWEST_DEPTHS, _MOST_CELLS // len(self._prices)))
        self._cells = np.full((len(self._prices), depths), np.inf)
        self._nearest = self._cells
        """Least distance of anything as cheap, with as little metal."""
        self._new = 0
        nothing = np.empty(0)
        self._pool = Ranked(nothing, nothing, nothing, nothing.astype(np.int64))

    def screen(self, rows: ManyChoices) -> ManyChoices:
        """Keep the rows that keep to the limits and may still be on the front."""
        rows = self._filter.screen(rows)
        if len(self.grid.head_cuts) <= _STRETCH:
            return rows  # looking at them once, when they are visited, is enough
        reach = self._reach(rows, self.grid.head_cuts[:1])
        return rows[self._may_reach(rows, self.grid.head_cuts.clearance, reach)]

    def visit(self, rows: ManyChoices, head_cuts: slice) -> None:
        """Offer what keeps to all limits and may be on the front."""
        cuts = self.grid.head_cuts[head_cuts]
        reach = self._reach(rows, cuts[::_STRETCH])
        open_rows = np.flatnonzero(self._may_reach(rows, cuts.clearance, reach))
        if not len(open_rows):
            return
        tile = self._filter.tile(rows[open_rows], head_cuts)
        least, most = (_stretched(ends[open_rows], len(cuts)) for ends in reach)
        near = (tile.clearance >= least) & (tile.clearance <= most)
        self.offer(self._filter.ranked(tile, tile.fits & near))

    def offer(self, ranked: Ranked) -> None:
        """Take in what is not beaten by what is known so far."""
        self._take(Ranked(ranked.first, _ticks(ranked.second), _ticks(ranked.third), ranked.number))

    def learn(self, other: Front) -> None:
        """Take in what another front has found on a part of the same grid."""
        self._take(other._unbeaten)
        self._refresh()

    def _take(self, ranked: Ranked) -> None:
        ranked = ranked[ranked.second <= self._known(ranked.first, ranked.third)]
        if not len(ranked):
            return
        price = np.searchsorted(self._prices, ranked.first)
        depth = np.ceil(ranked.third / self._depth).astype(np.intp)
        np.minimum.at(self._cells, (price, depth), ranked.second)
        self._pool = joined(self._pool, ranked)
        self._new += len(ranked)
        if self._new > _STALE:
            self._refresh()
        if len(self._pool) > _POOL:
            self._pool = self._unbeaten

    def _refresh(self) -> None:
        as_cheap = np.minimum.accumulate(self._cells, axis=0)
        self._nearest = np.minimum.accumulate(as_cheap, axis=1)
        self._new = 0

    @property
    def _unbeaten(self) -> Ranked:
        return self._pool[unbeaten(self._pool)]

    @property
    def listed(self) -> Listed:
        """The plans on the front, the cheapest first, then the nearest to the aim."""
        found = self._unbeaten
        return listed(found.first, found.second * TIE, found.number)

    def _known(self, price: Array, metal: Array) -> Array:
        """Distance of the nearest known that is surely as cheap, with as little metal."""
        if self._ranks is None:
            dear = np.searchsorted(self._prices, price, "right") - 1
        else:
            dear = self._ranks[(price / self._money).astype(np.intp)]
        deep = (metal / self._depth).astype(np.intp)
        return self._nearest[dear, deep]

    def _reach(self, rows: ManyChoices, cuts: ManyChoices) -> tuple[Array, Array]:
        """Least and most that may be added to the clearance volume, by row and head cut.

        It holds for deeper cuts of one price too: what is as far off is beaten.
        """
        metal = np.add.outer(rows.metal, cuts.metal)
        known = self._known((rows.price + cuts.price[0])[:, np.newaxis], _ticks(metal))
        return self._filter.reach((known + 2) * TIE)

    def _may_reach(self, rows: ManyChoices, cuts: Array, reach: tuple[Array, Array]) -> Array:
        least, most = (ends[:, 0] for ends in reach)
        return (rows.clearance + cuts[0] >= least) & (rows.clearance + cuts[-1] <= most)


def _stretched(ends: Array, cuts: int) -> Array:
    """One for each head cut, or one for all."""
    return ends if ends.shape[1] == 1 else np.repeat(ends, _STRETCH, axis=1)[:, :cuts]


def _ticks(length: Array) -> Array:
    """Distances and metal in whole ticks, so that what is closer than a tie is equal."""
    return np.rint(length / TIE)


def _prices(grid: ArrayGrid) -> Array:
    """All the different prices, or evenly spread ones where they are too many.

    In order; the last is beyond them all.
    """
    parts = _parts(grid)
    sums = np.zeros(1)
    for part in parts:
        different = np.unique(part)
        many = len(sums) * len(different) > 100 * _MOST_PRICES
        if not many:
            sums = np.unique(np.add.outer(sums, different))
        if many or len(sums) > _MOST_PRICES:
            sums = np.linspace(0, sum(float(part.max()) for part in parts), _MOST_PRICES)
            break
    return np.append(sums, np.inf)


def _ranks(grid: ArrayGrid, prices: Array) -> tuple[int, Array | None]:
    """Smallest piece of money, and the rank of each whole number of them; None where too many."""
    parts = [part.astype(np.int64) for part in _parts(grid)]
    money = max(1, int(np.gcd.reduce(np.concatenate(parts))))
    dearest = sum(int(part.max()) for part in parts) // money
    if dearest > _MOST_MONEY:
        return money, None
    return money, np.searchsorted(prices, np.arange(dearest + 1) * money, "right") - 1


def _parts(grid: ArrayGrid) -> list[Array]:
    return [c.price for c in (grid.gaskets, grid.pistons, grid.deck_cuts, grid.head_cuts)]


def _depths(grid: ArrayGrid, most: int) -> tuple[int, int]:
    """Width of a step of metal in ticks, and how many reach beyond all cuts.

    The steps that all cuts have in common, or coarser ones where they would be too many.
    """
    cuts = [_ticks(choices.metal).astype(np.int64) for choices in (grid.deck_cuts, grid.head_cuts)]
    deepest = sum(int(cut[-1]) for cut in cuts) + len(cuts)
    common = int(np.gcd.reduce(np.concatenate(cuts)))
    width = max(1, common, -(-deepest // most))
    return width, deepest // width + 2


def unbeaten(ranked: Ranked) -> Array:
    """Which plans no other beats in all three measures, in order; one of those level in all.

    >>> price, distance, metal = [1, 1, 2, 2], [5, 3, 3, 1], [0, 2, 2, 9]
    >>> rows = (price, distance, metal, range(4))
    >>> unbeaten(Ranked(*(np.array(row) for row in rows))).tolist()
    [1, 0, 3]
    """
    order = np.lexsort((ranked.number, ranked.third, ranked.second, ranked.first))
    price, distance, metal = ranked.first[order], ranked.second[order], ranked.third[order]
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
