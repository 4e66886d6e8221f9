"""An outside micrometer, sleeve and thimble drawn unrolled."""

from __future__ import annotations

from enginemath.drawing.instruments.barrel import (
    DIVISION,
    LYING,
    Barrel,
    draw_sleeve,
    draw_thimble,
    mark_barrel,
    say_unrolled,
)
from enginemath.drawing.instruments.screws import SCREWS, Screw
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.paper.svg import Picture

WIDTH, HEIGHT = 720.0, 330.0
_BODY = 2.4
"""The distance from the sleeve's zero line to the frame, in the height of the type."""


def micrometer(
    reading: float,
    unit: str = "mm",
    *,
    base: float = 0.0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw an outside micrometer: 0.01 mm, or 0.001 in with a vernier to 0.0001 in.

    Args:
        reading: between the anvils, in the unit; base is part of it.
        unit: ``mm`` or ``in``.
        base: smallest opening of the frame, in the unit: 75 for a 75–100 mm micrometer.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> micrometer(5.78).description
    'Range 0–25 mm. Sleeve: 1 line past the number 5. Thimble: line 28 on the datum line.'
    """
    screw = SCREWS[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    on_scale = reading - base
    span = screw.span(base)
    picture = Picture(
        "micrometer",
        width,
        height,
        title=f"Outside micrometer {span}, to be read",
        description=f"Range {span}. {_marks(screw, on_scale)}",
        key=key,
        style=style,
    )
    text = style.text
    zero = 0.28 * width
    division = DIVISION * text
    above, below = (11.2, 3.6) if screw.vernier else (6.6, 6.6)
    barrel = Barrel(
        screw,
        on_scale,
        LYING,
        datum=1.5 * text + above * division,
        zero=zero,
        end=zero - _BODY * text,
        scale=(width - zero - 12.5 * text) / screw.travel,
        division=division,
        behind=below,
        ahead=above,
    )
    _frame(picture, barrel, span)
    draw_sleeve(picture, barrel, range(screw.uncovered(on_scale) + 1))
    if screw.vernier:
        _vernier(picture, barrel)
    draw_thimble(picture, barrel)
    mark_barrel(picture, barrel)
    say_unrolled(picture)
    return picture


def _marks(screw: Screw, on_scale: float) -> str:
    """What a sighted reader sees on the scales, in words."""
    told = f"Sleeve: {screw.edge_told(on_scale)}. Thimble: {screw.thimble_told(on_scale)}."
    if screw.vernier:
        told += f" Vernier: line {screw.vernier_line(on_scale)} meets a thimble line."
    return told


def _vernier(picture: Picture, barrel: Barrel) -> None:
    """Ten lines along the sleeve that span nine thimble divisions."""
    style, text = picture.style, picture.style.text
    left = barrel.zero - 0.6 * text
    rows = [(line, barrel.datum - line * 0.9 * barrel.division) for line in range(11)]
    drawn = [(left, y, barrel.edge, y) for _, y in rows]
    picture.lines("vernier-mark", drawn, stroke_width=style.thin)
    for line, y in rows:
        picture.label(
            f"{line % 10}",
            left - 0.5 * text,
            y,
            anchor="end",
            size=style.small,
            kind="vernier-number",
            halo=False,
        )
    high = 5.4 * barrel.division
    picture.place_of("vernier", barrel.edge, barrel.datum - 4.5 * barrel.division, high)


def _frame(picture: Picture, barrel: Barrel, span: str) -> None:
    """Anvil, spindle and bow, not to scale."""
    style, text = picture.style, picture.style.text
    datum = barrel.datum
    left, right = 1.4 * text, barrel.end
    middle = (left + right) / 2
    thick = 1.9 * text
    low = datum + min(8.0 * text, picture.height - datum - 3.2 * text)

    def half_ring(a: float, b: float, foot: float) -> str:
        """Half a ring from the top of one arm, around below, to the top of the other."""
        return (
            f"L{px(a)} {px(datum)}Q{px(a)} {px(foot)} {px(middle)} {px(foot)}"
            f"Q{px(b)} {px(foot)} {px(b)} {px(datum)}L{px(b)} {px(datum - text)}"
        )

    outer = half_ring(left, right, low)
    inner = half_ring(right - thick, left + thick, low - thick)
    start = f"M{px(left)} {px(datum - text)}"
    bow = f"{start}{outer}L{px(right - thick)} {px(datum - text)}{inner}Z"
    picture.path("bow", bow, fill=SATIN)
    spindle = 0.55 * text
    faces = left + thick + 0.5 * text, left + thick + 0.5 * text + 0.3 * (right - left)
    picture.rect(
        "anvil", left + thick, datum - spindle, faces[0] - left - thick, 2 * spindle, fill=STEEL
    )
    picture.rect(
        "spindle", faces[1], datum - spindle, right - thick - faces[1], 2 * spindle, fill=STEEL
    )
    picture.rect(
        "part",
        faces[0],
        datum - 1.5 * text,
        faces[1] - faces[0],
        3.0 * text,
        fill=picture.hatch("metal"),
        stroke_width=style.thin,
    )
    picture.label(
        span, middle, low - thick / 2, anchor="middle", size=style.small, bold=True, halo=False
    )
    picture.place_of("frame", middle, low - thick / 2, 2.0 * text, 1.6 * text)
