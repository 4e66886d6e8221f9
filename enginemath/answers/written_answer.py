"""A student's answer, read as a literal with the precision it was written to."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from enginemath.answers.quantities import PERCENT, Asked
from enginemath.units import Quantity, Refused, deviation, nominal, plain_minus, printable, read_as
from enginemath.units.reading import plain_fractions

_BARE = re.compile(
    r"\s*(?P<sign>[+-])?\s*"
    r"(?:(?P<whole>[0-9]+\s+)?(?P<top>[0-9]{1,9})\s*/\s*(?P<bottom>[0-9]{1,9})"
    r"|(?P<decimal>(?:[0-9]+\.?(?P<digits>[0-9]*)|\.(?P<only>[0-9]+))(?:[eE](?P<power>[+-]?[0-9]{1,3}))?))"
)
_TO_ONE = re.compile(r"(?:\s*:\s*|\s+to\s+)1(?:\.0*)?\s*", re.IGNORECASE)
_PERCENT = re.compile(r"\s*(?:%|percent)\s*", re.IGNORECASE)
_LONGEST = 80
_LARGEST, _MOST_PLACES = 1e12, 12
"""Far beyond any engine, in any unit; and the places before the point that this takes."""


@dataclass(frozen=True)
class Answer:
    """What was written: a value, and how far rounding it there could have moved it.

    Args:
        value: in the unit that was asked for, or bare for a ratio.
        half_width: half of the last digit written, in the same unit.
        sensible: written to better than a part in 500; or with a decimal, which in a unit larger
            than the one asked for must come to better than a part in 20.
        taken_as: the unit it is taken to be in where one was wanted and none written; or empty.
        spread: standard uncertainty that was written after it; zero where none was.
    """

    value: float
    half_width: float
    sensible: bool
    taken_as: str = ""
    spread: float = 0.0

    def holds(self, number: float) -> bool:
        """Whether a number, rounded as this answer was, gives this answer."""
        slack = 1e-6 * self.half_width + 1e-12 * abs(number)
        return abs(self.value - number) <= self.half_width + slack

    def stops_at_zeros(self, number: float) -> bool:
        """Whether it is a number rounded to tens or hundreds, and hardly moved by that.

        >>> Answer(1210.0, 0.5, True).stops_at_zeros(1208.1)
        True
        """
        if self.half_width != 0.5 or self.value % 10:
            return False
        reach = 5 if self.value % 100 else 50
        return abs(self.value - number) <= min(reach, 5e-3 * abs(number))


def read_answer(text: str, asked: Asked) -> Answer:
    """Read what a student wrote; nothing is evaluated.

    A ratio is a bare number, or one "to 1". Anything else carries its unit; without one it is
    taken to be in the unit that was asked for, and the mistakes then tell whether a volume was
    left in cubic inches.

    Args:
        text: ``"9.83"``, ``"9.83:1"``, ``"588.3 cc"``, ``"35.9 cu in"``, ``"0.5883 L"``.
        asked: the quantity.

    Raises:
        Refused: not one plain number, a decimal comma, or a unit that does not fit.

    >>> from enginemath.answers.quantities import QUANTITIES as asked
    >>> answer = read_answer("9.83:1", asked["compression_ratio"])
    >>> answer.value, answer.half_width
    (9.83, 0.005)
    >>> round(read_answer("35.9 cu in", asked["swept_volume"]).value, 1)
    588.3
    >>> read_answer("9,83", asked["compression_ratio"])
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: "9,83": write a decimal point, not a comma (9.83 or 983)
    """
    if not isinstance(text, str):
        raise Refused(f"{text!r}: write the answer as text in quotes")
    plain = plain_fractions(plain_minus(text))
    number = _BARE.match(plain) if len(plain) <= _LONGEST else None
    after = plain[number.end() :] if number else plain
    if number and (not after.strip() or _needs_no_unit(after, asked)):
        value, last_digit, decimals = _read_number(text, number)
        return _answer(value, last_digit, decimals >= 1, "" if after.strip() else asked.unit)
    if asked.is_ratio or asked.unit == PERCENT:
        raise Refused(_no_bare_number(text, plain, after if number else "", asked))
    quantity = read_as(text, asked.unit)
    # The grammar of `read` begins with a number, so what it has read this has found as well,
    # unless an uncertainty is put in brackets: "(66.6 ± 0.1) cc".
    number = number or _BARE.match(plain.lstrip().removeprefix("("))
    assert number is not None
    _, last_digit, decimals = _read_number(text, number)
    one = float(Quantity(1.0, quantity.units).m_as(asked.unit))
    value = float(nominal(quantity.m_as(asked.unit)))
    fine = one <= 1 or last_digit * one / 2 <= abs(value) / 20
    spread = float(deviation(quantity.m_as(asked.unit)))
    return replace(_answer(value, last_digit * one, decimals >= 1 and fine), spread=spread)


def _needs_no_unit(after: str, asked: Asked) -> bool:
    if asked.unit == PERCENT:
        return bool(_PERCENT.fullmatch(after))
    return asked.is_ratio and bool(_TO_ONE.fullmatch(after))


def _answer(value: float, last_digit: float, sensible: bool, taken_as: str = "") -> Answer:
    half = last_digit / 2
    return Answer(value, half, sensible or (value != 0 and half <= 2e-3 * abs(value)), taken_as)


def _read_number(text: str, number: re.Match[str]) -> tuple[float, float, int]:
    """Value, worth of the last digit, decimals."""
    sign = -1 if number["sign"] == "-" else 1
    if number["decimal"] is None:
        bottom = int(number["bottom"])
        if bottom == 0:
            raise Refused(f'"{text}": a fraction over zero')
        value = int(number["whole"] or 0) + int(number["top"]) / bottom
        if value > _LARGEST:
            raise Refused(f'"{text}": far too large for an engine')
        return sign * value, 1 / bottom, 1
    value = float(number["decimal"])
    decimals = len(number["digits"] or number["only"] or "") - int(number["power"] or 0)
    if value > _LARGEST or -decimals > _MOST_PLACES:
        raise Refused(f'"{text}": far too large for an engine')
    if decimals > _LONGEST:
        raise Refused(f'"{text}": far too small for an engine')
    return sign * value, 10.0**-decimals, decimals


def _no_bare_number(text: str, plain: str, after: str, asked: Asked) -> str:
    if "," in plain:
        try:
            read_as(text, "cc")
        except Refused as refusal:
            return str(refusal)
    shown = printable(text[:_LONGEST])
    if asked.unit == PERCENT:
        return f'"{shown}": write one number and %, like 80 %'
    if not plain.strip():
        return "nothing written; write a number, like 9.83"
    if re.fullmatch(r"\s*[a-zµ°]+[a-z0-9 .³^]*", after, re.IGNORECASE):
        return f'"{shown}": a ratio has no unit; write one plain number, like 9.83 or 9.83:1'
    return f'"{shown}": write one plain number, like 9.83 or 9.83:1'
