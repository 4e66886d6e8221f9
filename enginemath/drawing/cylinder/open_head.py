"""A head cut open above its chamber: two valves in their ports, and the spark plug between them.

They stand above the chamber's roof and take nothing of its volume; their shapes are common ones.
"""

from __future__ import annotations

from enginemath.drawing.cylinder.stand_in_shapes import CutCone
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import SATIN, STEEL
from enginemath.drawing.paper.scales import DrawingSheet, block, outline
from enginemath.drawing.paper.svg import Picture, Point

HEIGHT = 0.34
"""Of the head above the roof, of the bore."""
ABOVE = 0.13
"""How far valve stems and plug stand above the head, of the bore."""
_VALVE, _VALVE_AT, _STEM, _PLUG = 0.36, 0.60, 0.07, 0.19
"""Radius of a valve's head and its place, half widths of its stem and of the plug: of the roof's
half width."""


def draw_open_head(
    picture: Picture,
    sheet: DrawingSheet,
    roof: float,
    cone: CutCone,
    outer: float,
    bore: float,
    lift: float = 0.0,
) -> None:
    """Draw ports, valves and plug into a head that is drawn already.

    Args:
        roof: height of the chamber's roof, mm below the deck (so it is negative).
        cone: of the chamber.
        outer: half width of the head, mm.
        bore: mm.
        lift: how far the intake valve, at the left, stands open, mm.
    """
    unit, top = cone.narrow, roof - HEIGHT * bore
    tip = top - 0.6 * ABOVE * bore
    for side, open_ in ((-1, lift), (1, 0.0)):
        _port(picture, sheet, side, roof, unit, outer, bore)
        middle = side * _VALVE_AT * unit
        _guide(picture, sheet, middle, roof, unit, bore)
        _valve(picture, sheet, middle, roof + open_, unit, tip + open_, bore)
    _plug(picture, sheet, roof, unit, top, bore)


def _port(
    picture: Picture,
    sheet: DrawingSheet,
    side: int,
    roof: float,
    unit: float,
    outer: float,
    bore: float,
) -> None:
    """A bent channel from the valve's seat to the head's side."""
    seat, half = side * _VALVE_AT * unit, 0.86 * _VALVE * unit
    high, low = roof - 0.245 * bore, roof - 0.105 * bore
    inside, outside = seat - side * half, seat + side * half

    def at(x: float, y: float) -> str:
        right, down = sheet.at(x, y)
        return f"{px(right)} {px(down)}"

    drawn = (
        f"M{at(inside, roof)}L{at(inside, roof - 0.10 * bore)}"
        f"Q{at(inside, high)} {at(seat + side * half * 0.9, high)}"
        f"L{at(side * outer, high - 0.02 * bore)}L{at(side * outer, low - 0.01 * bore)}"
        f"L{at(outside + side * 0.07 * bore, low)}"
        f"Q{at(outside, low)} {at(outside, roof - 0.05 * bore)}L{at(outside, roof)}Z"
    )
    picture.path("port", drawn, fill=picture.style.paper)


def _guide(
    picture: Picture, sheet: DrawingSheet, x: float, roof: float, unit: float, bore: float
) -> None:
    """What the valve's stem slides in."""
    half = 2.1 * _STEM * unit
    block(
        picture, sheet, "guide", x - half, roof - HEIGHT * bore, 2 * half, 0.16 * bore,
        fill=SATIN, stroke_width=picture.style.thin,
    )  # fmt: skip


def _valve(
    picture: Picture,
    sheet: DrawingSheet,
    x: float,
    face: float,
    unit: float,
    tip: float,
    bore: float,
) -> None:
    """A valve with its face at a height, its stem through the head up to its tip."""
    head, stem = _VALVE * unit, _STEM * unit
    right: list[Point] = [
        (head, face), (0.97 * head, face - 0.012 * bore), (0.55 * head, face - 0.035 * bore),
        (stem, face - 0.085 * bore), (stem, tip),
    ]  # fmt: skip
    points = [(x + a, y) for a, y in right] + [(x - a, y) for a, y in reversed(right)]
    outline(picture, sheet, "valve", points, fill=STEEL, stroke_width=picture.style.thin)


def _plug(
    picture: Picture, sheet: DrawingSheet, roof: float, unit: float, top: float, bore: float
) -> None:
    """The plug: thread, hexagon, white insulator, and its electrode flush with the roof."""
    style, half = picture.style, _PLUG * unit
    thin = style.thin
    deep = roof - top
    block(picture, sheet, "plug", -half, top, 2 * half, deep, fill=style.quiet, stroke_width=thin)
    left, low = sheet.at(-half, roof)
    right, _ = sheet.at(half, roof)
    high = sheet.at(0.0, top)[1]
    step = max(4.0, (low - high) / 14)
    rows = [high + step * k for k in range(1, int((low - high) / step))]
    picture.lines(
        "thread", ((left, y + step / 3, right, y - step / 3) for y in rows),
        stroke=style.paper, stroke_width=thin,
    )  # fmt: skip
    block(
        picture, sheet, "plug-hexagon", -1.7 * half, top - 0.035 * bore, 3.4 * half, 0.035 * bore,
        fill=SATIN, stroke_width=thin,
    )  # fmt: skip
    block(
        picture, sheet, "plug-insulator", -0.8 * half, top - ABOVE * bore, 1.6 * half,
        (ABOVE - 0.035) * bore, fill=style.paper, stroke_width=thin,
    )  # fmt: skip
