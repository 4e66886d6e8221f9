"""The feasible plans: how many there are, and the first by price, distance and metal."""

from __future__ import annotations

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, Rows
from enginemath.change.search.band import LimitFilter, Tile
from enginemath.change.search.best import Best, Ranked
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE
from enginemath.formulas.compression import compression_ratio


class Feasible:
    """Counts what keeps to all limits and ranks it."""

    def __init__(self, grid: ArrayGrid, options: Options, top: int):
        self.count = 0
        self.best = Best(top)
        self._filter = LimitFilter(grid, options)
        self.screen = self._filter.screen

    def visit(self, rows: Rows, head_cuts: slice) -> None:
        """Count what lies in the band, and offer what may be among the best."""
        tile = self._filter.tile(rows, head_cuts)
        found = int(np.count_nonzero(tile.fits))
        self.count += found
        if found:
            price = rows.price + self._filter.grid.head.paid(tile.steps[0])
            self._offer(tile, price)

    def _offer(self, tile: Tile, price: Array) -> None:
        cheaper = price < self.best.worst[0]
        if cheaper.any():
            self.best.offer(self._filter.ranked(tile, tile.fits & cheaper[:, np.newaxis]))
        dearest, furthest = self.best.worst
        as_dear = (price == dearest) & ~cheaper
        if as_dear.any():
            near = self._filter.may_be_near(tile, furthest)
            self.best.offer(self._filter.ranked(tile, tile.fits & near & as_dear[:, np.newaxis]))


class Misses:
    """Ranks what can be assembled by how far it is beyond the limits, all taken together."""

    def __init__(self, grid: ArrayGrid, options: Options, top: int):
        self.nearest = Best(top)
        self._grid = grid
        self._bounds = Bounds.of(options)
        self.screen = self._bounds.can_be_assembled

    def visit(self, rows: Rows, head_cuts: slice) -> None:
        """Offer what misses by no more than the worst kept."""
        furthest = self.nearest.worst[0] + TIE
        lengths = self._bounds.lengths_miss(rows)
        near = lengths <= furthest
        rows, lengths = rows[near], lengths[near]
        if not len(rows):
            return
        head, steps = self._grid.head, self._grid.head.steps[head_cuts]
        band, room = self._band_misses(rows, head.added(steps))
        miss = lengths[:, np.newaxis] + band
        row, column = np.nonzero(room & (miss <= furthest))
        self.nearest.offer(
            Ranked(
                first=np.round(miss[row, column], 9),
                second=rows.price[row] + head.paid(steps[column]),
                third=rows.metal[row] + head.depth(steps[column]),
                number=rows.place[row] + steps[column],
            )
        )

    def _band_misses(self, rows: Rows, added: Array) -> tuple[Array, Array]:
        """How far rows by head cuts are beyond the band, and whether all keep some clearance."""
        *parts, _ = self._grid.numbers(rows.place)
        lowest, highest = np.inf, -np.inf
        room = True
        for swept, volume in self._grid.volumes(*parts):
            clearance = np.add.outer(volume, added)
            room = room & (clearance > 0)
            with np.errstate(divide="ignore"):
                ratio = compression_ratio(swept[:, np.newaxis], clearance)
            lowest, highest = np.minimum(lowest, ratio), np.maximum(highest, ratio)
        return self._bounds.band_misses(lowest, highest), room
