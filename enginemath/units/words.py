"""Numbers as they stand in a picture: plain floats in mm, cc and degrees made into shop text."""

from __future__ import annotations

from collections.abc import Iterable

from enginemath.units.printing import fixed
from enginemath.units.registry import CC_PER_CUBIC_INCH, MM_PER_INCH


def length(mm: float, unit: str = "mm") -> str:
    """A length with three decimals of a mm or four of an inch.

    >>> length(92.0), length(-0.2), length(92.075, "in")
    ('92.000 mm', '−0.200 mm', '3.6250 in')
    """
    return f"{fixed(mm / MM_PER_INCH, 4)} in" if unit == "in" else f"{fixed(mm, 3)} mm"


def volume(cc: float, unit: str = "mm") -> str:
    """A volume with two decimals of a cc, or three of a cubic inch where lengths are in inches.

    >>> volume(47.5), volume(-8.0), volume(32.774128, "in")
    ('47.50 cc', '−8.00 cc', '2.000 cu in')
    """
    return f"{fixed(cc / CC_PER_CUBIC_INCH, 3)} cu in" if unit == "in" else f"{fixed(cc, 2)} cc"


def count(number: int, thing: str) -> str:
    """How many there are of a thing.

    >>> count(1, "line"), count(3, "line")
    ('1 line', '3 lines')
    """
    return f"{number} {thing}{'' if number == 1 else 's'}"


def numbered(thing: str, numbers: Iterable[int]) -> str:
    """A thing with its numbers.

    >>> numbered("cylinder", [3]), numbered("cylinder", [1, 3, 4])
    ('cylinder 3', 'cylinders 1, 3 and 4')
    """
    several = [*numbers]
    return f"{thing}{'s' * (len(several) > 1)} {listed(several)}"


def listed(items: Iterable[object]) -> str:
    """Things in a row, as they are said.

    >>> listed(["dial", "mic", "burette"]), listed([3])
    ('dial, mic and burette', '3')
    """
    *first, last = map(str, items)
    return f"{', '.join(first)} and {last}" if first else last


def crank(angle: float) -> str:
    """A crank angle, told from the nearest side of top dead centre.

    >>> crank(37.25), crank(0.0), crank(-20.0)
    ('37.2° after TDC', '0.0° after TDC', '20.0° before TDC')
    """
    side = "before" if angle < 0 else "after"
    return f"{fixed(abs(angle), 1)}° {side} TDC"
