"""How much metal is left to cut, against the maker's minimum."""

from __future__ import annotations

import pint

from enginemath.change.changed import NO_LENGTH, said
from enginemath.change.cut_limits import HEAD_CUT, HEIGHT, MINIMUM
from enginemath.units import Refused, in_mm

_ROUNDING_MM = 1e-9


def metal_left(
    height: str | pint.Quantity,
    minimum: str | pint.Quantity,
    cut: str | pint.Quantity = NO_LENGTH,
) -> pint.Quantity:
    """How much may still be cut, after a cut, before the maker's minimum is reached.

    Args:
        height: of the head, or of the block from crank to deck, as measured now, a length.
        minimum: the least height that the maker allows, a length.
        cut: planned, a length.

    Returns:
        A length, not negative.

    Raises:
        Refused: the cut would go below the maker's minimum.

    >>> from enginemath.units import show
    >>> print(show(metal_left("132.60 mm", minimum="132.30 mm", cut="0.20 mm"), "mm"))
    0.100 mm
    >>> metal_left("132.60 mm", minimum="132.30 mm", cut="0.40 mm")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: cut 0.400 mm: it leaves 132.200 mm and the maker's minimum is \
132.300 mm: at most 0.300 mm may be cut
    """
    now, least, depth = HEIGHT.accept(height), MINIMUM.accept(minimum), HEAD_CUT.accept(cut)
    spare = now - least
    left = spare - depth
    if in_mm(left) >= -_ROUNDING_MM:
        return left
    most = f"at most {said(spare)} may be cut" if in_mm(spare) > 0 else "cut nothing"
    raise Refused(
        f"cut {said(depth)}: it leaves {said(now - depth)} and the maker's minimum is "
        f"{said(least)}: {most}"
    )
