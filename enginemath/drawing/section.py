"""The cylinder in section at any crank angle, to scale, with dimension lines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath import geometry
from enginemath.drawing import equivalents, words
from enginemath.drawing.palette import SCREEN, Style
from enginemath.drawing.piston import Piston, draw_crevice, draw_piston, piston
from enginemath.drawing.scales import Sheet, preferred
from enginemath.drawing.svg import Picture, around
from enginemath.drawing.typeface import LINE, text_width

WIDTH, HEIGHT = 600.0, 600.0
_HEAD, _WALL, _LINER = 0.10, 0.13, 0.10
_LENS = 4.6
"""Radius of the lens, in the height of the type."""
_LENS_SCALES = (500, 200, 100, 50, 20, 10, 5, 2)


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

    @property
    def drop(self) -> float:
        """How far the piston stands below its top dead centre, mm.

        >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, rod_length=145.0, angle=90.0)
        >>> round(view.drop, 3)
        51.167
        """
        if self.rod_length is None:
            return self.stroke / 2 * (1 - geometry.cos(self.angle))
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


def section(
    view: SectionView,
    *,
    unit: str = "mm",
    crank: bool = True,
    scale: float | None = None,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw the cylinder in section.

    Args:
        view: what is shown.
        unit: ``mm`` or ``in``, for the dimensions.
        crank: whether rod and crank are shown, where the rod is known.
        scale: px for one mm; by default the largest preferred number that fits.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35)
    >>> section(view).title
    'Cylinder in section, crank 0.0° after TDC'
    """
    width, height = size or (WIDTH * style.frame, HEIGHT * style.frame)
    title = f"Cylinder in section, crank {words.crank(view.angle)}"
    described = _description(view, unit)
    picture = Picture(
        "section", width, height, title=title, description=described, key=key, style=style
    )
    cylinder = _Cylinder(view, crank)
    text = style.text
    column = width - _column_width(view, unit, style)
    top = 3.0 * text
    for margin in (7.6 * text, 10.6 * text):
        room = column - margin - 2 * text, height - top - 1.2 * text
        fits = min(room[0] / cylinder.width, room[1] / cylinder.height)
        used = scale or preferred(fits)
        if view.stroke * used > 4.6 * text:
            break
    sheet = Sheet(
        margin + (column - 2 * text - margin) / 2,
        top - cylinder.top * used + max(0.0, room[1] - cylinder.height * used) * 0.25,
        used,
    )
    _draw_cylinder(picture, sheet, cylinder, view.drop)
    if cylinder.crank:
        _draw_crank(picture, sheet, cylinder)
    _dimensions(picture, sheet, cylinder, unit)
    ends = _callouts(picture, sheet, cylinder, column)
    foot = _lens(picture, sheet, cylinder, column, ends, unit)
    _footing(picture, sheet, view, column, foot, unit)
    return picture


class _Cylinder:
    """Everything that is drawn, in mm below the deck and right of the bore's centre line."""

    def __init__(self, view: SectionView, crank: bool) -> None:
        self.view = view
        self.chamber = equivalents.chamber(view.chamber, view.bore)
        self.piston: Piston = piston(
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
            reach = ((view.rod_length + radius) ** 2 - view.pin_offset**2) ** 0.5
            self.crank_centre = view.deck_clearance + self.piston.pin_depth + reach
            self.journal = 0.13 * bore
            self.bottom = max(self.bottom, self.crank_centre + radius + self.journal)
            half = max(half, radius + self.journal)
        self.width, self.height = 2 * half, self.bottom - self.top


def _draw_cylinder(picture: Picture, sheet: Sheet, cylinder: _Cylinder, drop: float) -> None:
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
    picture.shape("head", [sheet.at(*p) for p in head], fill=metal)
    picture.shape("chamber", [sheet.at(*p) for p in head[3:7]], fill=picture.hatch("chamber"))

    def band(
        kind: str,
        left: float,
        right: float,
        above: float,
        below: float,
        fill: str,
        **look: str | float,
    ) -> None:
        x, y = sheet.at(left, above)
        picture.rect(
            kind,
            x,
            y,
            (right - left) * sheet.scale,
            (below - above) * sheet.scale,
            fill=fill,
            **look,
        )

    for side in (-1, 1):
        left, right = sorted((side * radius, side * outer))
        band("wall", left, right, 0.0, cylinder.liner, metal)
    band("gasket", -opening, opening, face, 0.0, picture.hatch("gasket"), stroke="none")
    for side in (-1, 1):
        left, right = sorted((side * opening, side * outer))
        band("gasket-body", left, right, face, 0.0, style.quiet, stroke="none")
    if view.deck_clearance > 0:
        band(
            "deck", -radius, radius, 0.0, view.deck_clearance, picture.hatch("deck"), stroke="none"
        )
    if drop > 0:
        band(
            "swept",
            -radius,
            radius,
            view.deck_clearance,
            edge,
            picture.hatch("swept"),
            stroke="none",
        )
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
    x, y = sheet.at(view.pin_offset, edge + cylinder.piston.pin_depth)
    picture.circle(
        "pin", x, y, cylinder.piston.pin_radius * sheet.scale, fill=style.paper, stroke_width=thin
    )


def _draw_crank(picture: Picture, sheet: Sheet, cylinder: _Cylinder) -> None:
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


def _dimensions(picture: Picture, sheet: Sheet, cylinder: _Cylinder, unit: str) -> None:
    view, text, thin = cylinder.view, picture.style.text, picture.style.thin
    left, head = sheet.at(-view.bore / 2, cylinder.top)
    right, _ = sheet.at(view.bore / 2, 0)
    picture.dimension_across(
        left, right, head - 1.5 * text, f"bore {words.length(view.bore, unit)}", from_y=head
    )
    wall, tdc = sheet.at(-cylinder.outer, view.deck_clearance)
    _, bdc = sheet.at(0, view.deck_clearance + view.stroke)
    picture.dimension_upright(
        tdc, bdc, wall - 3.7 * text, f"stroke\n{words.length(view.stroke, unit)}", from_x=wall
    )
    for name, y, up in (("TDC", tdc, -0.6), ("BDC", bdc, 0.75)):
        picture.label(
            name,
            wall - 0.6 * text,
            y + up * text,
            anchor="end",
            kind="level",
            size=picture.style.small,
        )
    picture.lines(
        "level",
        ((left, tdc, right, tdc), (left, bdc, right, bdc)),
        stroke_width=thin,
        stroke_dasharray="9 3 2 3",
    )
    x, y = sheet.at(0, cylinder.top)
    _, foot = sheet.at(0, cylinder.liner)
    picture.lines(
        "centre",
        ((x, y - 4, x, foot),),
        stroke_width=thin,
        stroke_dasharray="12 3 2 3",
        stroke=picture.style.quiet,
    )


def _callouts(picture: Picture, sheet: Sheet, cylinder: _Cylinder, column: float) -> float:
    view, body, cone = cylinder.view, cylinder.piston, cylinder.chamber
    radius, edge = view.bore / 2, view.deck_clearance + view.drop
    notes = [
        ("chamber", 0.55 * cone.wide, cylinder.face - 0.6 * cone.height),
        ("gasket opening", 0.45 * radius, cylinder.face / 2),
    ]
    if view.deck_clearance > 0:
        notes.append(("deck clearance", 0.72 * radius, view.deck_clearance / 2))
    if view.drop * sheet.scale > 1:
        notes.append(("swept volume", 0.7 * radius, view.deck_clearance + view.drop / 2))
    if body.dish:
        notes.append(("dish", 0.5 * body.dish.narrow, edge + body.dish.height / 2))
    if body.dome:
        notes.append(("dome", 0.5 * body.dome.narrow, edge - body.dome.height / 2))
    if body.reliefs:
        notes.append(("valve reliefs", body.reliefs.apex, edge + body.reliefs.depth / 2))
    if body.land_clearance:
        gap = radius - body.land_clearance / 4
        notes.append(("ring-land crevice", gap, edge + 0.6 * body.land_height))
    text = picture.style.text
    return picture.callouts(
        [(name, *sheet.at(right, down)) for name, right, down in notes], column, 0.5 * text
    )


def _lens(
    picture: Picture, sheet: Sheet, cylinder: _Cylinder, column: float, above: float, unit: str
) -> float:
    """The gaps at the bore's edge, magnified, with the piston at top dead centre."""
    view, style, text = cylinder.view, picture.style, picture.style.text
    radius = _LENS * text
    x, y = column + radius, above + 0.8 * text + radius
    highest, lowest = cylinder.face, max(view.deck_clearance, 0.0)
    room = 0.9 * radius / ((lowest - highest) * sheet.scale)
    times = next((m for m in _LENS_SCALES if m <= room), 1)
    spot_x, spot_y = sheet.at(view.bore / 2, (highest + lowest) / 2)
    closer = sheet.scale * times
    inside = Sheet(x - view.bore / 2 * closer, y - (highest + lowest) / 2 * closer, closer)

    spot = radius / times
    picture.circle("spot", spot_x, spot_y, spot, stroke_width=style.thin)
    away = ((x - spot_x) ** 2 + (y - spot_y) ** 2) ** 0.5
    across, down = (x - spot_x) / away, (y - spot_y) / away
    picture.lines(
        "spot-line",
        ((spot_x + across * spot, spot_y + down * spot, x - across * radius, y - down * radius),),
        stroke_width=style.thin,
    )
    picture.circle("lens", x, y, radius, fill=style.paper)
    picture.open_lens(x, y, radius)
    _draw_cylinder(picture, inside, cylinder, 0.0)
    picture.close_lens()
    picture.circle("lens", x, y, radius)

    def level(down: float) -> tuple[float, float]:
        """The height of a level in the lens, and where the lens ends there."""
        _, height = inside.at(0.0, down)
        return height, x + max(radius**2 - (height - y) ** 2, 0.0) ** 0.5

    (face, face_end), (deck, deck_end), (edge, edge_end) = map(
        level, (cylinder.face, 0.0, view.deck_clearance)
    )
    picture.lines(
        "level", ((x, edge, edge_end, edge),), stroke_width=style.thin, stroke_dasharray="9 3 2 3"
    )
    near = x + radius + 0.8 * text
    far = near + 1.0 * text
    picture.gap_upright(face, deck, near, from_x=face_end)
    picture.gap_upright(min(deck, edge), max(deck, edge), far, from_x=deck_end)
    beside = far + 1.4 * text
    for name, mm, height, middle, line in (
        ("gasket", view.gasket_thickness, (face + deck) / 2, y - 2.2 * text, near),
        ("deck clearance", view.deck_clearance, (deck + edge) / 2, y + 1.2 * text, far),
    ):
        picture.trace("leader", ((line, height), (beside - 3, middle)), stroke_width=style.thin)
        picture.label(
            f"{name}\n{words.length(mm, unit)}", beside, middle, size=style.small, kind="measure"
        )
    foot = y + radius + 0.9 * text
    picture.label(f"magnified {times} times, piston at TDC", column, foot, size=style.small)
    foot += LINE * style.text
    picture.label(
        f"squish clearance {words.length(view.squish, unit)}", column, foot, kind="measure"
    )
    return foot + text


def _footing(
    picture: Picture, sheet: Sheet, view: SectionView, column: float, above: float, unit: str
) -> None:
    """Where the crank stands, and a scale bar."""
    text = picture.style.text
    y = max(above + 1.5 * text, picture.height - 6.0 * text)
    picture.label(f"crank {words.crank(view.angle)}", column, y, bold=True)
    picture.label(f"piston {words.length(view.drop, unit)} below TDC", column, y + LINE * text)
    room = picture.width - column - 8 * text
    picture.scale_bar(column, picture.height - 1.6 * text, sheet.scale, room, unit)


def _column_width(view: SectionView, unit: str, style: Style) -> float:
    """Room on the right for the lens and its labels."""
    widest = max(
        text_width(line, style.small)
        for line in ("deck clearance", words.length(view.deck_clearance, unit))
    )
    return (2 * _LENS + 0.8 + 1.0 + 1.4) * style.text + widest + 6


def _description(view: SectionView, unit: str) -> str:
    length, volume = words.length, words.volume
    crown = "flat"
    if view.dish:
        crown = f"{'dish' if view.dish > 0 else 'dome'} {volume(abs(view.dish), unit)}"
    told = [
        f"bore {length(view.bore, unit)}, stroke {length(view.stroke, unit)}",
        f"chamber {volume(view.chamber, unit)}",
        f"gasket {length(view.gasket_thickness, unit)} thick",
        f"gasket opening {length(view.gasket_bore, unit)}",
        f"deck clearance {length(view.deck_clearance, unit)}",
        f"squish clearance {length(view.squish, unit)}",
        f"crown {crown}"
        + (f", valve reliefs {volume(view.reliefs, unit)}" if view.reliefs else ""),
    ]
    if view.land_height and view.land_clearance:
        land, gap = length(view.land_height, unit), length(view.land_clearance, unit)
        told.append(f"ring land {land} high with {gap} clearance")
    if view.rod_length is not None:
        told.append(f"rod {length(view.rod_length, unit)}")
    told.append(f"piston {length(view.drop, unit)} below top dead centre")
    how = "" if view.rod_length is not None else " No rod length: motion as on a very long rod."
    return (
        f"{'; '.join(told)}.{how} To scale; chamber, dish, dome and reliefs are drawn as plain "
        "shapes of the same volume."
    )
