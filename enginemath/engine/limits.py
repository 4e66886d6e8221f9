"""What each dimension of an engine can be, what is usual, and what was probably meant.

The outer bounds run from a model engine to a lorry diesel; the usual bounds are common
practice, no source, and only ever cause a warning.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import pint

from enginemath.units import (
    MM_PER_INCH,
    Quantity,
    Refused,
    as_quantity,
    best_in,
    deviation,
    kind,
    magnitude_in,
    nominal,
    require_kind,
    shop_unit,
    true_minus,
    unit_of,
    unit_text,
)


class Limit(NamedTuple):
    """Bounds of one dimension, in its shop unit.

    `low` is excluded where `above_low` is set: a bore of zero cannot be. Nobody writes the
    dimension in a unit of `never_in`.
    """

    name: str
    unit: str
    low: float
    high: float
    usual: tuple[float, float] | None = None
    above_low: bool = False
    if_negative: str = "cannot be negative"
    never_in: tuple[str, ...] = ()

    def accept(self, value: str | pint.Quantity) -> pint.Quantity:
        """Read and check one value.

        Args:
            value: text with a unit, or a quantity.

        Returns:
            The quantity, in the unit it came with.

        Raises:
            Refused: not a number with a fitting unit, outside the bounds, or too unsure to
                mean anything.

        >>> print(BORE.accept("92.0 mm"))
        92.0 millimeter
        >>> BORE.accept("3.905 mm")
        Traceback (most recent call last):
            ...
        enginemath.units.Refused: bore 3.905 mm: did you mean 3.905 in?
        """
        try:
            quantity = as_quantity(value, self.unit)
        except Refused as refusal:
            raise Refused(f"{self.name} {refusal}") from None
        if kind(quantity.units) != kind(self.unit):
            require_kind(quantity, self.unit, self._named(quantity))
        measured = best_in(unit_of(self.unit), quantity)
        if not math.isfinite(measured):
            raise Refused(f"{self.name}: not a number that can be measured")
        if not self.can_be(measured):
            raise Refused(f"{self._named(quantity)}: {self._why_not(quantity)}")
        if not self._spread(quantity) <= self._most_unsure(measured):
            unsure = _unsure_by(quantity)
            named = self._named(quantity)
            raise Refused(f"{named}: {unsure} is so wide that the reading says nothing")
        return quantity

    def _spread(self, quantity: pint.Quantity) -> float:
        """Its ± in the shop unit."""
        u = deviation(quantity.magnitude)
        return deviation(magnitude_in(unit_of(self.unit), quantity)) if u else u

    def _named(self, quantity: pint.Quantity) -> str:
        return f"{self.name} {said(quantity)}"

    def can_be(self, magnitude: float) -> bool:
        """Whether a magnitude, in the shop unit, lies inside the outer bounds."""
        above = magnitude > self.low if self.above_low else magnitude >= self.low
        return above and magnitude <= self.high

    @property
    def bounds(self) -> str:
        """The outer bounds in words."""
        return f"{self.low:g} to {self.high:g} {self.unit}"

    def is_usual(self, quantity: pint.Quantity) -> bool:
        """Whether a quantity lies inside the usual bounds; true where none are set."""
        low, high = self.usual or (self.low, self.high)
        return low <= round(best_in(unit_of(self.unit), quantity), 9) <= high

    def warning(self, quantity: pint.Quantity) -> str | None:
        """A sentence where the quantity is unusual or unsure, with what was perhaps meant.

        >>> DECK_CLEARANCE.warning(as_quantity(".05 in"))
        'deck clearance 0.05 in is unusual (0 to 0.0315 in): did you mean 0.05 mm?'
        >>> BORE.warning(as_quantity("92.0 ± 50 mm"))
        'bore 92 mm: ± 50 mm is more than a tenth of it: was a smaller ± meant?'
        """
        return self._odd_unit(quantity) or self._unusual(quantity) or self._unsure(quantity)

    def _odd_unit(self, quantity: pint.Quantity) -> str | None:
        if not self.never_in or unit_text(quantity.units) not in self.never_in:
            return None
        meant = self._meant(quantity)
        return f"{self.name} {said(quantity)}: did you mean {meant}?" if meant else None

    def _unusual(self, quantity: pint.Quantity) -> str | None:
        if self.usual is None or self.is_usual(quantity):
            return None
        usual = self._range(*self.usual, quantity.units)
        unusual = f"{self.name} {said(quantity)} is unusual ({usual})"
        meant = self._meant(quantity)
        return f"{unusual}: did you mean {meant}?" if meant else f"{unusual}: measure it again"

    def _range(self, low: float, high: float, unit: pint.Unit) -> str:
        """Bounds in words, in inches for what was written in inches."""
        if self.unit == "mm" and shop_unit(Quantity(1.0, unit)) == "in":
            return f"{low / MM_PER_INCH:.3g} to {high / MM_PER_INCH:.3g} in"
        return f"{low:g} to {high:g} {self.unit}"

    def _unsure(self, quantity: pint.Quantity) -> str | None:
        if not self._never_zero or not deviation(quantity.magnitude):
            return None
        tenth = max(_COARSE.get(self.unit, 0), abs(best_in(unit_of(self.unit), quantity)) / 10)
        if self._spread(quantity) <= tenth:
            return None
        return (
            f"{self.name} {said(quantity)}: {_unsure_by(quantity)} is more than a tenth of it: "
            "was a smaller ± meant?"
        )

    def _why_not(self, quantity: pint.Quantity) -> str:
        meant = self._meant(quantity)
        if meant:
            return f"did you mean {meant}?"
        magnitude = best_in(unit_of(self.unit), quantity)
        if magnitude < 0 <= self.low:
            return self.if_negative
        if magnitude == 0:
            return "cannot be zero"
        can_be = self._range(self.low, self.high, quantity.units)
        return f"outside what an engine can have ({can_be})"

    def _most_unsure(self, magnitude: float) -> float:
        """What must be above zero is known better than to its own size."""
        return magnitude if self._never_zero else self.high - self.low

    @property
    def _never_zero(self) -> bool:
        return self.low > 0 or self.above_low

    def _meant(self, quantity: pint.Quantity) -> str | None:
        first = next(self.taken_for(quantity), None)
        return None if first is None else said(first)

    def taken_for(self, quantity: pint.Quantity) -> Iterator[pint.Quantity]:
        """The same number in other units of the shop that make it a usual value.

        >>> [said(other) for other in DISH.taken_for(as_quantity("6.0 cu in"))]
        ['6 cc']
        """
        for unit in _MISTAKEN.get(self.unit, {}).get(unit_text(quantity.units), ()):
            other = Quantity(nominal(quantity.magnitude), unit)
            if self.can_be(other.m_as(self.unit)) and self.is_usual(other) and other.magnitude:
                yield other


_MISTAKEN: dict[str, dict[str, tuple[str, ...]]] = {
    "mm": {
        "mm": ("inch", "thou", "cm"),
        "in": ("mm", "thou"),
        "thou": ("mm", "inch"),
        "cm": ("mm", "inch"),
        "m": ("mm",),
    },
    "cc": {
        "cc": ("cu_in", "liter"),
        "mL": ("cu_in", "liter"),
        "cu in": ("cc",),
        "mm³": ("cc",),
        "L": ("cc",),
    },
    "m": {"m": ("foot",), "mm": ("m",), "cm": ("m",), "in": ("foot",), "thou": ("foot",)},
    "deg": {"rad": ("degree",)},
}
"""What a reading is taken for, by the unit of the limit and the unit that was written."""

_COARSE = {"mm": 0.1, "cc": 0.3}
"""What plain tools are good for: more than a tenth of a thin gasket or a small chamber."""


def said(quantity: pint.Quantity) -> str:
    """A quantity as it was read: in its own unit, without its uncertainty.

    >>> said(as_quantity("47.50 ± 0.3 cu in"))
    '47.5 cu in'
    """
    return true_minus(f"{nominal(quantity.magnitude):.10g} {unit_text(quantity.units)}")


def _unsure_by(quantity: pint.Quantity) -> str:
    return f"± {deviation(quantity.magnitude):.4g} {unit_text(quantity.units)}"


BORE = Limit("bore", "mm", 15, 400, usual=(30, 200))
OVERBORE = Limit("overbore", "mm", 0, 10, usual=(0, 2))
STROKE = Limit("stroke", "mm", 10, 600, usual=(20, 200))
ROD_LENGTH = Limit("rod length", "mm", 25, 1500, usual=(50, 400))
PIN_OFFSET = Limit("pin offset", "mm", -10, 10, usual=(-3, 3))
CHAMBER = Limit("chamber volume", "cc", 0.05, 3000, usual=(3, 400))
CHAMBER_OF_A_DIESEL = Limit("chamber volume", "cc", 0, 3000, usual=(0, 400))
"""A flat head has none: then the whole chamber is the bowl in the piston, or the prechamber."""
PRECHAMBER = Limit("prechamber", "cc", 0.05, 1000, usual=(1, 150))
GASKET_BORE = Limit("gasket bore", "mm", 15, 450, usual=(30, 210))
GASKET_THICKNESS = Limit("gasket thickness", "mm", 0.1, 8, usual=(0.2, 3.2))
GASKET_VOLUME = Limit("gasket volume", "cc", 0.05, 300, usual=(0.3, 60))
DECK_CLEARANCE = Limit("deck clearance", "mm", -8, 10, usual=(0, 0.8))
DECK_CLEARANCE_OF_A_DIESEL = Limit("deck clearance", "mm", -8, 10, usual=(-1.5, 0.8))
"""Most diesels' pistons stand above the deck by design; common practice, no source."""
DEPTH_AT_BDC = Limit("depth at bottom dead centre", "mm", 10, 620, usual=(20, 205))
DISH = Limit("dish", "cc", 0, 1500, usual=(0, 150), if_negative="a negative dish is a dome")
DOME = Limit("dome", "cc", 0, 1500, usual=(0, 60), if_negative="a negative dome is a dish")
RELIEFS = Limit("valve reliefs", "cc", 0, 200, usual=(0, 25))
KNOWN_DEPTH = Limit("known depth", "mm", 0, 300, usual=(3, 80), above_low=True)
POURED = Limit("poured volume", "cc", 0, 5000, usual=(1, 1000), above_low=True)
LAND_HEIGHT = Limit("ring land height", "mm", 0, 60, usual=(1, 20), above_low=True)
LAND_CLEARANCE = Limit("ring land clearance", "mm", 0, 5, usual=(0.05, 1.5), above_low=True)
BURETTE_READING = Limit("burette reading", "cc", 0, 1000)
INTAKE_CLOSES = Limit("intake closing", "deg", 0, 130, usual=(20, 90))
EXHAUST_CLOSES = Limit("exhaust closing", "deg", 20, 130, usual=(60, 110))
CHECKING_LIFT = Limit("checking lift", "mm", 0, 5, usual=(0, 2))
LAND_DIAMETER = Limit("land diameter", "mm", 14, 400, usual=(29, 200))
BLOCK_HEIGHT = Limit("block height", "mm", 40, 2000, usual=(100, 500))
COMPRESSION_HEIGHT = Limit("compression height", "mm", 5, 300, usual=(20, 80))
ALTITUDE = Limit(
    "altitude", "m", -500, 9000, usual=(-100, 4000), never_in=("mm", "cm", "in", "thou")
)
SWEPT = Limit("swept volume", "cc", 1, 80_000)
DECK_VOLUME = Limit("deck volume", "cc", -1000, 1500)
CROWN = Limit("crown volume", "cc", -1500, 1700)
CLEARANCE = Limit("clearance volume", "cc", 0.05, 8000)
MOST_CYLINDERS = 24
MOST_FILLS = 200
HIGHEST_RATIO = 40.0
"""A ratio well above any piston engine's."""
ANTIKNOCK_INDEX = (60, 130)
