"""Lesson 00: a number and its unit, as the kit reads it."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.drawing.number_line import LineView, number_line
from enginemath.drawing.palette import Style
from enginemath.drawing.svg import Picture
from enginemath.panels.entry import Entry
from enginemath.panels.panel import Panel
from enginemath.units import Refused, best, deviation, kind, nominal, read, show

SHOWN = {
    "a length": ("mm", "in", "thou"),
    "a volume": ("cc", "ml", "cu_in"),
    "a pressure": ("kPa", "bar", "psi"),
    "an angle": ("deg",),
}
EXAMPLE = "50 thou"


def write_a_number_numbers(text: str) -> dict[str, str]:
    """How the kit reads a number and says it again, without the panel.

    Args:
        text: a number with its unit.

    Returns:
        The same quantity in each unit that a shop uses for it.

    Raises:
        Refused: it cannot be read; says why.

    >>> write_a_number_numbers("3 29/32 in")
    {'mm': '99.219 mm', 'in': '3.9062 in', 'thou': '3906.2 thou'}
    """
    return _shown(read(text))


def _shown(quantity: pint.Quantity) -> dict[str, str]:
    what = kind(quantity.units)
    if what not in SHOWN:
        raise Refused(f"{what}: write a length, a volume, a pressure or an angle")
    return {unit: show(quantity, unit) for unit in SHOWN[what]}


class WriteANumber(Panel):
    title = "Write a number"

    def __init__(self, *, projector: bool):
        self.quantity = read(EXAMPLE)
        self.entry = Entry("a number with its unit", "read it", self._read)
        self.entry.box.placeholder = EXAMPLE
        super().__init__(left=[self.entry], predict=False, projector=projector)

    def reset(self) -> None:
        self.quantity = read(EXAMPLE)
        self.entry.clear()
        self.refresh()

    def picture(self, style: Style) -> Picture:
        unit, *_ = shown = _shown(self.quantity)
        value = nominal(self.quantity.m_as({"deg": "degree"}.get(unit, unit)))
        far = next(end for end in (2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 1e4, 1e6,
                                   1e9, abs(value)) if abs(value) <= end)  # fmt: skip
        low = -far if value < 0 else 0.0
        spread = deviation(self.quantity.m_as({"deg": "degree"}.get(unit, unit)))
        interval = (value - spread, value + spread) if spread else None
        decimals = 2 if unit == "cc" else 0 if unit == "kPa" else 3
        line = LineView("your number", value, low, max(far, 0.0), interval=interval,
                        decimals=decimals, unit=next(iter(shown)))  # fmt: skip
        size = 850 * style.frame, 8 * style.text
        return number_line(line, size=size, key=self.key, style=style)

    def words(self) -> str:
        return f"{' = '.join(_shown(self.quantity).values())}."

    def _read(self, typed: str) -> str:
        quantity = read(typed)
        shown = _shown(quantity)
        self.quantity = quantity
        self.refresh()
        exact = best(quantity)
        return f"Read as {exact.magnitude:.10g} {exact.units:~}: {', '.join(shown.values())}."


def write_a_number(*, projector: bool = False) -> Any:
    """Type a number with its unit and see how it is read.

    Args:
        projector: large type and high contrast.

    >>> write_a_number()
    <panel: Write a number>
    """
    return WriteANumber(projector=projector)
