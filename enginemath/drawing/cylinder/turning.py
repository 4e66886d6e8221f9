"""The crank is turned by its pin and draws its own graph beside the cylinder."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.grips import Grip, draw_grips
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_large_engine, mark_places
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet, Scale
from enginemath.drawing.paper.svg import Picture, around
from enginemath.drawing.paper.typeface import text_width
from enginemath.formulas import geometry
from enginemath.formulas.geometry import disc
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 956.0, 716.0
CRANK = Grip("crank", "crank angle", 0.0, 0.0, 360.0, 5.0, "°", 0)
Stretch = tuple[float, float]
_PUSHED_OUT = "0.3"
"""How much of its colour shows where the intake is still open."""
_OPENS_BEFORE = 15.0
"""Degrees before top dead centre at which the drawn intake valve begins to open."""


def turned_on(turned: Sequence[Stretch], before: float, after: float) -> tuple[Stretch, ...]:
    """The stretches of one turn that the crank has been through, with a further move.

    Args:
        turned: what it had been through, degrees in rising order.
        before, after: ends of the move, degrees; it may go backwards or through the top.

    >>> turned_on([(0, 40)], 40, 77)
    ((0, 77),)
    >>> turned_on([(0, 40)], 350, 370)
    ((0.0, 40), (350, 360.0))
    """
    low, high = sorted((before, after))
    if high - low >= 360:
        return ((0.0, 360.0),)
    start = low - low % 360
    low, high = low - start, high - start
    moves = [(low, min(high, 360.0))] + ([(0.0, high - 360)] if high > 360 else [])
    merged: list[Stretch] = []
    for a, b in sorted([*turned, *moves]):
        if merged and a <= merged[-1][1] + 1e-9:
            merged[-1] = merged[-1][0], max(merged[-1][1], b)
        else:
            merged.append((a, b))
    return tuple(merged)


def turning(
    cylinder: SectionView,
    turned: Sequence[Stretch] = (),
    *,
    clearance: float | None = None,
    closes: float | None = None,
    guess: tuple[float, float] | None = None,
    grip: Grip | None = CRANK,
    hint: bool = False,
    ring: str = "",
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the engine with its crank at its angle, and how far the piston has been at each angle.

    Args:
        cylinder: what is shown.
        turned: the stretches of the turn that were gone through, see `turned_on`.
        clearance: volume left at the top, cc; with it volumes are written on the graph.
        closes: degrees after bottom dead centre at which the intake closes. The turn is then that
            of intake and compression: the valve moves, what is pushed back out is pale, and what
            is trapped is told. Its lift is not to scale.
        guess: how far down the piston was guessed to be, mm, and at which angle; it stays on the
            graph.
        grip: the crank pin's handle; None for a picture that is only looked at. Its value is the
            cylinder's angle.
        hint: whether an arrow shows the way to turn.
        ring: a part to look at.
        unit: ``mm`` or ``in``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, rod_length=145.0, angle=90.0)
    >>> turning(view, [(0, 90)]).title
    'Crank 90°, piston 51.17 mm down'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    engine = LargeEngine(cylinder, lift=_lift(cylinder, closes))
    down = _down(engine.drop, unit)
    angle = cylinder.angle % 360
    picture = Picture(
        "turning",
        width,
        height,
        title=f"Crank {fixed(angle, 0)}°, piston {down} down",
        description=_description(cylinder, turned, clearance, closes, unit),
        key=key,
        style=style,
    )
    text = style.text
    margin = 1.1 * text
    room = height - (0.0 if engine.train else 13.0 * text)
    scale = min(
        (room - 2 * margin) / (engine.bottom - engine.top),
        (0.40 * width - margin) / (2 * engine.half_width),
    )
    middle = max(0.245 * width, engine.half_width * scale + 1.5 * text)
    spare = room - (engine.bottom - engine.top) * scale
    sheet = DrawingSheet(middle, spare / 2 - engine.top * scale, scale)
    draw_large_engine(picture, sheet, engine)
    left = middle + engine.half_width * scale + 4.2 * text
    graph = Scale(0.0, 360.0, left, width - 3.4 * text)
    _graph(picture, sheet, engine, graph, turned, clearance, closes)
    if guess:
        _guessed(picture, sheet, engine, graph, *guess)
    _state(picture, sheet, engine, left, down, clearance, closes)
    dimension_lines.double_scale(picture, left, height - 2.6 * text, scale, 0.24 * width)
    mark_places(picture, sheet, engine)
    if grip:
        held = Grip(grip.part, grip.name, angle, grip.low, grip.high, grip.step, grip.unit,
                    grip.decimals, grip.says or f"piston {down} down")  # fmt: skip
        if engine.train:
            draw_grips(picture, [held], sheet, engine)
            if hint:
                _turn_hint(picture, sheet, engine)
        else:
            _on_the_graph(picture, held, sheet, engine, graph)
    if ring:
        picture.look_here(ring)
    return picture


@lru_cache(maxsize=32)
def _drops(stroke: float, radius: float, rod: float | None, offset: float) -> tuple[float, ...]:
    """How far the piston is down at each degree, mm."""
    if rod is None:
        return tuple(geometry.cosine_drop(stroke, float(a)) for a in range(361))
    return tuple(geometry.piston_drop(radius, rod, float(a), offset) for a in range(361))


def _graph(
    picture: Picture,
    sheet: DrawingSheet,
    engine: LargeEngine,
    across: Scale,
    turned: Sequence[Stretch],
    clearance: float | None,
    closes: float | None,
) -> None:
    """The piston's way against the crank's angle, level with the piston itself."""
    view, style, text = engine.view, picture.style, picture.style.text
    drops = _drops(view.stroke, view.crank_radius, view.rod_length, view.pin_offset)
    edge = view.deck_clearance

    def y(drop: float) -> float:
        return sheet.at(0.0, edge + drop)[1]

    fill = picture.hatch("swept")
    for a, b in turned:
        if b - a < 0.5:
            continue
        steps = [a, *range(int(a) + 1, int(b - 1e-9) + 1, 3), b]
        way = [(across(s), y(_at(drops, s))) for s in steps]
        for start, end, shown in _parted(a, b, closes):
            inside = [start, *[s for s in steps if start < s < end], end]
            area = [(across(s), y(_at(drops, s))) for s in inside]
            area = [(area[0][0], y(0.0)), *area, (area[-1][0], y(0.0))]
            picture.shape("travelled", area, fill=fill, fill_opacity=shown, stroke="none")
        picture.trace("way", way, stroke_width=1.6 * style.line)
    top, bottom = y(0.0), y(view.stroke)
    start = sheet.at(engine.shape.outer, 0.0)[0] + 0.5 * text
    long, short = 9 * style.frame, 3 * style.frame
    picture.lines(
        "level",
        ((start, top, across.end, top), (start, bottom, across.end, bottom)),
        stroke_width=style.thin,
        stroke_dasharray=f"{long:g} {short:g} {2 * style.frame:g} {short:g}",
    )
    above, below = "piston at the top", "piston at the bottom"
    if clearance is not None:
        swept = disc(view.bore, view.stroke) / MM3_PER_CC
        above += f": {words.volume(clearance)}"
        below += f": {words.volume(swept + clearance)}"
        if text_width(f"{below} above it", text) < across.end - across.start:
            above, below = f"{above} above it", f"{below} above it"
    picture.label(above, across.end, top - 0.9 * text, anchor="end", kind="level-name")
    picture.label(below, across.end, bottom + 1.0 * text, anchor="end", kind="level-name")
    ticks = [(across(d), bottom, across(d), bottom + 0.35 * text) for d in (0, 90, 180, 270, 360)]
    picture.lines("ticks", ticks, stroke_width=style.thin)
    for degrees in (0, 90, 180, 270, 360):
        picture.label(
            f"{degrees}°", across(degrees), bottom + 2.5 * text, anchor="middle", kind="tick"
        )
    if closes is not None:
        _closing(picture, across, closes, y(0.0), y(_at(drops, 180 + closes)))
    x, here = across(view.angle % 360), y(engine.drop)
    picture.lines("level-now", ((start, here, x, here),), stroke_width=1.4 * style.thin)
    picture.circle("now", x, here, 0.36 * text, fill=style.ink)


def _guessed(
    picture: Picture,
    sheet: DrawingSheet,
    engine: LargeEngine,
    across: Scale,
    drop: float,
    angle: float,
) -> None:
    """The guess as a ghost on the graph, level with where the piston would be."""
    style, text, view = picture.style, picture.style.text, engine.view
    inside = min(max(drop, 0.0), view.stroke)
    x, y = across(angle), sheet.at(0.0, view.deck_clearance + inside)[1]
    size = style.frame
    picture.lines("guess", ((x - 2.6 * text, y, x + 2.6 * text, y),), stroke_width=2 * size,
                  stroke_dasharray=f"{4 * size:g} {3 * size:g}")  # fmt: skip
    picture.label("your guess", x + 3.0 * text, y, size=style.small, fill=style.quiet,
                  kind="guess-name")  # fmt: skip


def _parted(a: float, b: float, closes: float | None) -> list[tuple[float, float, str]]:
    """A stretch cut where the intake closes: from, to, and how much of its colour shows."""
    if closes is None:
        return [(a, b, "1")]
    shut = 180 + closes
    parts = [(a, min(b, shut), _PUSHED_OUT), (max(a, shut), b, "1")]
    return [part for part in parts if part[1] > part[0]]


def _closing(picture: Picture, across: Scale, closes: float, top: float, edge: float) -> None:
    """Where the intake closes on the graph, and how far the piston then still has to go."""
    style, text = picture.style, picture.style.text
    x = across(180 + closes)
    size = style.frame
    picture.lines("closing", ((x, top - 1.9 * text, x, edge),), stroke_width=1.4 * style.thin,
                  stroke_dasharray=f"{2 * size:g} {3 * size:g}")  # fmt: skip
    picture.circle("closes-at", x, edge, 0.36 * text, fill=style.paper)
    picture.label(f"intake closes {fixed(closes, 0)}° after the bottom", x, top - 2.6 * text,
                  anchor="middle", kind="closing-name")  # fmt: skip
    picture.place_of("intake", x, edge, 1.6 * text)


def _lift(view: SectionView, closes: float | None) -> float:
    """How far the intake valve stands open, mm: a plain wave, not a cam's own curve."""
    if closes is None:
        return 0.0
    way = (view.angle % 360 + _OPENS_BEFORE) / (180 + closes + _OPENS_BEFORE)
    if not 0 < way < 1:
        return 0.0
    most = min(0.09 * view.bore, 0.6 * stand_in_shapes.chamber(view.chamber, view.bore).height)
    return most * math.sin(math.pi * way)


def _at(drops: Sequence[float], angle: float) -> float:
    low = min(int(angle), 359)
    return drops[low] + (angle - low) * (drops[low + 1] - drops[low])


def _state(
    picture: Picture,
    sheet: DrawingSheet,
    engine: LargeEngine,
    left: float,
    down: str,
    clearance: float | None,
    closes: float | None,
) -> None:
    """Where crank and piston stand, in large type beside the crank."""
    style, view = picture.style, engine.view
    lowest = sheet.at(0.0, view.deck_clearance + view.stroke)[1] + 5.5 * style.text
    y = max(sheet.at(0.0, engine.train.centre if engine.train else 0.0)[1], lowest)
    larger = style.text + 2
    lines = [f"piston {down} down"]
    if clearance is not None:
        above = clearance + disc(view.bore, engine.drop) / MM3_PER_CC
        lines.append(f"{words.volume(above)} above the piston")
    if closes is not None:
        shut = view.angle % 360 >= 180 + closes
        lines.append("intake closed: what is in is trapped" if shut else "intake open")
        if shut and clearance is not None:
            drops = _drops(view.stroke, view.crank_radius, view.rod_length, view.pin_offset)
            trapped = disc(view.bore, _at(drops, 180 + closes)) / MM3_PER_CC
            lines[-1] = f"intake closed: {words.volume(trapped + clearance)} trapped"
    y = min(y, picture.height - (6.4 + 1.7 * len(lines)) * style.text)
    crank = f"crank {fixed(view.angle % 360, 0)}°"
    picture.label(crank, left, y - 0.4 * style.heading, size=style.heading, bold=True, kind="said")
    for number, line in enumerate(lines):
        below = y + 0.75 * style.heading + 1.4 * larger * number
        picture.label(line, left, below, size=larger, kind="said-of")


def _turn_hint(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    """An arrow around the crank, in the way that it turns."""
    train, style = engine.train, picture.style
    if train is None:
        return
    x, y = sheet.at(0.0, train.centre)
    radius = (train.throw + train.big_end) * sheet.scale + 0.6 * style.text
    begin, end = train.direction - 4, train.direction + 34
    a, b = around(x, y, radius, begin), around(x, y, radius, end)
    picture.path(
        "turn-hint",
        f"M{px(a[0])} {px(a[1])}A{px(radius)} {px(radius)} 0 0 1 {px(b[0])} {px(b[1])}",
        stroke_width=2 * style.frame,
    )
    long = 0.8 * style.text
    tail, half = around(*b, long, end - 90), 0.3 * style.text
    corners = (
        around(*b, 0.35 * long, end + 90), around(*tail, half, end), around(*tail, half, end + 180)
    )  # fmt: skip
    picture.shape("turn-hint", corners, fill=style.ink, stroke="none")


def _on_the_graph(
    picture: Picture, grip: Grip, sheet: DrawingSheet, engine: LargeEngine, across: Scale
) -> None:
    """Without a rod there is no crank to take: the point on the graph is taken."""
    x, y = across(grip.value), sheet.at(0.0, engine.edge)[1]
    picture.handle(
        Handle(
            grip.name,
            x,
            y,
            grip.value,
            grip.low,
            grip.high,
            grip.step,
            grip.unit,
            grip.decimals,
            (across.unit, 0.0),
            None,
            grip.says,
        )
    )


def _down(drop: float, unit: str) -> str:
    return words.length(drop, "in") if unit == "in" else f"{fixed(drop, 2)} mm"


def _description(
    view: SectionView,
    turned: Sequence[Stretch],
    clearance: float | None,
    closes: float | None,
    unit: str,
) -> str:
    stretches = (
        " and ".join(f"{fixed(a, 0)}° to {fixed(b, 0)}°" for a, b in turned) or "nothing yet"
    )
    told = (
        f"An engine in section: bore {words.length(view.bore, unit)}, stroke "
        f"{words.length(view.stroke, unit)}. Beside it the piston's travel against the crank's "
        f"angle, drawn for {stretches}."
    )
    if closes is not None:
        told += f" The intake closes {fixed(closes, 0)}° after bottom dead centre."
    if clearance is None:
        return told
    swept = disc(view.bore, view.stroke) / MM3_PER_CC
    return (
        f"{told} Above the piston: {words.volume(clearance)} at the top, "
        f"{words.volume(swept + clearance)} at the bottom."
    )
