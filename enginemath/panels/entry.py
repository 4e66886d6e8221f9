"""A line to type an answer on, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from ipywidgets import HTML, Button, HBox, Text

from enginemath.units import Refused


class Entry(HBox):
    """A labelled box, a button, and the reply behind them.

    Args:
        label: what is to be typed.
        button: what the button says.
        reply: takes what was typed and gives the reply; raises `Refused` where it cannot be read.
        example: of what can be typed, shown in the empty box.
    """

    def __init__(self, label: str, button: str, reply: Callable[[str], str], example: str = ""):
        self._reply = reply
        self.guard: Callable[[Callable[[], object]], object] = _do
        self.box = Text(description=label, placeholder=example, continuous_update=False)
        self.button = Button(description=button)
        self.feedback = HTML().add_class("em-feedback")
        self.button.on_click(lambda _: self.submit())
        self.box.observe(lambda change: self.submit() if change["new"] else None, "value")
        super().__init__([self.box, self.button, self.feedback])
        self.add_class("em-entry")

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
