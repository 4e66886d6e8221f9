"""The cylinder in section at any crank angle, to scale, with dimension lines."""

from __future__ import annotations

from enginemath.drawing.cylinder.cylinder import (
    DrawnCylinder,
    SectionView,
    draw_crank,
    draw_cylinder,
    draw_dead_centres,
)
from enginemath.drawing.cylinder.lens import draw_lens, lens_column
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.scales import DrawingSheet, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import LINE
from enginemath.units import words

__all__ = ["SectionView", "section"]

WIDTH, HEIGHT = 600.0, 600.0
_NAMES = {
    "chamber": "chamber",
    "gasket": "gasket opening",
    "deck": "deck clearance",
    "swept": "swept volume",
    "dish": "dish",
    "dome": "dome",
    "reliefs": "valve reliefs",
    "land": "ring-land crevice",
}
_OUT = {"chamber": 0.55, "gasket": 0.45, "deck": 0.72, "swept": 0.7, "dish": 0.5, "dome": 0.5}
"""Where the leaders end: see `DrawnCylinder.spots`."""


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
    width, height = size or style.framed(WIDTH, HEIGHT)
    title = f"Cylinder in section, crank {words.crank(view.angle)}"
    described = _description(view, unit)
    picture = Picture(
        "section", width, height, title=title, description=described, key=key, style=style
    )
    cylinder = DrawnCylinder(view, crank)
    text = style.text
    column = width - lens_column(view, unit, style)
    top = 3.0 * text
    for margin in (7.6 * text, 10.6 * text):
        room = column - margin - 2 * text, height - top - 1.2 * text
        fits = min(room[0] / cylinder.width, room[1] / cylinder.height)
        used = scale or preferred(fits)
        if view.stroke * used > 4.6 * text:
            break
    sheet = DrawingSheet(
        margin + (column - 2 * text - margin) / 2,
        top - cylinder.top * used + max(0.0, room[1] - cylinder.height * used) * 0.25,
        used,
    )
    draw_cylinder(picture, sheet, cylinder, view.drop)
    if cylinder.crank:
        draw_crank(picture, sheet, cylinder)
    _dimensions(picture, sheet, cylinder, unit)
    ends = _callouts(picture, sheet, cylinder, column)
    foot = draw_lens(picture, sheet, cylinder, column, ends, unit)
    _footing(picture, sheet, view, column, foot, unit)
    return picture


def _dimensions(picture: Picture, sheet: DrawingSheet, cylinder: DrawnCylinder, unit: str) -> None:
    view, style, edges = cylinder.view, picture.style, cylinder.edges(sheet)
    bore, stroke = words.length(view.bore, unit), words.length(view.stroke, unit)
    dimension_lines.across(
        picture,
        edges.left,
        edges.right,
        edges.head - 1.5 * style.text,
        f"bore {bore}",
        from_y=edges.head,
    )
    dimension_lines.upright(
        picture,
        edges.tdc,
        edges.bdc,
        edges.wall - 3.7 * style.text,
        f"stroke\n{stroke}",
        from_x=edges.wall,
    )
    draw_dead_centres(picture, edges, tdc=-0.6, bdc=0.75)
    x, foot = sheet.at(0, cylinder.liner)
    picture.lines(
        "centre",
        ((x, edges.head - 4, x, foot),),
        stroke_width=style.thin,
        stroke_dasharray="12 3 2 3",
        stroke=style.quiet,
    )


def _callouts(
    picture: Picture, sheet: DrawingSheet, cylinder: DrawnCylinder, column: float
) -> float:
    places = [(_NAMES[part], *spot) for part, spot in cylinder.spots(sheet, _OUT).items()]
    return dimension_lines.callouts(picture, places, column, 0.5 * picture.style.text)


def _footing(
    picture: Picture, sheet: DrawingSheet, view: SectionView, column: float, above: float, unit: str
) -> None:
    """Where the crank stands, and a scale bar."""
    text = picture.style.text
    y = max(above + 1.5 * text, picture.height - 6.0 * text)
    picture.label(f"crank {words.crank(view.angle)}", column, y, bold=True)
    picture.label(f"piston {words.length(view.drop, unit)} below TDC", column, y + LINE * text)
    room = picture.width - column - 8 * text
    dimension_lines.scale_bar(picture, column, picture.height - 1.6 * text, sheet.scale, room, unit)


def _description(view: SectionView, unit: str) -> str:
    length, volume = words.length, words.volume
    crown = "flat"
    if view.dish:
        crown = f"{'dish' if view.dish > 0 else 'dome'} {volume(abs(view.dish))}"
    deck = f"deck clearance {length(view.deck_clearance, unit)}"
    if view.gasket_poured is None:
        gaps = [
            f"gasket {length(view.gasket_thickness, unit)} thick",
            f"gasket opening {length(view.gasket_bore, unit)}",
            deck,
            f"squish clearance {length(view.squish, unit)}",
        ]
    else:
        poured = volume(view.gasket_poured)
        gaps = [f"gasket opening {poured}, its thickness not known", deck]
    told = [
        f"bore {length(view.bore, unit)}, stroke {length(view.stroke, unit)}",
        f"chamber {volume(view.chamber)}",
        *gaps,
        f"crown {crown}" + (f", valve reliefs {volume(view.reliefs)}" if view.reliefs else ""),
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
