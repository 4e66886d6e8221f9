"""One part to choose: a list that stands beside the part's picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ipywidgets import Box, Dropdown


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
