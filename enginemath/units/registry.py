"""The one unit registry; what a unit measures; a number with and without its uncertainty."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pint
from uncertainties import UFloat

ureg: pint.UnitRegistry = pint.UnitRegistry(str(Path(__file__).with_name("units.txt")))
Quantity = ureg.Quantity

Number = Any
"""A float, a NumPy array, a pint Quantity or a number with uncertainty."""

_PINT_NAME = {"in": "inch", "ml": "mL", "l": "liter", "mm2": "mm**2", "cm2": "cm**2",
              "deg": "degree", "µm": "micrometer"}  # fmt: skip


@cache
def unit_of(name: str) -> pint.Unit:
    """A unit by the name that is printed, looked up once: by its name each time is slow.

    >>> print(Quantity(1, unit_of("in")).to(MM))
    25.4 millimeter
    """
    return ureg.Unit(_PINT_NAME.get(name, name))


MM, CC = unit_of("mm"), unit_of("cc")

MM_PER_INCH = 25.4
MM3_PER_CC = 1000.0
CC_PER_CUBIC_INCH = 16.387064
"""Cubic centimetres in a cubic inch, exact by the definition of the inch."""


class Refused(ValueError):
    """A text, part, reading or sheet that cannot be, said in shop words.

    `field` names the dimension that is to blame, where only one of a part's is.
    """

    def __init__(self, reason: str = "", field: str = ""):
        super().__init__(reason)
        self.field = field


_KINDS = {
    "mm": "a length",
    "mm**2": "an area",
    "cc": "a volume",
    "kPa": "a pressure",
    "kelvin": "a temperature",
    "rpm": "a speed of rotation",
}


@cache
def kind(unit: Any) -> str:
    """What a unit measures, in plain words.

    >>> kind("cubic_inch"), kind(ureg.Unit("thou"))
    ('a volume', 'a length')
    """
    unit = unit_of(unit) if isinstance(unit, str) else unit
    if str(unit) in ("degree", "radian"):
        return "an angle"
    if unit.dimensionless:
        return "a bare number"
    for known, words in _KINDS.items():
        if unit.dimensionality == unit_of(known).dimensionality:
            return words
    return f"something in {unit:~}"


def require_kind(quantity: pint.Quantity, unit: str, what: str) -> None:
    """Refuse a quantity that does not measure the same kind of thing as `unit`.

    >>> require_kind(Quantity(5, "cc"), "mm", "the bore")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: the bore: a length is wanted here, and this is a volume
    """
    wanted, found = kind(unit), kind(quantity.units)
    if wanted != found:
        raise Refused(f"{what}: {wanted} is wanted here, and this is {found}")


def in_plain_words(error: pint.DimensionalityError) -> str:
    """Say in shop words why two quantities cannot be put together.

    >>> try:
    ...     Quantity(92, "mm") + Quantity(47.5, "cc")
    ... except pint.DimensionalityError as error:
    ...     print(in_plain_words(error))
    a length (mm) and a volume (cc) cannot be added, compared or converted into each other
    """
    (first, a), (second, b) = (_said(unit) for unit in (error.units1, error.units2))
    return f"{first}{a} and {second}{b} cannot be added, compared or converted into each other"


def _said(unit: Any) -> tuple[str, str]:
    if isinstance(unit, str):
        unit = ureg.Unit("" if unit == "dimensionless" else unit)
    unit = ureg.Unit(unit)
    return kind(unit), "" if unit.dimensionless else f" ({unit:~})"


def nominal(number: float | UFloat) -> float:
    """The best value of a plain or uncertain number.

    >>> from uncertainties import ufloat
    >>> nominal(ufloat(9.8, 0.1)), nominal(9.8)
    (9.8, 9.8)
    """
    return getattr(number, "nominal_value", number)


def best(quantity: pint.Quantity) -> pint.Quantity:
    """A quantity without its uncertainty.

    >>> from uncertainties import ufloat
    >>> print(best(Quantity(ufloat(59.0, 0.4), "cc")))
    59.0 cc
    """
    return Quantity(nominal(quantity.magnitude), quantity.units)


def deviation(number: float | UFloat) -> float:
    """The standard uncertainty of a number; 0 for a plain one.

    >>> from uncertainties import ufloat
    >>> deviation(ufloat(9.8, 0.1)), deviation(9.8)
    (0.1, 0.0)
    """
    return getattr(number, "std_dev", 0.0)


def magnitude_in(unit: pint.Unit, quantity: pint.Quantity) -> Number:
    """The magnitude of a quantity in a unit; as it is where it is in that unit already.

    >>> magnitude_in(MM, Quantity(0.5, "inch"))
    12.7
    """
    magnitude, written_in = quantity.to_tuple()
    factor = _factor(written_in, unit)
    if factor is None:
        return quantity.m_as(unit)
    return magnitude if factor == 1 else magnitude * factor


@cache
def _factor(written_in: tuple[tuple[str, float], ...], unit: pint.Unit) -> float | None:
    """What turns a magnitude into another unit's, looked up once; None for a thermometer's."""
    zero, one = (Quantity.from_tuple((float(n), written_in)).m_as(unit) for n in (0, 1))
    return one if zero == 0 else None


def best_in(unit: pint.Unit, quantity: pint.Quantity) -> float:
    """The best value of a quantity in a unit, as a plain float.

    >>> best_in(MM, Quantity(0.5, "inch"))
    12.7
    """
    magnitude, written_in = quantity.to_tuple()
    factor = _factor(written_in, unit)
    return float(nominal(quantity.m_as(unit) if factor is None else nominal(magnitude) * factor))


def magnitude_of(number: Number) -> Number:
    """A ratio as a plain or uncertain number, whether it comes as a quantity or not.

    >>> magnitude_of(Quantity(20, "mm") / Quantity(1, "cm"))
    2.0
    """
    return magnitude_in(unit_of(""), number) if hasattr(number, "m_as") else number


def in_mm(length: pint.Quantity) -> float:
    """The best value of a length as a plain float, mm.

    >>> in_mm(Quantity(0.5, "inch"))
    12.7
    """
    return best_in(MM, length)


def in_cc(volume: pint.Quantity) -> float:
    """The best value of a volume as a plain float, cc.

    >>> in_cc(Quantity(47.5, "mL"))
    47.5
    """
    return best_in(CC, volume)
