"""A line to type an answer on, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from time import monotonic
from typing import Any

from ipywidgets import HTML, Box, Button, Dropdown, HBox, Text

from enginemath.units import Refused

_ONE_ACT = 1.0
"""Seconds within which leaving the box and the click that does it are one."""


class EntryBox(HBox):
    """A labelled box, a button, and the reply after them.

    Args:
        label: what is to be typed.
        button: what the button says.
        reply: takes what was typed and gives the reply; raises `Refused` where it cannot be read.
        example: of what can be typed, shown in the empty box.
    """

    def __init__(self, label: str, button: str, reply: Callable[[str], str], example: str = ""):
        self._reply = reply
        self._typed_at = -_ONE_ACT
        self.guard: Callable[[Callable[[], object]], object] = _do
        self.box = Text(description=label, placeholder=example, continuous_update=False)
        self.button = Button(description=button)
        self.feedback = HTML().add_class("em-feedback")
        self.button.on_click(self._clicked)
        self.box.observe(self._typed, "value")
        super().__init__([self.box, self.button, self.feedback])
        self.add_class("em-entry")

    def _typed(self, change: dict[str, Any]) -> None:
        if change["new"]:
            self._typed_at = monotonic()
            self.submit()

    def _clicked(self, _: Button) -> None:
        """A click on the button leaves the box, and that has taken what is in it already."""
        if monotonic() - self._typed_at >= _ONE_ACT:
            self.submit()

    def submit(self) -> None:
        """Take what is in the box."""
        if not self.box.disabled:
            self.guard(self._submit)

    def _submit(self) -> None:
        try:
            self.say(self._reply(self.box.value))
        except Refused as refusal:
            self.say(str(refusal) if self.box.value.strip() else "Write something first.")

    def say(self, text: str) -> None:
        """Show a reply."""
        self.feedback.value = f"<span>{escape(text)}</span>"

    def lock(self, locked: bool) -> None:
        """Lock or free the box and its button."""
        self.box.disabled = self.button.disabled = locked

    def clear(self) -> None:
        """An empty box without a reply, ready for the next answer."""
        self.lock(False)
        self.box.value = ""
        self.say("")


def _do(work: Callable[[], object]) -> None:
    work()


class Choice(Box):
    """One part to choose.

    Args:
        name: in shop words.
        part: that it belongs to, as the drawings colour it.
        options: what there is, the present one first, each with its value.
    """

    def __init__(self, name: str, part: str, options: Sequence[tuple[str, Any]]):
        self.list = Dropdown(options=options, value=options[0][1], description=name)
        self.restarting = False
        """Whether it is put back by its panel, and nobody has chosen."""
        super().__init__([self.list])
        self.add_class("em-choice").add_class(f"em-part-{part}")

    @property
    def chosen(self) -> Any:
        """The value that is chosen."""
        return self.list.value

    def restart(self, options: Sequence[tuple[str, Any]] | None = None) -> None:
        """Back to the first of these, or of the present, options."""
        self.restarting = True
        try:
            if options is not None:
                self.list.options = options
            self.list.index = 0
        finally:
            self.restarting = False

    def disable(self, disabled: bool) -> None:
        """Lock or free the list."""
        self.list.disabled = disabled
