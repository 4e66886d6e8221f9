"""A height that a cut takes from, and the least that its maker allows."""

from __future__ import annotations

from dataclasses import dataclass

import pint

from enginemath.change.metal import metal_left
from enginemath.units import Refused, as_quantity


@dataclass(frozen=True)
class Height:
    """Of a head or a block, as measured, with the minimum from the maker's book.

    Args:
        measured: a length.
        minimum: the least height that the maker allows, a length.
        source: where the minimum was looked up, in words.

    Raises:
        Refused: nobody says where the minimum comes from, or a length that cannot be.

    >>> block = Height("212.46 mm", "212.10 mm", source="shop manual, block, page 12")
    >>> print(block.left(as_quantity("0.35 mm")).to("mm").round(3))
    0.01 millimeter
    """

    measured: str | pint.Quantity
    minimum: str | pint.Quantity
    source: str

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise Refused("maker's minimum: say where it was looked up; a guess is no minimum")
        for name in ("measured", "minimum"):
            object.__setattr__(self, name, as_quantity(getattr(self, name)))

    def left(self, cut: pint.Quantity) -> pint.Quantity:
        """What may still be cut after a cut, a length.

        Raises:
            Refused: the cut goes below the maker's minimum.
        """
        return metal_left(self.measured, self.minimum, cut)
