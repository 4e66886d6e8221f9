"""Lesson 00: a number and its unit, as the kit reads it, and as it comes off a block's deck."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from enginemath.answers.writing_questions import _shown
from enginemath.drawing.cylinder.deck_cut import MOST, deck_cut
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import EntryBox
from enginemath.units import MM, Quantity, best, kind, magnitude_in, nominal, read

EXAMPLE, FIRST = "50 thou", "0.20 mm"
NOTE, CUT = "the note", "the cut"
FIFTY = {"0.50 mm": 0.50, "50 thou": 1.27}
"""What "take 50 off" may mean, mm."""


class WriteANumber(Panel):
    title = "Write a number"
    large = True
    pictures = (NOTE, CUT)

    def __init__(self, *, projector: bool):
        self.quantity = read(FIRST)
        self.entry = EntryBox("a number with its unit", "read it", self._read, EXAMPLE)
        self.entry.with_step = True
        self.cut = HandPiece("cut off the deck", "deck", (0.0, MOST), unit="mm", step=0.01,
                             first=_mm(self.quantity), moved=self._cut)  # fmt: skip
        super().__init__(left=[self.entry, self.cut], predict=False, projector=projector)

    def reset(self) -> None:
        self.quantity = read(FIRST)
        self.entry.clear()
        self.cut.put(self.cut.first)
        self.refresh()

    def picture(self, style: Style) -> Picture:
        compared = self.shows.chosen == NOTE
        return deck_cut(
            self.cut.at,
            self._told() if compared else self.cut.text,
            marks=FIFTY if compared else None,
            grip=replace(self.cut.grip(), first=self.cut.at == self.cut.first),
            key=self.key,
            style=style,
        )

    def words(self) -> str:
        told = self._told() if self.shows.chosen == NOTE else self.cut.text
        return f"{told} off the deck."

    def _told(self) -> str:
        return " = ".join(_shown(self.quantity).values())

    def _cut(self, mm: float) -> None:
        self.quantity = Quantity(mm, MM)
        self.refresh()

    def _read(self, typed: str) -> str:
        quantity = read(typed)
        shown = _shown(quantity)
        self.quantity = quantity
        if kind(quantity.units) == "a length" and 0 <= _mm(quantity) <= MOST:
            self.cut.put(_mm(quantity))
        self.refresh()
        exact = best(quantity)
        return f"Read as {exact.magnitude:.10g} {exact.units:~}: {', '.join(shown.values())}."


def _mm(length: Any) -> float:
    return float(nominal(magnitude_in(MM, length)))


def write_a_number(*, projector: bool = False) -> Any:
    """Type a number with its unit, see how it is read, and see it come off a block's deck.

    Args:
        projector: large type and high contrast.

    >>> write_a_number()
    <panel: Write a number>
    """
    return WriteANumber(projector=projector)
