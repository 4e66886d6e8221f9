"""What a change does to every volume, to squish, deck clearance and ratio."""

from __future__ import annotations

import pint

from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of
from enginemath.units import shop_unit, show, show_ratio


def effect(before: Engine, after: Engine, number: int = 0) -> str:
    """What a change does to one cylinder, as lines of text.

    Args:
        before: the engine before the change.
        after: the engine after it.
        number: of the cylinder, counted from 0.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.change.cuts import cut_deck
    >>> engine = parse(EXAMPLE).engine
    >>> print(effect(engine, cut_deck(engine, "0.20 mm")))
    swept volume     588.31 cc  stays
    chamber           47.50 cc  stays
    gasket             7.50 cc  stays
    deck               2.33 cc  becomes 1.00 cc
    crown              8.80 cc  stays
    crevice            0.00 cc  stays
    clearance volume  66.13 cc  becomes 64.80 cc
    deck clearance    0.350 mm  becomes 0.150 mm
    squish            1.450 mm  becomes 1.250 mm
    ratio                9.896  becomes 10.079
    """
    unit = shop_unit(before.cylinder.bore)
    old, new = _figures(before, number, unit), _figures(after, number, unit)
    width = max(len(figure) for figure in old.values())
    return "\n".join(
        f"{name:<16} {old[name]:>{width}}  "
        + ("stays" if old[name] == new[name] else f"becomes {new[name]}")
        for name in old
    )


def _figures(engine: Engine, number: int, unit: str) -> dict[str, str]:
    stack, squish = stack_of(engine, number), engine.squish(number)
    volumes: dict[str, pint.Quantity] = {
        "swept volume": stack.swept,
        **stack.parts,
        "clearance volume": stack.clearance,
    }
    return {
        **{name: show(volume, "cc") for name, volume in volumes.items()},
        "deck clearance": show(engine.decks[number].clearance, unit),
        "squish": "not known" if squish is None else show(squish, unit),
        "ratio": show_ratio(stack.ratio, 3),
    }
