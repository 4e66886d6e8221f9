"""One dimension to move: a slider, and a box that reads a number with its unit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from typing import Any

import pint
from ipywidgets import HTML, Button, FloatSlider, HBox, Text, VBox

from enginemath.panels.frame.dial import Dial
from enginemath.units import Quantity, Refused, best, magnitude_in, plain_minus, show, unit_of

_DUST = 1e-3
"""Share of a step that is rounding: a slider says 1.1500000000000001."""


class Control(VBox):
    """One dimension to move.

    Args:
        dial: which one.
        first: its value at the start and after a reset.
        unit: in which lengths are shown, ``mm`` or ``in``.
        take: called with the control and a new value; it raises `Refused` where the value cannot
            be, and then the control keeps its last good one.

    `held` is the last good value, exactly as it was given.
    """

    def __init__(
        self,
        dial: Dial,
        first: pint.Quantity,
        unit: str,
        take: Callable[[Control, pint.Quantity], None],
    ):
        self.dial = dial
        self._lengths, self._take, self._quiet = unit, take, False
        self._placed = 0.0
        self._begin(first)
        self.box = Text(description=dial.name, continuous_update=False)
        self.slider = FloatSlider(readout=False)
        self.back = Button(description="↺", tooltip=f"reset {dial.name}")
        self.message = HTML().add_class("em-message")
        self.box.observe(self._typed, "value")
        self.back.on_click(lambda _: self.reset())
        self._row = HBox([self.box, self.back]).add_class("em-control-row")
        super().__init__([self._row, self.slider, self.message])
        self.add_class("em-control").add_class(f"em-part-{dial.part}")
        self.show_held()

    @property
    def unit(self) -> str:
        """The unit that is shown."""
        return self.dial.unit(self._lengths)

    def show_in(self, unit: str) -> None:
        """Show lengths in mm or in; the value stays."""
        self._lengths = unit
        self._ends = self.dial.ends(self.first, self.unit)
        self.show_held()

    def restart(self, first: pint.Quantity, dial: Dial | None = None) -> None:
        """Begin again from another value, perhaps with another dial, without telling anybody."""
        self.dial = dial or self.dial
        self._begin(first)
        self.show_held()

    def follow(self, value: pint.Quantity) -> None:
        """Show a value that another control has brought about."""
        self.held = value
        self.show_held()

    def reset(self) -> None:
        """Offer the first value, between the first ends."""
        self._ends = self.dial.ends(self.first, self.unit)
        self.offer(self.first)

    def offer(self, value: pint.Quantity) -> None:
        """Try a new value: it is held, or the message says why it cannot be."""
        try:
            self._take(self, value)
        except Refused as refusal:
            self.say(str(refusal))
            return
        self.held = value
        self.show_held()

    def say(self, refusal: str) -> None:
        """Say beside the box what is wrong; an empty text clears it."""
        self.refused = bool(refusal)
        self.message.value = f"<p>{escape(refusal)}</p>" if refusal else ""

    def show_held(self) -> None:
        """Show the last good value in the box and on the slider."""
        self.say("")
        with self._quietly():
            self.box.value = plain_minus(show(self.held, self.unit))
            self._move_slider(magnitude_in(unit_of(self.unit), self.held))

    def disable(self, disabled: bool) -> None:
        """Lock or free the control."""
        for part in (self.box, self.slider, self.back):
            part.disabled = disabled

    def _begin(self, first: pint.Quantity) -> None:
        self.first = self.held = first
        self.refused = False
        self._ends = self.dial.ends(first, self.unit)

    def _move_slider(self, value: float) -> None:
        """Put the handle on the step nearest to a value: elsewhere the browser would move it."""
        slider, step = self.slider, self.dial.step[self.unit]
        low, high = self._ends
        self._placed = round(low + round((value - low) / step) * step, 6)
        low, high = self._ends = min(low, self._placed), max(high, self._placed)
        if (slider.min, slider.max, slider.step) != (low, high, step):
            self._fit_slider(low, high, step)
        elif abs(slider.value - self._placed) > step * _DUST:
            slider.value = self._placed

    def _fit_slider(self, low: float, high: float, step: float) -> None:
        """A new slider for new ends: a browser that changes them one by one moves the handle."""
        old = self.slider
        self.slider = FloatSlider(
            self._placed, min=low, max=high, step=step, readout=False, disabled=old.disabled
        )
        self.slider.observe(self._slid, "value")
        self.children = (self._row, self.slider, self.message)
        old.close()

    def _typed(self, change: dict[str, Any]) -> None:
        if self._quiet:
            return
        try:
            value = best(self.dial.limit.accept(change["new"]))
        except Refused as refusal:
            self.say(str(refusal))
            return
        self.offer(value)

    def _slid(self, change: dict[str, Any]) -> None:
        value, step = change["new"], self.dial.step[self.unit]
        if self._quiet or abs(value - self._placed) <= step * _DUST:
            return
        self.offer(Quantity(round(value, 6), unit_of(self.unit)))

    @contextmanager
    def _quietly(self) -> Iterator[None]:
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False
