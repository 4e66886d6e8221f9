"""The limits of a plan, as questions to a row of parts and a deck cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.change.price_list import TOUCH, Options
from enginemath.change.search.grid import AnyNumber, Row
from enginemath.change.search.result import TIE
from enginemath.engine.limits import DECK_CLEARANCE
from enginemath.formulas.compression import clearance_for
from enginemath.units.any_number import where

RATIO_UNIT = 0.1
LENGTH_UNIT = 0.05
"""A tenth of a ratio beyond its band is as far off as 0.05 mm beyond a limit of length."""
UNKNOWN_SQUISH = 1.0
"""A squish that is wanted and not known is taken to be as far off, in mm."""


@dataclass(frozen=True)
class Bounds:
    """Least and most that is wanted, in mm.

    Rows are of numbers or of arrays; what is answered is yes or no, or an array of them.
    """

    band: tuple[float, float]
    """Lowest and highest ratio."""
    aim: float
    deck: float
    squish: tuple[float, float] | None
    """None where any squish will do."""

    @classmethod
    def of(cls, options: Options) -> Bounds:
        """The bounds of a plan."""
        target = options.target
        squish = target.squish and (target.squish[0].m_as("mm"), target.squish[1].m_as("mm"))
        least_deck = options.deck_clearance_min.m_as("mm")
        return cls((target.low, target.high), target.aim, least_deck, squish)

    @staticmethod
    def can_be_assembled(row: Row) -> AnyNumber:
        """Whether no piston meets the head, as far as the squish is known."""
        return (
            (row.lowest_squish > TOUCH)
            & (row.lowest_deck >= DECK_CLEARANCE.low)
            & (row.highest_deck <= DECK_CLEARANCE.high)
        )

    def lengths_fit(self, row: Row) -> AnyNumber:
        """Whether deck, squish and valves keep to their limits; never where one is not known."""
        fits = (row.lowest_deck >= self.deck - TOUCH) & (row.valve_room >= -TOUCH)
        if self.squish is None:
            return fits
        least, most = self.squish
        squish_fits = (row.lowest_squish >= least - TOUCH) & (row.highest_squish <= most + TOUCH)
        return fits & squish_fits

    @staticmethod
    def band_fits(row: Row, added: AnyNumber) -> AnyNumber:
        """Whether every cylinder's ratio is in the band, from what is added to its chamber."""
        return (added >= row.least) & (added <= row.most)

    def reach(
        self, row: Row, distance: AnyNumber, largest_swept: float
    ) -> tuple[AnyNumber, AnyNumber]:
        """Least and most to add to the chambers for a mean ratio as near to the aim.

        Sure only where it says no: the cylinder that needs least and the one that needs most
        decide.
        """
        far = distance + 2 * TIE
        on_aim = clearance_for(self.aim, largest_swept)
        lowest = where(self.aim - far > 1 + TIE, self.aim - far, 1 + TIE)
        up = where(self.aim - far > 1 + TIE, clearance_for(lowest, largest_swept), math.inf)
        down = clearance_for(self.aim + far, largest_swept)
        return row.near + (down - on_aim), row.far + (up - on_aim)

    def lengths_miss(self, row: Row) -> AnyNumber:
        """How far deck, squish and valves are beyond their limits, in units of `LENGTH_UNIT`."""
        beyond = _above_zero(self.deck - TOUCH - row.lowest_deck)
        if self.squish:
            least, most = self.squish
            too_tight = _above_zero(least - TOUCH - row.lowest_squish)
            too_wide = _above_zero(row.highest_squish - most - TOUCH)
            known = row.lowest_squish < math.inf
            beyond = beyond + where(known, too_tight + too_wide, UNKNOWN_SQUISH)
        known = row.valve_room > -math.inf
        room = where(known, _above_zero(-TOUCH - row.valve_room), UNKNOWN_SQUISH)
        return (beyond + room) / LENGTH_UNIT

    def band_misses(self, lowest: AnyNumber, highest: AnyNumber) -> AnyNumber:
        """How far the lowest and the highest ratio are beyond the band, in units."""
        low, high = self.band
        return (_above_zero(low - lowest) + _above_zero(highest - high)) / RATIO_UNIT


def _above_zero(number: AnyNumber) -> AnyNumber:
    return where(number > 0, number, 0.0)
