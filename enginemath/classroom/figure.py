"""The drawings on a worksheet: the cylinder with the readings on it, and the known-depth pour.

Only what was read is drawn to scale and labelled. What is to be found - the chamber, the crown -
is a plain shape of a common size, the same on every sheet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from enginemath.classroom.assignment import Assignment
from enginemath.drawing import dimensions
from enginemath.drawing.cylinder import Cylinder, SectionView, draw_cylinder
from enginemath.drawing.known_depth import KnownDepthView, known_depth
from enginemath.drawing.palette import SCREEN, Style
from enginemath.drawing.scales import Sheet
from enginemath.drawing.svg import Picture
from enginemath.geometry import disc

_FINE = 10.0
"""Px of a drawing for one px of the screen: whole px are then fine enough."""
_CHAMBER, _DISH, _DOME, _RELIEFS = 0.085, 0.014, -0.012, 0.004
"""Common sizes, in bore³."""
_BURETTE = 100.0


def page_style() -> Style:
    """The style of drawings on paper: as on the screen, in finer px."""
    sizes = ("text", "small", "heading", "line", "thin", "frame")
    return replace(SCREEN, name="page", **{name: _FINE * getattr(SCREEN, name) for name in sizes})


def figure(assignment: Assignment) -> str:
    """The engine in section at bottom dead centre, with its readings, as SVG text."""
    written = assignment.sheet.written
    style = page_style()
    cylinder = Cylinder(_view(assignment), crank=False)
    text, width = style.text, 450 * _FINE
    left, column, top = 8.6 * text, width - 13.6 * text, 3.0 * text
    scale = (column - 1.6 * text - left) / cylinder.width
    height = top + scale * cylinder.height + 0.4 * text
    picture = Picture(
        "givens",
        width,
        round(height),
        title="Cylinder in section, piston at bottom dead centre",
        description=_description(written),
        key="givens",
        style=style,
    )
    sheet = Sheet(left + scale * cylinder.width / 2, top - scale * cylinder.top, scale)
    draw_cylinder(picture, sheet, cylinder, cylinder.view.drop)
    _measures(picture, sheet, cylinder, written)
    _names(picture, sheet, cylinder, written, column)
    return whole_px(picture.svg())


def _view(assignment: Assignment) -> SectionView:
    r = assignment.readings
    written = assignment.sheet.written
    piston = written.get("piston", {})
    cube = r.bore**3 / 1000
    gasket_bore, thickness = r.gasket_bore or r.bore, r.thickness or 1.0
    shape = 0.0
    if "dome" in piston or "known_depth" in piston:
        shape = _DOME
    elif "dish" in piston:
        shape = _DISH
    # Gaps of less than a mm would hide behind their own outlines.
    return SectionView(
        bore=r.bore,
        stroke=r.stroke,
        chamber=_CHAMBER * cube,
        gasket_bore=gasket_bore + 1.5,
        gasket_thickness=thickness + 1.5,
        deck_clearance=r.decks[0] + 1.5,
        dish=shape * cube,
        reliefs=_RELIEFS * cube if "reliefs" in piston else 0.0,
        land_height=r.land_height or None,
        land_clearance=r.land_clearance + 0.8 if r.land_height else None,
        angle=180.0,
    )


def _measures(
    picture: Picture, sheet: Sheet, cylinder: Cylinder, written: Mapping[str, Any]
) -> None:
    view, text = cylinder.view, picture.style.text
    left, head = sheet.at(-view.bore / 2, cylinder.top)
    right, _ = sheet.at(view.bore / 2, 0)
    bore = written["cylinder"]["bore"]
    dimensions.across(picture, left, right, head - 1.7 * text, f"bore {bore}", from_y=head)
    wall, deck = sheet.at(-cylinder.outer, 0.0)
    _, tdc = sheet.at(0, view.deck_clearance)
    _, bdc = sheet.at(0, view.deck_clearance + view.stroke)
    depth = written["deck"].get("depth_at_bdc")
    said = f"depth at BDC\n{depth}" if depth else f"stroke\n{written['cylinder']['stroke']}"
    dimensions.upright(picture, deck if depth else tdc, bdc, wall - 4.6 * text, said, from_x=wall)
    levels = (("deck", deck, -0.1), ("TDC", tdc, 0.9), ("BDC", bdc, -0.7))
    for name, y, down in levels:
        picture.label(
            name,
            wall - 0.6 * text,
            y + down * text,
            anchor="end",
            kind="level",
            size=picture.style.small,
        )
    picture.lines(
        "level",
        ((left, tdc, right, tdc), (left, bdc, right, bdc)),
        stroke_width=picture.style.thin,
        stroke_dasharray=f"{9 * _FINE:g} {3 * _FINE:g} {2 * _FINE:g} {3 * _FINE:g}",
    )


def _names(
    picture: Picture, sheet: Sheet, cylinder: Cylinder, written: Mapping[str, Any], column: float
) -> None:
    view, body, cone = cylinder.view, cylinder.piston, cylinder.chamber
    radius, edge = view.bore / 2, view.deck_clearance + view.drop
    gasket = written["gasket"]
    notes = [
        ("chamber", 0.5 * cone.wide, cylinder.face - 0.6 * cone.height),
        (f"gasket bore {gasket['bore']}", 0.55 * radius, cylinder.face / 2),
        (f"{gasket['compressed_thickness']} compressed", radius + 2.0, cylinder.face / 2),
        (f"deck clearance {written['deck']['clearance']}", 0.75 * radius, view.deck_clearance / 2),
        ("swept volume", 0.6 * radius, view.deck_clearance + 0.5 * view.drop),
    ]
    piston = written.get("piston", {})
    if body.dome:
        notes.append(("dome", 0.3 * body.dome.narrow, edge - 0.5 * body.dome.height))
    if body.dish:
        notes.append(("dish", 0.3 * body.dish.narrow, edge + 0.5 * body.dish.height))
    if "reliefs" in piston and body.reliefs:
        notes.append(("valve reliefs", body.reliefs.apex, edge + 0.5 * body.reliefs.depth))
    if body.land_clearance:
        notes.append(("ring land", radius - body.land_clearance / 4, edge + 0.6 * body.land_height))
    places = [(name, *sheet.at(right, down)) for name, right, down in notes]
    dimensions.callouts(picture, places, column, sheet.at(0, cylinder.roof)[1])


def _description(written: Mapping[str, Any]) -> str:
    tables = {"bore": "cylinder", "stroke": "cylinder", "depth_at_bdc": "deck"}
    said = [
        f"{name.replace('_', ' ').replace('bdc', 'BDC')} {written[table][name]}"
        for name, table in tables.items()
        if name in written[table]
    ]
    gasket, deck = written["gasket"], written["deck"]["clearance"]
    said += [
        f"gasket bore {gasket['bore']}",
        f"gasket compressed {gasket['compressed_thickness']}",
        f"deck clearance {deck}",
    ]
    return (
        f"{', '.join(said)}. Bore and stroke to scale; the gaps are drawn wider than they are, "
        "chamber and crown as plain shapes."
    )


def pour_figure(assignment: Assignment) -> str | None:
    """The known-depth pour, its burette to be read, as SVG text; None where there is none."""
    r = assignment.readings
    if r.known_depth is None:
        return None
    cube = r.bore**3 / 1000
    view = KnownDepthView(
        bore=r.bore,
        depth=r.known_depth,
        poured=disc(r.bore, r.known_depth) / 1000 + _DOME * cube,
        reading=r.poured,
        dish=_DOME * cube,
        capacity=_BURETTE,
    )
    unit, size = "in" if r.in_inches else "mm", (560 * _FINE, 500 * _FINE)
    picture = known_depth(view, unit=unit, tell=False, size=size, key="pour", style=page_style())
    return whole_px(picture.svg())


_MEASURES = "x y cx cy r d points width height transform stroke-width font-size"
_COORDINATES = re.compile(rf'(?<= )({_MEASURES.replace(" ", "|")})="([^"]*)"')
_DECIMAL = re.compile(r"-?\d*\.\d+")


def whole_px(svg: str) -> str:
    """The same drawing in whole px: no coordinate can be taken for an answer.

    >>> whole_px('<rect x="12.34" stroke-width="13.5"/><text>9.83 cc</text>')
    '<rect x="12" stroke-width="14"/><text>9.83 cc</text>'
    """

    def rounded(attribute: re.Match[str]) -> str:
        whole = _DECIMAL.sub(lambda number: str(round(float(number[0]))), attribute[2])
        return f'{attribute[1]}="{whole}"'

    return re.sub(r"<[^>]*>", lambda tag: _COORDINATES.sub(rounded, tag[0]), svg)
