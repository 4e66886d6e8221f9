"""Feeler gauge: leaves of known thickness tried in a gap, gap and leaf magnified."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.paper.palette import SATIN, SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.units import words

WIDTH, HEIGHT = 700.0, 360.0
DRAG = 0.02
"""Slack under which a leaf drags, mm. Common practice, no source."""


def feel(gap: float, leaf: float) -> str:
    """How a leaf goes into a gap.

    Args:
        gap, leaf: mm.

    >>> feel(0.45, 0.40), feel(0.45, 0.45), feel(0.45, 0.50)
    ('goes in loosely', 'goes in with a drag', 'does not go in')
    """
    slack = gap - leaf
    if slack < -1e-9:
        return "does not go in"
    return "goes in with a drag" if slack < DRAG - 1e-9 else "goes in loosely"


def feeler(
    gap: float,
    leaves: Sequence[float],
    tried: int,
    *,
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a feeler gauge with one leaf tried in a gap.

    Args:
        gap: mm.
        leaves: thickness of each leaf, mm, thinnest first.
        tried: which leaf is at the gap, counted from 0.
        unit: ``mm`` or ``in``, stamped on the leaves.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> feeler(0.45, [0.40, 0.45, 0.50], 1).title
    'Feeler gauge: the 0.45 mm leaf goes in with a drag'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    leaf = leaves[tried]
    felt = feel(gap, leaf)
    stamped = [stamp(thickness, unit) for thickness in leaves]
    picture = Picture(
        "feeler",
        width,
        height,
        title=f"Feeler gauge: the {stamped[tried]} leaf {felt}",
        description=f"Leaves {', '.join(stamped)}. The {stamped[tried]} leaf {felt}. "
        "Gap and leaf are drawn to one scale.",
        key=key,
        style=style,
    )
    _leaves(picture, stamped, tried)
    _gap(picture, gap, leaf, max(*leaves, gap), felt)
    return picture


def stamp(thickness: float, unit: str) -> str:
    """What is stamped on a leaf.

    >>> stamp(0.45, "mm"), stamp(0.4572, "in")
    ('0.45 mm', '0.0180 in')
    """
    return words.length(thickness, "in") if unit == "in" else f"{thickness:.2f} mm"


def _leaves(picture: Picture, stamped: Sequence[str], tried: int) -> None:
    """The leaves under one another, the tried one drawn out and marked."""
    style, text = picture.style, picture.style.text
    left, long = 1.4 * text, 15.0 * text
    step = min(2.0 * text, (picture.height - 2.4 * text) / len(stamped))
    top = (picture.height - step * len(stamped)) / 2
    for number, said in enumerate(stamped):
        chosen = number == tried
        x, y = left + (2.4 * text if chosen else 0.0), top + number * step
        end = [
            (x, y),
            (x + long - 0.4 * step, y),
            (x + long, y + 0.42 * step),
            (x + long - 0.4 * step, y + 0.84 * step),
            (x, y + 0.84 * step),
        ]
        picture.shape(
            "leaf-tried" if chosen else "leaf",
            end,
            fill=SATIN,
            stroke_width=2 * style.line if chosen else style.thin,
        )
        picture.label(
            said,
            x + 0.8 * text,
            y + 0.42 * step,
            bold=chosen,
            size=style.small,
            kind="stamp",
            halo=False,
        )


def _gap(picture: Picture, gap: float, leaf: float, thickest: float, felt: str) -> None:
    style, text = picture.style, picture.style.text
    left, right = picture.width - 24.0 * text, picture.width - 1.4 * text
    middle = 0.46 * picture.height
    scale = 9.0 * text / (1.6 * thickest)
    half = gap / 2 * scale
    metal = picture.hatch("metal")
    face = left + 6.0 * text
    picture.rect("upper", face, middle - half - 4.5 * text, right - face, 4.5 * text, fill=metal)
    picture.rect("lower", face, middle + half, right - face, 4.5 * text, fill=metal)
    thick = leaf * scale
    end = right - 2.0 * text if felt != "does not go in" else face - 0.3 * text
    top = middle + half - thick if felt != "does not go in" else middle - thick / 2
    picture.rect("leaf-in-gap", left, top, end - left, thick, fill=style.ink)
    picture.label(
        f"leaf {felt}", (left + right) / 2, middle + half + 6.2 * text, anchor="middle", bold=True
    )
    picture.label(
        "gap and leaf magnified alike",
        (left + right) / 2,
        1.6 * text,
        anchor="middle",
        size=style.small,
    )
