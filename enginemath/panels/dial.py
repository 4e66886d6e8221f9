"""What a control can move: one dimension, its limits, and steps that suit it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import pint

from enginemath import limits
from enginemath.limits import Limit
from enginemath.parts import Chamber, Deck, Engine, Piston
from enginemath.stack import mean
from enginemath.units import Quantity, best, nominal, unit_of


@dataclass(frozen=True, eq=False)
class Dial:
    """One dimension that a control moves.

    Args:
        name: in shop words.
        part: that it belongs to, as the drawings colour it.
        limit: what the dimension can be.
        step: smallest move of the slider by unit, the metric one first:
            ``{"mm": 0.01, "in": 0.0005}``. A dimension with one unit only keeps it when lengths
            change to inches.
        reach: how far the slider goes to each side of its first value, in the limit's unit.
        whole: ends of the slider in the limit's unit, where they do not follow the first value.
    """

    name: str
    part: str
    limit: Limit
    step: dict[str, float]
    reach: float = 0.0
    whole: tuple[float, float] | None = None

    def unit(self, wanted: str) -> str:
        """The unit that is shown where lengths are wanted in mm or in.

        >>> CHAMBER.unit("in"), DECK.unit("in"), DECK.unit("mm")
        ('cc', 'in', 'mm')
        """
        return list(self.step)[-1 if wanted == "in" else 0]

    def ends(self, first: pint.Quantity, unit: str) -> tuple[float, float]:
        """Ends of the slider in a unit, on whole steps and inside the limit."""
        step, shown = self.step[unit], unit_of(unit)
        middle = nominal(first.m_as(unit_of(self.limit.unit)))
        low, high = self.whole or (middle - self.reach, middle + self.reach)
        low, high = max(low, self.limit.low), min(high, self.limit.high)
        start, end = (Quantity(end, self.limit.unit).m_as(shown) for end in (low, high))
        start = math.ceil(start / step - 1e-6) * step
        if self.limit.above_low and start <= self.limit.low:
            start += step
        return round(start, 6), round(math.floor(end / step + 1e-6) * step, 6)


@dataclass(frozen=True, eq=False)
class PartDial(Dial):
    """A dimension of an engine with one cylinder."""

    of: Callable[[Engine], pint.Quantity | None] = field(kw_only=True)
    onto: Callable[[Engine, pint.Quantity], Engine] = field(kw_only=True)


FINE = {"mm": 0.01, "in": 0.0005}
COARSE = {"mm": 0.05, "in": 0.002}
CC = {"cc": 0.1}


def _piston_with(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    return lambda engine, value: replace(engine, piston=replace(engine.piston, **{name: value}))


def _cylinder_with(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    return lambda engine, value: replace(engine, cylinder=replace(engine.cylinder, **{name: value}))


def _gasket_with(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    return lambda engine, value: replace(engine, gasket=replace(engine.gasket, **{name: value}))


BORE = PartDial(
    "bore", "swept", limits.BORE, COARSE, reach=6,
    of=lambda engine: engine.cylinder.bore, onto=_cylinder_with("bore"),
)  # fmt: skip
STROKE = PartDial(
    "stroke", "swept", limits.STROKE, COARSE, reach=12,
    of=lambda engine: engine.cylinder.stroke, onto=_cylinder_with("stroke"),
)  # fmt: skip
ROD = PartDial(
    "rod length", "metal", limits.ROD_LENGTH, {"mm": 0.5, "in": 0.02}, reach=40,
    of=lambda engine: engine.cylinder.rod_length, onto=_cylinder_with("rod_length"),
)  # fmt: skip
CHAMBER = PartDial(
    "chamber", "chamber", limits.CHAMBER, CC, reach=15,
    of=lambda engine: mean([chamber.volume for chamber in engine.chambers]),
    onto=lambda engine, value: replace(engine, chambers=(Chamber(value),) * engine.count),
)  # fmt: skip
GASKET_BORE = PartDial(
    "gasket bore", "gasket", limits.GASKET_BORE, COARSE, reach=4,
    of=lambda engine: engine.gasket.bore, onto=_gasket_with("bore"),
)  # fmt: skip
THICKNESS = PartDial(
    "compressed thickness", "gasket", limits.GASKET_THICKNESS, FINE, whole=(0.2, 2.5),
    of=lambda engine: engine.gasket.compressed_thickness,
    onto=_gasket_with("compressed_thickness"),
)  # fmt: skip
DECK = PartDial(
    "deck clearance", "deck", limits.DECK_CLEARANCE, FINE, whole=(-0.5, 1.5),
    of=lambda engine: mean([deck.clearance for deck in engine.decks]),
    onto=lambda engine, value: replace(engine, decks=(Deck(value),) * engine.count),
)  # fmt: skip
RELIEFS = PartDial(
    "valve reliefs", "crown", limits.RELIEFS, CC, whole=(0, 10),
    of=lambda engine: engine.piston.reliefs, onto=_piston_with("reliefs"),
)  # fmt: skip
CROWN = PartDial(
    "dish (dome: minus)", "crown",
    Limit("dish", "cc", -1500, 1500, usual=(-60, 150)), CC, reach=15,
    of=lambda engine: best(engine.piston.dish - engine.piston.dome),
    onto=lambda engine, value: replace(
        engine, piston=replace(Piston.with_crown(value), reliefs=engine.piston.reliefs)
    ),
)  # fmt: skip
