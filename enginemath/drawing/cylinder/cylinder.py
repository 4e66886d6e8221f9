"""One cylinder in section: where everything stands in mm, and its outlines on the paper."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.piston import (
    draw_crevice,
    draw_pin,
    draw_piston,
    drawn_piston,
)
from enginemath.drawing.paper.scales import DrawingSheet, block, outline
from enginemath.drawing.paper.svg import Picture, Point, around
from enginemath.formulas import geometry

_HEAD, _WALL, _LINER = 0.10, 0.13, 0.10
"""Head above the chamber, wall and end of the liner below the pin, of the bore."""


@dataclass(frozen=True)
class SectionView:
    """What a section shows: lengths in mm, volumes in cc, angles in degrees.

    Args:
        bore, stroke: of the cylinder.
        chamber: volume in the head.
        gasket_bore, gasket_thickness: the opening, and the compressed thickness.
        deck_clearance: positive where the piston stands below the deck at top dead centre.
        dish: volume; negative for a dome.
        reliefs: volume of the valve reliefs.
        land_height, land_clearance: from the crown's edge to the top ring, and the gap across.
        rod_length: centre to centre; without it the piston moves as on a very long rod.
        pin_offset: positive towards the side the crank turns to after top dead centre.
        angle: of the crank after top dead centre.
        gasket_poured: volume of an opening that was poured; its thickness is then as drawn, and
            nobody measured it.
    """

    bore: float
    stroke: float
    chamber: float
    gasket_bore: float
    gasket_thickness: float
    deck_clearance: float
    dish: float = 0.0
    reliefs: float = 0.0
    land_height: float | None = None
    land_clearance: float | None = None
    rod_length: float | None = None
    pin_offset: float = 0.0
    angle: float = 0.0
    gasket_poured: float | None = None

    @property
    def drop(self) -> float:
        """How far the piston stands below its top dead centre, mm.

        >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, rod_length=145.0, angle=90.0)
        >>> round(view.drop, 3)
        51.167
        """
        if self.rod_length is None:
            return geometry.cosine_drop(self.stroke, self.angle)
        return geometry.piston_drop(self.crank_radius, self.rod_length, self.angle, self.pin_offset)

    @property
    def crank_radius(self) -> float:
        """Half the stroke, or a little less where the pin is offset, mm."""
        if self.rod_length is None:
            return self.stroke / 2
        return geometry.crank_radius(self.stroke, self.rod_length, self.pin_offset)

    @property
    def crank_direction(self) -> float:
        """Where the crank pin stands, degrees clockwise from above.

        With a pin offset the crank has turned asin(e/(l+r)) when the piston is at the top.
        """
        if self.rod_length is None:
            return self.angle
        lean = math.asin(self.pin_offset / (self.rod_length + self.crank_radius))
        return self.angle + math.degrees(lean)

    @property
    def squish(self) -> float:
        """Squish clearance: deck clearance and gasket thickness, mm."""
        return self.deck_clearance + self.gasket_thickness


class Edges(NamedTuple):
    """Where the edges of a drawn cylinder stand on the paper, px."""

    left: float
    """The bore's left edge; `right` is its right edge."""
    right: float
    wall: float
    """The outside, on the left."""
    head: float
    """The head's top."""
    deck: float
    tdc: float
    """The crown's edge at top dead centre; `bdc` at bottom dead centre."""
    bdc: float


class DrawnCylinder:
    """Everything that is drawn, in mm below the deck and right of the bore's centre line."""

    def __init__(self, view: SectionView, crank: bool) -> None:
        self.view = view
        self.chamber = stand_in_shapes.chamber(view.chamber, view.bore)
        self.piston = drawn_piston(
            view.bore,
            view.dish,
            view.reliefs,
            view.land_height,
            view.land_clearance,
            self.chamber,
            view.chamber,
        )
        bore = view.bore
        self.face = -view.gasket_thickness
        self.roof = self.face - self.chamber.height
        self.top = self.roof - _HEAD * bore
        self.outer = max(bore, view.gasket_bore) / 2 + _WALL * bore
        lowest_edge = view.deck_clearance + view.stroke
        self.liner = lowest_edge + self.piston.pin_depth + _LINER * bore
        self.bottom = lowest_edge + self.piston.length
        self.crank = crank and view.rod_length is not None
        half = self.outer
        if self.crank and view.rod_length is not None:
            radius = view.crank_radius
            pin_at_top = view.deck_clearance + self.piston.pin_depth
            self.crank_centre = pin_at_top + geometry.reach(
                view.rod_length + radius, view.pin_offset
            )
            self.journal = 0.13 * bore
            self.bottom = max(self.bottom, self.crank_centre + radius + self.journal)
            half = max(half, radius + self.journal)
        self.width, self.height = 2 * half, self.bottom - self.top

    def edges(self, sheet: DrawingSheet) -> Edges:
        """Where the edges stand that dimensions are drawn from.

        >>> cylinder = DrawnCylinder(SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35), crank=False)
        >>> edges = cylinder.edges(DrawingSheet(100.0, 50.0, 2.0))
        >>> edges.left, edges.right, edges.deck, round(edges.bdc - edges.tdc, 9)
        (8.0, 192.0, 50.0, 177.0)
        """
        view = self.view
        left, head = sheet.at(-view.bore / 2, self.top)
        right, deck = sheet.at(view.bore / 2, 0.0)
        wall, tdc = sheet.at(-self.outer, view.deck_clearance)
        _, bdc = sheet.at(0.0, view.deck_clearance + view.stroke)
        return Edges(left, right, wall, head, deck, tdc, bdc)

    def spots(self, sheet: DrawingSheet, out: Mapping[str, float]) -> dict[str, Point]:
        """A spot on each part that can be seen, for its name to point at.

        Args:
            sheet: where the cylinder is drawn.
            out: by part, how far right of the centre line, as a share of the part's half width;
                ``reliefs`` and ``land`` are narrow and need none.

        Returns:
            By part, from the top down: ``chamber``, ``gasket``, ``deck``, ``swept``, ``dish``,
            ``dome``, ``reliefs``, ``land``.
        """
        view, body, cone = self.view, self.piston, self.chamber
        radius, drop = view.bore / 2, view.drop
        edge = view.deck_clearance + drop
        spots = {
            "chamber": (out["chamber"] * cone.wide, self.face - 0.6 * cone.height),
            "gasket": (out["gasket"] * radius, self.face / 2),
        }
        if view.deck_clearance > 0:
            spots["deck"] = out["deck"] * radius, view.deck_clearance / 2
        if drop * sheet.scale > 1:
            spots["swept"] = out["swept"] * radius, view.deck_clearance + drop / 2
        if body.dish:
            spots["dish"] = out["dish"] * body.dish.narrow, edge + body.dish.height / 2
        if body.dome:
            spots["dome"] = out["dome"] * body.dome.narrow, edge - body.dome.height / 2
        if body.reliefs:
            spots["reliefs"] = body.reliefs.apex, edge + body.reliefs.depth / 2
        if body.land_clearance:
            spots["land"] = radius - body.land_clearance / 4, edge + 0.6 * body.land_height
        return {part: sheet.at(right, down) for part, (right, down) in spots.items()}


def draw_cylinder(
    picture: Picture, sheet: DrawingSheet, cylinder: DrawnCylinder, drop: float
) -> None:
    view, style = cylinder.view, picture.style
    radius, opening, outer = view.bore / 2, view.gasket_bore / 2, cylinder.outer
    edge = view.deck_clearance + drop
    metal, thin = picture.hatch("metal"), style.thin
    cone, face, roof = cylinder.chamber, cylinder.face, cylinder.roof

    head = [
        (-outer, cylinder.top),
        (outer, cylinder.top),
        (outer, face),
        (cone.wide, face),
        (cone.narrow, roof),
        (-cone.narrow, roof),
        (-cone.wide, face),
        (-outer, face),
    ]
    outline(picture, sheet, "head", head, fill=metal)
    outline(picture, sheet, "chamber", head[3:7], fill=picture.hatch("chamber"))
    band = partial(block, picture, sheet)
    for left in (-outer, radius):
        band("wall", left, 0.0, outer - radius, cylinder.liner, fill=metal)
    thick, gasket = view.gasket_thickness, picture.hatch("gasket")
    band("gasket", -opening, face, view.gasket_bore, thick, fill=gasket, stroke="none")
    for left in (-outer, opening):
        band("gasket-body", left, face, outer - opening, thick, fill=style.quiet, stroke="none")
    if view.deck_clearance > 0:
        deck = picture.hatch("deck")
        band("deck", -radius, 0.0, view.bore, view.deck_clearance, fill=deck, stroke="none")
    if drop > 0:
        swept = picture.hatch("swept")
        band("swept", -radius, view.deck_clearance, view.bore, drop, fill=swept, stroke="none")
    draw_crevice(picture, sheet, cylinder.piston, edge)
    draw_piston(picture, sheet, cylinder.piston, edge)
    lines = (
        [(-outer, face, outer, face)]
        if cone.wide >= outer
        else [(-outer, face, -cone.wide, face), (cone.wide, face, outer, face)]
    )
    picture.lines(
        "face", [(*sheet.at(a, b), *sheet.at(c, d)) for a, b, c, d in lines], stroke_width=thin
    )
    draw_pin(picture, sheet, cylinder.piston, edge, view.pin_offset)


def draw_dead_centres(
    picture: Picture, edges: Edges, *, tdc: float, bdc: float, px: float = 1.0
) -> None:
    """A line across the bore at both dead centres, named beside the wall.

    Args:
        tdc, bdc: how far each name stands below its line, in the height of the type.
        px: of the picture for one px of the screen.
    """
    name_level(picture, edges, "TDC", edges.tdc, tdc)
    name_level(picture, edges, "BDC", edges.bdc, bdc)
    picture.lines(
        "level",
        ((edges.left, y, edges.right, y) for y in (edges.tdc, edges.bdc)),
        stroke_width=picture.style.thin,
        stroke_dasharray=f"{9 * px:g} {3 * px:g} {2 * px:g} {3 * px:g}",
    )


def name_level(picture: Picture, edges: Edges, name: str, y: float, down: float) -> None:
    """The name of a level, beside the wall and so many heights of the type below the level."""
    x, size = edges.wall - 0.6 * picture.style.text, picture.style.small
    below = y + down * picture.style.text
    picture.label(name, x, below, anchor="end", kind="level", size=size)


def draw_crank(picture: Picture, sheet: DrawingSheet, cylinder: DrawnCylinder) -> None:
    view, style, light = cylinder.view, picture.style, picture.style.quiet
    edge = view.deck_clearance + view.drop
    piston_pin = sheet.at(view.pin_offset, edge + cylinder.piston.pin_depth)
    centre = sheet.at(0.0, cylinder.crank_centre)
    radius = view.crank_radius * sheet.scale
    crank_pin = around(*centre, radius, view.crank_direction)
    journal = cylinder.journal * sheet.scale
    picture.circle(
        "crank-circle",
        *centre,
        radius,
        stroke=light,
        stroke_width=style.thin,
        stroke_dasharray="6 3",
    )
    for kind, start, weight in (("crank", centre, 1.1), ("rod", piston_pin, 0.8)):
        picture.lines(
            kind,
            ((*start, *crank_pin),),
            stroke=light,
            stroke_width=weight * journal,
            stroke_linecap="round",
            stroke_opacity="0.35",
        )
    pin = cylinder.piston.pin_radius * sheet.scale
    for kind, (x, y), size in (
        ("crank-journal", centre, journal),
        ("crank-pin", crank_pin, 0.8 * journal),
        ("rod-end", piston_pin, pin),
    ):
        picture.circle(kind, x, y, size, fill=style.paper, stroke=light, stroke_width=style.thin)
        picture.lines(
            "centre",
            ((x - 3, y, x + 3, y), (x, y - 3, x, y + 3)),
            stroke=light,
            stroke_width=style.thin,
        )
