"""Several pictures in one: side by side, one above the other, and the kit's own overview."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.cylinder.section import SectionView, section
from enginemath.drawing.cylinder.volume_blocks import StackView, stack
from enginemath.drawing.paper.number_line import LineView, number_line
from enginemath.drawing.paper.palette import SCREEN, Style
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


def overview(
    cylinder: SectionView,
    volumes: StackView,
    *lines: LineView,
    unit: str = "mm",
    crank: bool = True,
    scale: float | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """The part in section, the volumes beside it, and number lines under both.

    Args:
        cylinder: for the section.
        volumes: for the column of blocks.
        lines: ratio, and squish clearance where wanted.
        unit: ``mm`` or ``in``.
        crank, scale: see `section.section`.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> from enginemath.drawing.paper.number_line import ratio_line
    >>> cylinder = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, dish=6.0, reliefs=2.8)
    >>> volumes = StackView(588.31, 47.5, 7.50, 2.33, dish=6.0, reliefs=2.8)
    >>> overview(cylinder, volumes, ratio_line(volumes.ratio, (9.0, 9.5))).title
    'Compression ratio 9.90, 0.40 above the band 9.00 to 9.50'
    """
    left = section(cylinder, unit=unit, crank=crank, scale=scale, style=style)
    right = stack(volumes, unit=unit, style=style)
    width = left.width + right.width
    below = [number_line(line, size=(width, 8.2 * style.text), style=style) for line in lines]
    title = below[0].title if below else left.title
    upper = row((left, right), title=title)
    return column((upper, *below), title=title, key=key)


def _sheet(
    pictures: Sequence[Picture], width: float, height: float, title: str, key: str | None
) -> Picture:
    told = " ".join(dict.fromkeys(f"{p.title}. {p.description}" for p in pictures))
    return Picture(
        "sheet", width, height, title=title, description=told, key=key, style=pictures[0].style
    )
