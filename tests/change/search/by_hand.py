"""A plan by hand: every combination as a whole engine of parts, one after the other, no arrays."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from enginemath.change.price_list import GasketOption, Options, PistonOption
from enginemath.engine.parts import Chamber, Deck, Engine
from enginemath.engine.stack import mean, stacks
from enginemath.units import Quantity, Refused, nominal

TOUCH = 1e-9


@dataclass(frozen=True)
class ByHand:
    """One combination, and the engine that it makes; None where it cannot be assembled."""

    gasket: GasketOption
    piston: PistonOption
    deck_cut: float
    head_cut: float
    price: float
    engine: Engine | None

    @property
    def ratios(self) -> list[float]:
        return [nominal(stack.ratio) for stack in stacks(self.engine)]

    @property
    def squishes(self) -> list[float]:
        gaps = [self.engine.squish(number) for number in range(self.engine.count)]
        return [nominal(gap.m_as("mm")) for gap in gaps if gap is not None]

    @property
    def decks(self) -> list[float]:
        return [nominal(deck.clearance.m_as("mm")) for deck in self.engine.decks]

    @property
    def metal(self) -> float:
        return self.deck_cut + self.head_cut

    def distance(self, aim: float) -> float:
        return abs(mean(self.ratios) - aim)

    def rank(self, aim: float) -> tuple[float, float, float]:
        return self.price, round(self.distance(aim), 9), round(self.metal, 9)

    def miss(self, options: Options) -> float:
        """How far it is beyond the limits: a tenth of ratio weighs as much as 0.05 mm."""
        target = options.target

        def beyond(values: list[float], low: float, high: float) -> float:
            return max(0.0, low - min(values)) + max(0.0, max(values) - high)

        far = beyond(self.ratios, target.low, target.high) / 0.1
        least_deck = options.deck_clearance_min.m_as("mm")
        far += beyond(self.decks, least_deck, float("inf")) / 0.05
        if target.squish:
            tight, wide = (limit.m_as("mm") for limit in target.squish)
            far += (beyond(self.squishes, tight, wide) if self.squishes else 1.0) / 0.05
        return far

    def keeps_to(self, options: Options) -> bool:
        if self.engine is None or any(gap <= TOUCH for gap in self.squishes):
            return False
        target = options.target
        fits = all(target.low - TOUCH <= ratio <= target.high + TOUCH for ratio in self.ratios)
        fits &= min(self.decks) >= options.deck_clearance_min.m_as("mm") - TOUCH
        if target.squish:
            tight, wide = (limit.m_as("mm") for limit in target.squish)
            fits &= bool(self.squishes)
            fits &= all(tight - TOUCH <= gap <= wide + TOUCH for gap in self.squishes)
        return fits


def combinations(engine: Engine, options: Options) -> list[ByHand]:
    """All of them, in the order of the options file."""
    return [
        _assembled(engine, options, *chosen)
        for chosen in itertools.product(
            options.gaskets, options.pistons, _depths(options.deck_cut), _depths(options.head_cut)
        )
    ]


def plans(engine: Engine, options: Options) -> list[ByHand]:
    """Those that keep to every limit, ranked."""
    feasible = [each for each in combinations(engine, options) if each.keeps_to(options)]
    return sorted(feasible, key=lambda each: each.rank(options.target.aim))


def _depths(cut: object) -> list[float]:
    if cut is None:
        return [0.0]
    step, largest = cut.step.m_as("mm"), cut.largest.m_as("mm")
    depths = [0.0]
    while depths[-1] + step <= largest * (1 + 1e-9):
        depths.append(step * len(depths))
    return depths


def _assembled(
    engine: Engine,
    options: Options,
    gasket: GasketOption,
    piston: PistonOption,
    deck_cut: float,
    head_cut: float,
) -> ByHand:
    price = gasket.price + piston.price
    price += options.deck_cut.price if deck_cut else 0
    price += options.head_cut.price if head_cut else 0
    area = options.head_cut.open_area.m_as("cm**2") if options.head_cut else 0.0
    rise = piston.rise.m_as("mm")
    try:
        made = replace(
            engine,
            gasket=gasket.gasket or engine.gasket,
            piston=piston.piston or engine.piston,
            chambers=tuple(
                Chamber(Quantity(nominal(c.volume.m_as("cc")) - area * head_cut / 10, "cc"))
                for c in engine.chambers
            ),
            decks=tuple(
                Deck(Quantity(nominal(d.clearance.m_as("mm")) - rise - deck_cut, "mm"))
                for d in engine.decks
            ),
        )
        stacks(made)
    except Refused:
        made = None
    return ByHand(gasket, piston, deck_cut, head_cut, price, made)
