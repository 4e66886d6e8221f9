"""Lesson 00: a number and its unit, as the kit reads it."""

from __future__ import annotations

import math
from typing import Any

import pint

from enginemath.answers.writing_questions import _shown
from enginemath.drawing.paper.layout import column
from enginemath.drawing.paper.number_line import LineView, number_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import EntryBox
from enginemath.units import MM_PER_INCH, best, deviation, kind, nominal, read

LINES = {
    "a length": ("mm", "in"),
    "a volume": ("cc", "cu_in"),
    "a pressure": ("kPa", "psi"),
    "an angle": ("degree",),
}
EXAMPLE = "50 thou"


class WriteANumber(Panel):
    title = "Write a number"

    def __init__(self, *, projector: bool):
        self.quantity = read(EXAMPLE)
        self.entry = EntryBox("a number with its unit", "read it", self._read, EXAMPLE)
        super().__init__(left=[self.entry], predict=False, projector=projector)

    def reset(self) -> None:
        self.quantity = read(EXAMPLE)
        self.entry.clear()
        self.refresh()

    def picture(self, style: Style) -> Picture:
        lines = [_line(self.quantity, unit) for unit in LINES[kind(self.quantity.units)]]
        size = 850 * style.enlargement, 8 * style.text
        drawn = [number_line(line, size=size, style=style) for line in lines]
        return column(drawn, title=drawn[0].title, key=self.key)

    def words(self) -> str:
        return f"{' = '.join(_shown(self.quantity).values())}."

    def _read(self, typed: str) -> str:
        quantity = read(typed)
        shown = _shown(quantity)
        self.quantity = quantity
        self.refresh()
        exact = best(quantity)
        return f"Read as {exact.magnitude:.10g} {exact.units:~}: {', '.join(shown.values())}."


def _line(quantity: pint.Quantity, unit: str) -> LineView:
    """A quantity on a line of its own, from zero to a round number."""
    # A line in inches takes mm, as all drawings do, and prints inches.
    measured = quantity.m_as("mm" if unit == "in" else unit)
    value, spread = nominal(measured), deviation(measured)
    scale = MM_PER_INCH if unit == "in" else 1.0
    far = _round_number_above(abs(value) / scale) * scale
    interval = (value - spread, value + spread) if spread else None
    decimals = {"in": 4, "cc": 2, "kPa": 0, "degree": 1, "psi": 0}.get(unit, 3)
    named = {"degree": "°", "cu_in": "cu in"}.get(unit, unit)
    return LineView("your number", value, -far if value < 0 else 0.0, far,
                    interval=interval, decimals=decimals, unit=named)  # fmt: skip


def _round_number_above(number: float) -> float:
    power = 10.0 ** math.floor(math.log10(number)) if number else 1.0
    return next(step * power for step in (1, 2, 5, 10) if step * power >= number)


def write_a_number(*, projector: bool = False) -> Any:
    """Type a number with its unit and see how it is read.

    Args:
        projector: large type and high contrast.

    >>> write_a_number()
    <panel: Write a number>
    """
    return WriteANumber(projector=projector)
