"""The lens: gasket, deck clearance and ring land at the bore's edge, magnified."""

from __future__ import annotations

from enginemath.drawing.cylinder.cylinder import DrawnCylinder, SectionView, draw_cylinder
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import LINE, text_width
from enginemath.units import words

_LENS = 4.6
"""Radius of the lens, in the height of the type."""
_TIMES = (500, 200, 100, 50, 20, 10, 5, 2)


def draw_lens(
    picture: Picture,
    sheet: DrawingSheet,
    cylinder: DrawnCylinder,
    column: float,
    above: float,
    unit: str,
) -> float:
    """The gaps at the bore's edge, magnified, with the piston at top dead centre."""
    style, text, view = picture.style, picture.style.text, cylinder.view
    radius = _LENS * text
    x, y = column + radius, above + 0.8 * text + radius
    inside, times = _magnified(picture, sheet, cylinder, x, y, radius)
    _levels(picture, inside, cylinder, x, y, unit)
    foot = y + radius + 0.9 * text
    picture.label(f"magnified {times} times, piston at TDC", column, foot, size=style.small)
    foot += LINE * text
    known = view.gasket_poured is None
    squish = words.length(view.squish, unit) if known else "not known"
    picture.label(f"squish clearance {squish}", column, foot, kind="measure")
    return foot + text


def _magnified(
    picture: Picture,
    sheet: DrawingSheet,
    cylinder: DrawnCylinder,
    x: float,
    y: float,
    radius: float,
) -> tuple[DrawingSheet, int]:
    """The bore's edge as it stands in the lens: the lens's own sheet, and how often magnified."""
    view, style = cylinder.view, picture.style
    highest, lowest = cylinder.face, max(view.deck_clearance, 0.0)
    room = 0.9 * radius / ((lowest - highest) * sheet.scale)
    times = next((m for m in _TIMES if m <= room), 1)
    spot_x, spot_y = sheet.at(view.bore / 2, (highest + lowest) / 2)
    closer = sheet.scale * times
    inside = DrawingSheet(x - view.bore / 2 * closer, y - (highest + lowest) / 2 * closer, closer)

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
    picture.open_round_window(x, y, radius)
    draw_cylinder(picture, inside, cylinder, 0.0)
    picture.close_window()
    picture.circle("lens", x, y, radius)
    return inside, times


def _levels(
    picture: Picture, inside: DrawingSheet, cylinder: DrawnCylinder, x: float, y: float, unit: str
) -> None:
    """The two gaps in the lens, measured and named beside it."""
    view, style, text = cylinder.view, picture.style, picture.style.text
    radius = _LENS * text

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
    dimension_lines.gap_upright(picture, face, deck, near, from_x=face_end)
    dimension_lines.gap_upright(picture, min(deck, edge), max(deck, edge), far, from_x=deck_end)
    beside = far + 1.4 * text
    poured = view.gasket_poured
    gasket = words.length(view.gasket_thickness, unit) if poured is None else words.volume(poured)
    clearance = words.length(view.deck_clearance, unit)
    for said, height, middle, line in (
        (f"gasket\n{gasket}", (face + deck) / 2, y - 2.2 * text, near),
        (f"deck clearance\n{clearance}", (deck + edge) / 2, y + 1.2 * text, far),
    ):
        picture.trace("leader", ((line, height), (beside - 3, middle)), stroke_width=style.thin)
        picture.label(said, beside, middle, size=style.small, kind="measure")


def lens_column(view: SectionView, unit: str, style: Style) -> float:
    """Room on the right for the lens and its labels."""
    widest = max(
        text_width(line, style.small)
        for line in ("deck clearance", words.length(view.deck_clearance, unit))
    )
    return (2 * _LENS + 0.8 + 1.0 + 1.4) * style.text + widest + 6
