"""An engine held against every limit of a plan, cylinder by cylinder."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from enginemath.change.combination import Combination, machined
from enginemath.change.price_list import TOUCH, Options
from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean_ratio, stacks
from enginemath.units import MM, Quantity, Refused, in_mm, nominal, shop_unit, show, show_ratio


@dataclass(frozen=True)
class LimitCheck:
    """One limit, and what the cylinders make of it.

    Args:
        what: is limited.
        values: in cylinder order, bare ratios or lengths in mm; None where one is not known.
        low: lower end of the limit, as the values are.
        high: upper end, or infinity.
        unit: in which a length is said; empty for a ratio.
    """

    what: str
    values: tuple[float | None, ...]
    low: float
    high: float
    unit: str = ""

    @property
    def kept(self) -> bool:
        """Whether every cylinder keeps to it."""
        return not any(self.breaks())

    def breaks(self) -> Iterator[str]:
        """How it is broken, each way with the cylinder that breaks it worst.

        >>> list(LimitCheck("squish", (0.8, 0.75), 0.9, 1.15, "mm").breaks())
        ['squish of cylinder 2 is 0.750 mm, below 0.900 mm']
        """
        if None in self.values:
            yield (
                f"{self.what} is wanted and not known: the gasket's compressed thickness is not "
                "given"
            )
            return
        least, most = self._ends
        if least < self.low - TOUCH:
            yield self._broken(least, f"below {self._said(self.low)}")
        if most > self.high + TOUCH:
            yield self._broken(most, f"above {self._said(self.high)}")

    def __str__(self) -> str:
        """One line for the shop.

        >>> print(LimitCheck("ratio", (8.606, 8.682), 9.0, 9.5))
        ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
        """
        has = "not known" if None in self.values else self._range(*self._ends)
        if math.isinf(self.high):
            wanted = f"{self._said(self.low)} or more"
        else:
            wanted = self._range(self.low, self.high)
        return f"{self.what} {has}, wanted {wanted}: {'kept' if self.kept else 'BROKEN'}"

    @property
    def _ends(self) -> tuple[float, float]:
        known = [value for value in self.values if value is not None]
        return min(known), max(known)

    def _broken(self, value: float, how: str) -> str:
        number = self.values.index(value) + 1
        return f"{self.what} of cylinder {number} is {self._said(value)}, {how}"

    def _range(self, low: float, high: float) -> str:
        first, last = self._said(low), self._said(high)
        return last if first == last else f"{first.removesuffix(f' {self.unit}')} to {last}"

    def _said(self, value: float) -> str:
        return show(Quantity(value, MM), self.unit) if self.unit else show_ratio(value, 3)


def check_limits(engine: Engine, options: Options) -> list[LimitCheck]:
    """Hold an engine against every limit of a plan.

    >>> from enginemath.sheets import read_sheet
    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.change.price_list_file import read_options
    >>> engine = read_sheet(path("heron-four.toml")).engine
    >>> options = read_options(path("heron-four-options.toml"))
    >>> print(*check_limits(engine, options), sep="\\n")
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    target, unit = options.target, shop_unit(engine.cylinder.bore)
    ratios = tuple(nominal(stack.ratio) for stack in stacks(engine))
    limits = [LimitCheck("ratio", ratios, target.low, target.high)]
    if target.squish:
        gaps = [engine.squish(number) for number in range(engine.count)]
        squishes = tuple(None if gap is None else in_mm(gap) for gap in gaps)
        least, most = map(in_mm, target.squish)
        limits.append(LimitCheck("squish", squishes, least, most, unit))
    decks = tuple(in_mm(deck.clearance) for deck in engine.decks)
    least = in_mm(options.deck_clearance_min)
    return [*limits, LimitCheck("deck clearance", decks, least, math.inf, unit)]


def choice_report(engine: Engine, choice: Combination, options: Options) -> list[str]:
    """What a choice makes of an engine: ratio, every limit, metal removed and price.

    Returns:
        One line each; one line alone where the engine cannot be assembled so.
    """
    try:
        after = machined(engine, options, choice)
    except Refused as refusal:
        return [str(refusal)]
    unit = shop_unit(engine.cylinder.bore)
    metal = choice.deck_cut + choice.head_cut
    return [
        f"mean ratio {show_ratio(nominal(mean_ratio(after)), 3)}",
        *map(str, check_limits(after, options)),
        f"metal removed {show(metal, unit)}, price {choice.price:g}",
    ]


def keeps_all(engine: Engine, choice: Combination, options: Options) -> bool:
    """Whether an engine can be assembled with a choice and then keeps to every limit."""
    try:
        return all(limit.kept for limit in check_limits(machined(engine, options, choice), options))
    except Refused:
        return False
