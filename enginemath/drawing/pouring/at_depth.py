"""A piston let down a known depth, the space over it filled: what the pour says of its crown.

As on the bench: the piston is lowered, grease laid round its edge, the plate put on, water poured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.piston import draw_piston
from enginemath.drawing.instruments.burette import Tube, draw_round_window, draw_tube
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.palette import GLASS, PAGE, STEEL, Style
from enginemath.drawing.paper.scales import DrawingSheet, Scale, block
from enginemath.drawing.paper.svg import Picture, Point, around
from enginemath.drawing.paper.typeface import text_width
from enginemath.drawing.pouring import liquid
from enginemath.drawing.pouring.by_hand import Written, draw_cock, draw_written
from enginemath.drawing.pouring.head_on_bench import GREASE, LOOK, STRETCHES
from enginemath.drawing.pouring.known_depth import (
    KnownDepthView,
    draw_still_empty,
    kind_of_crown,
    lowered_piston,
)
from enginemath.formulas.geometry import π
from enginemath.units import MM_PER_INCH, fixed, words

WIDTH, HEIGHT = 956.0, 716.0
_WALL, _PLATE, _HOLE = 0.14, 0.06, 0.026
_HOLE_AT = 0.30
"""Place of the plate's hole, of the bore, left of its middle."""


def at_depth(
    view: KnownDepthView,
    *,
    tap: float = 0.0,
    tell: bool = True,
    written: Sequence[Written] = (),
    grips: Sequence[Grip] = (),
    ring: str = "",
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the bore with its piston down, plate and burette over it, and the volumes as bars.

    Args:
        view: the pour.
        tap: how far it is open, degrees.
        tell: whether the volumes are drawn as bars; without it the burette is to be read.
        written: the fills as they were written down, and then the bore is measured; none, no list.
        grips: what can be taken by hand: ``depth``, ``grease``, ``plate``, ``crown`` and ``tap``.
        ring: ``depth``, ``crown``, ``grease``, ``meniscus`` or ``disc``.
        unit: ``mm`` or ``in``, for the depth.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = KnownDepthView(92.0, 12.7, poured=93.23, reading=43.23, dish=6.0, reliefs=2.8)
    >>> at_depth(view).title
    'Piston 12.700 mm down, 93.23 cc poured: dish 8.81 cc'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "at-depth",
        width,
        height,
        title=_title(view, unit, tell),
        description=_description(view, unit, tell),
        key=key,
        style=style,
    )
    text = style.text
    body = lowered_piston(view)
    half = (0.5 + _WALL) * view.bore
    foot = height - (12.6 * text if tell else 1.0 * text)
    deck = 0.56 * foot
    scale = min(0.54 * width / (2 * half), (foot - deck) / (view.depth + 0.62 * body.length))
    sheet = DrawingSheet(0.42 * width, deck, scale)

    picture.open_window(0, 0, width, foot)
    _bore(picture, sheet, view, half)
    picture.close_window()
    deep = min(3 * text, 0.1 * foot)
    picture.fade(0, foot - deep, width, deep + 1)
    plate_top = _plate(picture, sheet, view, half)
    cock = (0.0, 0.0)
    if view.plate <= 0:
        cock = _burette(picture, sheet, view, plate_top, tap)
    else:
        _still_open(picture, sheet, view, half, plate_top)
    left, _ = sheet.at(-half, 0.0)
    edge = sheet.at(0.0, view.depth)[1]
    depth = words.length(view.depth, unit)
    dimension_lines.upright(picture, deck, edge, left - 1.4 * text, f"depth\n{depth}", from_x=left)
    _places(picture, sheet, view, half)
    _grips(picture, grips, sheet, view, cock, tap)
    if tell:
        _bars(picture, view, foot)
    if written:
        draw_written(picture, written, width - 13.2 * text, 0.5 * height)
        ends = sheet.at(-view.bore / 2, 0.0)[0], sheet.at(view.bore / 2, 0.0)[0]
        told = f"bore {words.length(view.bore, unit)}"
        y = foot - 3.4 * text
        picture.place_of("bore", sum(ends) / 2, y, 1.8 * text, 6 * text)
        dimension_lines.across(picture, *ends, y, told, from_y=y)
    if ring:
        picture.look_here(ring)
    return picture


def _bore(picture: Picture, sheet: DrawingSheet, view: KnownDepthView, half: float) -> None:
    """Walls, water over the crown, the piston and the grease around its edge."""
    style, radius, body = picture.style, view.bore / 2, lowered_piston(view)
    length = view.depth + 1.3 * body.length
    level = liquid.level_over_crown(body, view.depth, view.over_crown)
    if view.plate > 0:
        _far_side(picture, sheet, view)
    if view.poured > 0:
        top = max(view.depth - level, 0.0)
        block(picture, sheet, "water", -radius, top, view.bore, view.depth - top,
              fill=picture.hatch("water"), stroke="none")  # fmt: skip
        x, y = sheet.at(-radius, top)
        right = sheet.at(radius, top)[0]
        picture.lines("level", ((x, y, right, y),), stroke_width=style.thin)
    draw_piston(picture, sheet, body, view.depth, style.line)
    if view.poured > 0:
        _pockets(picture, sheet, view)
    if level < 0:
        draw_still_empty(picture, sheet, view, body, -level)
    if view.grease < STRETCHES:
        _gap(picture, sheet, view, body.land_height)
    for side, laid in ((-1, view.grease > 0), (1, view.grease >= STRETCHES)):
        if not laid:
            continue
        x, y = sheet.at(side * radius, view.depth)
        bead = max(0.02 * view.bore * sheet.scale, 4.0)
        corners = ((x, y - 2 * bead), (x, y), (x - side * 2 * bead, y))
        picture.shape("grease", corners, fill=GREASE, stroke_width=style.thin)
    for left in (-half, radius):
        block(picture, sheet, "wall", left, 0.0, half - radius, length, fill=picture.hatch("metal"))
    x, y = sheet.at(0.0, view.depth + body.pin_depth)
    picture.circle("pin", x, y, body.pin_radius * sheet.scale, fill=STEEL)


def _on_the_edge(view: KnownDepthView, stretch: float) -> Point:
    """A point on the line of grease, so many stretches from its left end."""
    turn, radius = π * (1 - stretch / STRETCHES), view.bore / 2
    return radius * math.cos(turn), view.depth - radius * LOOK * math.sin(turn)


def _far_side(picture: Picture, sheet: DrawingSheet, view: KnownDepthView) -> None:
    """The bore's far wall, the crown up to it, and the grease that is laid along its edge."""
    style, size = picture.style, picture.style.frame
    ways = [[sheet.at(*_on_the_edge(view, n + k / 6)) for k in range(7)] for n in range(STRETCHES)]
    edge = [point for way in ways for point in way]
    top = [sheet.at(view.bore / 2, 0.0), sheet.at(-view.bore / 2, 0.0)]
    fill = picture.sheen("wall", "#c4cacf", "#f2f4f5", "#cbd1d5")
    picture.shape("far-wall", [*edge, *top], fill=fill, stroke="none")
    picture.shape("far-crown", edge, fill="#dadfe2", stroke="#8b9094", stroke_width=style.thin)
    for way in ways[view.grease :]:
        picture.trace("grease-to-lay", way, stroke="#5f5c55", stroke_width=1.8 * size,
                      stroke_dasharray=f"{3 * size:g} {5 * size:g}")  # fmt: skip
    for kind, ink, wide in (("grease-edge", style.ink, 7.5), ("grease-line", GREASE, 5.0)):
        for way in ways[: view.grease]:
            picture.trace(kind, way, stroke=ink, stroke_width=wide * size, stroke_linecap="round")


def _gap(picture: Picture, sheet: DrawingSheet, view: KnownDepthView, deep: float) -> None:
    """The gap round the piston where no grease closes it, down to the top ring; not to scale."""
    wide = max(0.008 * view.bore, 4.0 * picture.style.frame / sheet.scale)
    fill = picture.hatch("water") if view.poured > 0 else picture.style.paper
    for left in (-view.bore / 2, view.bore / 2 - wide):
        block(picture, sheet, "gap", left, view.depth, wide, deep, fill=fill,
              stroke_width=picture.style.thin)  # fmt: skip


def _still_open(
    picture: Picture, sheet: DrawingSheet, view: KnownDepthView, half: float, plate: float
) -> None:
    """What is still to be done, by name."""
    text = picture.style.text
    picture.label("clear plate", sheet.x, plate - 1.0 * text, anchor="middle", bold=True,
                  kind="name")  # fmt: skip
    if view.grease < STRETCHES:
        x, y = sheet.at(half, view.depth)
        picture.label("line of grease", x + 0.8 * text, y + 3.6 * text, bold=True, kind="name")


def _pockets(picture: Picture, sheet: DrawingSheet, view: KnownDepthView) -> None:
    """What water stands in the dish and the reliefs: they are water, not crown, once filled."""
    body = lowered_piston(view)
    fill = picture.hatch("water")
    shapes = []
    if body.dish:
        cone = body.dish
        shapes.append([(-cone.wide, 0.0), (cone.wide, 0.0), (cone.narrow, cone.height),
                       (-cone.narrow, cone.height)])  # fmt: skip
    if body.reliefs:
        ring = body.reliefs
        for side in (-1, 1):
            notch = ((ring.inner, 0.0), (ring.outer, 0.0), (ring.apex, ring.depth))
            shapes.append([(side * x, y) for x, y in notch])
    for points in shapes:
        picture.shape("pocket", [sheet.at(x, view.depth + y) for x, y in points], fill=fill,
                      stroke_width=picture.style.line)  # fmt: skip


def _plate(picture: Picture, sheet: DrawingSheet, view: KnownDepthView, half: float) -> float:
    """The clear plate on the deck, its hole; the height of its upper face, px."""
    thick, hole, wide = _PLATE * view.bore, -_HOLE_AT * view.bore, _HOLE * view.bore
    glass: dict[str, str | float] = {"fill": GLASS, "fill_opacity": "0.85"}
    up = thick + view.plate
    for left, right in ((-half, hole - wide), (hole + wide, half)):
        block(picture, sheet, "plate", left, -up, right - left, thick, **glass)
    if view.full:
        block(picture, sheet, "in-the-hole", hole - wide, -0.6 * thick, 2 * wide, 0.6 * thick,
              fill=picture.hatch("water"), stroke="none")  # fmt: skip
    return sheet.at(0.0, -up)[1]


def _burette(
    picture: Picture, sheet: DrawingSheet, view: KnownDepthView, plate: float, tap: float
) -> tuple[float, float]:
    style, text = picture.style, picture.style.text
    x = sheet.at(-_HOLE_AT * view.bore, 0.0)[0]
    tip = plate - 0.9 * text
    cock = tip - 2.7 * text
    tube = Tube(x, 1.75 * text, 0.4 * text, cock - 0.9 * text, text, view.reading, view.capacity)
    draw_tube(picture, tube)
    draw_cock(picture, tube, cock, tip, tap)
    if tap > 0 and not view.full:
        picture.circle("drop", x, tip + 0.45 * text, 0.2 * text, fill=picture.hatch("water"),
                       stroke_width=style.thin)  # fmt: skip
    radius = min(0.138 * picture.width, 0.48 * plate - 1.0 * text)
    at = x + 4.2 * text + 2.2 * radius, 1.0 * text + radius
    draw_round_window(picture, tube, *at, radius)
    picture.label("mL", x - tube.width / 2 - 0.6 * text, 0.9 * text, anchor="end",
                  size=style.small, kind="tick")  # fmt: skip
    window = tube.window(at[1] - radius, at[1] + radius)
    picture.place_of("meniscus", at[0] + 0.18 * radius, window(view.reading), 1.9 * text)
    if view.refilled:
        beside = at[0] + radius + 1.0 * text
        told = view.refilled.replace("burette ", "burette\n")
        picture.label(told, beside, at[1], kind="note")
    return x, cock


def _places(picture: Picture, sheet: DrawingSheet, view: KnownDepthView, half: float) -> None:
    text, body = picture.style.text, lowered_piston(view)
    crown = -body.dome.height if body.dome else body.crown_depth
    spots = {
        "depth": (-half, view.depth / 2, 2.4),
        "crown": (0.0, view.depth + crown / 2, 2.6),
        "grease": (view.bore / 2, view.depth, 1.6),
        "disc": (0.3 * view.bore, view.depth / 2, 2.2),
    }
    for part, (x, y, radius) in spots.items():
        picture.place_of(part, *sheet.at(x, y), radius * text)


def _grips(
    picture: Picture,
    grips: Sequence[Grip],
    sheet: DrawingSheet,
    view: KnownDepthView,
    cock: tuple[float, float],
    tap: float,
) -> None:
    body, scale = lowered_piston(view), sheet.scale
    for grip in grips:
        pull: tuple[float, float] | None = None
        turn = None
        if grip.part == "depth":
            mm = MM_PER_INCH if grip.unit == "in" else 1.0
            at, pull = sheet.at(0.28 * view.bore, view.depth), (0.0, scale * mm)
        elif grip.part == "grease":
            at, pull = (
                sheet.at(*_on_the_edge(view, view.grease)),
                (view.bore * scale / STRETCHES, 0.0),
            )
        elif grip.part == "plate":
            at, pull = (
                sheet.at(0.55 * view.bore, -_PLATE * view.bore / 2 - view.plate),
                (0.0, -scale),
            )
        elif grip.part == "crown" and body.dome:
            of_one = body.dome.height / (3 * -view.dish)
            at, pull = sheet.at(0.0, view.depth - body.dome.height), (0.0, of_one * scale)
        elif grip.part == "crown":
            deep = body.dish.height if body.dish else 0.0
            of_one = deep / view.dish if body.dish else 0.4
            at, pull = sheet.at(0.0, view.depth + deep), (0.0, of_one * scale)
        elif grip.part == "tap":
            text = picture.style.text
            at, turn = around(*cock, 1.65 * text, 90 + tap), cock
        else:
            raise ValueError(f"nothing at the bore is called {grip.part}")
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
                pull,
                turn,
                grip.says,
                first=grip.first,
            )
        )


def _bars(picture: Picture, view: KnownDepthView, foot: float) -> None:
    """What was poured over what a flat piston would take; the rest is the crown's."""
    style, text = picture.style, picture.style.text
    most = 1.06 * max(view.poured, view.disc, view.space)
    name_room = text_width("bore area × depth", text) + 1.4 * text
    scale = Scale(0.0, most, name_room + text, picture.width - 9.0 * text)
    high = 1.9 * text
    top = foot + 1.2 * text
    low = top + high + 0.7 * text
    for y, part, name, cc in (
        (top, "water", "poured", view.poured),
        (low, "swept", "bore area × depth", view.disc),
    ):
        picture.rect(f"bar-{part}", scale.start, y, scale(cc) - scale.start, high,
                     fill=picture.hatch(part))  # fmt: skip
        picture.label(name, scale.start - 0.7 * text, y + high / 2, anchor="end", kind="bar-name")
        beyond = max(scale(cc), scale(max(view.poured, view.disc))) + 0.7 * text
        picture.label(f"{fixed(cc, 2)} cc", beyond, y + high / 2, bold=True, kind="measure")
    crown = view.poured - view.disc
    if view.full and view.lost:
        a = scale(view.poured - view.lost)
        picture.rect("bar-crevice", a, top, scale(view.poured) - a, high,
                     fill=picture.hatch("crevice"))  # fmt: skip
    if view.full:
        a, b = sorted((scale(view.disc), scale(view.poured)))
        y = low if crown > 0 else top
        picture.rect("bar-crown", a, y, b - a, high, fill=picture.hatch("crown"))
        ends = [(x, top - 0.3 * text, x, low + high + 0.3 * text) for x in (a, b)]
        picture.lines("level", ends, stroke_width=style.thin, stroke_dasharray="9 3 2 3")
    said = f"crown {fixed(crown, 2)} cc" if view.full else "not full yet"
    more = f"= {fixed(view.poured, 2)} − {fixed(view.disc, 2)}: {kind_of_crown(crown)}"
    size = style.heading
    y = low + high + 1.1 * text + 0.5 * size
    x = scale.start
    picture.label(said, x, y, size=size, bold=True, kind="said")
    if view.full:
        after = x + text_width(said, size, bold=True) + 0.6 * text
        picture.label(more, after, y + 0.18 * size, size=text + 1, kind="said-of")


def _title(view: KnownDepthView, unit: str, tell: bool) -> str:
    title = f"Piston {words.length(view.depth, unit)} down"
    if not tell:
        return title
    title += f", {words.volume(view.poured)} poured"
    if not view.full:
        return f"{title}: not full yet"
    crown = view.poured - view.disc
    return f"{title}: {kind_of_crown(crown)} {words.volume(abs(crown))}"


def _description(view: KnownDepthView, unit: str, tell: bool) -> str:
    state = "full to the plate" if view.full else "not full yet"
    grease = "sealed with grease"
    if view.grease < STRETCHES:
        grease = f"greased along {view.grease} of {STRETCHES} stretches"
    plate = "a clear plate on the deck" if view.plate <= 0 else "the clear plate off"
    told = (
        f"Bore {words.length(view.bore, unit)}, piston {words.length(view.depth, unit)} below the "
        f"deck, its edge {grease}, {plate}; {state}."
    )
    if not tell:
        return told
    return (
        f"{told} Two bars from zero: poured {words.volume(view.poured)}, bore area times depth "
        f"{words.volume(view.disc)}. To scale."
    )
