"""What a control can move: one dimension, its limits, and steps that suit it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import pint

from enginemath.engine import dimensions
from enginemath.engine.dimensions import Dimension
from enginemath.engine.limits import Limit
from enginemath.units import Quantity, magnitude_in, nominal, unit_of


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
        own = unit_of(self.limit.unit)
        middle = nominal(magnitude_in(own, first))
        low, high = self.whole or (middle - self.reach, middle + self.reach)
        low, high = max(low, self.limit.low), min(high, self.limit.high)
        start, end = (magnitude_in(shown, Quantity(end, own)) for end in (low, high))
        start = math.ceil(start / step - 1e-6) * step
        if self.limit.above_low and start <= self.limit.low:
            start += step
        return round(start, 6), round(math.floor(end / step + 1e-6) * step, 6)


@dataclass(frozen=True, eq=False)
class PartDial(Dial):
    """A dial that moves a dimension of an engine with one cylinder, inside that one's limit."""

    limit: Limit = field(init=False)
    dimension: Dimension = field(kw_only=True)

    def __post_init__(self) -> None:
        object.__setattr__(self, "limit", self.dimension.limit)


FINE = {"mm": 0.01, "in": 0.0005}
COARSE = {"mm": 0.05, "in": 0.002}
CC = {"cc": 0.1}

BORE = PartDial("bore", "swept", COARSE, reach=6, dimension=dimensions.BORE)
STROKE = PartDial("stroke", "swept", COARSE, reach=12, dimension=dimensions.STROKE)
ROD = PartDial(
    "rod length", "metal", {"mm": 0.5, "in": 0.02}, reach=40, dimension=dimensions.ROD_LENGTH
)
CHAMBER = PartDial("chamber", "chamber", CC, reach=15, dimension=dimensions.CHAMBER)
GASKET_BORE = PartDial("gasket bore", "gasket", COARSE, reach=4, dimension=dimensions.GASKET_BORE)
THICKNESS = PartDial(
    "compressed thickness", "gasket", FINE, whole=(0.2, 2.5), dimension=dimensions.GASKET_THICKNESS
)
DECK = PartDial(
    "deck clearance", "deck", FINE, whole=(-0.5, 1.5), dimension=dimensions.DECK_CLEARANCE
)
RELIEFS = PartDial("valve reliefs", "crown", CC, whole=(0, 10), dimension=dimensions.RELIEFS)
CROWN = PartDial("dish (dome: minus)", "crown", CC, reach=15, dimension=dimensions.NET_DISH)
