"""A thing that is moved by hand and is no dimension: a plug, a plate, a tap."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from enginemath.drawing.cylinder.grips import Grip
from enginemath.panels.frame.setting import Entry, Setting
from enginemath.units import Refused, fixed

_NUMBER = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(.*?)\s*$")


class HandPiece(Setting):
    """A thing with a place between two ends.

    Args:
        name: in shop words.
        part: of the drawing where its handle is.
        ends: the least and the most, in the unit.
        unit: of its place, or what is counted; empty for a bare number.
        step: the smallest move.
        first: where it is at the start.
        moved: is told each new place.
        says: its place in words.

    `at` is its place. One that `runs` works for as long as it is held, in beats of `BEAT`, and
    goes back to its low end when it is let go: `runs` is the first place at which it does.
    """

    kind = "number"
    BEAT = 0.05
    """Seconds."""

    def __init__(
        self,
        name: str,
        part: str,
        ends: tuple[float, float],
        *,
        unit: str = "",
        step: float = 1.0,
        first: float = 0.0,
        runs: float = 0.0,
        moved: Callable[[float], None],
        says: Callable[[float], str] = lambda _: "",
    ):
        super().__init__(name, part)
        self.low, self.high = ends
        self.unit, self.step, self.first, self.runs = unit, step, first, runs
        self._moved, self._says = moved, says
        self.at = first

    @property
    def text(self) -> str:
        """Its place as its box shows it.

        >>> HandPiece("plate", "plate", (0, 35), unit="mm", first=35, moved=print).text
        '35 mm'
        """
        return f"{fixed(self.at, self.decimals)} {self.unit}".rstrip()

    @property
    def decimals(self) -> int:
        """Of its place."""
        return max(0, math.ceil(-math.log10(self.step) - 1e-9))

    def take(self, entry: Entry) -> None:
        """Take a place, a text with a place, or nothing: back to the start."""
        self.says = ""
        if entry is None:
            self._go(self.first)
        elif isinstance(entry, str):
            self._type(entry)
        elif isinstance(entry, bool) or not math.isfinite(entry):
            raise self.unfit(entry)
        else:
            self._go(entry)

    def put(self, place: float) -> None:
        """Let it be somewhere; nobody is told."""
        self.at = round(min(max(place, self.low), self.high), 6)

    def slide(self, place: float) -> None:
        """Go to a place, as a hand moves it."""
        self.take(place)

    def grip(self) -> Grip:
        """It as the drawing's grip."""
        return Grip(self.part, self.name, self.at, self.low, self.high, self.step, self.unit,
                    self.decimals, self._says(self.at))  # fmt: skip

    def state(self) -> dict[str, Any]:
        """What it shows, with its place and its ends."""
        return {
            **super().state(),
            "text": self.text,
            "at": self.at,
            "low": self.low,
            "high": self.high,
            "step": self.step,
            "unit": self.unit,
            "moved": self.at != self.first,
            "runs": self.runs,
        }

    def _type(self, text: str) -> None:
        found = _NUMBER.match(text)
        if not found or found[2] not in ("", self.unit):
            self.says = (
                f"{self.name}: a number from {self.low:g} to {self.high:g} {self.unit}".rstrip()
            )
            return
        self._go(float(found[1].replace(",", ".")))

    def _go(self, place: float) -> None:
        before = self.at
        self.put(place)
        try:
            self._moved(self.at)
        except Refused as refusal:
            self.put(before)
            self.says = str(refusal)
