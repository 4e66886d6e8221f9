"""A thing that is moved by hand and is no dimension: a plug, a plate, a tap."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from enginemath.drawing.cylinder.grips import Grip
from enginemath.panels.frame.setting import Entry, Slide
from enginemath.units import Refused, fixed, nominal, read_as, read_number, unit_of


class HandPiece(Slide):
    """A thing with a place between two ends.

    Args:
        name: in shop words.
        part: of the drawing where its handle is.
        ends: the least and the most, in the unit.
        unit: of its place, or what is counted.
        counted: whether its place is a number of things, and `unit` their name.
        step: the smallest move.
        first: where it is at the start.
        moved: is told each new place.
        says: its place in words.

    `at` is its place. One that `runs` works for as long as it is held, in beats of `BEAT`, and
    goes back to its low end when it is let go: `runs` is the first place at which it does.
    """

    BEAT = 0.05
    """Seconds."""

    def __init__(
        self,
        name: str,
        part: str,
        ends: tuple[float, float],
        *,
        unit: str = "",
        counted: bool = False,
        step: float = 1.0,
        first: float = 0.0,
        runs: float = 0.0,
        moved: Callable[[float], None],
        says: Callable[[float], str] = lambda _: "",
    ):
        super().__init__(name, part)
        self.low, self.high = ends
        self.unit, self.counted = unit, counted
        self.step, self.first, self.runs = step, first, runs
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

    @property
    def moved(self) -> bool:
        """Whether it is elsewhere than at the start."""
        return self.at != self.first

    def state(self) -> dict[str, Any]:
        """What it shows, and the place from which it works for as long as it is held."""
        return {**super().state(), "runs": self.runs}

    def _type(self, text: str) -> None:
        try:
            place = self._read(text)
        except Refused as refusal:
            self.says = str(refusal)
        else:
            self._go(place)

    def _read(self, text: str) -> float:
        if self.counted:
            return read_number(text.strip().removesuffix(self.unit))
        written = text if any(map(str.isalpha, text)) or "°" in text else f"{text} {self.unit}"
        return float(nominal(read_as(written, self.unit).m_as(unit_of(self.unit))))

    def _go(self, place: float) -> None:
        before = self.at
        self.put(place)
        try:
            self._moved(self.at)
        except Refused as refusal:
            self.put(before)
            self.says = str(refusal)
