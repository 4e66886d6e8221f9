"""One dimension to move: a place between two ends, and a text with its unit."""

from __future__ import annotations

import math
from collections.abc import Callable

import pint

from enginemath.panels.frame.dial import Dial
from enginemath.panels.frame.setting import Entry, Slide
from enginemath.units import Quantity, Refused, best, magnitude_in, plain_minus, show, unit_of

_DUST = 1e-3
"""Share of a step that is rounding: a slider says 1.1500000000000001."""


class Control(Slide):
    """One dimension to move.

    Args:
        dial: which one.
        first: its value at the start and after a reset.
        unit: in which lengths are shown, ``mm`` or ``in``.
        move: called with the control and a new value; it raises `Refused` where the value cannot
            be, and then the control keeps its last good one.

    `last_good` is the last good value, exactly as it was given; `text` what its box shows, `at` its
    place on the slider from `low` to `high`.
    """

    def __init__(
        self,
        dial: Dial,
        first: pint.Quantity,
        unit: str,
        move: Callable[[Control, pint.Quantity], None],
    ):
        super().__init__(dial.name, dial.part)
        self.dial, self.first, self.last_good = dial, first, first
        self._lengths, self._move = unit, move
        self.text = ""
        self.at = self.low = self.high = 0.0
        self._ends = dial.ends(first, self.unit)
        self.show_last_good()

    @property
    def unit(self) -> str:
        """The unit that is shown."""
        return self.dial.unit(self._lengths)

    @property
    def step(self) -> float:
        """The smallest move of the slider, in the unit that is shown."""
        return self.dial.step[self.unit]

    @property
    def moved(self) -> bool:
        """Whether it has another value than its first one."""
        return bool(self.last_good != self.first)

    @property
    def refused(self) -> bool:
        """Whether what was entered last cannot be; `says` tells why."""
        return bool(self.says)

    def take(self, entry: Entry) -> None:
        """Take a text, a place on the slider, or nothing: back to the first value."""
        if entry is None:
            self.reset()
        elif isinstance(entry, str):
            self.type(entry)
        elif isinstance(entry, bool) or not math.isfinite(entry):
            raise self.unfit(entry)
        else:
            self.slide(entry)

    def type(self, text: str) -> None:
        """Read a text as it was typed; a text that cannot be read stays, to be mended."""
        if text == self.text and not self.refused:
            return  # what is shown is rounded, the value is not
        try:
            value = best(self.dial.limit.accept(text))
        except Refused as refusal:
            self.text, self.says = text, str(refusal)
            return
        self.offer(value, text)

    def slide(self, place: float) -> None:
        """Go to a place on the slider."""
        if abs(place - self.at) > self.step * _DUST:
            self.offer(Quantity(round(place, 6), unit_of(self.unit)))

    def offer(self, value: pint.Quantity, text: str | None = None) -> None:
        """Try a new value: it is taken, or it is said why it cannot be."""
        try:
            self._move(self, value)
        except Refused as refusal:
            self.says = str(refusal)
            if text is not None:
                self.text = text
            return
        self.follow(value)

    def show_in(self, unit: str) -> None:
        """Show lengths in mm or in; the value stays."""
        self._lengths = unit
        self._ends = self.dial.ends(self.first, self.unit)
        self.show_last_good()

    def restart(self, first: pint.Quantity, dial: Dial | None = None) -> None:
        """Begin again from another value, perhaps with another dial, without telling anybody."""
        self.dial = dial or self.dial
        self.first = first
        self._ends = self.dial.ends(first, self.unit)
        self.follow(first)

    def follow(self, value: pint.Quantity) -> None:
        """Show a value that another control has brought about."""
        self.last_good = value
        self.show_last_good()

    def reset(self) -> None:
        """Offer the first value, between the first ends."""
        self._ends = self.dial.ends(self.first, self.unit)
        self.offer(self.first)

    def show_last_good(self) -> None:
        """Show the last good value, on the step nearest to it."""
        self.says = ""
        self.text = plain_minus(show(self.last_good, self.unit))
        (low, high), step = self._ends, self.step
        value = magnitude_in(unit_of(self.unit), self.last_good)
        self.at = round(low + round((value - low) / step) * step, 6)
        self.low, self.high = self._ends = min(low, self.at), max(high, self.at)
