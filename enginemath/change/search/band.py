"""Combinations worked through the band of the ratio, a tile at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.search.arrays import Array, ArrayGrid, Rows
from enginemath.change.search.best import Ranked
from enginemath.change.search.grid import Row
from enginemath.change.search.limits import Bounds
from enginemath.change.search.sweep import TILE


@dataclass(frozen=True)
class Tile:
    """Rows by head cuts, which all cost the same."""

    rows: Rows
    steps: Array
    """Depths of the head cuts."""
    added: Array
    """What they add to the chambers, in cc."""
    fits: Array
    """Whether each combination keeps to all limits."""


class LimitFilter:
    """Tells which combinations keep to all limits."""

    def __init__(self, grid: ArrayGrid, options: Options):
        self.grid, self.bounds = grid, Bounds.of(options)
        self.added = grid.head.added(grid.head.steps)
        self._fits, self._low_enough = np.empty((2, TILE), dtype=bool)

    def screen(self, row: Row) -> Array:
        """Which rows are within the limits of all lengths, with the band in reach."""
        return (
            self.bounds.can_be_assembled(row)
            & self.bounds.lengths_fit(row)
            & (row.least <= self.added[0])
            & (row.most >= self.added[-1])
        )

    def tile(self, rows: Rows, head_cuts: slice) -> Tile:
        """Rows, already screened, by head cuts; valid until the next call."""
        added = self.added[head_cuts]
        shape, size = (len(rows), len(added)), len(rows) * len(added)
        fits, low_enough = (
            memory[:size].reshape(shape) for memory in (self._fits, self._low_enough)
        )
        np.greater_equal(added, rows.least[:, np.newaxis], out=fits)
        np.less_equal(added, rows.most[:, np.newaxis], out=low_enough)
        np.logical_and(fits, low_enough, out=fits)
        return Tile(rows, self.grid.head.steps[head_cuts], added, fits)

    def may_be_near(self, tile: Tile, distance: float) -> Array:
        """Whether the mean ratio may be as near to the aim; sure only where it says no."""
        least, most = self.reach(tile.rows, distance)
        return (tile.added >= least[:, np.newaxis]) & (tile.added <= most[:, np.newaxis])

    def reach(self, rows: Row, distance: Array) -> tuple[Array, Array]:
        """Least and most that may be added to the chambers to be as near to the aim."""
        return self.bounds.reach(rows, distance, self.grid.largest_swept)

    def ranked(self, tile: Tile, which: Array) -> Ranked:
        """Price, distance from the aim and metal removed of some combinations of a tile."""
        hits = np.flatnonzero(which)
        row = hits // which.shape[1]  # NumPy's divmod is many times slower
        return self.ranked_at(tile.rows, tile.steps, row, hits - row * which.shape[1])

    def ranked_at(self, rows: Rows, steps: Array, row: Array, column: Array) -> Ranked:
        """The same of some rows, each with a head cut of those that all cost the same.

        Args:
            rows: already screened.
            steps: depths of the head cuts.
            row, column: which of the rows and of the depths.
        """
        grid = self.grid
        added = grid.head.added(steps)[column]
        return Ranked(
            first=rows.price[row] + grid.head.paid(steps[0]),
            second=np.abs(self._mean_ratios(rows, row, added) - self.bounds.aim),
            third=rows.metal[row] + grid.head.depth(steps)[column],
            number=rows.place[row] + steps[column],
        )

    def _mean_ratios(self, rows: Rows, row: Array, added: Array) -> Array:
        """Mean ratios of hits in some rows, worked out by row where hits are many."""
        by_row = len(row) > len(rows)
        places = rows.place if by_row else rows.place[row]
        *parts, _ = self.grid.numbers(places)
        volumes = self.grid.volumes(*parts)
        if by_row:
            volumes = [(swept[row], volume[row]) for swept, volume in volumes]
        return self.grid.ratio_share(volumes, added)
