"""Combinations worked through the band of the ratio, a tile at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, ManyChoices
from enginemath.change.search.best import Ranked
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE
from enginemath.change.search.sweep import TILE
from enginemath.formulas.compression import clearance_for


@dataclass(frozen=True)
class Tile:
    """Rows by head cuts, which all cost the same."""

    rows: ManyChoices
    head_cuts: slice
    clearance: Array
    """What each combination adds to the clearance volume, in cc."""
    fits: Array
    """Whether it keeps to all limits."""

    def part(self, rows: Array, head_cuts: int) -> Tile:
        """Some of its rows, and the first few of its head cuts."""
        start = self.head_cuts.start
        return Tile(
            self.rows[rows],
            slice(start, start + head_cuts),
            self.clearance[rows, :head_cuts],
            self.fits[rows, :head_cuts],
        )


class LimitFilter:
    """Tells which combinations keep to all limits."""

    def __init__(self, grid: ArrayGrid, options: Options):
        self.grid, self.aim = grid, options.target.aim
        self._bounds = Bounds.of(grid, options)
        self._clearance = np.empty(TILE)
        self._fits, self._low_enough = np.empty((2, TILE), dtype=bool)

    def screen(self, rows: ManyChoices) -> ManyChoices:
        """Keep the rows within the limits of squish and deck, and with the band in reach."""
        bounds, head = self._bounds, self.grid.head_cuts.clearance
        least, most = bounds.clearance
        return rows[
            bounds.can_be_assembled(rows)
            & bounds.lengths_fit(rows)
            & (rows.clearance + head[0] >= least)
            & (rows.clearance + head[-1] <= most)
        ]

    def tile(self, rows: ManyChoices, head_cuts: slice) -> Tile:
        """Rows, already screened, by head cuts; valid until the next call."""
        columns = self.grid.head_cuts.clearance[head_cuts]
        shape, size = (len(rows), len(columns)), len(rows) * len(columns)
        clearance, fits, low_enough = (
            memory[:size].reshape(shape)
            for memory in (self._clearance, self._fits, self._low_enough)
        )
        least, most = self._bounds.clearance
        np.add(rows.clearance[:, np.newaxis], columns, out=clearance)
        np.greater_equal(clearance, least, out=fits)
        np.less_equal(clearance, most, out=low_enough)
        np.logical_and(fits, low_enough, out=fits)
        return Tile(rows, head_cuts, clearance, fits)

    def may_be_near(self, clearance: Array, distance: float) -> Array:
        """Whether the mean ratio may be as near to the aim; sure only where it says no."""
        least, most = self.reach(distance)
        return (clearance >= least) & (clearance <= most)

    def reach(self, distance: Array) -> tuple[Array, Array]:
        """Least and most that may be added to the clearance volume to be as near to the aim."""
        rest, swept, far = self.grid.rest, self.grid.swept, distance + 2 * TIE
        least = clearance_for(self.aim + far, swept) - rest[-1]
        lowest = np.maximum(self.aim - far, 1 + TIE)
        most = clearance_for(lowest, swept) - rest[0]
        return least, np.where(lowest > 1 + TIE, most, np.inf)

    def ranked(self, tile: Tile, which: Array) -> Ranked:
        """Price, distance from the aim and metal removed of some combinations of a tile."""
        grid, rows = self.grid, tile.rows
        hits = np.flatnonzero(which)
        row = hits // which.shape[1]  # NumPy's divmod is many times slower
        head_cut = hits - row * which.shape[1] + tile.head_cuts.start
        return Ranked(
            first=rows.price[row] + grid.head_cuts.price[head_cut],
            second=np.abs(grid.mean_ratio(tile.clearance.ravel()[hits]) - self.aim),
            third=rows.metal[row] + grid.head_cuts.metal[head_cut],
            number=rows.place[row] + grid.head_cuts.place[head_cut],
        )
