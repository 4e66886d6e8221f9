"""Every limit of a plan, and what an engine makes of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pint

from enginemath.parts import Engine
from enginemath.planning.combination import Combination, machined
from enginemath.planning.options import TOUCH, Options
from enginemath.stack import mean_ratio, stacks
from enginemath.units import MM, Quantity, Refused, in_mm, nominal, shop_unit, show, show_ratio


@dataclass(frozen=True)
class Judged:
    """One limit, what the engine makes of it, and whether it is kept."""

    what: str
    has: str
    wanted: str
    kept: bool

    def __str__(self) -> str:
        """One line for the shop."""
        return f"{self.what} {self.has}, wanted {self.wanted}: {'kept' if self.kept else 'BROKEN'}"


def judged(engine: Engine, options: Options) -> list[Judged]:
    """Hold an engine against every limit of a plan, all its cylinders together.

    >>> from enginemath.datasets import path
    >>> from enginemath.panels.engines import engine_of
    >>> from enginemath.planning.reading import read_options
    >>> options = read_options(path("heron-four-options.toml"))
    >>> print(*judged(engine_of("heron-four"), options), sep="\\n")
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    return list(_judged(engine, options))


def _judged(engine: Engine, options: Options) -> Iterator[Judged]:
    target, unit = options.target, shop_unit(engine.cylinder.bore)
    ratios = sorted(nominal(stack.ratio) for stack in stacks(engine))
    yield Judged(
        "ratio",
        _range(show_ratio(ratios[0], 3), show_ratio(ratios[-1], 3)),
        f"{show_ratio(target.low, 3)} to {show_ratio(target.high, 3)}",
        target.low - TOUCH <= ratios[0] and ratios[-1] <= target.high + TOUCH,
    )
    if target.squish:
        least, most = target.squish
        wanted = f"{_bare(least, unit)} to {show(most, unit)}"
        if engine.squish() is None:
            yield Judged("squish", "not known", wanted, kept=False)
        else:
            tight, wide = squishes(engine)
            kept = in_mm(least) - TOUCH <= in_mm(tight) and in_mm(wide) <= in_mm(most) + TOUCH
            yield Judged("squish", _lengths(tight, wide, unit), wanted, kept)
    highest, deepest = _ends([deck.clearance for deck in engine.decks])
    least = options.deck_clearance_min
    yield Judged(
        "deck clearance",
        _lengths(highest, deepest, unit),
        f"{show(least, unit)} or more",
        in_mm(highest) >= in_mm(least) - TOUCH,
    )


def verdict(engine: Engine, choice: Combination, options: Options) -> list[str]:
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
        *map(str, judged(after, options)),
        f"metal removed {show(metal, unit)}, price {choice.price:g}",
    ]


def keeps_all(engine: Engine, choice: Combination, options: Options) -> bool:
    """Whether an engine can be assembled with a choice and then keeps to every limit."""
    try:
        return all(limit.kept for limit in judged(machined(engine, options, choice), options))
    except Refused:
        return False


def squishes(engine: Engine) -> tuple[pint.Quantity, pint.Quantity]:
    """The tightest and the widest squish clearance of an engine whose gasket is known."""
    return _ends([engine.squish(number) for number in range(engine.count)])


def _ends(lengths: Sequence[pint.Quantity | None]) -> tuple[pint.Quantity, pint.Quantity]:
    values = sorted(in_mm(length) for length in lengths if length is not None)
    return Quantity(values[0], MM), Quantity(values[-1], MM)


def _lengths(low: pint.Quantity, high: pint.Quantity, unit: str) -> str:
    return _range(_bare(low, unit), _bare(high, unit)) + f" {unit}"


def _range(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _bare(length: pint.Quantity, unit: str) -> str:
    return show(length, unit).removesuffix(f" {unit}")
