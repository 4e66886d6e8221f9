"""Coordinates as they are written in a picture: the same text on every machine."""

from __future__ import annotations

_DUST = 1e-9
"""More than the roundings of a float come to, and far less than anybody can see, px."""


def px(number: float) -> str:
    """A coordinate as written in a picture, px: two decimals, halves upwards.

    The last bit of a float decides nothing, so that a picture is the same text under every Python
    and on every machine: a half is a half also where a sum falls just short of it.

    >>> px(179.875), px(179.87499999999997), px(-0.0)
    ('179.88', '179.88', '0.00')
    """
    return f"{number + _DUST:.2f}"


def plainly(number: float, digits: int = 6) -> str:
    """A number with so many digits, without needless zeros; the last bit decides nothing."""
    return f"{round(number, 9):.{digits}g}"
