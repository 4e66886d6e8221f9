"""The limits of a plan, as bounds on what the choices may add."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.change.price_list import TOUCH, Options
from enginemath.change.search.grid import AnyNumber, Choices, Grid
from enginemath.engine.limits import DECK_CLEARANCE
from enginemath.formulas.compression import clearance_for, compression_ratio
from enginemath.units.any_number import where

RATIO_UNIT = 0.1
LENGTH_UNIT = 0.05
"""A tenth of a ratio beyond its band is as far off as 0.05 mm beyond a limit of length."""
UNKNOWN_SQUISH = 1.0
"""A squish that is wanted and not known is taken to be as far off, in mm."""


@dataclass(frozen=True)
class Bounds:
    """Least and most that the choices may add, in cc and mm.

    The cylinder with the smallest and the one with the largest volume decide for all. Choices are
    numbers or arrays; what is answered is yes or no, or an array of them.
    """

    band: tuple[float, float]
    """Lowest and highest ratio wanted."""
    clearance: tuple[float, float]
    deck: float
    squish: tuple[float, float] | None
    """The limits of squish; None where any squish will do."""
    lowest_deck: float
    highest_deck: float
    """Deck clearances as measured."""
    swept: float
    smallest_rest: float
    largest_rest: float
    """What no choice touches of the clearance volume."""

    @classmethod
    def of(cls, grid: Grid, options: Options) -> Bounds:
        """The bounds of a plan for an engine's grid."""
        target, least_deck = options.target, options.deck_clearance_min.m_as("mm")
        lowest, highest = min(grid.decks), max(grid.decks)
        squish = None
        if target.squish:
            tight, wide = (limit.m_as("mm") for limit in target.squish)
            squish = (tight - lowest - TOUCH, wide - highest + TOUCH)
        smallest, largest = min(grid.rest), max(grid.rest)
        return cls(
            band=(target.low, target.high),
            clearance=(
                clearance_for(target.high + TOUCH, grid.swept) - smallest,
                clearance_for(max(target.low - TOUCH, 1 + TOUCH), grid.swept) - largest,
            ),
            deck=least_deck - lowest - TOUCH,
            squish=squish,
            lowest_deck=lowest,
            highest_deck=highest,
            swept=grid.swept,
            smallest_rest=smallest,
            largest_rest=largest,
        )

    def can_be_assembled(self, row: Choices) -> AnyNumber:
        """Whether no piston meets the head, as far as the squish is known."""
        return (
            (row.squish + self.lowest_deck > TOUCH)
            & (row.deck + self.lowest_deck >= DECK_CLEARANCE.low)
            & (row.deck + self.highest_deck <= DECK_CLEARANCE.high)
        )

    def lengths_fit(self, row: Choices) -> AnyNumber:
        """Whether deck and squish are in their ranges; never where squish is wanted, not known."""
        deck_fits = row.deck >= self.deck
        if self.squish is None:
            return deck_fits
        least, most = self.squish
        return deck_fits & (row.squish >= least) & (row.squish <= most)

    def band_fits(self, clearance: AnyNumber) -> AnyNumber:
        """Whether every cylinder's ratio is in the band, from what is added to its clearance."""
        least, most = self.clearance
        return (clearance >= least) & (clearance <= most)

    def lengths_miss(self, row: Choices) -> AnyNumber:
        """How far deck and squish are beyond their limits, as a share of `LENGTH_UNIT`."""
        beyond = _above_zero(self.deck - row.deck)
        if self.squish:
            least, most = self.squish
            squish = _above_zero(least - row.squish) + _above_zero(row.squish - most)
            known = row.squish < float("inf")
            beyond = beyond + where(known, squish, UNKNOWN_SQUISH)
        return beyond / LENGTH_UNIT

    def band_misses(self, clearance: AnyNumber) -> AnyNumber:
        """How far the ratios are beyond the band, as a share of `RATIO_UNIT`."""
        low, high = self.band
        lowest = compression_ratio(self.swept, clearance + self.largest_rest)
        highest = compression_ratio(self.swept, clearance + self.smallest_rest)
        return (_above_zero(low - lowest) + _above_zero(highest - high)) / RATIO_UNIT

    def has_room(self, clearance: AnyNumber) -> AnyNumber:
        """Whether every cylinder keeps a clearance volume."""
        return clearance + self.smallest_rest > 0


def _above_zero(number: AnyNumber) -> AnyNumber:
    return where(number > 0, number, 0.0)
