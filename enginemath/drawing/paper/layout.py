"""Several pictures in one: side by side, or one above the other."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.paper.svg import Picture


def row(
    pictures: Sequence[Picture], *, title: str, gap: float = 0, key: str | None = None
) -> Picture:
    """Pictures side by side, their tops level."""
    width = sum(p.width for p in pictures) + gap * (len(pictures) - 1)
    whole = _sheet(pictures, width, max(p.height for p in pictures), title, key)
    x = 0.0
    for picture in pictures:
        whole.place(picture, x, 0)
        x += picture.width + gap
    return whole


def column(
    pictures: Sequence[Picture], *, title: str, gap: float = 0, key: str | None = None
) -> Picture:
    """Pictures one above the other, their left edges level."""
    height = sum(p.height for p in pictures) + gap * (len(pictures) - 1)
    whole = _sheet(pictures, max(p.width for p in pictures), height, title, key)
    y = 0.0
    for picture in pictures:
        whole.place(picture, 0, y)
        y += picture.height + gap
    return whole


def _sheet(
    pictures: Sequence[Picture], width: float, height: float, title: str, key: str | None
) -> Picture:
    told = " ".join(dict.fromkeys(f"{p.title}. {p.description}" for p in pictures))
    return Picture(
        "sheet", width, height, title=title, description=told, key=key, style=pictures[0].style
    )
