"""The limits of a plan, put on what the choices add: they then hold in every cylinder."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from enginemath.change.price_list import TOUCH, Options
from enginemath.change.search.choices import Array, Choices
from enginemath.change.search.grid import Grid
from enginemath.engine.limits import DECK_CLEARANCE
from enginemath.formulas.compression import clearance_for


@dataclass(frozen=True)
class Bounds:
    """Least and most that the choices may add, in cc and mm.

    The cylinder with the smallest and the one with the largest volume decide for all.
    """

    clearance: tuple[float, float]
    deck: float
    squish: tuple[float, float] | None
    """None where any squish will do."""
    lowest_deck: float
    highest_deck: float
    """Deck clearances as measured."""

    @classmethod
    def of(cls, grid: Grid, options: Options) -> Bounds:
        """The bounds of a plan for an engine's grid."""
        target, least_deck = options.target, options.deck_clearance_min.m_as("mm")
        lowest, highest = float(grid.decks.min()), float(grid.decks.max())
        squish = None
        if target.squish:
            tight, wide = (limit.m_as("mm") for limit in target.squish)
            squish = (tight - lowest - TOUCH, wide - highest + TOUCH)
        return cls(
            clearance=(
                clearance_for(target.high + TOUCH, grid.swept) - grid.rest.min(),
                clearance_for(max(target.low - TOUCH, 1 + TOUCH), grid.swept) - grid.rest.max(),
            ),
            deck=least_deck - lowest - TOUCH,
            squish=squish,
            lowest_deck=lowest,
            highest_deck=highest,
        )

    def can_be_assembled(self, rows: Choices) -> Array:
        """Whether no piston meets the head, as far as the squish is known."""
        meets_head = rows.squish + self.lowest_deck <= TOUCH
        in_the_bore = (rows.deck + self.lowest_deck >= DECK_CLEARANCE.low) & (
            rows.deck + self.highest_deck <= DECK_CLEARANCE.high
        )
        return ~meets_head & in_the_bore

    def squish_fits(self, rows: Choices) -> Array:
        """Whether the squish is in its range; never where it is wanted and not known."""
        if self.squish is None:
            return np.ones(len(rows), dtype=bool)
        least, most = self.squish
        return (rows.squish >= least) & (rows.squish <= most)
