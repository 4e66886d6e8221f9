"""Every combination once, in blocks that fit the processor's cache, however many there are."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from enginemath.change.search.arrays import Array, ArrayGrid, Rows, chosen
from enginemath.change.search.grid import Row

TILE = 65_536
"""Combinations worked at once."""
_ROWS = 32_768
_BLOCK = 16_777_216

Progress = Callable[[int], object]
"""A function that is told, block after block, how many combinations were tried."""


class Visitor(Protocol):
    """Looks at every combination: rows of gasket, piston and deck cut by head cuts."""

    def screen(self, row: Row) -> Array:
        """Which rows of a block are worth trying with the head cuts."""

    def visit(self, rows: Rows, head_cuts: slice) -> None:
        """Try rows with some head cuts, a tile of combinations: all with a cut, or all without."""


@dataclass(frozen=True)
class Swept:
    """How far a sweep came."""

    tried: int
    complete: bool


def sweep(grid: ArrayGrid, visitor: Visitor, progress: Progress) -> Swept:
    """Show every combination to a visitor; an interrupt ends the sweep early.

    A row or a head cut that can never fit counts as tried at once.
    """
    head_cuts = len(grid.head.steps)
    usable = int(np.count_nonzero(grid.leaves_a_chamber(grid.head.steps)))
    stay = int(grid.head.steps[0] == 0)
    tried = 0
    try:
        for block in _blocks(grid.rows_shape, max(1, min(_ROWS, _BLOCK // head_cuts))):
            row = grid.block(*block)
            shape = [part.stop - part.start for part in block]
            rows = chosen(row, np.broadcast_to(visitor.screen(row), shape))
            left = math.prod(shape) * head_cuts
            for some, cuts in _tiles(len(rows), usable, stay):
                visitor.visit(rows[some], cuts)
                done = (some.stop - some.start) * (cuts.stop - cuts.start)
                tried, left = tried + done, left - done
                progress(done)
            tried += left
            progress(left)
    except KeyboardInterrupt:
        return Swept(tried, complete=False)
    return Swept(tried, complete=True)


def _tiles(rows: int, head_cuts: int, stay: int) -> Iterator[tuple[slice, ...]]:
    """Tiles of the rows with no head cut, where that is a choice; then of those with one."""
    for some, cuts in _blocks((rows, min(stay, head_cuts)), TILE):
        yield some, cuts
    for some, cuts in _blocks((rows, head_cuts - stay), TILE):
        yield some, slice(cuts.start + stay, cuts.stop + stay)


def _blocks(shape: Sequence[int], most: int) -> Iterator[tuple[slice, ...]]:
    """Cut a grid into blocks of at most a number of places, in the grid's own order."""
    lengths: list[int] = []
    room = most
    for count in reversed(shape):
        lengths.insert(0, max(1, min(count, room)))
        room //= lengths[0]
    ranges = [
        [slice(start, min(start + length, count)) for start in range(0, count, length)]
        for count, length in zip(shape, lengths, strict=True)
    ]
    return itertools.product(*ranges)
