"""The feasible plans: how many there are, and the first by price, distance and metal."""

from __future__ import annotations

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, ManyChoices
from enginemath.change.search.band import LimitFilter, Tile
from enginemath.change.search.best import Best, Ranked
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE


class Feasible:
    """Counts what keeps to all limits and ranks it."""

    def __init__(self, grid: ArrayGrid, options: Options, top: int):
        self.count = 0
        self.best = Best(top)
        self._filter = LimitFilter(grid, options)
        self.screen = self._filter.screen

    def visit(self, rows: ManyChoices, head_cuts: slice) -> None:
        """Count what lies in the band, and offer what may be among the best."""
        tile = self._filter.tile(rows, head_cuts)
        found = int(np.count_nonzero(tile.fits))
        self.count += found
        if found:
            price = rows.price + self._filter.grid.head_cuts.price[head_cuts.start]
            self._offer(tile, price)

    def _offer(self, tile: Tile, price: Array) -> None:
        cheaper = price < self.best.worst[0]
        if cheaper.any():
            self.best.offer(self._filter.ranked(tile, tile.fits & cheaper[:, np.newaxis]))
        dearest, furthest = self.best.worst
        as_dear = (price == dearest) & ~cheaper
        if as_dear.any():
            near = self._filter.may_be_near(tile.clearance, furthest)
            self.best.offer(self._filter.ranked(tile, tile.fits & near & as_dear[:, np.newaxis]))


class Misses:
    """Ranks what can be assembled by how far it is beyond the limits, all taken together."""

    def __init__(self, grid: ArrayGrid, options: Options, top: int):
        self.nearest = Best(top)
        self._grid = grid
        self._bounds = Bounds.of(grid, options)

    def screen(self, rows: ManyChoices) -> ManyChoices:
        """Keep the rows that can be assembled."""
        return rows[self._bounds.can_be_assembled(rows)]

    def visit(self, rows: ManyChoices, head_cuts: slice) -> None:
        """Offer what misses by no more than the worst kept."""
        furthest = self.nearest.worst[0] + TIE
        lengths = self._bounds.lengths_miss(rows)
        near = lengths <= furthest
        rows, lengths = rows[near], lengths[near]
        head = self._grid.head_cuts
        clearance = np.add.outer(rows.clearance, head.clearance[head_cuts])
        with np.errstate(divide="ignore"):
            miss = lengths[:, np.newaxis] + self._bounds.band_misses(clearance)
        row, column = np.nonzero(self._bounds.has_room(clearance) & (miss <= furthest))
        head_cut = column + head_cuts.start
        self.nearest.offer(
            Ranked(
                first=np.round(miss[row, column], 9),
                second=rows.price[row] + head.price[head_cut],
                third=rows.metal[row] + head.metal[head_cut],
                number=rows.place[row] + head_cut,
            )
        )
