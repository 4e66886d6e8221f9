"""A cut off the deck: the block with its piston, and the edge of the bore in a glass."""

from __future__ import annotations

from collections.abc import Mapping

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.piston import draw_piston
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.large_line import Said, draw_said
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet, block
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.known_depth import KnownDepthView, lowered_piston
from enginemath.units import fixed

WIDTH, HEIGHT = 956.0, 716.0
BORE, CLEARANCE = 88.34, 0.38
"""The Heron Four's, mm."""
MOST = 2.0
"""The deepest cut that is drawn, mm."""
_WALL, _DEEP = 20.0, 128.0
_TIMES = 26.0
"""How many times larger things are in the glass."""


def deck_cut(
    cut: float,
    said: str,
    *,
    marks: Mapping[str, float] | None = None,
    grip: Grip | None = None,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw a block whose deck is cut, the deck as it was dashed.

    Args:
        cut: what is taken off, mm.
        said: the number below, as it is to be read.
        marks: levels to compare with, mm, by their names.
        grip: the cut, to be taken by hand.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> deck_cut(0.5, "0.500 mm").title
    '0.500 mm off the deck'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "deck-cut",
        width,
        height,
        title=f"{said} off the deck",
        description=_description(cut, marks or {}),
        key=key,
        style=style,
    )
    text = style.text
    scale = 0.40 * width / (BORE + 2 * _WALL)
    sheet = DrawingSheet(0.24 * width, 0.24 * height, scale)
    _block(picture, sheet, cut)
    low = sheet.at(0.0, _DEEP)[1]
    picture.fade(0.0, low - 5 * text, 0.48 * width, 5 * text + 1)
    _glass(picture, sheet, cut, marks or {}, grip)
    draw_said(picture, [Said(said)], height - 2.6 * text)
    return picture


def _block(picture: Picture, sheet: DrawingSheet, cut: float) -> None:
    style, text, radius = picture.style, picture.style.text, BORE / 2
    metal = picture.hatch("metal")
    for left in (-radius - _WALL, radius):
        block(picture, sheet, "off", left, 0.0, _WALL, cut, fill=picture.hatch("deck"))
        block(picture, sheet, "wall", left, cut, _WALL, _DEEP - cut, fill=metal)
    body = lowered_piston(KnownDepthView(BORE, CLEARANCE, poured=0, reading=0, dish=6.4))
    picture.open_window(0, 0, picture.width, sheet.at(0.0, _DEEP)[1])
    draw_piston(picture, sheet, body, CLEARANCE, style.line)
    picture.close_window()
    for told, x, down in (
        ("deck", -radius - _WALL / 2, -1.0),
        ("bore", 0.0, -1.0),
    ):
        at = sheet.at(x, 0.0)
        picture.label(told, at[0], at[1] + down * 1.2 * text, anchor="middle", bold=True,
                      kind="name")  # fmt: skip
    picture.label("piston", *sheet.at(0.0, 0.30 * _DEEP), anchor="middle", bold=True, kind="name")


def _glass(
    picture: Picture,
    sheet: DrawingSheet,
    cut: float,
    marks: Mapping[str, float],
    grip: Grip | None,
) -> None:
    """The edge of the bore, magnified: what is taken off, and what it is compared with."""
    style, text, size = picture.style, picture.style.text, picture.style.frame
    radius = 0.235 * picture.width
    x, y = picture.width - radius - 1.2 * text, radius + 3.2 * text
    closer = DrawingSheet(x - 0.12 * radius, y - 0.36 * radius, sheet.scale * _TIMES)
    spot = sheet.at(BORE / 2, 0.0)
    small = radius / _TIMES + 4 * size
    picture.circle("spot", *spot, small, stroke_width=style.thin)
    ends = ((spot[0], spot[1] - small, x, y - radius), (spot[0], spot[1] + small, x, y + radius))
    picture.lines("spot-line", ends, stroke=style.quiet, stroke_width=style.thin)
    picture.circle("lens", x, y, radius, fill=style.paper)
    picture.open_round_window(x, y, radius)
    wide = 2 * radius / closer.scale
    block(picture, closer, "off", 0.0, 0.0, wide, cut, fill=picture.hatch("deck"))
    block(picture, closer, "wall", 0.0, cut, wide, wide, fill=picture.hatch("metal"))
    gap = 0.06
    block(picture, closer, "piston", -wide, CLEARANCE, wide - gap, wide, fill=style.paper)
    block(picture, closer, "piston", -wide, CLEARANCE, wide - gap, wide,
          fill=picture.hatch("metal"))  # fmt: skip
    dash = f"{5 * size:g} {4 * size:g}"
    was = closer.at(0.0, 0.0)
    picture.lines("ghost", ((was[0], was[1], x + radius, was[1]),), stroke_width=1.4 * size,
                  stroke_dasharray=dash)  # fmt: skip
    levels = [(closer.at(0.0, mm)[1], name) for name, mm in marks.items()]
    picture.lines("mark", [(x - radius, down, x + radius, down) for down, _ in levels],
                  stroke_width=1.8 * size, stroke_dasharray=dash)  # fmt: skip
    picture.close_window()
    for down, name in levels:
        picture.label(name, x - 0.14 * radius, down - 0.8 * text, anchor="end", bold=True,
                      kind="mark-name")  # fmt: skip
    picture.circle("lens", x, y, radius, stroke_width=1.3 * style.line)
    picture.label("deck as it was", x + 0.42 * radius, was[1] - 0.9 * text, anchor="middle",
                  kind="key")  # fmt: skip
    picture.label(f"{fixed(_TIMES, 0)} times larger", x, y - radius - 0.9 * text, anchor="middle",
                  size=style.small, fill=style.quiet, kind="times")  # fmt: skip
    picture.label("piston", x - 0.55 * radius, y + 0.55 * radius, anchor="middle", kind="name")
    picture.label("block", x + 0.35 * radius, y + 0.72 * radius, anchor="middle", kind="name")
    if grip:
        at = closer.at(0.0, cut)
        picture.handle(
            Handle(
                grip.name,
                at[0] + 0.62 * radius,
                at[1],
                grip.value,
                grip.low,
                grip.high,
                grip.step,
                grip.unit,
                grip.decimals,
                pull=(0.0, closer.scale),
                first=grip.first,
            )
        )


def _description(cut: float, marks: Mapping[str, float]) -> str:
    stands = "above" if cut > CLEARANCE else "below" if cut < CLEARANCE else "level with"
    told = (
        f"A block in section, {fixed(cut, 2)} mm cut off its deck; the piston stands "
        f"{stands} the deck. The edge of the bore is shown {fixed(_TIMES, 0)} times larger"
    )
    compared = ", ".join(marks)
    return f"{told}, with marks at {compared}." if compared else f"{told}."
