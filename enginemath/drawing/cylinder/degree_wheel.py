"""The degree wheel: where the crank stands when the intake closes, counted from bottom dead centre.

The rod is cut off: where the piston stands is not shown.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.svg import Picture, Point, around

_RADIUS, _ARC, _PIN = 4.6, 0.62, 0.4
"""Radii: the wheel's in the height of the type, the arc's in the wheel's, the pin's in the type."""
_SHOWN, _CUT = 1.0, 1.3
"""How much of the rod is drawn, and how far it is dashed, in crank radii."""


def degree_wheel(
    closes: float,
    rod: float,
    names: Mapping[str, str],
    *,
    width: float = 450,
    style: Style = SCREEN,
    key: str | None = None,
) -> Picture:
    """The crank from the front, turning clockwise, the intake just closed.

    Args:
        closes: degrees after bottom dead centre.
        rod: its length in crank radii.
        names: what to write at the ``rod``, the ``crank`` and the angle, ``closes``.
        width: px.

    >>> wheel = degree_wheel(60, 3.3, {"rod": "rod", "crank": "crank", "closes": "60 deg"})
    >>> [label.text for label in wheel.labels]
    ['TDC', 'BDC', 'turns', 'rod', 'crank', '60 deg']
    """
    text = style.text
    radius = _RADIUS * text
    centre = width / 2 - 1.35 * radius, 2.0 * text + radius
    picture = Picture(
        "wheel",
        width,
        round(2 * radius + 3.9 * text),
        title="Degree wheel on the crank: the intake has just closed",
        description=f"{', '.join(names.values())}. The crank turns clockwise.",
        key=key,
        style=style,
    )
    _draw_wheel(picture, centre, radius)
    pin, direction = around(*centre, radius, 180 + closes), _rod_direction(closes, rod)
    _draw_rod(picture, pin, radius, direction)
    _draw_crank(picture, centre, pin)
    _draw_arc(picture, "angle", centre, _ARC * radius, 180, 180 + closes)
    places = {
        "rod": around(*pin, 0.7 * radius, direction),
        "crank": around(*centre, 0.75 * radius, 180 + closes),
        "closes": around(*centre, _ARC * radius, 180 + closes / 3),
    }
    notes = [(names[name], *place) for name, place in places.items()]
    dimension_lines.callouts(picture, notes, centre[0] + 1.45 * radius, centre[1] - 0.1 * radius)
    return picture


def _rod_direction(closes: float, rod: float) -> float:
    """Where the rod points from the crank pin, degrees clockwise from above."""
    return math.degrees(math.asin(math.sin(math.radians(closes)) / rod))


def _draw_wheel(picture: Picture, centre: Point, radius: float) -> None:
    style, text = picture.style, picture.style.text
    (x, y), thin = centre, picture.style.thin
    picture.circle("degree-wheel", x, y, radius, stroke_width=thin)
    ticks = (
        (*around(x, y, radius, turn), *around(x, y, radius + long * text, turn))
        for turn in range(0, 360, 10)
        for long in (0.6 if turn % 90 == 0 else 0.3,)
    )
    picture.lines("tick", ticks, stroke_width=thin)
    picture.lines(
        "centre",
        ((x, y - radius, x, y + radius),),
        stroke=style.quiet,
        stroke_width=thin,
        stroke_dasharray=f"{0.8 * text:g} {0.2 * text:g} {0.2 * text:g} {0.2 * text:g}",
    )
    for name, side in (("TDC", -1), ("BDC", 1)):
        below = y + side * (radius + 1.15 * text)
        picture.label(name, x, below, anchor="middle", kind="level", size=style.small)
    _draw_arc(picture, "turn", centre, radius + 0.9 * text, 25, 60)
    beside = around(x, y, radius + 1.5 * text, 45)
    picture.label("turns", *beside, size=style.small)


def _draw_rod(picture: Picture, pin: Point, radius: float, direction: float) -> None:
    style = picture.style
    middle, cut = (around(*pin, far * radius, direction) for far in (_SHOWN, _CUT))
    attributes: dict[str, str | float] = {"stroke": style.quiet, "stroke_width": 3 * style.line}
    picture.lines("rod", ((*pin, *middle),), **attributes)
    dashes = f"{0.4 * style.text:g}"
    picture.lines("rod", ((*middle, *cut),), stroke_dasharray=dashes, **attributes)


def _draw_crank(picture: Picture, centre: Point, pin: Point) -> None:
    style = picture.style
    picture.lines("crank", ((*centre, *pin),), stroke_width=4 * style.line)
    for kind, place in (("crank-journal", centre), ("crank-pin", pin)):
        picture.circle(kind, *place, _PIN * style.text, fill=style.paper)


def _draw_arc(
    picture: Picture, kind: str, centre: Point, radius: float, first: float, last: float
) -> None:
    """An arc clockwise between two directions, with an arrowhead where it ends."""
    (x, y), (to_x, to_y) = around(*centre, radius, first), around(*centre, radius, last)
    picture.path(kind, f"M{px(x)} {px(y)}A{px(radius)} {px(radius)} 0 0 1 {px(to_x)} {px(to_y)}")
    long = 0.62 * picture.style.text
    before = last - math.degrees(long / radius)
    tail = (around(*centre, radius + side * long / 6, before) for side in (-1, 1))
    picture.shape("arrow", ((to_x, to_y), *tail), fill=picture.style.ink, stroke="none")
