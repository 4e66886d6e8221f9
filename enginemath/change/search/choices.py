"""Choices as columns of numbers: what each adds to clearance, deck clearance, squish and price.

The clearance volume, the squish and the price are sums over the parts. So each choice adds its own
share, whatever the other choices are, and choices are combined by adding up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

Array = Any
"""A NumPy array of floats."""


@dataclass(frozen=True)
class Choices:
    """Some choices, or some combinations of choices."""

    place: Array
    """Number among all combinations, counted from 0, where nothing else is chosen."""
    clearance: Array
    """Added to the clearance volume, in cc."""
    deck: Array
    """Added to the deck clearance, in mm."""
    squish: Array
    """Added to the squish clearance, in mm; not a number where it is not known."""
    price: Array
    """In ten-thousandths, whole, so that equal sums are equal."""
    metal: Array
    """Removed, in mm."""

    def __len__(self) -> int:
        return len(self.place)

    def __getitem__(self, which: Array | slice) -> Choices:
        return Choices(*(column[which] for column in vars(self).values()))

    def times(self, others: Choices) -> Choices:
        """Every combination of these with others; the others run fastest.

        >>> thin, thick = (np.full(1, height) for height in (0.7, 1.1))
        >>> gaskets = Choices(*[np.array([0.7, 1.1])] * 6)
        >>> cuts = Choices(*[np.array([0.0, -0.1, -0.2])] * 6)
        >>> gaskets.times(cuts).squish.round(1).tolist()
        [0.7, 0.6, 0.5, 1.1, 1.0, 0.9]
        """
        pairs = zip(vars(self).values(), vars(others).values(), strict=True)
        return Choices(*(np.add.outer(mine, theirs).ravel() for mine, theirs in pairs))
