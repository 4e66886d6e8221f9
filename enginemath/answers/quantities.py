"""What a student can be asked for: names, units and words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TypeVar

from enginemath.units import Refused

_Known = TypeVar("_Known")

PERCENT = "%"


@dataclass(frozen=True)
class Asked:
    """One quantity that a student works out.

    Args:
        name: in lower case, with underscores.
        unit: in which the answer is taken and compared: ``"cc"``, ``"mm"``, ``"kPa"``, ``"%"``, or
            empty for a ratio.
    """

    name: str
    unit: str

    @property
    def words(self) -> str:
        """The name as it is said."""
        return self.name.replace("_", " ")

    @property
    def is_ratio(self) -> bool:
        """Whether the answer is a bare number."""
        return not self.unit


QUANTITIES = {
    name: Asked(name, unit)
    for name, unit in {
        "compression_ratio": "",
        "clearance_volume": "cc",
        "swept_volume": "cc",
        "displacement": "cc",
        "gasket_volume": "cc",
        "deck_volume": "cc",
        "crown_volume": "cc",
        "piston_drop": "mm",
        "trapped_volume": "cc",
        "effective_ratio": "",
    }.items()
}


TO_TARGET = ("wanted_clearance", "volume_change", "gasket_thickness", "squish_clearance")
"""The steps from the present ratio to a target, by another gasket."""


def asked_for(name: str) -> Asked:
    """The quantity of a name.

    Raises:
        Refused: no such quantity; the message names those that there are.

    >>> asked_for("deck_volume").unit
    'cc'
    >>> asked_for("deck volume")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: quantity "deck volume": unknown; did you mean deck_volume?
    """
    return known("quantity", name, QUANTITIES)


def known(what: str, name: str, offered: Mapping[str, _Known]) -> _Known:
    """The one of a name among those offered.

    Raises:
        Refused: no such one; the message says what it was to be, and names those that there are.
    """
    if name not in offered:
        close = get_close_matches(str(name), offered, n=1)
        meant = f"did you mean {close[0]}?" if close else f"there are {', '.join(offered)}"
        raise Refused(f'{what} "{name!s:.60}": unknown; {meant}')
    return offered[name]
