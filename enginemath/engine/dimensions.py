"""Every dimension of an engine that can be moved: what it can be, how it is read off and set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from operator import attrgetter
from typing import NamedTuple

import pint

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.parts import (
    NOTHING,
    SHARED,
    Chamber,
    Deck,
    Engine,
    Piston,
    with_each,
)
from enginemath.engine.stack import mean
from enginemath.units import Quantity


class Dimension(NamedTuple):
    """One dimension of an engine; where each cylinder has its own, their mean.

    Args:
        limit: what it can be.
        of: reads it off an engine; None where the engine has no value for it.
        onto: gives the same engine with another value, the same for every cylinder.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import read, show
    >>> print(show(BORE.onto(parse(EXAMPLE).engine, read("92.5 mm")).cylinder.swept, "cc"))
    594.73 cc
    """

    limit: Limit
    of: Callable[[Engine], pint.Quantity | None]
    onto: Callable[[Engine, pint.Quantity], Engine]


def _of_a_part(part: str, name: str, limit: Limit, **cleared: pint.Quantity) -> Dimension:
    """A dimension that one part keeps; what it clears in that part cannot stand beside it."""

    def of(engine: Engine) -> pint.Quantity | None:
        if engine.shares(part):
            return getattr(getattr(engine, part), name)
        values = [getattr(each, name) for each in getattr(engine, SHARED[part])]
        return None if None in values else mean(values)

    def onto(engine: Engine, value: pint.Quantity) -> Engine:
        return with_each(engine, part, lambda each: replace(each, **{name: value}, **cleared))

    return Dimension(limit, of, onto)


def _of_the_engine(name: str, limit: Limit) -> Dimension:
    """A dimension that the engine itself keeps."""
    return Dimension(
        limit, attrgetter(name), lambda engine, value: replace(engine, **{name: value})
    )


BORE = _of_a_part("cylinder", "bore", limits.BORE)
STROKE = _of_a_part("cylinder", "stroke", limits.STROKE)
ROD_LENGTH = _of_a_part("cylinder", "rod_length", limits.ROD_LENGTH)
CHAMBER = Dimension(
    limits.CHAMBER,
    of=lambda engine: mean([chamber.volume for chamber in engine.chambers]),
    onto=lambda engine, value: replace(engine, chambers=(Chamber(value),) * engine.count),
)
GASKET_BORE = _of_a_part("gasket", "bore", limits.GASKET_BORE)
GASKET_THICKNESS = _of_a_part("gasket", "compressed_thickness", limits.GASKET_THICKNESS)
DECK_CLEARANCE = Dimension(
    limits.DECK_CLEARANCE,
    of=lambda engine: mean([deck.clearance for deck in engine.decks]),
    onto=lambda engine, value: replace(engine, decks=(Deck(value),) * engine.count),
)
DISH = _of_a_part("piston", "dish", limits.DISH, dome=NOTHING)
DOME = _of_a_part("piston", "dome", limits.DOME, dish=NOTHING)
NET_DISH = Dimension(
    Limit("dish", "cc", -limits.DOME.high, limits.DISH.high, usual=(-60, 150)),
    of=lambda engine: (
        engine.piston.net_dish
        if engine.shares("piston")
        else mean([piston.net_dish for piston in engine.pistons])
    ),
    onto=lambda engine, value: with_each(
        engine,
        "piston",
        lambda piston: replace(Piston.with_crown(value), reliefs=piston.reliefs),
    ),
)
RELIEFS = _of_a_part("piston", "reliefs", limits.RELIEFS)
INTAKE_CLOSES = _of_the_engine("intake_closes", limits.INTAKE_CLOSES)
ALTITUDE = _of_the_engine("altitude", limits.ALTITUDE)._replace(
    of=lambda engine: Quantity(0.0, "m") if engine.altitude is None else engine.altitude,
)
"""The altitude; an engine without one runs at sea level."""
