"""One change of an engine, whatever is cut or fitted, and the check that it can be assembled."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pint

from enginemath.engine.parts import NOTHING, Chamber, Deck, Engine
from enginemath.engine.stack import stacks
from enginemath.units import Quantity, Refused, in_cc, shop_unit, show

NO_LENGTH = Quantity(0, "mm")


def changed(
    engine: Engine,
    cause: str,
    *,
    lift: pint.Quantity = NO_LENGTH,
    off_chambers: pint.Quantity = NOTHING,
    **parts: Any,
) -> Engine:
    """A new engine with everything changed at once; refused if it cannot be assembled.

    Args:
        engine: before the change.
        cause: what is done, to be named in a refusal.
        lift: how much nearer every piston comes to the head, a length; negative lowers them.
        off_chambers: volume that every chamber loses.
        **parts: fields of the engine that are replaced.

    Raises:
        Refused: a piston would meet the head, or nothing is left to burn in.
    """
    try:
        after = replace(
            engine,
            chambers=tuple(_less(chamber, off_chambers) for chamber in engine.chambers),
            decks=tuple(Deck(deck.clearance - lift) for deck in engine.decks),
            **parts,
        )
        stacks(after)
    except Refused as refusal:
        raise Refused(f"{cause}: {refusal}") from None
    return after


def said(length: pint.Quantity) -> str:
    """A length in the unit of the shop that wrote it."""
    return show(length, shop_unit(length))


def _less(chamber: Chamber, off: pint.Quantity) -> Chamber:
    left = chamber.volume - off
    if in_cc(left) <= 0:
        raise Refused(
            f"it takes {show(off, 'cc')} off a chamber of {show(chamber.volume, 'cc')}: "
            "nothing is left of it"
        )
    return Chamber(left)
