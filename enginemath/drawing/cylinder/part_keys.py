"""Below a drawing: each part with its hatch, and what was read of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper.svg import Picture


@dataclass(frozen=True)
class PartKey:
    """One part and its readings.

    Args:
        part: as the palette names it.
        name: in shop words.
        readings: a line each.
    """

    part: str
    name: str
    readings: Sequence[str]


def draw_keys(picture: Picture, keys: Sequence[PartKey], top: float) -> None:
    """Write keys side by side.

    Args:
        top: where they begin, px.

    >>> picture = Picture("made-up", 400, 100, title="t", description="d")
    >>> draw_keys(picture, [PartKey("deck", "deck", ["clearance 0.240 mm"])], 10)
    >>> [label.text for label in picture.labels]
    ['deck', 'clearance 0.240 mm']
    """
    style, text = picture.style, picture.style.text
    wide = (picture.width - 2 * text) / max(len(keys), 1)
    for place, key in enumerate(keys):
        x = text + place * wide
        picture.rect("key", x, top, 1.2 * text, 1.2 * text, fill=picture.hatch(key.part),
                     stroke_width=style.thin)  # fmt: skip
        picture.label(key.name, x + 1.6 * text, top + 0.6 * text, bold=True, kind="key-name")
        for line, reading in enumerate(key.readings):
            y = top + (2.1 + 1.35 * line) * text
            picture.label(reading, x, y, size=style.small, kind="reading")
