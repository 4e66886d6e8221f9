"""The panels' style sheet, and the scraps of HTML that they show."""

from __future__ import annotations

import asyncio
from base64 import b64encode
from collections.abc import Callable
from functools import cache
from html import escape
from pathlib import Path

from enginemath.drawing.paper.palette import PARTS
from enginemath.drawing.paper.svg import Picture

_HERE = Path(__file__).parent


@cache
def style_sheet() -> str:
    """All rules, with the parts' colours from the drawings' palette."""
    rules = (_HERE / "panel.css").read_text(encoding="utf-8")
    colours = (
        f".em-panel .em-part-{part} {{ border-left-color: {colour}; }}"
        for part, (colour, _) in PARTS.items()
    )
    return f"<style>{rules}{''.join(colours)}</style>"


@cache
def naming_script() -> str:
    """What gives stock sliders an accessible name; harmless if it runs again."""
    return f"<script>{(_HERE / 'naming.js').read_text(encoding='utf-8')}</script>"


def alert(says: str, trace: str) -> str:
    """An error that nobody foresaw, with its trace folded away."""
    return (
        '<div class="em-alert-box"><b>This panel met an error that it did not expect.</b> '
        f"The picture shows the last good state.<br/>{escape(says)}"
        "<details><summary>details for the one who mends it</summary>"
        f"<pre>{escape(trace)}</pre></details></div>"
    )


PAUSE = 0.4
"""Seconds without a change, after which the still picture follows."""


class Still:
    """A second output beside a panel, hidden by the panel's own style where the panel lives.

    Args:
        key: of the panel, unique in a kernel.
        picture: gives the picture to show.
    """

    def __init__(self, key: str, picture: Callable[[], Picture]):
        self._key, self._picture = key, picture
        self._handle = None
        self._timer: asyncio.TimerHandle | None = None

    @property
    def hiding(self) -> str:
        """The style that hides it; it stands inside the panel."""
        return f"<style>#{self._key}-still {{ display: none; }}</style>"

    def show(self) -> None:
        """Put it below the panel."""
        from IPython.display import display

        self._handle = display(self._bundle(), raw=True, display_id=True)

    def follow(self) -> None:
        """Show the panel's picture as soon as nobody moves it for a moment."""
        if self._handle is None:
            return
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        if self._timer:
            self._timer.cancel()
        self._timer = loop.call_later(PAUSE, self._update)

    def _update(self) -> None:
        if self._handle is not None:
            self._handle.update(self._bundle(), raw=True)

    def _bundle(self) -> dict[str, str]:
        picture = self._picture()
        told = escape(f"{picture.title}. {picture.description}")
        data = b64encode(picture.svg().encode()).decode()
        image = (
            f'<img id="{self._key}-still" alt="{told}" style="max-width:100%" '
            f'src="data:image/svg+xml;base64,{data}">'
        )
        return {"text/plain": picture.title, "text/html": image + naming_script()}
