"""Work done over and over by dice, and how often every limit holds in every cylinder.

Apart from the library: errors of tools and scales are thrown flat, scatter as Student's t, cuts and
gaskets as they turn out, and every cylinder is worked out by plain arithmetic. Only how much
each source moves a reading is the library's own, which is a straight line by its making (a mean,
a difference).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from enginemath.change.combination import Combination
from enginemath.change.job import Job
from enginemath.units import CC, MM, deviation, magnitude_in, nominal

FLAT = 3**0.5
"""Half-width of what is thrown flat, in standard uncertainties."""
DUST = 1e-9
Numbers = Any
"""A NumPy array with a number for each throw."""


class Throws:
    """What every source of a ± turns out to be, the same wherever it is felt.

    Args:
        draws: how many throws.
        seed: of the dice.
        flat: whether a tool's error is thrown flat within its limit; else as normal.
    """

    def __init__(self, draws: int, seed: int = 20, *, flat: bool = True) -> None:
        self.draws, self.flat = draws, flat
        self.dice = np.random.default_rng(seed)
        self._thrown: dict[Any, Numbers] = {}
        self._scales: dict[Any, Numbers] = {}

    def of(self, quantity: Any, unit: Any) -> Numbers:
        """What a reading is in truth, in a unit."""
        number = magnitude_in(unit, quantity)
        found = np.full(self.draws, float(nominal(number)))
        if not deviation(number):
            return found
        for source, slope in number.derivatives.items():
            found += slope * source.std_dev * self._turns_out(source)
        return found

    def _turns_out(self, source: Any) -> Numbers:
        if source not in self._thrown:
            self._thrown[source] = self._throw(source.tag)
        return self._thrown[source]

    def _throw(self, label: Any) -> Numbers:
        if not self.flat or label is None:  # written beside a number of the options file
            return self.dice.standard_normal(self.draws)
        if label.kind in ("tool", "division", "rock"):
            return self.dice.uniform(-FLAT, FLAT, self.draws)
        if np.isfinite(label.degrees_of_freedom):
            return self.dice.standard_normal(self.draws) * self._scale(label)
        return self.dice.standard_normal(self.draws)

    def _scale(self, label: Any) -> Numbers:
        """How much wider a scatter is in truth than its few repeats showed.

        Scatters that were pooled share one estimate, and so they are too narrow together.
        """
        key = label.estimate or object()
        if key not in self._scales:
            degrees = label.degrees_of_freedom
            self._scales[key] = (degrees / self.dice.chisquare(degrees, self.draws)) ** 0.5
        return self._scales[key]

    def work(self, length: Any, spread: Any) -> Numbers:
        """What work turns out to be, in mm; nothing where nothing is done."""
        mm = length.m_as("mm")
        return mm + self.dice.standard_normal(self.draws) * (spread.m_as("mm") if mm else 0.0)


def kept(job: Job, choice: Combination, throws: Throws) -> float:
    """How often every limit holds in every cylinder once the work of a choice is done."""
    before, options = job.engine, job.options
    target, spread, least = options.target, options.tolerances, options.minimums
    new, piston, land_area = choice.gasket.gasket, choice.piston, options.head_cut
    held = np.ones(throws.draws, dtype=bool)
    for bank, deck_depth, head_depth in zip(
        job.banks, choice.deck_cuts, choice.head_cuts, strict=True
    ):
        deck_cut = throws.work(deck_depth, spread.deck_cut)
        head_cut = throws.work(head_depth, spread.head_cut)
        for height, cut, lowest in (
            (bank.heights.block, deck_cut, least.block),
            (bank.heights.head, head_cut, least.head),
        ):
            if lowest is not None:
                held &= throws.of(height, MM) - cut >= lowest.m_as("mm") - DUST
        fitted = new and throws.work(new.compressed_thickness, spread.compressed_thickness)
        for place in bank.places:
            cylinder, land = before.cylinders[place], before.ring_lands[place]
            old = before.gaskets[place]
            stroke, bore = throws.of(cylinder.stroke, MM), throws.of(cylinder.bore, MM)
            bore = bore + piston.overbore.m_as("mm")
            lift = piston.rise.m_as("mm") + deck_cut
            if choice.rods.length is not None:
                lift = lift + choice.rods.length.m_as("mm") - throws.of(cylinder.rod_length, MM)
            if choice.crank.stroke is not None:
                lift = lift + (choice.crank.stroke.m_as("mm") - stroke) / 2
                stroke = choice.crank.stroke.m_as("mm")
            area = np.pi / 4 * bore**2 / 1000  # cc for each mm
            deck_before = throws.of(before.decks[place].clearance, MM)
            deck = deck_before - lift
            thick_before = throws.of(old.compressed_thickness, MM)
            thick = thick_before if new is None else fitted
            opening = throws.of((new or old).bore, MM)
            clearance = throws.of(before.chambers[place].volume, CC) + area * deck
            clearance += throws.of((piston.piston or before.pistons[place]).crown, CC)
            clearance += np.pi / 4 * opening**2 * thick / 1000
            if land_area:
                clearance -= land_area.open_area.m_as("mm**2") * head_cut / 1000
            if land:
                gap, high = throws.of(land.clearance, MM), throws.of(land.height, MM)
                clearance += np.pi / 4 * (bore**2 - (bore - gap) ** 2) * high / 1000
            ratio, squish = 1 + area * stroke / clearance, deck + thick
            held &= (ratio >= target.low) & (ratio <= target.high)
            if options.limits_the_deck:
                held &= deck >= options.deck_clearance_min.m_as("mm") - DUST
            if target.squish:
                tight, wide = (end.m_as("mm") for end in target.squish)
                held &= (squish >= tight) & (squish <= wide)
            for valve in options.valves:
                pocket = piston.deeper_pockets.m_as("mm") if piston.piston else 0.0
                moved = squish - deck_before - thick_before + pocket - head_cut
                held &= throws.of(valve.measured, MM) + moved >= valve.least.m_as("mm") - DUST
    return float(held.mean())
