"""One engine on the bench, and on it the place of each lesson: where you are, what comes next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_large_engine
from enginemath.drawing.paper.palette import PAGE, SATIN, STEEL, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture, Point, around
from enginemath.drawing.paper.typeface import text_width

WIDTH, HEIGHT = 956.0, 716.0
PLACES = (
    "bench", "bore", "crank", "tools", "chamber", "gasket", "crown", "stack", "spread", "change",
    "cam", "sheet",
)  # fmt: skip
"""Where a lesson can have its place."""
_ANGLE = 104.0
"""Of the crank: the piston stands low enough to show every space."""
_PALE = "#8b8880"


@dataclass(frozen=True)
class Stop:
    """One lesson on the map.

    Args:
        number: as it is written, ``04``.
        name: of the lesson.
        short: what is written on the map.
        place: one of `PLACES`.
        address: where a press leads.
        done: whether the lesson is done.
    """

    number: str
    name: str
    short: str
    place: str
    address: str
    done: bool = False


def bench_map(
    engine: SectionView,
    stops: Sequence[Stop],
    *,
    at: str = "",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the engine on the bench with its tools, and each lesson at its place.

    The upper left corner stays free, for what is said of a lesson.

    Args:
        engine: what is shown; one without a rod length is drawn without a crank.
        stops: the lessons in their order.
        at: number of the lesson that is on; the way on from it is dotted.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> engine = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, dish=6.0, rod_length=145.0)
    >>> stops = [Stop("04", "CC the chamber", "chamber", "chamber", "lessons/04")]
    >>> bench_map(engine, stops, at="04").title
    'One engine on the bench; lesson 04, CC the chamber, is on'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    here = next((stop for stop in stops if stop.number == at), None)
    on = f"; lesson {here.number}, {here.name}, is on" if here else ""
    picture = Picture(
        "bench-map",
        width,
        height,
        title=f"One engine on the bench{on}",
        description=_description(stops),
        key=key,
        style=style,
    )
    u = width / WIDTH
    drawn = LargeEngine(replace(engine, angle=_ANGLE))
    floor = height - 40 * u
    cam = 0.52 * engine.bore
    high = drawn.bottom + 0.12 * engine.bore - drawn.top + cam
    scale = min((floor - 8 * u) / high, 175 * u / (drawn.half_width + 0.16 * engine.bore))
    sheet = DrawingSheet(0.53 * width, floor - (drawn.bottom + 0.12 * engine.bore) * scale, scale)
    _bench(picture, floor, u)
    _crankcase(picture, sheet, drawn, floor)
    draw_large_engine(picture, sheet, drawn)
    _jackets(picture, sheet, drawn)
    _cam(picture, sheet, drawn)
    _tools(picture, floor, u)
    _spread(picture, u)
    _parts(picture, u, floor)
    _sheet(picture, u)
    spots = _spots(stops, at, sheet, drawn, u, floor, style)
    _brace(picture, sheet, drawn, u)
    gasket = sheet.at(-drawn.shape.outer, -engine.gasket_thickness / 2)
    picture.lines("pointer", ((gasket[0] - 28 * u, gasket[1], *gasket),), stroke_width=style.thin)
    _way(picture, stops, spots, at)
    for stop in stops:
        _stop(picture, stop, spots[stop.number], stop.number == at)
    return picture


def _spots(
    stops: Sequence[Stop],
    at: str,
    sheet: DrawingSheet,
    engine: LargeEngine,
    u: float,
    floor: float,
    style: Style,
) -> dict[str, Point]:
    """By lesson, the left end of its card, px."""
    view, shape = engine.view, engine.shape
    body, train = shape.piston, engine.train
    middle = sheet.x
    wall = sheet.at(-shape.outer, 0.0)[0]
    pin = sheet.at(*train.crank_pin) if train else sheet.at(0.0, shape.bottom)
    swept = sheet.at(0.0, view.deck_clearance + 0.5 * engine.drop)[1]
    crown = sheet.at(0.0, engine.edge + body.crown_depth + 0.14 * view.bore)[1]
    chamber = sheet.at(0.0, shape.face - 0.5 * shape.chamber.height)[1]
    stack = sheet.at(0.0, 0.5 * (shape.roof + engine.edge))[1]
    # Each place: px, and how much of the card stands left of it.
    places = {
        "bench": (36 * u, floor + 19 * u, 0.0),
        "bore": (middle, max(swept, chamber + 38 * u), 0.5),
        "crank": (pin[0] + 16 * u, pin[1], 0.0),
        "tools": (184 * u, floor + 19 * u, 0.0),
        "chamber": (middle, chamber, 0.5),
        "gasket": (wall - 26 * u, sheet.at(0.0, -view.gasket_thickness / 2)[1], 1.0),
        "crown": (middle, max(crown, swept + 40 * u), 0.5),
        "stack": (652 * u, min(max(stack, 218 * u), 360 * u), 0.0),
        "spread": (720 * u, 478 * u, 0.0),
        "change": (738 * u, floor - 36 * u, 0.0),
        "cam": (middle + 62 * u, 48 * u, 0.0),
        "sheet": (804 * u, 142 * u, 0.0),
    }
    spots = {}
    for stop in stops:
        x, y, share = places[stop.place]
        wide = _card_width(stop, stop.number == at, style)
        spots[stop.number] = min(x - share * wide, WIDTH * u - wide - 4), y
    return spots


def _card_width(stop: Stop, on: bool, style: Style) -> float:
    return 3.5 * style.text + text_width(stop.short, style.text, bold=on)


def _stop(picture: Picture, stop: Stop, spot: Point, on: bool) -> None:
    """A lesson's number and name on a rounded card, filled when it is done, bold when it is on."""
    style, (x, y) = picture.style, spot
    text = style.text
    card = Picture("stop", picture.width, picture.height, title="", description="", style=style,
                   key=picture.key)  # fmt: skip
    high, round_ = 2.25 * text, 0.92 * text
    wide = _card_width(stop, on, style)
    ink = style.ink if on or stop.done else _PALE
    card.rect("card", x, y - high / 2, wide, high, rx=high / 2, fill=style.paper, stroke=ink,
              stroke_width=(2.3 if on else 1.0) * style.line)  # fmt: skip
    fill = style.ink if stop.done else style.paper
    card.circle("number", x + high / 2, y, round_, fill=fill, stroke=ink)
    number = style.paper if stop.done else style.ink
    card.label(stop.number, x + high / 2, y, anchor="middle", bold=True, fill=number, halo=False,
               size=style.small + 0.5, kind="number")  # fmt: skip
    card.label(stop.short, x + 2.7 * text, y, bold=on, halo=False, kind="stop-name")
    state = ", done" if stop.done else ", go on here" if on else ""
    picture.link(stop.address, f"{stop.number} {stop.name}{state}", card)


def _way(picture: Picture, stops: Sequence[Stop], spots: dict[str, Point], at: str) -> None:
    """Only two legs, so that the map stays calm: how one came here, and where it goes on."""
    number = next((k for k, stop in enumerate(stops) if stop.number == at), None)
    if number is None:
        return
    style, half = picture.style, 1.12 * picture.style.text
    legs = [(number - 1, number, False), (number, number + 1, True)]
    for start, end, dotted in legs:
        if start < 0 or end >= len(stops):
            continue
        a, b = (spots[stops[k].number] for k in (start, end))
        a, b = (a[0] + half, a[1]), (b[0] + half, b[1])
        bend = 0.16 * (1 if dotted else -1)
        x = (a[0] + b[0]) / 2 - bend * (b[1] - a[1])
        y = (a[1] + b[1]) / 2 + bend * (b[0] - a[0])
        x = min(max(x, half), picture.width - half)
        y = min(max(y, half), picture.height - half)
        drawn = f"M{a[0]:.2f} {a[1]:.2f}Q{x:.2f} {y:.2f} {b[0]:.2f} {b[1]:.2f}"
        picture.path("way-paper", drawn, stroke=style.paper, stroke_width=5 * style.frame,
                     stroke_opacity="0.8")  # fmt: skip
        dots: dict[str, str | float] = {}
        if dotted:
            dots = {"stroke_dasharray": f"{style.frame:g} {6 * style.frame:g}",
                    "stroke_linecap": "round"}  # fmt: skip
        picture.path("way", drawn, stroke=style.quiet, stroke_width=1.8 * style.frame, **dots)


def _bench(picture: Picture, floor: float, u: float) -> None:
    picture.rect("bench", 0, floor, picture.width, picture.height - floor, fill="#ece7db",
                 stroke="none")  # fmt: skip
    picture.lines("edge", ((0, floor, picture.width, floor),), stroke_width=2 * u)


def _outline(
    picture: Picture, sheet: DrawingSheet, kind: str, points: Sequence[Point], fill: str
) -> None:
    picture.shape(kind, [sheet.at(*point) for point in points], fill=fill)


def _crankcase(picture: Picture, sheet: DrawingSheet, engine: LargeEngine, floor: float) -> None:
    """The lower block around the crank, cut open, standing on the bench."""
    bore, shape = engine.view.bore, engine.shape
    low = (floor - sheet.y) / sheet.scale
    top, wall = shape.liner - 0.10 * bore, 0.09 * bore
    out = max(engine.half_width + 0.13 * bore, shape.outer + 0.05 * bore)
    widening = top + 0.45 * bore
    right = [(shape.outer, top - 0.04 * bore), (out, widening), (out, low - 0.07 * bore),
             (out + 0.10 * bore, low - 0.07 * bore), (out + 0.10 * bore, low)]  # fmt: skip
    both = [*right, *[(-x, y) for x, y in reversed(right)]]
    _outline(picture, sheet, "crankcase", both, picture.hatch("metal"))
    inner = [(engine.view.bore / 2, top - 0.04 * bore), (out - wall, widening + 0.03 * bore),
             (out - wall, low - 0.07 * bore)]  # fmt: skip
    room = [*inner, *[(-x, y) for x, y in reversed(inner)]]
    _outline(picture, sheet, "crank-room", room, picture.style.paper)


def _jackets(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    """Cooling water in the block's walls."""
    bore, shape = engine.view.bore, engine.shape
    room = shape.outer - bore / 2
    for side in (-1, 1):
        a, b = bore / 2 + 0.3 * room, bore / 2 + 0.78 * room
        points = [(side * a, 0.12 * bore), (side * b, 0.12 * bore), (side * b, 0.8 * shape.liner),
                  (side * a, 0.8 * shape.liner)]  # fmt: skip
        _outline(picture, sheet, "jacket", points, picture.hatch("water"))


def _cam(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    """A cam over the valve at the right, its lobe turned away."""
    bore, cone = engine.view.bore, engine.shape.chamber
    x, tip = 0.60 * cone.narrow, engine.head_top - 0.078 * bore
    base = 0.115 * bore
    middle = tip - base - 0.02 * bore
    points = []
    for k in range(40):
        turn = 2 * math.pi * k / 40
        away = (turn + math.pi / 2 + math.pi) % (2 * math.pi) - math.pi
        radius = base + 0.065 * bore * math.exp(-((away / 0.55) ** 2))
        points.append((x + radius * math.cos(turn), middle + radius * math.sin(turn)))
    _outline(picture, sheet, "cam", points, SATIN)
    px, py = sheet.at(x, middle)
    picture.circle("camshaft", px, py, 0.042 * bore * sheet.scale, fill=picture.style.paper)


def _brace(picture: Picture, sheet: DrawingSheet, engine: LargeEngine, u: float) -> None:
    """All the spaces together, held by one brace."""
    x = sheet.at(engine.shape.outer, 0.0)[0] + 14 * u
    top = sheet.at(0.0, engine.shape.roof)[1]
    foot = sheet.at(0.0, engine.edge + engine.shape.piston.crown_depth)[1]
    middle, r = (top + foot) / 2, 9 * u
    end = 654 * u
    picture.path(
        "brace",
        f"M{x:.2f} {top:.2f}Q{x + r:.2f} {top:.2f} {x + r:.2f} {top + r:.2f}"
        f"L{x + r:.2f} {middle - r:.2f}Q{x + r:.2f} {middle:.2f} {x + 2 * r:.2f} {middle:.2f}"
        f"Q{x + r:.2f} {middle:.2f} {x + r:.2f} {middle + r:.2f}L{x + r:.2f} {foot - r:.2f}"
        f"Q{x + r:.2f} {foot:.2f} {x:.2f} {foot:.2f}",
        stroke_width=1.6 * picture.style.thin,
    )
    picture.lines("brace", ((x + 2 * r, middle, end, middle),), stroke_width=picture.style.thin)


def _tools(picture: Picture, floor: float, u: float) -> None:
    """A burette on its stand and a dial indicator, at the left."""
    style, thin = picture.style, picture.style.thin
    picture.lines("stand", ((84 * u, floor, 84 * u, 250 * u),), stroke_width=4 * u)
    picture.rect("stand-foot", 52 * u, floor - 9 * u, 100 * u, 9 * u, fill=SATIN)
    clamps = [(84 * u, y * u, 122 * u, y * u) for y in (300, 410)]
    picture.lines("clamp", clamps, stroke_width=3 * u)
    left, right, top, foot = 118 * u, 134 * u, 256 * u, 512 * u
    picture.rect("tube", left, top, right - left, foot - top, fill=style.paper)
    level = 322 * u
    picture.rect("tube-water", left, level, right - left, foot - level, fill=picture.hatch("water"))
    marks = [(right, y, right - (9 if k % 5 == 0 else 5) * u, y)
             for k, y in enumerate(268 * u + 10 * u * n for n in range(24))]  # fmt: skip
    picture.lines("marks", marks, stroke_width=thin)
    nozzle = [
        (left, foot), (right, foot), (129 * u, 524 * u), (128 * u, 552 * u), (124 * u, 552 * u),
        (123 * u, 524 * u),
    ]  # fmt: skip
    picture.shape("nozzle", nozzle, fill=picture.hatch("water"))
    picture.lines("tap", ((112 * u, 528 * u, 140 * u, 528 * u),), stroke_width=5 * u)
    x, y, radius = 216 * u, 566 * u, 37 * u
    picture.rect("dial-foot", x - 44 * u, floor - 12 * u, 88 * u, 12 * u, fill=SATIN)
    picture.rect(
        "dial-stem", x - 4 * u, y + radius, 8 * u, floor - 12 * u - y - radius, fill=style.paper
    )
    picture.lines("dial-top", ((x, y - radius - 11 * u, x, y - radius),), stroke_width=5 * u)
    picture.circle("dial", x, y, radius, fill=style.paper)
    ticks = []
    for k in range(20):
        inner, outer = radius - (13 if k % 5 == 0 else 9) * u, radius - 5 * u
        ticks.append((*around(x, y, inner, 18 * k), *around(x, y, outer, 18 * k)))
    picture.lines("ticks", ticks, stroke_width=thin)
    picture.lines("hand", ((x, y, *around(x, y, 26 * u, 37)),), stroke_width=2.4 * u)
    picture.circle("hub", x, y, 3.4 * u, fill=style.ink)


def _spread(picture: Picture, u: float) -> None:
    """Readings piled up as dots, and a bracket over their spread."""
    pile = [(0, 1), (1, 2), (2, 3), (3, 3), (4, 2), (5, 1), (-1, 1)]
    base = 446 * u
    picture.lines("axis", ((750 * u, base + 10 * u, 892 * u, base + 10 * u),))
    for column, number in pile:
        for row in range(number):
            picture.circle("reading", (790 + 15 * column) * u, base - 15 * row * u + 3 * u, 5 * u,
                           fill="#e69f00", stroke_width=picture.style.thin)  # fmt: skip
    top = 390 * u
    left, right, down = 772 * u, 870 * u, top + 9 * u
    thin = picture.style.thin
    picture.trace("bracket", ((left, down), (left, top), (right, top), (right, down)))
    picture.lines("bracket", ((821 * u, top, 821 * u, top - 8 * u),), stroke_width=thin)


def _parts(picture: Picture, u: float, floor: float) -> None:
    """What can be changed: gaskets on the bench and a piston."""
    style = picture.style
    picture.rect(
        "gasket-body", 738 * u, floor - 8 * u, 108 * u, 8 * u, fill="#4d4d4d", stroke="none"
    )
    picture.rect(
        "thin-gasket", 744 * u, floor - 13 * u, 96 * u, 4 * u, fill=picture.hatch("gasket")
    )
    x, y, wide, high = 868 * u, floor - 84 * u, 76 * u, 84 * u
    body = [(x, y), (x + wide, y), (x + wide, y + high), (x + wide - 12 * u, y + high),
            (x + wide - 12 * u, y + 36 * u), (x + 12 * u, y + 36 * u), (x + 12 * u, y + high),
            (x, y + high)]  # fmt: skip
    picture.shape("spare-piston", body, fill=picture.hatch("metal"))
    dish = [(x + 18 * u, y), (x + 58 * u, y), (x + 52 * u, y + 9 * u), (x + 24 * u, y + 9 * u)]
    picture.shape("spare-dish", dish, fill=picture.hatch("crown"))
    grooves = [(a, y + d * u, b, y + d * u) for d in (8, 16)
               for a, b in ((x, x + 6 * u), (x + wide - 6 * u, x + wide))]  # fmt: skip
    picture.lines("rings", grooves, stroke_width=3 * u)
    picture.circle(
        "spare-pin", x + wide / 2, y + 52 * u, 12 * u, fill=STEEL, stroke_width=style.line
    )


def _sheet(picture: Picture, u: float) -> None:
    """The build sheet, with a swatch and two lines for each part, and a name at its foot."""
    style, x, y = picture.style, 790 * u, 14 * u
    page = [(x, y), (x + 126 * u, y), (x + 144 * u, y + 18 * u), (x + 144 * u, y + 180 * u),
            (x, y + 180 * u)]  # fmt: skip
    picture.shape("page", page, fill=style.paper)
    fold = ((x + 126 * u, y), (x + 126 * u, y + 18 * u), (x + 144 * u, y + 18 * u))
    picture.trace("fold", fold)
    lines = []
    for part, down, long in (("chamber", 28, 62), ("gasket", 46, 56), ("deck", 64, 64),
                             ("crown", 82, 52)):  # fmt: skip
        picture.rect("swatch", x + 14 * u, y + (down - 6) * u, 11 * u, 11 * u,
                     fill=picture.hatch(part), stroke_width=style.thin)  # fmt: skip
        lines.append((x + 34 * u, y + down * u, x + (34 + long) * u, y + down * u))
        lines.append((x + 106 * u, y + down * u, x + 130 * u, y + down * u))
    lines += [(x + 14 * u, y + d * u, x + e * u, y + d * u) for d, e in ((142, 130), (156, 98))]
    picture.lines("written", lines, stroke=_PALE, stroke_width=1.5 * style.thin)
    sign = [(x + (20 + 7 * k) * u, y + (171 + (-5 if k % 2 else 3)) * u) for k in range(8)]
    picture.trace("signed", sign, stroke_width=1.4 * style.thin)


def _description(stops: Sequence[Stop]) -> str:
    listed = "; ".join(
        f"{stop.number} {stop.name}{' (done)' if stop.done else ''}" for stop in stops
    )
    return f"An engine in section on a bench with its tools. Lessons: {listed}."
