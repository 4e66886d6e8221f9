"""The feasible plans: how many there are, and the first by price, distance and metal."""

from __future__ import annotations

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.band import Band, Tile
from enginemath.change.search.best import Best
from enginemath.change.search.choices import Array, Choices
from enginemath.change.search.grid import Grid


class Feasible:
    """Counts what keeps to all limits and ranks it."""

    def __init__(self, grid: Grid, options: Options, top: int):
        self.count = 0
        self.best = Best(top)
        self._band = Band(grid, options)
        self.screen = self._band.screen

    def visit(self, rows: Choices, head_cuts: slice) -> None:
        """Count what lies in the band, and offer what may be among the best."""
        tile = self._band.tile(rows, head_cuts)
        found = int(np.count_nonzero(tile.fits))
        self.count += found
        if found:
            price = rows.price + self._band.grid.head_cuts.price[head_cuts.start]
            self._offer(tile, price)

    def _offer(self, tile: Tile, price: Array) -> None:
        cheaper = price < self.best.worst[0]
        if cheaper.any():
            self.best.offer(self._band.places(tile, tile.fits & cheaper[:, np.newaxis]))
        dearest, furthest = self.best.worst
        as_dear = (price == dearest) & ~cheaper
        if as_dear.any():
            near = self._band.may_be_near(tile.clearance, furthest)
            self.best.offer(self._band.places(tile, tile.fits & near & as_dear[:, np.newaxis]))
