"""The trade-off front: no other plan is as cheap, as near to the aim and as sparing of metal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, Rows
from enginemath.change.search.band import LimitFilter
from enginemath.change.search.best import Ranked, joined
from enginemath.change.search.grid import Row
from enginemath.change.search.result import TIE, Listed, Numbers, listed

SEED_STEP = 0.01
"""Finer cuts, in mm, are first tried in steps of this, so that little has to be kept."""
_MOST_PRICES = 2_000
_MOST_CELLS = 100_000
_FEWEST_DEPTHS = 64
_MOST_MONEY = 1_000_000
_STRETCH = 32
"""Head cuts of a row that are turned away together."""
_STALE = 5_000
"""Newcomers that are worth bringing the table up to date for."""
_POOL = 100_000
"""Plans kept at most before those that are beaten are weeded out."""


class Unbeaten:
    """Keeps the plans that no other beats, and of plans that are level in everything one.

    A table of the nearest to the aim, by price and metal, turns most plans away at once. Where
    there are too many prices or depths for a table, its cells are coarser, and it turns away
    only what is beaten all the same. What is left is compared plan by plan.

    Args:
        prices: of all that is added up to a price, each with its choices.
        depths: of all cuts that are added up, each with its choices, in mm.
    """

    def __init__(self, prices: Sequence[Array], depths: Sequence[Array]):
        self._prices = _prices(prices)
        self._money, self._ranks = _ranks(prices, self._prices)
        most = max(_FEWEST_DEPTHS, _MOST_CELLS // len(self._prices))
        self._depth, cells = _depths(depths, most)
        self._cells = np.full((len(self._prices), cells), np.inf)
        self._nearest = self._cells
        """Least distance of anything as cheap, with as little metal."""
        self._new = 0
        nothing = np.empty(0)
        self._pool = Ranked(nothing, nothing, nothing, nothing.astype(np.int64))

    def offer(self, ranked: Ranked) -> None:
        """Take in what is not beaten by what is known so far."""
        self._take(Ranked(ranked.first, _ticks(ranked.second), _ticks(ranked.third), ranked.number))

    def learn(self, other: Unbeaten) -> None:
        """Take in what another front has found on a part of the same grid."""
        self._take(other._unbeaten)
        self.refresh()

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
            self.refresh()
        if len(self._pool) > _POOL:
            self._pool = self._unbeaten

    def refresh(self) -> None:
        """Bring the table up to date with all that is known."""
        as_cheap = np.minimum.accumulate(self._cells, axis=0)
        self._nearest = np.minimum.accumulate(as_cheap, axis=1)
        self._new = 0

    def known(self, price: Array, metal: Array) -> Array:
        """Distance of the nearest known that is surely as cheap, with as little metal."""
        return (self._known(price, _ticks(metal)) + 2) * TIE

    @property
    def unbeaten(self) -> Ranked:
        """The plans on the front, the cheapest first, then the nearest to the aim."""
        found = self._unbeaten
        return replace(found, second=found.second * TIE)

    @property
    def _unbeaten(self) -> Ranked:
        return self._pool[unbeaten(self._pool)]

    def _known(self, price: Array, metal: Array) -> Array:
        """Distance of the nearest known that is surely as cheap, with as little metal."""
        if self._ranks is None:
            dear = np.searchsorted(self._prices, price, "right") - 1
        else:
            dear = self._ranks[(price / self._money).astype(np.intp)]
        deep = (metal / self._depth).astype(np.intp)
        return self._nearest[dear, deep]


class Front(Unbeaten):
    """The plans of one bank that no other beats."""

    def __init__(self, grid: ArrayGrid, options: Options):
        parts = [grid.gasket_prices, grid.piston_prices, grid.bottom_prices]
        super().__init__([*parts, *setup_prices(grid)], setup_depths(grid))
        self.grid = grid
        self._filter = LimitFilter(grid, options)

    def screen(self, row: Row) -> Array:
        """Which rows keep to the limits and may still be on the front."""
        mask = self._filter.screen(row)
        price = row.price + self.grid.head.paid(self.grid.head.steps[0])
        reach = self._filter.reach(row, self.known(price, row.metal))
        return mask & _may_reach(self._filter.added, reach)

    def visit(self, rows: Rows, head_cuts: slice) -> None:
        """Offer what keeps to all limits and may be on the front."""
        steps, added = self.grid.head.steps[head_cuts], self._filter.added[head_cuts]
        stretches = _in_stretches(added)
        least, most = self._reach(rows, steps[::_STRETCH])
        row, stretch = np.nonzero((stretches[:, 0] >= least) & (added[_lasts(added)] <= most))
        if not len(row):
            return
        column = np.s_[:, np.newaxis]
        # What keeps to the band and is near enough, both ends in one.
        least = np.maximum(least[row, stretch], rows.least[row])[column]
        most = np.minimum(most[row, stretch], rows.most[row])[column]
        near = stretches[stretch]
        hits = np.flatnonzero((near >= least) & (near <= most))
        which = hits // near.shape[1]
        place = stretch[which] * _STRETCH + hits - which * near.shape[1]
        self.offer(self._filter.ranked_at(rows, steps, row[which], place))

    def _reach(self, rows: Rows, steps: Array) -> tuple[Array, Array]:
        """Least and most that may be added to the chambers, by row and head cut.

        It holds for deeper cuts of one price too: what is as far off is beaten.
        """
        head, column = self.grid.head, np.s_[:, np.newaxis]
        metal = np.add.outer(rows.metal, head.depth(steps))
        known = self.known((rows.price + head.paid(steps[0]))[column], metal)
        ends = Rows(*(each[column] for each in vars(rows).values()))
        return self._filter.reach(ends, known)


def _may_reach(added: Array, reach: Sequence[Array]) -> Array:
    least, most = reach
    return (added[0] >= least) & (added[-1] <= most)


def _in_stretches(added: Array) -> Array:
    """Head cuts in stretches that are turned away together; the last is filled up with none."""
    width = min(_STRETCH, len(added))
    missing = -len(added) % width
    return np.append(added, np.full(missing, np.nan)).reshape(-1, width)


def _lasts(added: Array) -> Array:
    """Place of the last head cut of each stretch."""
    width = min(_STRETCH, len(added))
    return np.minimum(np.arange(width - 1, len(added) + width - 1, width), len(added) - 1)


def _ticks(length: Array) -> Array:
    """Distances and metal in whole ticks, so that what is closer than a tie is equal."""
    return np.rint(length / TIE)


def _prices(parts: Sequence[Array]) -> Array:
    """All the different prices, or evenly spread ones where they are too many.

    In order; the last is beyond them all.
    """
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


def _ranks(parts: Sequence[Array], prices: Array) -> tuple[int, Array | None]:
    """Smallest piece of money, and the rank of each whole number of them; None where too many."""
    parts = [part.astype(np.int64) for part in parts]
    money = max(1, int(np.gcd.reduce(np.concatenate(parts))))
    dearest = sum(int(part.max()) for part in parts) // money
    if dearest > _MOST_MONEY:
        return money, None
    return money, np.searchsorted(prices, np.arange(dearest + 1) * money, "right") - 1


def setup_prices(grid: ArrayGrid) -> list[Array]:
    """What the two setups of a bank may cost."""
    return [np.unique(face.paid(face.steps)) for face in (grid.deck, grid.head)]


def setup_depths(grid: ArrayGrid) -> list[Array]:
    """The depths of a bank's two cuts, in mm."""
    return [face.depth(face.steps) for face in (grid.deck, grid.head)]


def front_of(unbeaten: Ranked, numbers: Callable[[Array], list[Numbers]]) -> Listed:
    """The plans of a front, listed.

    Args:
        unbeaten: the plans.
        numbers: gives the numbers of combinations for their places.
    """
    return listed(unbeaten.first, unbeaten.second, numbers(unbeaten.number))


def _depths(depths: Sequence[Array], most: int) -> tuple[int, int]:
    """Width of a step of metal in ticks, and how many reach beyond all cuts.

    The steps that all cuts have in common, or coarser ones where they would be too many.
    """
    cuts = [_ticks(depth).astype(np.int64) for depth in depths]
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
