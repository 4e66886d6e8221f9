"""The grid of a bank and its choices as NumPy arrays, for lists too long to loop over."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from enginemath.change.search.grid import Face, Grid, Kind, Row

Array = Any
"""A NumPy array of floats."""


@dataclass(frozen=True)
class Rows(Row):
    """Many rows of parts and a deck cut, each column an array."""

    def __len__(self) -> int:
        return len(self.place)

    def __getitem__(self, which: Array | slice) -> Rows:
        return Rows(*(column[which] for column in vars(self).values()))


@dataclass(frozen=True)
class ArrayGrid(Grid):
    """A grid whose numbers are arrays."""

    @property
    def rows_shape(self) -> tuple[int, ...]:
        """Number of gaskets, pistons, pairs of rods and crank, and deck cuts."""
        return (*self.parts_shape, len(self.deck.steps))

    def block(self, *slices: slice) -> Row:
        """Combinations of some parts and deck cuts: columns that broadcast to their shape."""
        chosen = [np.arange(part.start, part.stop) for part in slices[:-1]]
        gasket, piston, bottom, step = np.ix_(*chosen, self.deck.steps[slices[-1]])
        return self.row(gasket, piston, bottom, step)

    def thinned(self, finest: float) -> ArrayGrid:
        """The same grid with cuts in no finer steps than `finest`, in mm."""
        return replace(self, deck=_thinned(self.deck, finest), head=_thinned(self.head, finest))


def arrays_of(grid: Grid) -> ArrayGrid:
    """The same grid as arrays."""
    return ArrayGrid(**{**_as_arrays(grid), "kinds": [Kind(**_as_arrays(k)) for k in grid.kinds]})


def _as_arrays(part: Any) -> dict[str, Any]:
    return {each.name: _as_array(getattr(part, each.name)) for each in fields(part)}


def _as_array(value: Any) -> Any:
    if isinstance(value, Face):
        steps = np.fromiter(value.steps, np.int64, len(value.steps))
        return replace(value, steps=steps)
    return np.array(value) if isinstance(value, list) else value


def chosen(row: Row, mask: Array) -> Rows:
    """Those rows of a block that a mask of its shape keeps, one after the other."""
    hits = None if mask.all() else np.flatnonzero(mask)
    found: dict[int, Array] = {}
    """By column: where all cylinders are alike, lowest and highest are one and the same."""
    for column in vars(row).values():
        if id(column) not in found:
            flat = np.broadcast_to(column, mask.shape).ravel()
            found[id(column)] = flat if hits is None else flat[hits]
    return Rows(*(found[id(column)] for column in vars(row).values()))


def _thinned(face: Face, finest: float) -> Face:
    if len(face.steps) < 3:
        return face
    stay = int(face.steps[0] == 0)
    every = max(1, int(finest / face.step + 1e-9))
    return replace(face, steps=np.append(face.steps[:stay], face.steps[stay::every]))
