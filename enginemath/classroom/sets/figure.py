"""The drawings on a worksheet: the cylinder with its readings, the known-depth pour, the crank.

Only what was read is drawn to scale and labelled. What is to be found - the chamber, the crown -
is a plain shape of a common size, the same on every sheet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from enginemath.classroom.sets.assignment import Assignment
from enginemath.drawing.cylinder.cylinder import (
    DrawnCylinder,
    SectionView,
    draw_cylinder,
    draw_dead_centres,
    name_level,
)
from enginemath.drawing.cylinder.degree_wheel import degree_wheel
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.known_depth import KnownDepthView, known_depth
from enginemath.formulas.geometry import disc

_FINE = 10.0
"""Px of a drawing for one px of the screen: whole px are then fine enough."""
_CHAMBER, _DISH, _DOME, _RELIEFS = 0.085, 0.014, -0.012, 0.004
"""Common sizes, in bore³."""
_OUT = {"chamber": 0.5, "gasket": 0.55, "deck": 0.75, "swept": 0.6, "dish": 0.3, "dome": 0.3}
"""Where the leaders end: see `DrawnCylinder.spots`."""
_BURETTE = 100.0


def page_style() -> Style:
    """The style of drawings on paper: as on the screen, in finer px."""
    sizes = ("text", "small", "heading", "line", "thin", "frame")
    return replace(SCREEN, name="page", **{name: _FINE * getattr(SCREEN, name) for name in sizes})


@dataclass(frozen=True)
class Labels:
    """What is written at the parts of a cylinder in section.

    Args:
        bore: across the bore.
        upright: beside the stroke, or beside the depth from the deck.
        from_deck: whether it is measured from the deck.
        names: by part.
        says: the drawing in words.
    """

    bore: str
    upright: str
    from_deck: bool
    names: Mapping[str, str]
    says: str


def figure(assignment: Assignment) -> str:
    """The engine in section at bottom dead centre, with its readings, as SVG text."""
    return section(_view(assignment), _labels(assignment.sheet.written))


def section(view: SectionView, labels: Labels) -> str:
    """A cylinder in section at bottom dead centre, as SVG text."""
    style = page_style()
    cylinder = DrawnCylinder(view, crank=False)
    text, width = style.text, 450 * _FINE
    left, column, top = 8.6 * text, width - 13.6 * text, 3.0 * text
    scale = (column - 1.6 * text - left) / cylinder.width
    height = top + scale * cylinder.height + 0.4 * text
    picture = Picture(
        "givens",
        width,
        round(height),
        title="Cylinder in section, piston at bottom dead centre",
        description=labels.says,
        key="givens",
        style=style,
    )
    sheet = DrawingSheet(left + scale * cylinder.width / 2, top - scale * cylinder.top, scale)
    draw_cylinder(picture, sheet, cylinder, cylinder.view.drop)
    _measures(picture, sheet, cylinder, labels)
    _names(picture, sheet, cylinder, labels, column)
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
    picture: Picture, sheet: DrawingSheet, cylinder: DrawnCylinder, labels: Labels
) -> None:
    edges, text = cylinder.edges(sheet), picture.style.text
    above = edges.head - 1.7 * text
    dimension_lines.across(picture, edges.left, edges.right, above, labels.bore, from_y=edges.head)
    top = edges.deck if labels.from_deck else edges.tdc
    beside = edges.wall - 4.6 * text
    dimension_lines.upright(picture, top, edges.bdc, beside, labels.upright, from_x=edges.wall)
    name_level(picture, edges, "deck", edges.deck, -0.1)
    draw_dead_centres(picture, edges, tdc=0.9, bdc=-0.7, px=_FINE)


def _names(
    picture: Picture,
    sheet: DrawingSheet,
    cylinder: DrawnCylinder,
    labels: Labels,
    column: float,
) -> None:
    spots = cylinder.spots(sheet, _OUT)
    spots["gasket body"] = sheet.at(cylinder.view.bore / 2 + 2.0, cylinder.face / 2)
    places = [(name, *spots[part]) for part, name in labels.names.items() if part in spots]
    dimension_lines.callouts(picture, places, column, sheet.at(0, cylinder.roof)[1])


def _labels(written: Mapping[str, Any]) -> Labels:
    gasket, depth = written["gasket"], written["deck"].get("depth_at_bdc")
    upright = f"depth at BDC\n{depth}" if depth else f"stroke\n{written['cylinder']['stroke']}"
    names = {
        "chamber": "chamber",
        "gasket": f"gasket bore {gasket['bore']}",
        "gasket body": f"{gasket['compressed_thickness']} compressed",
        "deck": f"deck clearance {written['deck']['clearance']}",
        "swept": "swept volume",
        "dish": "dish",
        "dome": "dome",
        "reliefs": "valve reliefs",
        "land": "ring land",
    }
    bore = f"bore {written['cylinder']['bore']}"
    return Labels(bore, upright, bool(depth), names, _description(written))


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


def crank_figure(assignment: Assignment) -> str | None:
    """The crank as the intake closes, as SVG text; None where no cam is given."""
    r, written = assignment.readings, assignment.sheet.written
    if r.crank_at_closing is None or r.rod_length is None:
        return None
    names = {
        "rod": f"rod length {written['cylinder']['rod_length']}",
        "crank": "crank radius",
        "closes": f"intake closes {written['cam']['intake_closes']} after BDC",
    }
    picture = degree_wheel(
        r.crank_at_closing - 180,
        2 * r.rod_length / r.stroke,
        names,
        width=450 * _FINE,
        style=page_style(),
        key="wheel",
    )
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
