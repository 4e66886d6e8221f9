"""The panels' style sheet, and the scraps of HTML that they show."""

from __future__ import annotations

from functools import cache
from html import escape
from pathlib import Path

from enginemath.drawing.paper.palette import PARTS

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


def alert(error: BaseException, trace: str) -> str:
    """An error that nobody foresaw, with its trace folded away."""
    return (
        '<div class="em-alert-box"><b>This panel met an error that it did not expect.</b> '
        f"The picture shows the last good state.<br/>{escape(type(error).__name__)}: "
        f"{escape(str(error))}<details><summary>details for the one who mends it</summary>"
        f"<pre>{escape(trace)}</pre></details></div>"
    )
