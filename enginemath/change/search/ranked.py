"""The feasible plans: how many there are, and the first by price, distance and metal."""

from __future__ import annotations

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.band import Bounds, LimitFilter, Tile
from enginemath.change.search.best import TIE, Best, Ranked
from enginemath.change.search.grid import Array, Choices, Grid
from enginemath.formulas.compression import compression_ratio


class Feasible:
    """Counts what keeps to all limits and ranks it."""

    def __init__(self, grid: Grid, options: Options, top: int):
        self.count = 0
        self.best = Best(top)
        self._filter = LimitFilter(grid, options)
        self.screen = self._filter.screen

    def visit(self, rows: Choices, head_cuts: slice) -> None:
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


RATIO_UNIT = 0.1


LENGTH_UNIT = 0.05
"""A tenth of a ratio beyond its band is as far off as 0.05 mm beyond a limit of length."""


UNKNOWN_SQUISH = 1.0
"""A squish that is wanted and not known is taken to be as far off, in mm."""


class Misses:
    """Ranks what can be assembled by how far it is beyond the limits, all taken together."""

    def __init__(self, grid: Grid, options: Options, top: int):
        self.nearest = Best(top)
        self._grid, self._target = grid, options.target
        self._bounds = Bounds.of(grid, options)

    def screen(self, rows: Choices) -> Choices:
        """Keep the rows that can be assembled."""
        return rows[self._bounds.can_be_assembled(rows)]

    def visit(self, rows: Choices, head_cuts: slice) -> None:
        """Offer what misses by no more than the worst kept."""
        furthest = self.nearest.worst[0] + TIE
        lengths = self._beyond_in_mm(rows) / LENGTH_UNIT
        near = lengths <= furthest
        rows, lengths = rows[near], lengths[near]
        head, grid = self._grid.head_cuts, self._grid
        clearance = np.add.outer(rows.clearance, head.clearance[head_cuts])
        miss = lengths[:, np.newaxis] + self._beyond_band(clearance) / RATIO_UNIT
        row, column = np.nonzero((clearance + grid.rest.min() > 0) & (miss <= furthest))
        head_cut = column + head_cuts.start
        self.nearest.offer(
            Ranked(
                first=np.round(miss[row, column], 9),
                second=rows.price[row] + head.price[head_cut],
                third=rows.metal[row] + head.metal[head_cut],
                number=rows.place[row] + head_cut,
            )
        )

    def _beyond_in_mm(self, rows: Choices) -> Array:
        beyond = _above_zero(self._bounds.deck - rows.deck)
        if self._bounds.squish:
            least, most = self._bounds.squish
            squish = _above_zero(least - rows.squish) + _above_zero(rows.squish - most)
            beyond += np.where(np.isnan(rows.squish), UNKNOWN_SQUISH, squish)
        return beyond

    def _beyond_band(self, clearance: Array) -> Array:
        rest, swept = self._grid.rest, self._grid.swept
        with np.errstate(divide="ignore"):
            lowest = compression_ratio(swept, clearance + rest.max())
            highest = compression_ratio(swept, clearance + rest.min())
        return _above_zero(self._target.low - lowest) + _above_zero(highest - self._target.high)


def _above_zero(number: Array) -> Array:
    return np.maximum(number, 0.0)
