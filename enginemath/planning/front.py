"""The trade-off front: no other plan is as cheap, as near to the aim and as sparing of metal."""

from __future__ import annotations

import numpy as np

from enginemath.planning.band import Band
from enginemath.planning.best import TIE, Places
from enginemath.planning.choices import Array, Choices
from enginemath.planning.grid import Grid
from enginemath.planning.options import Options

RATIO_STEP = 0.01
CUT_STEP = 0.01
"""Distances from the aim are compared in whole steps of ratio, cuts tried in steps of mm no finer
than this: nobody can machine finer."""
_MOST_STEPS = 100
_MOST_PRICES = 2_000


class Front:
    """Keeps, for every price and distance, the plan that takes off the least metal.

    Its memory is bounded: it gives up where there are thousands of different prices.
    """

    def __init__(self, grid: Grid, options: Options):
        self.grid = grid.thinned(CUT_STEP)
        self._band = Band(self.grid, options)
        prices = _prices(self.grid)
        self.known = prices is not None
        self._prices = np.zeros(1) if prices is None else prices
        target = options.target
        furthest = max(target.aim - target.low, target.high - target.aim)
        self._step = max(RATIO_STEP, furthest / _MOST_STEPS)
        shape = len(self._prices), int(furthest / self._step) + 2
        self._metal = np.full(shape, np.inf)
        self._number = np.full(shape, -1, dtype=np.int64)
        self._least = self._metal
        """Least metal of anything as cheap and as near: by rank of price, then distance."""

    def screen(self, rows: Choices) -> Choices:
        """Keep the rows that keep to the limits and may still move the front."""
        rows = self._band.screen(rows)
        return rows[self._room(rows.price, rows.metal) > 0]

    def visit(self, rows: Choices, head_cuts: slice) -> None:
        """Offer what keeps to all limits and may move the front."""
        head = self.grid.head_cuts
        cut, price = head.metal[head_cuts], rows.price + head.price[head_cuts.start]
        room = self._room(price, rows.metal)
        open_rows, open_cuts = (
            np.flatnonzero(room > cut[0]),
            int(np.count_nonzero(cut < room.max())),
        )
        if not len(open_rows):
            return
        tile = self._band.tile(rows, head_cuts).part(open_rows, open_cuts)
        least = self._least[self._rank(price[open_rows].min())]
        steps = np.count_nonzero(least > rows.metal[open_rows].min() + cut[0])
        near = self._band.may_be_near(tile.clearance, steps * self._step)
        self.offer(self._band.places(tile, tile.fits & near))

    def offer(self, places: Places) -> None:
        """Take in what moves the front: by price, then distance, then metal."""
        rank, steps = self._rank(places.first), (places.second / self._step + TIE).astype(np.intp)
        new = places.third < self._least[rank, steps] - TIE
        if not new.any():
            return
        places, cells = places[new], (rank[new], steps[new])
        np.minimum.at(self._metal, cells, places.third)
        least = places.third == self._metal[cells]
        places, rank, steps = places[least], cells[0][least], cells[1][least]
        nearest_last = np.lexsort((-places.number, -places.second))
        self._number[rank[nearest_last], steps[nearest_last]] = places.number[nearest_last]
        self._least = np.minimum.accumulate(np.minimum.accumulate(self._metal, axis=0), axis=1)

    @property
    def numbers(self) -> list[int]:
        """The plans on the front, the cheapest first, then the nearest to the aim."""
        fence = np.pad(self._least, ((1, 0), (1, 0)), constant_values=np.inf)
        beaten_by = np.minimum(fence[:-1, 1:], fence[1:, :-1])
        return self._number[(self._number >= 0) & (self._metal < beaten_by - TIE)].tolist()

    def _room(self, price: Array, metal: Array) -> Array:
        """How much more metal something so dear may take off and still move the front."""
        return self._least[self._rank(price), 0] - TIE - metal

    def _rank(self, price: Array) -> Array:
        return np.searchsorted(self._prices, price)


def _prices(grid: Grid) -> Array | None:
    """All the different prices in order, or None where there are too many to tell apart."""
    sums = np.zeros(1)
    for choices in (grid.gaskets, grid.pistons, grid.deck_cuts, grid.head_cuts):
        different = np.unique(choices.price)
        if len(sums) * len(different) > 100 * _MOST_PRICES:
            return None
        sums = np.unique(np.add.outer(sums, different))
        if len(sums) > _MOST_PRICES:
            return None
    return sums
