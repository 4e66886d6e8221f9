"""The engine as the largest thing on a page: one cylinder in section from its valves to its crank.

Bore, stroke, gaps, rod and volumes are to one scale; what was not measured has common proportions.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from enginemath.drawing.cylinder import open_head
from enginemath.drawing.cylinder.crank_train import CrankTrain, draw_crank_train
from enginemath.drawing.cylinder.cylinder import DrawnCylinder, SectionView
from enginemath.drawing.cylinder.piston import draw_crevice, draw_piston
from enginemath.drawing.paper.palette import STEEL
from enginemath.drawing.paper.scales import DrawingSheet, block, outline
from enginemath.drawing.paper.svg import Picture, Point

_PLAIN_HEAD = 0.12
"""Head above the roof where no valves are shown, of the bore."""


class LargeEngine:
    """What is drawn of one cylinder, mm below the deck and right of the bore's centre line.

    Args:
        view: the cylinder, its crank at its angle.
        valves: whether the head is cut open above the chamber.
        lift: how far the intake valve stands open, mm.
    """

    def __init__(self, view: SectionView, *, valves: bool = True, lift: float = 0.0) -> None:
        self.view, self.valves, self.lift = view, valves, lift
        self.shape = _shape(view)
        self.drop = view.drop
        self.edge = view.deck_clearance + self.drop
        head = open_head.HEIGHT if valves else _PLAIN_HEAD
        self.head_top = self.shape.roof - head * view.bore
        self.top = self.head_top - (open_head.ABOVE * view.bore if valves else 0.0)

    @property
    def train(self) -> CrankTrain | None:
        """Crank and rod, where the rod is known."""
        view, shape = self.view, self.shape
        if view.rod_length is None:
            return None
        return CrankTrain(
            view.bore,
            view.crank_radius,
            shape.crank_centre,
            view.crank_direction,
            (view.pin_offset, self.edge + shape.piston.pin_depth),
            shape.piston.pin_radius,
        )

    @property
    def bottom(self) -> float:
        """The lowest that anything gets, mm."""
        train = self.train
        return train.centre + train.reach if train else self.shape.bottom

    @property
    def half_width(self) -> float:
        """How far anything gets from the middle, mm."""
        train = self.train
        return max(self.shape.outer, train.reach if train else 0.0)

    @property
    def crown(self) -> float:
        """Where the piston's crown ends at its deepest, or a dome at its highest, mm."""
        body = self.shape.piston
        return self.edge - body.dome.height if body.dome else self.edge + body.crown_depth


@lru_cache(maxsize=64)
def _standing(view: SectionView) -> DrawnCylinder:
    return DrawnCylinder(view, crank=True)


def _shape(view: SectionView) -> DrawnCylinder:
    """The shapes of a cylinder, which do not move with its crank."""
    return _standing(replace(view, angle=0.0))


def draw_large_engine(
    picture: Picture, sheet: DrawingSheet, engine: LargeEngine, *, train: bool = True
) -> None:
    """Draw the engine, its piston where its crank has it.

    Args:
        train: whether rod and crank are shown.
    """
    moving = engine.train
    if train and moving:
        draw_crank_train(picture, sheet, moving)
    _spaces(picture, sheet, engine)
    _piston(picture, sheet, engine)
    _block(picture, sheet, engine)
    _head(picture, sheet, engine)


def _spaces(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    view, radius = engine.view, engine.view.bore / 2
    face, cone = engine.shape.face, engine.shape.chamber
    spaces = (
        ("gasket", view.gasket_bore / 2, face, view.gasket_thickness),
        ("deck", radius, 0.0, view.deck_clearance),
        ("swept", radius, view.deck_clearance, engine.drop),
    )
    for part, half, top, high in spaces:
        if high > 0:
            fill = picture.hatch(part)
            block(picture, sheet, part, -half, top, 2 * half, high, fill=fill, stroke="none")
    roof = engine.shape.roof
    chamber = [(-cone.wide, face), (cone.wide, face), (cone.narrow, roof), (-cone.narrow, roof)]
    fill = picture.hatch("chamber")
    outline(picture, sheet, "chamber", chamber, fill=fill, stroke="none")


def _piston(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    body, edge = engine.shape.piston, engine.edge
    draw_crevice(picture, sheet, body, edge)
    draw_piston(picture, sheet, body, edge, picture.style.line)
    x, y = sheet.at(engine.view.pin_offset, edge + body.pin_depth)
    picture.circle("pin", x, y, body.pin_radius * sheet.scale, fill=STEEL)
    picture.circle(
        "pin-bore", x, y, 0.45 * body.pin_radius * sheet.scale,
        fill=picture.style.paper, stroke_width=picture.style.thin,
    )  # fmt: skip


def _block(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    view, shape = engine.view, engine.shape
    radius, outer = view.bore / 2, shape.outer
    metal = picture.hatch("metal")
    opening, thick = view.gasket_bore / 2, view.gasket_thickness
    for left, body in ((-outer, -outer), (radius, opening)):
        block(picture, sheet, "wall", left, 0.0, outer - radius, shape.liner, fill=metal)
        block(
            picture, sheet, "gasket-body", body, shape.face, outer - opening, thick,
            fill="#4d4d4d", stroke="none",
        )  # fmt: skip


def _head(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    shape, cone = engine.shape, engine.shape.chamber
    outer, face, roof = shape.outer, shape.face, shape.roof
    points: list[Point] = [
        (-outer, engine.head_top), (outer, engine.head_top), (outer, face), (cone.wide, face),
        (cone.narrow, roof), (-cone.narrow, roof), (-cone.wide, face), (-outer, face),
    ]  # fmt: skip
    outline(picture, sheet, "head", points, fill=picture.hatch("metal"))
    if engine.valves:
        bore = engine.view.bore
        open_head.draw_open_head(picture, sheet, roof, cone, outer, bore, engine.lift)


def draw_ghost(picture: Picture, sheet: DrawingSheet, found: LargeEngine) -> None:
    """The outline of the spaces as they were found, dashed."""
    shape, cone, body = found.shape, found.shape.chamber, found.shape.piston
    dashed: dict[str, str | float] = {
        "stroke_width": 1.1 * picture.style.frame,
        "stroke_dasharray": f"{3 * picture.style.frame:g} {3 * picture.style.frame:g}",
    }
    above = [
        (-shape.outer, shape.face), (-cone.wide, shape.face), (-cone.narrow, shape.roof),
        (cone.narrow, shape.roof), (cone.wide, shape.face), (shape.outer, shape.face),
    ]  # fmt: skip
    picture.trace("ghost", [sheet.at(*point) for point in above], **dashed)
    edge, land = found.edge, found.view.bore / 2 - body.land_clearance / 2
    crown: list[Point] = [(land, edge + 0.05 * found.view.bore), (land, edge)]
    if body.reliefs:
        ring = body.reliefs
        crown += [(ring.outer, edge), (ring.apex, edge + ring.depth), (ring.inner, edge)]
    if body.dish:
        crown += [(body.dish.wide, edge), (body.dish.narrow, edge + body.dish.height)]
    if body.dome:
        crown += [(body.dome.wide, edge), (body.dome.narrow, edge - body.dome.height)]
    whole = crown + [(-x, y) for x, y in reversed(crown)]
    picture.trace("ghost", [sheet.at(*point) for point in whole], **dashed)


def mark_places(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    """Where each part of the engine is, for a ring to be put there."""
    view, shape, body = engine.view, engine.shape, engine.shape.piston
    radius = view.bore / 2
    least = 20.0 * picture.style.frame
    spots: dict[str, tuple[float, float, float]] = {
        "chamber": (0.0, (shape.face + shape.roof) / 2, 0.6 * shape.chamber.height),
        "gasket": (view.gasket_bore / 2, shape.face / 2, view.gasket_thickness),
        "deck": (-radius, view.deck_clearance / 2, abs(view.deck_clearance)),
        "bore": (-radius, view.deck_clearance + 0.4 * view.stroke, 0.0),
        "stroke": (radius, view.deck_clearance + view.stroke, 0.0),
    }
    if engine.drop * sheet.scale > least:
        middle = view.deck_clearance + engine.drop / 2
        spots["swept"] = (0.0, middle, 0.4 * engine.drop)
    if body.dish:
        spots["crown"] = (0.0, engine.edge + body.dish.height / 2, 0.7 * body.dish.height)
    elif body.dome:
        spots["crown"] = (0.0, engine.edge - body.dome.height / 2, 0.7 * body.dome.height)
    else:
        spots["crown"] = (0.0, engine.edge, 0.0)
    if body.reliefs:
        spots["reliefs"] = (body.reliefs.apex, engine.edge, body.reliefs.depth)
    if body.land_clearance:
        spots["crevice"] = (radius, engine.edge + body.land_height / 2, body.land_height / 2)
    train = engine.train
    if train:
        spots["crank"] = (*train.crank_pin, train.big_end)
        middle_of_rod = [
            (a + b) / 2 for a, b in zip(train.crank_pin, train.piston_pin, strict=True)
        ]
        spots["rod"] = (middle_of_rod[0], middle_of_rod[1], 0.15 * view.bore)
    for part, (x, y, size) in spots.items():
        at = sheet.at(x, y)
        if 0 < at[0] < picture.width and 0 < at[1] < picture.height:
            picture.place_of(part, *at, max(least, size * sheet.scale + 8 * picture.style.frame))
