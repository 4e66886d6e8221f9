"""The grid of an engine and its options as NumPy arrays, for lists too long to loop over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from enginemath.change.search.grid import AnyNumber, Axis, Choices, Cuts, Grid

Array = Any
"""A NumPy array of floats."""


@dataclass(frozen=True)
class ManyChoices(Choices):
    """Some choices, or some combinations of choices, each column an array."""

    def __len__(self) -> int:
        return len(self.place)

    def __iter__(self) -> Iterator[ManyChoices]:
        return map(self.__getitem__, range(len(self)))

    def __getitem__(self, which: AnyNumber | slice, /) -> ManyChoices:
        return ManyChoices(*(column[which] for column in vars(self).values()))

    def times(self, others: ManyChoices) -> ManyChoices:
        """Every combination of these with others; the others run fastest.

        >>> gaskets = ManyChoices(*[np.array([0.7, 1.1])] * 6)
        >>> cuts = ManyChoices(*[np.array([0.0, -0.1, -0.2])] * 6)
        >>> gaskets.times(cuts).squish.round(1).tolist()
        [0.7, 0.6, 0.5, 1.1, 1.0, 0.9]
        """
        pairs = zip(vars(self).values(), vars(others).values(), strict=True)
        return ManyChoices(*(np.add.outer(mine, theirs).ravel() for mine, theirs in pairs))


@dataclass(frozen=True)
class ArrayGrid(Grid):
    """A grid whose choices are arrays."""

    gaskets: ManyChoices
    pistons: ManyChoices
    deck_cuts: ManyChoices
    head_cuts: ManyChoices

    def block(self, gaskets: slice, pistons: slice, deck_cuts: slice) -> ManyChoices:
        """Combinations of some gaskets, pistons and deck cuts."""
        return self.gaskets[gaskets].times(self.pistons[pistons]).times(self.deck_cuts[deck_cuts])

    def thinned(self, finest: float) -> ArrayGrid:
        """The same grid with cuts in no finer steps than `finest`, in mm."""
        return replace(
            self,
            deck_cuts=_thinned(self.deck_cuts, finest),
            head_cuts=_thinned(self.head_cuts, finest),
        )


def arrays_of(grid: Grid) -> ArrayGrid:
    """The same grid as arrays."""
    columns = {name: _column(vars(grid)[name]) for name in _AXES}
    return ArrayGrid(**(vars(grid) | columns))


_AXES = ("gaskets", "pistons", "deck_cuts", "head_cuts")


def _column(axis: Axis) -> ManyChoices:
    if isinstance(axis, Cuts):
        columns = list(vars(axis[np.arange(len(axis))]).values())
    else:
        columns = list(zip(*(vars(choice).values() for choice in axis), strict=True))
    place, *numbers = columns
    return ManyChoices(np.asarray(place), *(np.asarray(each, dtype=float) for each in numbers))


def _thinned(cuts: ManyChoices, finest: float) -> ManyChoices:
    step = cuts.metal[1] if len(cuts) > 1 else finest
    return cuts[:: max(1, int(finest / step + 1e-9))]
