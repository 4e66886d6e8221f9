"""Numbers printed as a shop writes them."""

from __future__ import annotations

import re
from functools import cache

import pint
from uncertainties import UFloat

from enginemath.units.registry import (
    Number,
    deviation,
    magnitude_in,
    magnitude_of,
    nominal,
    unit_of,
)

_DECIMALS = {
    "in": 4, "mm": 3, "thou": 1, "cm": 3, "m": 0, "ft": 0, "µm": 0,
    "cc": 2, "ml": 2, "l": 3, "cu_in": 3, "mm2": 1, "cm2": 2,
    "deg": 1, "kPa": 0, "bar": 2, "psi": 0, "degC": 1, "degF": 1, "rpm": 0,
}  # fmt: skip
_PRINTED = {"cu_in": "cu in", "ml": "mL", "l": "L", "mm2": "mm²", "cm2": "cm²", "degC": "°C",
            "degF": "°F", "deg": "°"}  # fmt: skip


def show(quantity: pint.Quantity, unit: str) -> str:
    """Print a quantity with the decimals and the unit that a shop uses.

    Args:
        quantity: any quantity of the right kind, with or without uncertainty.
        unit: ``"in"`` (four decimals), ``"mm"`` (three), ``"cc"`` (two), ``"thou"`` (one),
            ``"cu_in"``, ``"ml"``, ``"l"``, ``"deg"``, ``"kPa"``, ``"psi"``, ``"bar"``,
            ``"degC"``, ``"degF"``, ``"cm2"`` and more of their like.

    >>> from enginemath.units.reading import read
    >>> show(read("3 29/32 in"), "in"), show(read("0.9992 in"), "mm")
    ('3.9062 in', '25.380 mm')
    >>> show(read("59.0 ± 0.4 cc"), "cc")
    '59.00 ± 0.40 cc'
    """
    magnitude = magnitude_in(unit_of(unit), quantity)
    space = "" if unit == "deg" else " "
    return f"{fixed(magnitude, _DECIMALS[unit])}{space}{_PRINTED.get(unit, unit)}"


def shop_unit(quantity: pint.Quantity) -> str:
    """The unit in which a shop that wrote this quantity wants to read lengths: in or mm.

    >>> from enginemath.units.reading import read
    >>> shop_unit(read("50 thou")), shop_unit(read("9.2 cm"))
    ('in', 'mm')
    """
    return _shop_unit(quantity.units)


@cache
def _shop_unit(unit: pint.Unit) -> str:
    return "in" if str(unit) in ("inch", "thou", "foot", "cu_in") else "mm"


@cache
def unit_text(unit: pint.Unit) -> str:
    """A unit as it stands after a number.

    >>> unit_text(unit_of("cu_in")), unit_text(unit_of("mm2"))
    ('cu in', 'mm²')
    """
    return f"{unit:~P}".replace("cu_in", "cu in")


def printable(text: str) -> str:
    """A text on one line: what no printer prints becomes a question mark.

    >>> printable("Heron\\tFour")
    'Heron?Four'
    """
    return "".join(letter if letter.isprintable() else "?" for letter in text)


NO_BREAK = "\u00a0"
_HELD_TOGETHER = re.compile(
    r" (?=±)|(?<=±) |(?<=\d) (?=(?:mm|in|cc|cu in|cm²|µm|µin|mL|thou|kPa|psi|m|ft)\b|%)"
    r"|(?<=cu) (?=in\b)"
)


def unbroken(text: str) -> str:
    """A text whose lines break nowhere between a number and its unit or its ±.

    >>> unbroken("0.38 ± 0.02 mm below").replace(NO_BREAK, "~")
    '0.38~±~0.02~mm below'
    """
    return _HELD_TOGETHER.sub(NO_BREAK, text)


def show_ratio(ratio: Number, decimals: int = 2) -> str:
    """Print a compression ratio: two decimals, three where two are compared.

    >>> from uncertainties import ufloat
    >>> show_ratio(9.8270), show_ratio(ufloat(9.8270, 0.05), 3)
    ('9.83', '9.827 ± 0.050')
    """
    return fixed(magnitude_of(ratio), decimals)


def percent(share: float) -> str:
    """A share in whole percent; what is not quite nothing or all is not printed so.

    >>> percent(0.42), percent(0.0004), percent(0.9996), percent(1.0)
    ('42 %', '<1 %', '>99 %', '100 %')
    """
    if 0 < share < 0.005:
        return "<1 %"
    return ">99 %" if 0.995 <= share < 1 else f"{100 * share:.0f} %"


def fixed(magnitude: float | UFloat, decimals: int) -> str:
    """A plain or uncertain number with fixed decimals, a true minus sign and no negative zero.

    >>> from uncertainties import ufloat
    >>> fixed(-0.0004, 3), fixed(-5.48, 2), fixed(ufloat(1.5, 0.25), 2)
    ('0.000', '−5.48', '1.50 ± 0.25')
    """
    # The dust of a conversion does not decide a half: 3 13/16 in is 96.8375 mm, and prints 96.838.
    clean = round(nominal(magnitude), 9)
    text = true_minus(f"{round(clean, decimals) + 0.0:.{decimals}f}")
    spread = deviation(magnitude)
    return f"{text} ± {spread:.{decimals}f}" if spread else text


def signed(magnitude: float | UFloat, decimals: int) -> str:
    """A difference with its sign, whichever it is.

    >>> signed(1.5, 2), signed(-0.174, 3)
    ('+1.50', '−0.174')
    """
    text = fixed(magnitude, decimals)
    return text if text.startswith("−") else f"+{text}"


def true_minus(number: str) -> str:
    """A printed number whose hyphen is made the minus sign; `plain_minus` is the way back.

    >>> true_minus("-0.7"), true_minus("1e-05")
    ('−0.7', '1e-05')
    """
    return f"−{number[1:]}" if number.startswith("-") else number
