"""What was probably meant, where a reading is far from all the others of its kind.

A slip is asked about, never put right in silence: a point in the wrong place, the wrong unit, a
sign, start and end exchanged, two sides of a pin too far apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import (
    MM_PER_INCH,
    Refused,
    as_quantity,
    magnitude_in,
    nominal,
    require_kind,
    unit_of,
)

_ROOM = {
    "deck clearance": 0.65,
    "bore": 0.4,
    "depth at bdc": 1.0,
    "gasket bore": 1.5,
    "compressed thickness": 0.3,
    "free thickness": 0.4,
}
"""mm by which a reading may lie off the middle of the others before it is asked about; common
practice, no source. All other lengths: a tenth of it; volumes: 6 %, and 1 cc at least."""
MOST_ROCK = 0.25
"""mm between the two sides of a pin; more is no piston that rocks. Common practice, no source."""
_NUMBER = re.compile(r"(?P<sign>[+\-−]?)(?P<digits>[0-9]+\.?[0-9]*|\.[0-9]+)\s*(?P<unit>.*)", re.S)
_FRACTION = re.compile(r"[+\-−]?(?:[0-9]+ ?)?(?:[0-9]+ ?[/⁄] ?[0-9]+|[¼-¾⅐-⅞])(?P<unit>.*)", re.S)
_COMMA = re.compile(r"^\s*[+\-−]?[0-9]+,[0-9]+")


@dataclass(frozen=True)
class Cell:
    """A reading as it was typed: in mm or cc, and as a text with its unit.

    `cannot` says why no engine can have it; empty where one can.
    """

    value: float
    text: str
    digits: str
    unit: str
    cannot: str = ""


@dataclass(frozen=True)
class Slip:
    """What is asked of a reading: a sentence, and what was perhaps meant."""

    asks: str
    meant: str = ""


def read_cell(text: str, box: str, what: str, unit: str) -> Cell:
    """Read what stands in a box; a bare number gets the unit.

    Args:
        text: as typed.
        box: "depth", "start", "end" or "reading".
        what: the kind of reading.
        unit: of a bare number.

    Raises:
        Refused: nothing, no number, a comma, another kind of thing.

    >>> read_cell("0.021", "reading", "deck clearance", "in").text
    '0.021 in'
    >>> half = read_cell("3½", "reading", "bore", "in")
    >>> half.text, half.digits
    ('3½ in', '3.5000')
    >>> read_cell("0,021", "reading", "deck clearance", "in")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: a comma: write 0.021 with a point
    """
    text = " ".join(text.split())
    if not text:
        raise Refused("nothing written yet")
    if _COMMA.match(text):
        number = _COMMA.match(text)
        assert number is not None
        raise Refused(f"a comma: write {number[0].strip().replace(',', '.')} with a point")
    fraction = _FRACTION.fullmatch(text)
    found = fraction or _NUMBER.fullmatch(text)
    if found is None:
        like = {"in": "0.021", "mm": "0.53", "mL": "64.20"}.get(unit, "60")
        raise Refused(f"{text[:40]}: not a reading; write the number, like {like}")
    whole = text if found["unit"].strip() else f"{text} {unit}"
    limit = limit_of(what, box)
    quantity = as_quantity(whole, limit.unit)
    require_kind(quantity, limit.unit, f"{limit.name} {whole[:40]}")
    value = float(nominal(magnitude_in(unit_of(limit.unit), quantity)))
    if fraction:
        digits = f"{nominal(quantity.magnitude):.4f}"
    else:
        digits = f"{found['sign']}{found['digits']}"
    own = found["unit"].strip() or unit
    try:
        limit.accept(whole)
    except Refused as refusal:
        return Cell(value, whole, digits, own, str(refusal))
    return Cell(value, whole, digits, own)


def limit_of(what: str, box: str) -> Limit:
    """What a box may hold."""
    if box == "depth":
        return limits.KNOWN_DEPTH
    return limits.BURETTE_READING if WHATS[what].is_poured else WHATS[what].limit


def unlikely(cell: Cell, what: str, box: str, others: Sequence[float]) -> Slip | None:
    """Ask about a length or an angle that is far from the others, or from what is usual.

    Args:
        cell: as read.
        what, box: the kind of reading and which number of it.
        others: the same thing elsewhere on this engine, mm or degrees.

    >>> slip = unlikely(read_cell("0.40 mm", "reading", "deck clearance", "in"),
    ...                 "deck clearance", "reading", [0.53, 0.52, 0.54])
    >>> slip is None
    True
    >>> slip = unlikely(read_cell("0.40", "reading", "deck clearance", "in"),
    ...                 "deck clearance", "reading", [0.53, 0.52, 0.54])
    >>> slip.asks, slip.meant
    ('0.40 in among 0.021 in', '0.040 in')
    """
    limit = limit_of(what, box)
    middle = median(others) if others else None
    if _fits(cell.value, middle, what, limit):
        return None
    meant = next((text for v, text in _tries(cell, limit) if _fits(v, middle, what, limit)), "")
    if middle is not None:
        return Slip(f"{_said(cell)} among {_in_its_unit(middle, cell.unit, limit)}", meant)
    low, high = limit.usual or (limit.low, limit.high)
    ends = f"{_in_its_unit(low, cell.unit, limit)} to {_in_its_unit(high, cell.unit, limit)}"
    return Slip(f"{_said(cell)} where {ends} is usual", meant)


def _fits(value: float, middle: float | None, what: str, limit: Limit) -> bool:
    if not limit.can_be(value):
        return False
    if middle is None:
        low, high = limit.usual or (limit.low, limit.high)
        return low <= value <= high
    return abs(value - middle) <= _ROOM.get(what, max(0.1 * abs(middle), 0.2))


def _tries(cell: Cell, limit: Limit) -> Iterator[tuple[float, str]]:
    """What one slip of the hand makes of the number, the likeliest first."""
    if cell.digits[0] in "-−":
        yield -cell.value, f"{cell.digits[1:]} {cell.unit}"
    for power in (-1, 1):
        yield cell.value * 10.0**power, f"{_shifted(cell.digits, power)} {cell.unit}"
    if limit.unit == "mm":
        other = {"in": "mm", "mm": "in"}.get(cell.unit)
        if other:
            factor = 1 / MM_PER_INCH if other == "mm" else MM_PER_INCH
            yield cell.value * factor, f"{cell.digits} {other}"
    for power in (-2, -3, 2, 3):
        yield cell.value * 10.0**power, f"{_shifted(cell.digits, power)} {cell.unit}"
    if cell.digits[0] not in "-−":
        yield -cell.value, f"-{cell.digits.lstrip('+')} {cell.unit}"


def _shifted(digits: str, power: int) -> str:
    """The same digits with the point elsewhere.

    >>> _shifted("0.40", -1), _shifted("40", -3), _shifted("4.005", 1)
    ('0.040', '0.040', '40.05')
    """
    sign = digits[0] if digits[0] in "+-−" else ""
    whole, _, part = digits.lstrip("+-−").partition(".")
    every, point = whole + part, len(whole) + power
    if point <= 0:
        every, point = "0" * (1 - point) + every, 1
    every += "0" * (point - len(every))
    moved = f"{every[:point].lstrip('0') or '0'}.{every[point:]}".rstrip(".")
    return f"{sign}{moved}"


def unlike_the_other_side(cell: Cell, other: float, cylinder: int) -> Slip | None:
    """Ask where the two sides of one piston are further apart than it can rock."""
    apart = abs(cell.value - other)
    if apart <= MOST_ROCK:
        return None
    whose = f" of cylinder {cylinder}" if cylinder else ""
    return Slip(
        f"the two sides{whose} are {_in_its_unit(apart, cell.unit, limits.DECK_CLEARANCE)} apart: "
        "more than a piston rocks. Read both again"
    )


def unlikely_pour(
    cell: Cell,
    box: str,
    start: float | None,
    others: Sequence[float],
    what: str,
    usual: tuple[float, float] | None = None,
) -> Slip | None:
    """Ask about a burette's start or end.

    Args:
        cell: as read, cc.
        box: "start" or "end".
        start: of this fill, cc, where the end is read.
        others: volumes of the other pours of this kind, cc.
        what: what is poured.
        usual: least and most of such a pour on this engine, cc, where there is no other.

    >>> end = read_cell("6.420", "end", "chamber", "mL")
    >>> slip = unlikely_pour(end, "end", 0.2, [64.1, 64.3], "chamber")
    >>> slip.asks, slip.meant
    ('a pour of 6.22 cc among 64.20 cc', '64.20 mL')
    """
    middle = median(others) if others else None
    if box == "start":
        if middle is not None and cell.value > 0.6 * middle:
            return Slip(
                f"{_said(cell)} at the start: a burette is filled to its zero at the top. Is that "
                "the end"
            )
        return None
    if start is None:
        return None
    if cell.value <= start:
        return Slip(
            f"the pour runs from {start:g} to {cell.value:g} mL: a burette is read downwards. Are "
            "start and end exchanged"
        )
    poured, limit = cell.value - start, WHATS[what].limit
    low, high = usual or limit.usual or (limit.low, limit.high)

    def fits(value: float) -> bool:
        if middle is None:
            return low <= value <= high
        return abs(value - middle) <= max(0.06 * middle, 1.0)

    if fits(poured):
        return None
    tries = ((value - start, text) for value, text in _tries(cell, limits.BURETTE_READING))
    meant = next((text for value, text in tries if fits(value)), "")
    if middle is not None:
        return Slip(f"a pour of {poured:.2f} cc among {middle:.2f} cc", meant)
    return Slip(f"a pour of {poured:.2f} cc where {low:.3g} to {high:.3g} cc is usual", meant)


def _said(cell: Cell) -> str:
    return f"{cell.digits} {cell.unit}"


def _in_its_unit(value: float, unit: str, limit: Limit) -> str:
    if limit.unit != "mm":
        return f"{value:g} {limit.unit}"
    if unit in ("in", '"', "inch"):
        return f"{value / MM_PER_INCH:.3f} in"
    if unit == "thou":
        return f"{value / MM_PER_INCH * 1000:.0f} thou"
    return f"{value:.2f} mm"
