"""What one choice makes of an engine."""

from __future__ import annotations

from enginemath.change.combination import Combination, machined
from enginemath.change.limits_kept import held
from enginemath.change.price_list import Options
from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean_ratio
from enginemath.units import Refused, nominal, shop_unit, show, show_ratio


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
        *map(str, held(after, options)),
        f"metal removed {show(metal, unit)}, price {choice.price:g}",
    ]


def keeps_all(engine: Engine, choice: Combination, options: Options) -> bool:
    """Whether an engine can be assembled with a choice and then keeps to every limit."""
    try:
        return all(limit.kept for limit in held(machined(engine, options, choice), options))
    except Refused:
        return False
