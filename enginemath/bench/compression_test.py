"""The compression test: cylinders compared with each other."""

from __future__ import annotations

from dataclasses import dataclass

import pint

from enginemath.engine.limits import Limit
from enginemath.engine.rules_of_thumb import COMPRESSION_TEST
from enginemath.units import Refused, nominal, show

CAUTION = (
    "Disable fuel and ignition before the starter turns. Warm engine, battery charged, throttle "
    "open, all plugs out. Keep hands, hair and clothes clear of belts and fan."
)

_READING = Limit("compression reading", "kPa", 0, 6000)


@dataclass(frozen=True)
class CompressionTest:
    """Gauge readings of all cylinders, in cylinder order, compared with each other.

    Compare cylinders with each other, not with a computed pressure: tester, hose, battery and
    throttle move all of them together.

    Args:
        readings: gauge pressures, text with a unit or quantities, at least two.

    Raises:
        Refused: fewer than two readings, none above zero, or one that cannot be.

    Source: service manuals, lowest at least 75 % of highest.

    >>> test = CompressionTest(("1250 kPa", "1230 kPa", "880 kPa", "1210 kPa"))
    >>> round(test.share, 1), test.low
    (70.4, (3,))
    >>> print(test.says)
    Cylinder 3 is low: 880 kPa (128 psi) is 70 % of the highest, 1250 kPa (181 psi) in cylinder
    1; at least 75 % is wanted (service manuals).
    """

    readings: tuple[pint.Quantity, ...]

    def __post_init__(self) -> None:
        accepted = tuple(_READING.accept(reading) for reading in self.readings)
        if len(accepted) < 2:
            raise Refused("compression test: readings of at least two cylinders are compared")
        object.__setattr__(self, "readings", accepted)
        if max(self._kilopascal) <= 0:
            raise Refused("compression test: every reading is zero; check the tester and its hose")

    @property
    def share(self) -> float:
        """Lowest reading as a share of the highest, in percent."""
        return min(self._shares)

    @property
    def low(self) -> tuple[int, ...]:
        """Numbers of the cylinders below the rule's share of the highest, counted from 1."""
        return tuple(
            number
            for number, share in enumerate(self._shares, start=1)
            if COMPRESSION_TEST.place(share) == "below"
        )

    @property
    def says(self) -> str:
        """The finding, in a sentence for each low cylinder."""
        wanted = f"{COMPRESSION_TEST.range} is wanted ({COMPRESSION_TEST.status})."
        if not self.low:
            return f"Lowest cylinder at {self.share:.0f} % of the highest: even; {wanted}"
        best = self._shares.index(max(self._shares))
        highest = f"{_both(self.readings[best])} in cylinder {best + 1}"
        return " ".join(
            f"Cylinder {number} is low: {_both(self.readings[number - 1])} is "
            f"{self._shares[number - 1]:.0f} % of the highest, {highest}; {wanted}"
            for number in self.low
        )

    @property
    def _kilopascal(self) -> list[float]:
        return [nominal(reading.m_as("kPa")) for reading in self.readings]

    @property
    def _shares(self) -> list[float]:
        highest = max(self._kilopascal)
        return [round(100 * reading / highest, 9) for reading in self._kilopascal]


def _both(pressure: pint.Quantity) -> str:
    return f"{show(pressure, 'kPa')} ({show(pressure, 'psi')})"
