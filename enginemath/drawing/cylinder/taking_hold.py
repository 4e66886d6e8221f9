"""The top of the cylinder, large: chamber, gasket, deck and crown are taken and pulled.

A magnifier shows the gaps at the bore's edge where it is asked for; what was changed keeps its
outline as found, dashed; ratio and squish stand in large type below.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.grips import Grip, draw_grips
from enginemath.drawing.cylinder.large_engine import (
    LargeEngine,
    draw_ghost,
    draw_large_engine,
    mark_places,
)
from enginemath.drawing.cylinder.magnifier import Magnifier, draw_magnifier, magnified
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.large_line import STRIP, Said, draw_large_line, draw_said, said_of
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.units import fixed, words

WIDTH, HEIGHT = 956.0, 716.0
_COLUMN = 364.0
"""What stands free beside the engine for the magnifier and its dimensions, px of the page."""
_THIN = {
    "gasket": ("gasket", "gasket"),
    "deck": ("deck", "deck clearance"),
    "reliefs": ("reliefs", "valve reliefs"),
    "crevice": ("land", "ring-land crevice"),
}
"""Of each thin part, its spot in `DrawnCylinder.spots` and its name."""
_OUT = {"chamber": 0.0, "gasket": 0.985, "deck": 0.9, "swept": 0.9, "dish": 0.5, "dome": 0.5}


def taking_hold(
    cylinder: SectionView,
    lines: Sequence[LineView] = (),
    *,
    found: SectionView | None = None,
    grips: Sequence[Grip] = (),
    held: str = "",
    spoken: Collection[str] = (),
    lens: Collection[str] = (),
    guess: float | None = None,
    before: float | None = None,
    ring: str = "",
    lowered: float = 0.0,
    high: bool = False,
    strip: bool = False,
    said: Sequence[Said] = (),
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the cylinder's top with its piston at top dead centre.

    Args:
        cylinder: as it is now; its crank's angle is of no account.
        lines: numbers in large type below, the ratio first; the first one has its line drawn.
        found: as it was found; its outline is shown where anything differs.
        grips: what can be taken by hand.
        held: the part that is held: its own dimension is shown.
        spoken: parts whose names are written, of ``chamber``, ``gasket``, ``deck``, ``crown``,
            ``reliefs``, ``crevice``.
        lens: of ``gasket`` and ``deck``, which are measured in the magnifier; none, no magnifier.
        guess: of the first number; it stays on its line.
        before: the first number as found.
        ring: a part to look at.
        lowered: how far the deck was cut down, mm; the piston stays where it is.
        high: whether the magnifier stands high, with room below it.
        strip: whether room is left below for what the caller writes there.
        said: in large type in place of the numbers.
        unit: ``mm`` or ``in``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> from enginemath.drawing.paper.number_line import ratio_line, squish_line
    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35)
    >>> taking_hold(view, [ratio_line(9.06, (9.0, 9.5)), squish_line(1.45)]).title
    'Compression ratio 9.06, inside the band 9.00 to 9.50; squish clearance 1.450 mm, 0.300 above \
the band 0.900 to 1.150 mm'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    now = LargeEngine(replace(cylinder, angle=0.0), valves=False)
    past = LargeEngine(replace(found, angle=0.0), valves=False) if found else None
    changed = past is not None and past.view != now.view
    picture = Picture(
        "taking-hold",
        width,
        height,
        title=_title(lines),
        description=_description(cylinder, unit, changed),
        key=key,
        style=style,
    )
    text = style.text
    foot = height - (STRIP * style.frame if lines or strip else text)
    still = past if past and past.view.bore == now.view.bore else now
    roof = now.shape.roof - 0.3 * (now.shape.roof - now.head_top)
    sheet = _camera(picture, still, min(still.head_top, roof), foot)
    before_it, sheet = sheet, _lower(sheet, lowered)
    picture.open_window(0, 0, width, foot)
    draw_large_engine(picture, sheet, now)
    if past and changed:
        draw_ghost(picture, before_it, past)
    picture.close_window()
    deep = min(4.2 * text, foot / 8)
    picture.fade(0, foot - deep, width, deep + 1)
    mark_places(picture, sheet, now)
    glass = None
    wall = sheet.at(now.shape.outer, 0.0)[0]
    if lens:
        radius = 0.103 * width
        down = radius + 2.4 * text if high else 0.30 * foot + 2 * text
        glass = Magnifier(wall + 0.9 * text + radius, down, radius)
        closer = magnified(before_it, still, glass)
        widest = max(cylinder.gasket_thickness, abs(cylinder.deck_clearance))
        if widest * closer.scale > 0.85 * radius:  # pulled out of the glass
            closer = magnified(before_it, now, glass)
        dashed, closer = closer, _lower(closer, lowered)
        draw_magnifier(
            picture, sheet, closer, now, glass, lens, unit, past if changed else None, dashed
        )
        draw_grips(picture, grips, sheet, now, closer, (0.62 * radius, -0.58 * radius))
    else:
        draw_grips(picture, grips, sheet, now)
    if held in ("chamber", "crown"):
        _held(picture, sheet, now, held, unit)
    unmeasured = [part for part in spoken if part not in lens and part != held]
    _names(picture, sheet, now, unmeasured, glass, wall)
    if changed:
        _as_found(picture, wall, glass)
    if cylinder.gasket_poured is not None:
        _poured(picture, cylinder.gasket_poured, wall, glass)
    if lines:
        line = height - 3.2 * text
        draw_said(picture, said or _said(lines, cylinder), line - 4.4 * text)
        draw_large_line(picture, lines[0], line, guess=guess, before=before if changed else None)
    if ring:
        picture.look_here(ring)
    return picture


def _camera(picture: Picture, engine: LargeEngine, top: float, foot: float) -> DrawingSheet:
    """The engine as large as the room allows, its pin just above the strip below."""
    style, shape = picture.style, engine.shape
    text = style.text
    room = picture.width - _COLUMN * style.frame - 1.6 * text
    low = engine.edge + shape.piston.pin_depth + 0.25 * engine.view.bore
    above = 3.6 * text
    scale = min(room / (2 * shape.outer), (foot - above) / (low - top))
    left = 1.6 * text + room / 2
    return DrawingSheet(left, above - top * scale, scale)


def _lower(sheet: DrawingSheet, by: float) -> DrawingSheet:
    return replace(sheet, y=sheet.y + by * sheet.scale) if by else sheet


def _said(lines: Sequence[LineView], view: SectionView) -> list[Said]:
    names = {"compression ratio": "ratio", "squish clearance": "squish"}
    said = [
        said_of(line, names.get(line.name), drawn=number == 0) for number, line in enumerate(lines)
    ]
    return said if view.gasket_poured is None else [*said, Said("", "squish clearance not known")]


def _held(picture: Picture, sheet: DrawingSheet, engine: LargeEngine, part: str, unit: str) -> None:
    """How high or deep the held part is drawn."""
    shape, body, style = engine.shape, engine.shape.piston, picture.style
    if part == "chamber":
        a, b, across = shape.roof, shape.face, shape.chamber.narrow
    elif body.dish or body.dome:
        across = (body.dish or body.dome).narrow  # type: ignore[union-attr]
        a, b = sorted((engine.edge, engine.crown))
    else:
        return
    x = sheet.at(-0.55 * across, 0.0)[0]
    top, bottom = sheet.at(0.0, a)[1], sheet.at(0.0, b)[1]
    dimension_lines.gap_upright(picture, top, bottom, x, from_x=x)
    deep = words.length(b - a, "in") if unit == "in" else f"{fixed(b - a, 1)} mm"
    below = part == "crown" and not body.dome
    y = bottom + 2.0 * style.text if below else (top + bottom) / 2
    picture.label(deep, x - 0.7 * style.text, y, anchor="end", kind="measure")


def _names(
    picture: Picture,
    sheet: DrawingSheet,
    engine: LargeEngine,
    spoken: Collection[str],
    glass: Magnifier | None,
    wall: float,
) -> None:
    """The names of the parts that are spoken of: in or at the large ones, a line to thin ones."""
    text = picture.style.text
    spots = engine.shape.spots(sheet, _OUT)
    beside = []
    for part in spoken:
        if part in ("chamber", "crown"):
            _name_in_place(picture, sheet, engine, part)
        elif part in _THIN and _THIN[part][0] in spots:
            spot, name = _THIN[part]
            beside.append((name, *spots[spot]))
    if beside:
        top = glass.y + glass.radius + 4.0 * text if glass else 3.6 * text
        beside.sort(key=lambda note: note[2])
        dimension_lines.callouts(picture, beside, wall + 1.6 * text, top)


def _name_in_place(picture: Picture, sheet: DrawingSheet, engine: LargeEngine, part: str) -> None:
    """A name in its part, beside the handle; in the metal behind it where the part is thin."""
    text, body = picture.style.text, engine.shape.piston
    if part == "chamber":
        cone, name = engine.shape.chamber, "chamber"
        ends = engine.shape.roof, engine.shape.face
        behind = -1
    elif body.dome:
        cone, name, behind = body.dome, "dome", 1
        ends = engine.crown, engine.edge
    elif body.dish:
        cone, name, behind = body.dish, "dish", 1
        ends = engine.edge, engine.crown
    else:
        return
    right = 0.5 * cone.narrow
    top, bottom = (sheet.at(right, end)[1] for end in ends)
    x = sheet.at(right, 0.0)[0]
    room = cone.narrow * sheet.scale - 1.8 * text
    under_the_chamber = part == "crown" and body.dome
    if (
        not under_the_chamber
        and bottom - top > 1.7 * text
        and room > text_width(name, text, bold=True)
    ):
        y = (top + bottom) / 2
    else:
        x = sheet.x
        y = bottom + 1.9 * text if behind > 0 else top - 1.9 * text
    picture.label(name, x, y, anchor="middle", bold=True, kind="name")


def _poured(picture: Picture, volume: float, wall: float, glass: Magnifier | None) -> None:
    """A gasket that was poured and not measured: its thickness in the drawing is no reading."""
    text = picture.style.text
    x = glass.x - glass.radius if glass else wall + 1.5 * text
    y = glass.y + glass.radius + 4.2 * text if glass else 3.6 * text
    picture.label("gasket", x, y, kind="name")
    picture.label(words.volume(volume), x, y + 1.3 * text, bold=True, kind="measure")
    picture.label("its thickness not known", x, y + 2.6 * text, kind="name")


def _as_found(picture: Picture, wall: float, glass: Magnifier | None) -> None:
    """What the dashes mean."""
    style, text = picture.style, picture.style.text
    x = glass.x - 0.5 * glass.radius if glass else wall + 1.5 * text
    y = glass.y + glass.radius + 1.8 * text if glass else 1.4 * text
    dash = f"{3 * style.frame:g} {3 * style.frame:g}"
    picture.lines("ghost-key", ((x, y, x + 2 * text, y),), stroke_dasharray=dash,
                  stroke_width=1.1 * style.frame)  # fmt: skip
    picture.label("as found", x + 2.5 * text, y, size=style.small + 1, kind="key")


def _title(lines: Sequence[LineView]) -> str:
    if not lines:
        return "The cylinder's top, its piston at top dead centre"
    told = "; ".join(
        ", ".join(filter(None, (f"{line.name} {line.shown(line.value)}", line.standing)))
        for line in lines
    )
    return told[0].upper() + told[1:]


def _description(view: SectionView, unit: str, changed: bool) -> str:
    crown = "flat crown"
    if view.dish:
        crown = f"{'dish' if view.dish > 0 else 'dome'} {words.volume(abs(view.dish))}"
    gasket = f"{words.length(view.gasket_thickness, unit)} thick"
    if view.gasket_poured is not None:
        gasket = f"{words.volume(view.gasket_poured)}, its thickness not known"
    told = (
        f"The piston is at the top. Chamber {words.volume(view.chamber)}, gasket {gasket}, "
        f"deck clearance "
        f"{words.length(view.deck_clearance, unit)}, {crown}"
    )
    if view.reliefs:
        told += f", valve reliefs {words.volume(view.reliefs)}"
    return f"{told}. To scale.{' The outline as found is dashed.' if changed else ''}"
