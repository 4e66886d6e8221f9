"""The cylinder in section at any crank angle, to scale, with dimension lines."""

from __future__ import annotations

from enginemath.drawing import dimensions, words
from enginemath.drawing.cylinder import Cylinder, SectionView, draw_crank, draw_cylinder
from enginemath.drawing.lens import draw_lens, lens_column
from enginemath.drawing.palette import SCREEN, Style
from enginemath.drawing.scales import Sheet, preferred
from enginemath.drawing.svg import Picture
from enginemath.drawing.typeface import LINE

__all__ = ["SectionView", "section"]

WIDTH, HEIGHT = 600.0, 600.0


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
    cylinder = Cylinder(view, crank)
    text = style.text
    column = width - lens_column(view, unit, style)
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
    draw_cylinder(picture, sheet, cylinder, view.drop)
    if cylinder.crank:
        draw_crank(picture, sheet, cylinder)
    _dimensions(picture, sheet, cylinder, unit)
    ends = _callouts(picture, sheet, cylinder, column)
    foot = draw_lens(picture, sheet, cylinder, column, ends, unit)
    _footing(picture, sheet, view, column, foot, unit)
    return picture


def _dimensions(picture: Picture, sheet: Sheet, cylinder: Cylinder, unit: str) -> None:
    view, text, thin = cylinder.view, picture.style.text, picture.style.thin
    left, head = sheet.at(-view.bore / 2, cylinder.top)
    right, _ = sheet.at(view.bore / 2, 0)
    dimensions.across(
        picture,
        left,
        right,
        head - 1.5 * text,
        f"bore {words.length(view.bore, unit)}",
        from_y=head,
    )
    wall, tdc = sheet.at(-cylinder.outer, view.deck_clearance)
    _, bdc = sheet.at(0, view.deck_clearance + view.stroke)
    dimensions.upright(
        picture,
        tdc,
        bdc,
        wall - 3.7 * text,
        f"stroke\n{words.length(view.stroke, unit)}",
        from_x=wall,
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


def _callouts(picture: Picture, sheet: Sheet, cylinder: Cylinder, column: float) -> float:
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
    return dimensions.callouts(
        picture, [(name, *sheet.at(right, down)) for name, right, down in notes], column, 0.5 * text
    )


def _footing(
    picture: Picture, sheet: Sheet, view: SectionView, column: float, above: float, unit: str
) -> None:
    """Where the crank stands, and a scale bar."""
    text = picture.style.text
    y = max(above + 1.5 * text, picture.height - 6.0 * text)
    picture.label(f"crank {words.crank(view.angle)}", column, y, bold=True)
    picture.label(f"piston {words.length(view.drop, unit)} below TDC", column, y + LINE * text)
    room = picture.width - column - 8 * text
    dimensions.scale_bar(picture, column, picture.height - 1.6 * text, sheet.scale, room, unit)


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
