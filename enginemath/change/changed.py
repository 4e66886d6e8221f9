"""One change of an engine, whatever is cut or fitted, and the check that it can be assembled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pint

from enginemath.engine.parts import NOTHING, Chamber, Deck, Engine
from enginemath.engine.stack import stack_of, stacks
from enginemath.units import Quantity, Refused, in_cc, shop_unit, show, show_ratio

NO_LENGTH = Quantity(0, "mm")


def changed(
    engine: Engine,
    cause: str,
    *,
    lift: pint.Quantity | Sequence[pint.Quantity] = NO_LENGTH,
    off_chambers: pint.Quantity | Sequence[pint.Quantity] = NOTHING,
    **parts: Any,
) -> Engine:
    """A new engine with everything changed at once; refused if it cannot be assembled.

    Args:
        engine: before the change.
        cause: what is done, to be named in a refusal.
        lift: how much nearer every piston comes to the head, a length; negative lowers them.
            Several: one for each cylinder.
        off_chambers: volume that every chamber loses, or one for each.
        **parts: fields of the engine that are replaced.

    Raises:
        Refused: a piston would meet the head, or nothing is left to burn in.
    """
    try:
        after = replace(
            engine,
            chambers=tuple(
                _less(chamber, off)
                for chamber, off in zip(engine.chambers, _each(off_chambers, engine), strict=True)
            ),
            decks=tuple(
                Deck(deck.clearance - up)
                for deck, up in zip(engine.decks, _each(lift, engine), strict=True)
            ),
            **parts,
        )
        stacks(after)
    except Refused as refusal:
        raise Refused(f"{cause}: {refusal}") from None
    return after


def _each(
    quantity: pint.Quantity | Sequence[pint.Quantity], engine: Engine
) -> Sequence[pint.Quantity]:
    return [quantity] * engine.count if isinstance(quantity, Quantity) else quantity


def in_shop_unit(length: pint.Quantity) -> str:
    """A length in the unit of the shop that wrote it."""
    return show(length, shop_unit(length))


def _less(chamber: Chamber, off: pint.Quantity) -> Chamber:
    if not in_cc(off):
        return chamber
    left = chamber.volume - off
    if in_cc(left) <= 0:
        raise Refused(
            f"it takes {show(off, 'cc')} off a chamber of {show(chamber.volume, 'cc')}: "
            "nothing is left of it"
        )
    return replace(chamber, volume=left)


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
