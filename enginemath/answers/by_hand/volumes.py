"""The volumes of one hand calculation, in cc, by the library's formulas on plain floats."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.slip import Ratio
from enginemath.engine.stack import mean
from enginemath.formulas.compression import (
    clearance_for,
    clearance_volume,
    compression_ratio,
    height_of,
)
from enginemath.formulas.geometry import annulus, cosine_drop, crank_radius, disc, piston_drop
from enginemath.units import MM3_PER_CC

MM3 = 1 / MM3_PER_CC
"""A cubic millimetre, in cc."""


@dataclass(frozen=True)
class Habit:
    """How somebody rounds on the way: decimals kept in each volume and in the sums, and π."""

    name: str
    parts: int | None = None
    sums: int | None = None
    π: float = math.pi


EXACT = Habit("nothing rounded on the way")


@dataclass
class Volumes:
    """The volumes in cc, before they are put together."""

    habit: Habit
    count: int
    stroke: float
    """In mm."""
    swept: float
    chambers: list[float]
    gasket: float
    decks: list[float]
    crown: float
    """Dish less dome, or what the known-depth pour left."""
    reliefs: float
    crevice: float
    known_disc: float
    """Disc that the known-depth method takes off the pour."""
    remaining: float = 1.0
    """Share of the stroke that remains when the intake closes."""
    cylinders: int = 1
    """How many cylinders' swept volume is taken together."""
    decks_poured: Sequence[float] = ()
    """Deck volumes that a pour entered as the crown holds already."""
    scaled: bool = False
    """The ratio itself is scaled to the remaining stroke, not the swept volume."""
    ratio: Ratio = compression_ratio
    target: float = math.nan
    """Ratio to reach; not a number where none is given, and so on."""
    bore: float = math.nan
    """Of the cylinder, in mm, as the lengths below."""
    gasket_bore: float = math.nan
    thickness: float = math.nan
    free_thickness: float = math.nan
    deck_clearance: float = 0.0
    """Mean over the cylinders."""
    wanted: float | None = None
    """Clearance volume for the target, where it is written or a slip gives it; and so on below."""
    change: float | None = None
    new_thickness: float | None = None

    def wanted_clearance(self) -> float:
        """Clearance volume that gives the target ratio."""
        if self.wanted is not None:
            return self.wanted
        return self.kept(clearance_for(self.target, self.kept(self.swept)))

    def volume_change(self) -> float:
        """What the clearance volume has to gain for the target."""
        if self.change is not None:
            return self.change
        return self.wanted_clearance() - self.kept(mean(self.clearances()))

    def thicker(self, across: float) -> float:
        """What a gasket has to gain in thickness for the change, over an opening, in mm."""
        return height_of(self.volume_change() / MM3, across)

    def gasket_thickness(self) -> float:
        """Thickness of the gasket that reaches the target, in mm."""
        if self.new_thickness is not None:
            return self.new_thickness
        return self.thickness + self.thicker(self.gasket_bore)

    def kept(self, volume: float) -> float:
        """A volume as far as it is written down on the way."""
        habit = self.habit
        return rounded(volume, habit.parts if habit.parts is not None else habit.sums)

    def clearances(self) -> list[float]:
        """Clearance volume of each cylinder."""
        decks = self.decks
        if self.decks_poured:
            decks = [sum(both) for both in zip(decks, self.decks_poured, strict=True)]
        gasket, crown, crevice = self.gasket, self.crown + self.reliefs, self.crevice
        return [
            clearance_volume(chamber, gasket, deck, crown, crevice)
            for chamber, deck in zip(self.chambers, decks, strict=True)
        ]

    def round_parts(self) -> None:
        """Round every volume, where that is the habit."""
        decimals = self.habit.parts
        if decimals is None:
            return
        for name in _ROUNDED:
            setattr(self, name, rounded(getattr(self, name), decimals))
        for name in _ROUNDED_EACH:
            setattr(self, name, [rounded(each, decimals) for each in getattr(self, name)])


def volumes_of(readings: Readings, habit: Habit = EXACT) -> Volumes:
    """Work out every volume from the readings."""
    r, mm3 = readings, MM3 * habit.π / math.pi
    chambers = [sum(end - start for start, end in r.fills)] if r.fills else list(r.chambers)
    decks = [disc(r.bore, deck) * mm3 for deck in r.decks]
    if r.gasket_poured is not None:
        gasket = r.gasket_poured
    else:
        gasket = disc(r.gasket_bore, r.thickness) * mm3
    crown, known_disc = r.dish - r.dome, 0.0
    if r.known_depth is not None:
        known_disc = disc(r.bore, r.known_depth) * mm3
        crown = r.poured - known_disc
    return Volumes(
        habit=habit,
        count=r.count,
        stroke=r.stroke,
        swept=disc(r.bore, r.stroke) * mm3,
        chambers=chambers if len(chambers) == len(decks) else chambers * len(decks),
        gasket=gasket,
        decks=decks,
        crown=crown,
        reliefs=r.reliefs,
        crevice=annulus(r.bore, r.bore - r.land_clearance, r.land_height) * mm3,
        known_disc=known_disc,
        target=_or_nan(r.target),
        bore=r.bore,
        gasket_bore=_or_nan(r.gasket_bore),
        thickness=_or_nan(r.thickness),
        free_thickness=_or_nan(r.free_thickness),
        deck_clearance=mean(r.decks),
    )


def _or_nan(number: float | None) -> float:
    return math.nan if number is None else number


def remaining_stroke(readings: Readings) -> float:
    """Share of the stroke that the piston still has to rise when the intake closes."""
    angle, rod = readings.crank_at_closing, readings.rod_length
    if rod is None:
        return cosine_drop(1.0, angle)
    radius = crank_radius(readings.stroke, rod, readings.pin_offset)
    return piston_drop(radius, rod, angle, readings.pin_offset) / readings.stroke


def rounded(number: float, decimals: int | None) -> float:
    """A number rounded half up, as taught; as it is where there is no number of decimals.

    >>> rounded(47.5, 0), rounded(2.3267, 2), rounded(2.3267, None)
    (48.0, 2.33, 2.3267)
    """
    if decimals is None:
        return number
    scale = 10.0**decimals
    return math.floor(number * scale + 0.5 + 1e-9) / scale


_ROUNDED = ("swept", "gasket", "crown", "reliefs", "crevice")
_ROUNDED_EACH = ("chambers", "decks", "decks_poured")
