"""A depth micrometer: its thimble covers what is read, so its numbers run the other way."""

from __future__ import annotations

from dataclasses import replace

from enginemath.drawing.instruments import screws
from enginemath.drawing.instruments.barrel import (
    DIVISION,
    UPRIGHT,
    Barrel,
    draw_sleeve,
    draw_thimble,
    mark_barrel,
    say_unrolled,
)
from enginemath.drawing.instruments.screws import Screw
from enginemath.drawing.paper.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.paper.svg import Picture

WIDTH, HEIGHT = 420.0, 640.0
INCH = replace(screws.INCH, vernier=False)
"""Forty threads to the inch, read to 0.001 in."""
SCREWS = {"mm": screws.MM, "in": INCH}
_BASE = 2.6
"""Height of the base that stands on the deck, in the height of the type."""


def depth_micrometer(
    reading: float,
    unit: str = "mm",
    *,
    base: float = 0.0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a depth micrometer on the deck: 0.01 mm or 0.001 in.

    Args:
        reading: depth of the rod's end below the base, in the unit.
        unit: ``mm`` or ``in``.
        base: what the fitted rod adds, in the unit: 25 for a 25–50 mm rod.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> depth_micrometer(5.78).description
    'Rod 0–25 mm. Sleeve: 1 line past the number 5 covered. Thimble: line 28 on the datum line.'
    """
    screw = SCREWS[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    on_scale = reading - base
    span = screw.span(base)
    picture = Picture(
        "depth-micrometer",
        width,
        height,
        title=f"Depth micrometer, rod {span}, to be read",
        description=f"Rod {span}. {_marks(screw, on_scale)}",
        key=key,
        style=style,
    )
    text = style.text
    deck = height - 8.6 * text
    zero, foot = 9.5 * text, deck - _BASE * text
    barrel = Barrel(
        screw,
        on_scale,
        UPRIGHT,
        datum=0.52 * width,
        zero=zero,
        end=foot,
        scale=(foot - 2.0 * text - zero) / screw.travel,
        division=DIVISION * text,
        behind=7.2,
        ahead=7.2,
    )
    _bench(picture, barrel.datum, deck, span)
    covered = screw.uncovered(on_scale) + (screw.turned(on_scale) > 0)
    draw_sleeve(picture, barrel, range(covered, screw.lines + 1))
    draw_thimble(picture, barrel)
    mark_barrel(picture, barrel)
    say_unrolled(picture)
    return picture


def _marks(screw: Screw, on_scale: float) -> str:
    """What a sighted reader sees on the scales, in words."""
    edge = screw.edge_told(on_scale).removeprefix("on ")
    return f"Sleeve: {edge} covered. Thimble: {screw.thimble_told(on_scale)}."


def _bench(picture: Picture, x: float, deck: float, span: str) -> None:
    """Base, deck and rod; not to scale."""
    style, text = picture.style, picture.style.text
    left, right = 1.5 * text, picture.width - 1.5 * text
    foot = deck + 6.4 * text
    bore = 5.2 * text
    metal = picture.hatch("metal")
    for a, b in ((left, x - bore), (x + bore, right)):
        picture.rect("wall", a, deck, b - a, foot - deck, fill=metal)
    crown = deck + 3.4 * text
    picture.rect("piston", x - bore, crown, 2 * bore, foot - crown, fill=metal)
    picture.rect("rod", x - 0.3 * text, deck, 0.6 * text, crown - deck, fill=STEEL)
    base = _BASE * text
    picture.rect("base", x - 9.0 * text, deck - base, 18.0 * text, base, fill=SATIN)
    picture.label(
        span, x, deck - base / 2, anchor="middle", size=style.small, bold=True, halo=False
    )
    picture.place_of("frame", x, deck - base / 2, 1.8 * text, 2.4 * text)
    picture.label("deck", left + 0.6 * text, deck + 1.0 * text, size=style.small)
    picture.label("piston", x + 1.2 * text, crown + 1.2 * text, size=style.small)
