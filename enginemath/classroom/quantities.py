"""What a student can be asked for: names, units and words."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from enginemath.units import Refused


@dataclass(frozen=True)
class Asked:
    """One quantity that a student works out; a volume is asked for in cc, a length in mm."""

    name: str
    unit: str
    """``"cc"``, ``"mm"``, or empty for a ratio."""

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
        "effective_ratio": "",
    }.items()
}


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
    asked = QUANTITIES.get(name)
    if asked is None:
        close = get_close_matches(name, QUANTITIES, n=1)
        meant = f"did you mean {close[0]}?" if close else f"there are {', '.join(QUANTITIES)}"
        raise Refused(f'quantity "{name[:60]}": unknown; {meant}')
    return asked
