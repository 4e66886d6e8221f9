"""A piston in section: true at its crown, edge and land; below them by common proportions."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.stand_in_shapes import CutCone, Ring
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.scales import DrawingSheet, block, outline
from enginemath.drawing.paper.svg import Picture, Point

LAND = 0.07
"""Ring land's height where none was measured, of the bore."""
_UNDER_CROWN, _WALL, _PIN_RADIUS, _PIN_DEPTH, _SKIRT = 0.12, 0.085, 0.115, 0.38, 0.34
_RING, _RING_STEP, _RING_DEPTH = 0.022, 0.055, 0.035


@dataclass(frozen=True)
class DrawnPiston:
    """A piston's outline, mm, measured down from the crown's edge."""

    bore: float
    dish: CutCone | None
    dome: CutCone | None
    reliefs: Ring | None
    land_height: float
    land_clearance: float

    @property
    def crown_depth(self) -> float:
        """How far the crown's deepest point lies below its edge."""
        return max(
            self.dish.height if self.dish else 0.0, self.reliefs.depth if self.reliefs else 0.0
        )

    @property
    def pin_depth(self) -> float:
        """How far the pin's centre lies below the crown's edge."""
        return max(
            _PIN_DEPTH * self.bore,
            self.crown_depth + (_UNDER_CROWN + _PIN_RADIUS + 0.05) * self.bore,
            self.land_height + (2 * _RING_STEP + 0.08) * self.bore,
        )

    @property
    def length(self) -> float:
        """How far the skirt's end lies below the crown's edge."""
        return self.pin_depth + _SKIRT * self.bore

    @property
    def pin_radius(self) -> float:
        """The radius of the piston pin."""
        return _PIN_RADIUS * self.bore


def drawn_piston(
    bore: float,
    dish: float,
    reliefs: float,
    land_height: float | None,
    land_clearance: float | None,
    chamber: CutCone,
    chamber_volume: float,
) -> DrawnPiston:
    """The piston drawn for a crown of known volume.

    Args:
        bore, land_height, land_clearance: mm.
        dish: cc; negative for a dome.
        reliefs: cc.
        chamber: the shape that a dome repeats.
        chamber_volume: cc.
    """
    sunk = stand_in_shapes.dish(dish, bore) if dish > 0 else None
    raised = stand_in_shapes.dome(-dish, chamber, chamber_volume) if dish < 0 else None
    inside = max(sunk.wide if sunk else 0.0, raised.wide if raised else 0.0)
    ring = stand_in_shapes.reliefs(reliefs, bore, inside) if reliefs > 0 else None
    return DrawnPiston(bore, sunk, raised, ring, land_height or LAND * bore, land_clearance or 0.0)


def profile(body: DrawnPiston) -> list[Point]:
    """The piston's whole outline, mm right of its middle and below its edge."""
    bore_radius = body.bore / 2
    land = bore_radius - body.land_clearance / 2
    cavity = body.crown_depth + _UNDER_CROWN * body.bore
    inner = bore_radius - _WALL * body.bore
    half_cavity = bore_radius * 0.55

    crown: list[Point] = []
    if body.reliefs:
        ring = body.reliefs
        crown += [(ring.outer, 0.0), (ring.apex, ring.depth), (ring.inner, 0.0)]
    if body.dish:
        crown += [(body.dish.wide, 0.0), (body.dish.narrow, body.dish.height)]
    right = [
        *reversed(crown),
        (land, 0.0),
        (land, body.land_height),
        (bore_radius, body.land_height),
        (bore_radius, body.length),
        (inner, body.length),
        (inner, cavity + 0.1 * body.bore),
        (half_cavity, cavity),
    ]
    return right + [(-x, y) for x, y in reversed(right)]


def draw_piston(
    picture: Picture,
    sheet: DrawingSheet,
    body: DrawnPiston,
    edge: float,
    line: float | None = None,
) -> None:
    """Draw a piston with its crown's edge at a depth below the sheet's origin, mm.

    Args:
        line: px of its outline; by default a thin one.
    """
    width = picture.style.thin if line is None else line

    def draw(kind: str, points: list[Point], fill: str) -> None:
        below = [(x, edge + y) for x, y in points]
        outline(picture, sheet, kind, below, fill=fill, stroke_width=width)

    metal, crown_fill = picture.hatch("metal"), picture.hatch("crown")
    draw("piston", profile(body), metal)
    _rings(picture, sheet, body, edge)
    for cone, kind, sign in ((body.dish, "dish", 1), (body.dome, "dome", -1)):
        if cone:
            deep = sign * cone.height
            corners = [
                (-cone.wide, 0.0),
                (cone.wide, 0.0),
                (cone.narrow, deep),
                (-cone.narrow, deep),
            ]
            draw(kind, corners, crown_fill)
    if body.reliefs:
        ring = body.reliefs
        notch = [(ring.inner, 0.0), (ring.outer, 0.0), (ring.apex, ring.depth)]
        for side in (-1, 1):
            draw("relief", [(side * x, y) for x, y in notch], crown_fill)


def draw_crevice(picture: Picture, sheet: DrawingSheet, body: DrawnPiston, edge: float) -> None:
    """Draw the gap between ring land and bore."""
    if not body.land_clearance:
        return
    fill = picture.hatch("crevice")
    land = body.bore / 2 - body.land_clearance / 2
    gap = body.land_clearance / 2, body.land_height
    for left in (-body.bore / 2, land):
        block(picture, sheet, "crevice", left, edge, *gap, fill=fill, stroke="none")


def draw_pin(
    picture: Picture, sheet: DrawingSheet, body: DrawnPiston, edge: float, offset: float = 0.0
) -> None:
    """Draw the piston pin, its centre mm right of the piston's centre line."""
    x, y = sheet.at(offset, edge + body.pin_depth)
    radius, style = body.pin_radius * sheet.scale, picture.style
    picture.circle("pin", x, y, radius, fill=style.paper, stroke_width=style.thin)


def _rings(picture: Picture, sheet: DrawingSheet, body: DrawnPiston, edge: float) -> None:
    bore_radius, deep = body.bore / 2, _RING_DEPTH * body.bore
    drawn = ""
    for number in range(3):
        top = edge + body.land_height + number * _RING_STEP * body.bore
        for left in (-bore_radius, bore_radius - deep):
            x, y = sheet.at(left, top)
            wide, high = deep * sheet.scale, _RING * body.bore * sheet.scale
            drawn += f"M{px(x)} {px(y)}h{px(wide)}v{px(high)}h{px(-wide)}Z"
    picture.path("rings", drawn, fill=picture.style.ink, stroke="none")
