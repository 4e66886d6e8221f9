"""Gasket, deck and squish from near: the bore's edge at both sides of the pin, each in its glass.

The piston rocks on its pin, so its deck clearance is read at both sides and averaged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_ghost, draw_large_engine
from enginemath.drawing.cylinder.magnifier import Magnifier, draw_spot, magnified
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.large_line import STRIP, Said, draw_large_line, draw_said, said_of
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.units import MM_PER_INCH, fixed, words

WIDTH, HEIGHT = 956.0, 716.0
SIDES = ("one side of the pin", "other side")
_RADIUS = 0.162
"""Of each glass, of the picture's width."""


def both_sides(
    cylinder: SectionView,
    sides: tuple[float, float],
    line: LineView | None = None,
    *,
    free: float | None = None,
    bores: bool = False,
    found: SectionView | None = None,
    grips: Sequence[Grip] = (),
    guess: float | None = None,
    ring: str = "",
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the cylinder's top, and in two glasses the gaps at both edges of its bore.

    Args:
        cylinder: as it is; its deck clearance is the mean of both sides.
        sides: deck clearance at the left and at the right edge, mm.
        line: the squish clearance with its band; none before it is asked for.
        free: thickness of the gasket before it is clamped, mm; it is dashed.
        bores: whether the two bores are told in place of the squish clearance: what was read, and
            nothing that is to be worked out.
        found: the cylinder as it was found: the scale follows it, so that it stands still while a
            gap is pulled, and in a glass where anything differs its outline is dashed.
        grips: what can be taken by hand: ``gasket``, ``left`` and ``right`` (the deck clearance at
            each side).
        guess: of the squish clearance, mm.
        ring: ``gasket``, ``left`` or ``right``.
        unit: ``mm`` or ``in``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35)
    >>> both_sides(view, (0.30, 0.40)).title
    'Deck clearance 0.300 mm at one side, 0.400 mm at the other'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    left, right = (words.length(side, unit) for side in sides)
    picture = Picture(
        "both-sides",
        width,
        height,
        title=f"Deck clearance {left} at one side, {right} at the other",
        description=_description(cylinder, line, free, unit, bores),
        key=key,
        style=style,
    )
    text = style.text
    radius = _RADIUS * width
    foot = height - STRIP * style.frame
    middle = LargeEngine(replace(cylinder, angle=0.0), valves=False)
    scale = (width - 4 * radius - 5.0 * text) / (2 * middle.shape.outer)
    top = 5.6 * text
    sheet = DrawingSheet(width / 2, top - middle.head_top * scale, scale)
    low = min(foot, sheet.at(0, middle.shape.liner)[1])
    picture.open_window(0, 0, width, low)
    draw_large_engine(picture, sheet, middle)
    picture.close_window()
    deep = min(4 * text, 0.2 * low)
    picture.fade(width / 2 - middle.shape.outer * scale - 4, low - deep,
                 2 * middle.shape.outer * scale + 8, deep + 1)  # fmt: skip
    y = max(sheet.at(0, 0)[1] + 0.35 * radius, radius + 4.6 * text)
    y = min(y, foot - radius - 9.0 * text)
    base = LargeEngine(replace(found or cylinder, angle=0.0), valves=False)
    pulled = max(cylinder.gasket_thickness, *(abs(side) for side in sides))
    if pulled * magnified(sheet, base, Magnifier(0.0, 0.0, radius), 1).scale > 0.8 * radius:
        base = middle  # pulled out of its glass
    changed = False
    for side, at, deck in zip((-1, 1), (radius + text, width - radius - text), sides, strict=True):
        glass = Magnifier(at, y, radius)
        view = replace(cylinder, deck_clearance=deck, angle=0.0)
        past = LargeEngine(replace(found, angle=0.0), valves=False) if found else None
        past = past if past and past.view != view else None
        changed = changed or past is not None
        _glass(picture, sheet, base, LargeEngine(view, valves=False), glass, side, free, unit,
               squish=not bores, past=past)  # fmt: skip
        _grips(picture, grips, base, view, glass, sheet, side)
    keys = []
    if free and free > cylinder.gasket_thickness:
        keys.append((f"gasket before it is clamped, {words.length(free, unit)}", _dashed(style)))
    if changed:
        keys.append(("as found", _as_found(style)))
    _keys(picture, keys, foot - 2.6 * text)
    if line:
        at_foot = height - 3.2 * text
        mean = sum(sides) / 2
        said = [Said(f"deck {words.length(mean, unit)}", "mean of both sides"),
                said_of(line, "squish")]  # fmt: skip
        draw_said(picture, said, at_foot - 4.4 * text)
        draw_large_line(picture, line, at_foot, guess=guess)
    if bores:
        _bores(picture, cylinder, height - 4.6 * text, unit)
    if ring:
        picture.look_here(ring)
    return picture


def _bores(picture: Picture, view: SectionView, y: float, unit: str) -> None:
    """The two bores that are easily mixed up, beside each other in large type."""
    text = picture.style.text
    said = [
        Said(f"bore {words.length(view.bore, unit)}"),
        Said(f"gasket bore {words.length(view.gasket_bore, unit)}"),
    ]
    draw_said(picture, said, y)
    picture.place_of("bore", picture.width / 2, y, 2.2 * text, 0.4 * picture.width)


Marks = dict[str, str | float]


def _keys(picture: Picture, keys: Sequence[tuple[str, Marks]], y: float) -> None:
    """What the dashes mean, between the glasses; the first stands at a height."""
    text = picture.style.text
    wide = max((text_width(told, text) for told, _ in keys), default=0.0)
    x = (picture.width - wide - 3 * text) / 2
    for told, marks in keys:
        picture.lines("ghost-key", ((x, y, x + 2.4 * text, y),), **marks)
        picture.label(told, x + 3 * text, y, kind="key")
        y += 1.4 * text


def _dashed(style: Style) -> Marks:
    size = style.frame
    return {"stroke_width": 1.4 * size, "stroke_dasharray": f"{9 * size:g} {4 * size:g}"}


def _as_found(style: Style) -> Marks:
    size = style.frame
    return {"stroke_width": 1.1 * size, "stroke_dasharray": f"{3 * size:g} {3 * size:g}"}


def _glass(
    picture: Picture,
    sheet: DrawingSheet,
    base: LargeEngine,
    engine: LargeEngine,
    glass: Magnifier,
    side: int,
    free: float | None,
    unit: str,
    squish: bool = True,
    past: LargeEngine | None = None,
) -> None:
    """One edge of the bore, magnified, and what is measured there; as it was found, dashed."""
    style, text, view = picture.style, picture.style.text, engine.view
    closer = magnified(sheet, base, glass, side)
    draw_spot(picture, sheet, closer, glass)
    picture.circle("lens", glass.x, glass.y, glass.radius, fill=style.paper)
    picture.open_round_window(glass.x, glass.y, glass.radius)
    draw_large_engine(picture, closer, engine, train=False)
    face, edge = closer.at(0, engine.shape.face)[1], closer.at(0, view.deck_clearance)[1]
    if free and free > view.gasket_thickness:
        ghost = closer.at(0, -free)[1]
        ends = glass.x - glass.radius, glass.x + glass.radius
        picture.lines("ghost", ((ends[0], ghost, ends[1], ghost),), **_dashed(style))
    if past:
        draw_ghost(picture, closer, past)
    picture.close_window()
    picture.circle("lens", glass.x, glass.y, glass.radius, stroke_width=1.3 * style.line)
    _squish(picture, glass, side, face, edge)
    times = fixed(closer.scale / sheet.scale, 0)
    picture.label(f"{times} times larger", glass.x, glass.y - glass.radius - 0.9 * text,
                  anchor="middle", size=style.small, fill=style.quiet, kind="times")  # fmt: skip
    name = "left" if side < 0 else "right"
    below = glass.y + glass.radius + 1.3 * text
    lines = [
        (SIDES[side > 0], "", False),
        ("deck", words.length(view.deck_clearance, unit), True),
        ("gasket", words.length(view.gasket_thickness, unit), False),
        ("squish", words.length(view.squish, unit), True),
    ][: 4 if squish else 3]
    for number, (word, length, bold) in enumerate(lines):
        down = below + 1.45 * text * number
        if not length:
            picture.label(word, glass.x, down, anchor="middle", fill=style.quiet, kind="pin-side")
            continue
        picture.label(word, glass.x - 0.5 * text, down, anchor="end", kind="measure-name")
        if word in ("deck", "gasket"):
            corner = glass.x - 5.6 * text, down - 0.45 * text
            picture.rect("swatch", *corner, 0.9 * text, 0.9 * text, fill=picture.hatch(word))
        picture.label(length, glass.x + 0.5 * text, down, bold=bold, kind="measure")
    deck = closer.at(0, view.deck_clearance / 2)[1]
    picture.place_of(name, glass.x - side * 0.45 * glass.radius, deck, 1.7 * text)
    picture.place_of("deck", glass.x - side * 0.45 * glass.radius, deck, 1.7 * text)
    opening = closer.at(side * view.gasket_bore / 2, 0)[0]
    inside = max(min(opening, glass.x + 0.7 * glass.radius), glass.x - 0.7 * glass.radius)
    picture.place_of("gasket", inside, closer.at(0, engine.shape.face / 2)[1], 1.9 * text)


def _squish(picture: Picture, glass: Magnifier, side: int, face: float, edge: float) -> None:
    """An arrow from the head to the piston, on the bore's side of the glass."""
    style, text = picture.style, picture.style.text
    x = glass.x - side * 0.74 * glass.radius
    half, long = 0.2 * text, 0.65 * text
    tips = ((face, -1), (edge, 1))
    inside = edge - face > 3 * long
    heads = "".join(
        f"M{x:.2f} {y:.2f}L{x - half:.2f} {y + way * long:.2f}L{x + half:.2f} {y + way * long:.2f}Z"
        for y, out in tips
        for way in ((-out,) if inside else (out,))
    )
    tail = 0.0 if inside else 1.6 * long
    picture.lines("dimension", ((x, face - tail, x, edge + tail),), stroke_width=1.6 * style.thin)
    picture.path("arrow", heads, fill=style.ink, stroke="none")


def _grips(
    picture: Picture,
    grips: Sequence[Grip],
    base: LargeEngine,
    view: SectionView,
    glass: Magnifier,
    sheet: DrawingSheet,
    side: int,
) -> None:
    closer = magnified(sheet, base, glass, side)
    for grip in grips:
        mm = MM_PER_INCH if grip.unit == "in" else 1.0
        if grip.part == "gasket" and side > 0:
            at = glass.x + 0.62 * glass.radius, closer.at(0, -view.gasket_thickness)[1]
            pull = -closer.scale * mm
        elif grip.part == ("left" if side < 0 else "right"):
            at = glass.x - side * 0.36 * glass.radius, closer.at(0, view.deck_clearance)[1]
            pull = closer.scale * mm
        else:
            continue
        picture.handle(
            Handle(
                grip.name,
                *at,
                grip.value,
                grip.low,
                grip.high,
                grip.step,
                grip.unit,
                grip.decimals,
                (0.0, pull),
                None,
                grip.says,
                first=grip.first,
            )
        )


def _description(
    view: SectionView, line: LineView | None, free: float | None, unit: str, bores: bool
) -> str:
    told = (
        f"The bore's edge at both sides of the pin, magnified. Gasket "
        f"{words.length(view.gasket_thickness, unit)} compressed"
    )
    if free:
        told += f", {words.length(free, unit)} free"
    if bores:
        told += f"; bore {words.length(view.bore, unit)}, gasket bore "
        return f"{told}{words.length(view.gasket_bore, unit)}. To scale."
    told += f"; mean deck clearance {words.length(view.deck_clearance, unit)}"
    if line:
        stands = f", {line.standing}" if line.standing else ""
        told += f"; squish clearance {line.shown(line.value)}{stands}"
    return f"{told}. To scale."
