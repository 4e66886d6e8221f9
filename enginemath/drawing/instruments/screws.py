"""Measuring screws: what stands on sleeve, thimble and vernier at a reading."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.units import words


@dataclass(frozen=True)
class Screw:
    """How a micrometer's sleeve and thimble are divided.

    Args:
        unit: ``mm`` or ``in``.
        travel: length of the sleeve's scale, in the unit.
        pitch: travel of one turn, and the step of the sleeve's lines.
        divisions: of the thimble.
        numbered: every how many sleeve lines a number stands.
        number_step: from one number to the next.
        vernier: whether the sleeve carries ten vernier lines on nine thimble divisions.
    """

    unit: str
    travel: float
    pitch: float
    divisions: int
    numbered: int
    number_step: int
    vernier: bool

    @property
    def lines(self) -> int:
        """Lines on the sleeve after its zero."""
        return round(self.travel / self.pitch)

    def span(self, base: float) -> str:
        """What can be read with a frame or rod that begins at a base, in the unit.

        >>> MM.span(25.0)
        '25–50 mm'
        """
        return f"{base:g}–{base + self.travel:g} {self.unit}"

    def side(self, line: int) -> int:
        """The side of the datum line that a sleeve line stands on, 1 or −1.

        Half-millimetre lines stand across from the whole ones; a vernier has a side to itself.
        """
        half = self.unit == "mm" and line % 2 == 1
        return -1 if half or self.vernier else 1

    def turned(self, reading: float) -> float:
        """The thimble's number at the datum line, with its fraction.

        >>> MM.turned(5.78)
        28.0
        """
        part = reading / self.pitch % 1 * self.divisions
        return round(part, 6) % self.divisions

    def uncovered(self, reading: float) -> int:
        """Sleeve lines that the thimble's edge has passed.

        >>> MM.uncovered(5.78)
        11
        """
        return math.floor(round(reading / self.pitch, 8))

    def edge_told(self, reading: float) -> str:
        """Where the thimble's edge stands on the sleeve, in words.

        >>> MM.edge_told(5.78), MM.edge_told(5.0)
        ('1 line past the number 5', 'on the number 5')
        """
        number, past = divmod(self.uncovered(reading), self.numbered)
        where = f"{words.count(past, 'line')} past" if past else "on"
        return f"{where} the number {number * self.number_step}"

    def thimble_told(self, reading: float) -> str:
        """What stands on the datum line, in words.

        >>> MM.thimble_told(5.78)
        'line 28 on the datum line'
        """
        turned = self.turned(reading)
        line = int(turned)
        if turned == line:
            return f"line {line} on the datum line"
        return f"the datum line stands between lines {line} and {(line + 1) % self.divisions}"

    def vernier_line(self, reading: float) -> int:
        """The vernier line that meets a thimble line.

        >>> INCH.vernier_line(0.3624)
        4
        """
        return round(self.turned(reading) % 1 * 10) % 10


MM = Screw("mm", 25.0, 0.5, 50, numbered=10, number_step=5, vernier=False)
"""Half a millimetre a turn, read to 0.01 mm."""
INCH = Screw("in", 1.0, 0.025, 25, numbered=4, number_step=1, vernier=True)
"""Forty threads to the inch, read to 0.0001 in with the vernier."""
SCREWS = {"mm": MM, "in": INCH}


def visible(turned: float, low: float, high: float, divisions: int) -> list[tuple[int, float]]:
    """Thimble lines in sight: each line's number and how many divisions it stands past the datum.

    >>> visible(28.4, -1.0, 1.0, 50)
    [(28, -0.4), (29, 0.6)]
    """
    first, last = math.ceil(turned + low - 1e-9), math.floor(turned + high + 1e-9)
    return [(k % divisions, round(k - turned, 9)) for k in range(first, last + 1)]
