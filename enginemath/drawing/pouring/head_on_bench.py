"""A head on the bench, chamber up, cut open: what is put in, on and over it during a pour.

Seen a little from above: the half behind the cut shows as flat ellipses. It can be tilted; the
water stays level.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.paper.palette import AQUA, Style, mix
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture, Point
from enginemath.drawing.pouring import liquid
from enginemath.formulas.geometry import π
from enginemath.units import MM3_PER_CC

LOOK = 0.14
"""How far one looks down on a level circle: its height for its width."""
STRETCHES = 5
"""In how many strokes the line of grease is laid."""
GREASE = "#caa75a"
_OUT, _DEEP = 0.64, 0.25
"""Half width of the head and metal under the chamber, of the bore."""
_HOLE_AT, _HOLE = 0.76, 0.03
"""Place of the plate's hole, of the chamber's half width; its half width, of the bore."""
_VALVE, _VALVE_AT, _STEM, _PLUG = 0.34, 0.62, 0.085, 0.25
"""Of the valves and the plug, of the roof's half width."""


@dataclass(frozen=True)
class Bench:
    """A head on the bench and what was done to it.

    Args:
        chamber: true volume, cc.
        bore: across the head's face, mm.
        inside: what has run in so far, cc.
        plug: how far the plug is in its hole, 0 (beside the head) to 1.
        grease: stretches of grease that are laid, 0 to 5.
        plate: how far the plate is above the head, mm; 0 when it lies on it.
        tilt: degrees that the head is lifted on the left.
        bubble: air that stays under the plate, cc.
        spilled: what has run over the plate, cc.
    """

    chamber: float
    bore: float
    inside: float = 0.0
    plug: float = 1.0
    grease: int = STRETCHES
    plate: float = 0.0
    tilt: float = 0.0
    bubble: float = 0.0
    spilled: float = 0.0

    @property
    def closed(self) -> bool:
        """Whether plug, grease and plate are all in their places."""
        return self.plug >= 1 and self.grease >= STRETCHES and self.plate <= 0

    @property
    def full(self) -> bool:
        """Whether the water has reached the plate."""
        return self.inside >= self.chamber - self.bubble - 1e-9

    @property
    def state(self) -> str:
        """How full it is, in words, with a sign.

        >>> Bench(47.4, 88.0, inside=47.4).state, Bench(47.4, 88.0, inside=46.7, bubble=0.7).state
        ('✓ full to the plate', 'water stands in the hole')
        """
        if self.spilled > 0:
            return "▲ overfull: it runs over the plate"
        if self.full:
            return "water stands in the hole" if self.bubble else "✓ full to the plate"
        if self.inside <= 0:
            return "empty and dry"
        return "nearly full" if self.inside > 0.85 * self.chamber else "not full yet"


@dataclass(frozen=True)
class Tilted(DrawingSheet):
    """A sheet that is turned about a point of its own, mm.

    Args:
        about: the point that stays.
        turn: radians, clockwise.
    """

    about: Point = (0.0, 0.0)
    turn: float = 0.0

    def at(self, right: float, down: float) -> tuple[float, float]:
        """The paper's point for a point in mm, right of and below the sheet's origin."""
        if not self.turn:
            return super().at(right, down)
        i, j = right - self.about[0], down - self.about[1]
        c, s = math.cos(self.turn), math.sin(self.turn)
        return super().at(self.about[0] + i * c - j * s, self.about[1] + i * s + j * c)


class HeadOnBench:
    """Where everything stands: mm right of the middle and below the head's face."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        bore = bench.bore
        self.cone = stand_in_shapes.chamber(bench.chamber, bore)
        self.tall = self.cone.height
        self.out = max(_OUT * bore, self.cone.wide + 0.12 * bore)
        self.deep = self.tall + _DEEP * bore
        self.hole, self.hole_half = -_HOLE_AT * self.cone.wide, _HOLE * bore
        self.back = self.plate = self.out * LOOK
        self.valve = _VALVE * self.cone.narrow
        self.valve_at = _VALVE_AT * self.cone.narrow
        self.plug = _PLUG * self.cone.narrow
        self.ring = self.cone.wide + 0.03 * bore

    def sheet(self, x: float, face: float, scale: float) -> Tilted:
        """The head's sheet, tilted as the bench has it, about its right foot."""
        turn = math.radians(self.bench.tilt)
        return Tilted(x, face, scale, about=(self.out, self.deep), turn=turn)

    def on_the_grease(self, stretch: float) -> Point:
        """A point on the line of grease, so many stretches from its left end."""
        turn = π * (1 - stretch / STRETCHES)
        return self.ring * math.cos(turn), -self.ring * LOOK * math.sin(turn)

    @property
    def bubble(self) -> tuple[float, float, float]:
        """Middle, half width and depth of the air under the plate; it wanders to the hole."""
        bench = self.bench
        deep = (bench.bubble * MM3_PER_CC * 6 / (π * 28)) ** (1 / 3)
        rest = 0.72 * self.cone.wide
        way = min(bench.tilt / 3.0, 1.0)
        return rest + (self.hole - rest) * way, 3 * deep, deep


def draw_head_on_bench(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """Draw the head with what is in it, and the plate where it is."""
    bench = head.bench
    _behind(picture, sheet, head)
    _water(picture, sheet, head)
    _grease_line(picture, sheet, head)
    _metal(picture, sheet, head)
    if bench.plug >= 1:
        draw_plug(picture, sheet, head)
    _bubble(picture, sheet, head)
    draw_plate(picture, sheet, head)
    if bench.grease < STRETCHES and bench.plate <= 0 and bench.inside > 0.9 * bench.chamber:
        _leak(picture, sheet, head)
    if bench.spilled > 0:
        _spill(picture, sheet, head)


def _half_ellipse(radius: float, y: float, number: int = 20) -> list[Point]:
    """The half of a level circle behind the cut, from left to right."""
    turns = [π * (1 - k / number) for k in range(number + 1)]
    return [(radius * math.cos(t), y - radius * LOOK * math.sin(t)) for t in turns]


def _shape(
    picture: Picture, sheet: DrawingSheet, kind: str, points: list[Point], **marks: str | float
) -> None:
    picture.shape(kind, [sheet.at(*point) for point in points], **marks)


def _behind(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The face behind the cut, the chamber's far wall and the valves in its floor."""
    out, back, cone, tall = head.out, head.back, head.cone, head.tall
    style = picture.style
    face = [(-out, -back), (out, -back), (out, 0.0), (-out, 0.0)]
    _shape(picture, sheet, "face", face, fill="#eceae5")
    wall = [*_half_ellipse(cone.wide, 0.0), (cone.narrow, tall), (-cone.narrow, tall)]
    fill = picture.sheen("wall", "#c4cacf", "#f2f4f5", "#cbd1d5")
    _shape(picture, sheet, "chamber-wall", wall, fill=fill)
    floor = _half_ellipse(cone.narrow, tall)
    _shape(picture, sheet, "chamber-floor", floor, fill="#dadfe2", stroke="#8b9094",
           stroke_width=style.thin)  # fmt: skip
    for side in (-1, 1):
        middle = side * head.valve_at
        top = [
            (middle + x, y) for x, y in _half_ellipse(head.valve, tall - 0.006 * head.bench.bore)
        ]
        _shape(picture, sheet, "valve-face", top, fill="#f4f6f7", stroke_width=style.thin)


def _water(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The water, level however the head stands; in the open plug hole first."""
    bench, cone, style = head.bench, head.cone, picture.style
    held = min(max(bench.inside, 0.0), bench.chamber - bench.bubble)
    if held < 0.01:
        return
    # Seen from the side a bubble's water is lost in the level: near the plate it is drawn full.
    near = min(max((held - 0.9 * bench.chamber) / (0.07 * bench.chamber), 0.0), 1.0)
    high = liquid.level_in_chamber(cone, min(held + bench.bubble * near, bench.chamber))
    radius = cone.narrow + (cone.wide - cone.narrow) * high / head.tall
    fill = picture.hatch("water")
    pale = mix(AQUA, style.paper, 0.35)
    corners = [(-radius, head.tall - high), (radius, head.tall - high),
               (cone.narrow, head.tall), (-cone.narrow, head.tall)]  # fmt: skip
    points = [sheet.at(*corner) for corner in corners]
    if bench.tilt and not bench.full:
        points = _levelled(points)
    left, right = points[0], points[1]
    middle, half = (left[0] + right[0]) / 2, (right[0] - left[0]) / 2
    turns = [π * (1 - k / 20) for k in range(21)]
    surface = [
        (middle + half * math.cos(t),
         (left[1] + right[1]) / 2 + (right[1] - left[1]) / 2 * math.cos(t)
         - half * LOOK * math.sin(t))
        for t in turns
    ]  # fmt: skip
    ink = mix(AQUA, style.ink, 0.5)
    picture.shape("water-surface", surface, fill=pale, stroke=ink, stroke_width=style.thin)
    picture.shape("water", points, fill=fill, stroke=ink, stroke_width=style.thin)


def _levelled(points: list[Point]) -> list[Point]:
    """A tilted body of water with its surface made level through its middle."""
    left, right, low_right, low_left = points
    y = (left[1] + right[1]) / 2

    def on(top: Point, low: Point) -> Point:
        share = (y - low[1]) / (top[1] - low[1])
        return low[0] + share * (top[0] - low[0]), y

    return [on(left, low_left), on(right, low_right), low_right, low_left]


def _grease_line(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The line of grease along the edge, as far as it is laid; the rest is dotted."""
    bench, style = head.bench, picture.style
    ways = [[sheet.at(*head.on_the_grease(n + k / 6)) for k in range(7)] for n in range(STRETCHES)]
    size = style.frame
    if bench.plate > 0:
        for way in ways[bench.grease :]:
            picture.trace("grease-to-lay", way, stroke="#8b8880", stroke_width=1.6 * size,
                          stroke_dasharray=f"{3 * size:g} {5 * size:g}")  # fmt: skip
    laid = ways[: bench.grease]
    for kind, ink, wide in (("grease-edge", style.ink, 6.5), ("grease", GREASE, 4.0)):
        for way in laid:
            picture.trace(kind, way, stroke=ink, stroke_width=wide * size, stroke_linecap="round")


def _metal(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The cut metal at both sides of the chamber, the valves and the ends of the grease."""
    cone, tall, deep, style = head.cone, head.tall, head.deep, picture.style
    metal = picture.hatch("metal")
    for side in (-1, 1):
        half = [
            (head.out, 0.0), (cone.wide, 0.0), (cone.narrow, tall), (head.plug, tall),
            (head.plug, deep), (head.out, deep),
        ]  # fmt: skip
        _shape(picture, sheet, "head", [(side * x, y) for x, y in half], fill=metal)
    if head.bench.plug < 1:
        _open_hole(picture, sheet, head)
    steel = picture.sheen("steel", "#bcc3c8", "#f4f6f7", "#c3c9ce")
    for side in (-1, 1):
        middle, r, stem = side * head.valve_at, head.valve, _STEM * cone.narrow
        bore = head.bench.bore
        right = [
            (r, tall - 0.006 * bore), (0.93 * r, tall + 0.014 * bore),
            (0.5 * r, tall + 0.04 * bore), (stem, tall + 0.09 * bore), (stem, deep),
        ]  # fmt: skip
        points = [(middle + x, y) for x, y in right]
        points += [(middle - x, y) for x, y in reversed(right)]
        _shape(picture, sheet, "valve", points, fill=steel)
    size = style.frame
    for side, laid in ((-1, head.bench.grease > 0), (1, head.bench.grease >= STRETCHES)):
        if laid:
            x, y = sheet.at(side * head.ring, 0.0)
            bead = [(x + 5 * size * math.cos(t * π / 6), y + 3.4 * size * math.sin(t * π / 6))
                    for t in range(12)]  # fmt: skip
            picture.shape("grease-end", bead, fill=GREASE, stroke_width=style.thin)


def _open_hole(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The plug's hole left open; water stands in it and runs out below."""
    half, tall, deep = head.plug, head.tall, head.deep
    hole = [(-half, tall), (half, tall), (half, deep), (-half, deep)]
    wet = head.bench.inside > 0
    fill = picture.hatch("water") if wet else picture.style.paper
    _shape(picture, sheet, "plug-hole", hole, fill=fill, stroke="none")
    edges = [(*sheet.at(side * half, tall), *sheet.at(side * half, deep)) for side in (-1, 1)]
    picture.lines("plug-hole-edge", edges)
    if wet:
        thin, turns = 0.012 * head.bench.bore, [t * π / 12 for t in range(13)]
        puddle = [(1.9 * half * math.cos(t), deep - thin * math.sin(t)) for t in turns]
        _shape(picture, sheet, "puddle", puddle, fill=picture.hatch("water"), stroke="none")


def draw_plug(
    picture: Picture,
    sheet: DrawingSheet,
    head: HeadOnBench,
    aside: Point = (0.0, 0.0),
) -> None:
    """The plug: dark thread, white insulator, electrode and strap.

    Args:
        aside: mm that it stands aside of its hole.
    """
    style, half, tall, deep = picture.style, head.plug, head.tall, head.deep
    bore = head.bench.bore
    x, y = aside

    def box(kind: str, left: float, top: float, right: float, low: float, fill: str) -> None:
        corners = [(left, top), (right, top), (right, low), (left, low)]
        points = [(x + a, y + b) for a, b in corners]
        _shape(picture, sheet, kind, points, fill=fill, stroke_width=style.thin)

    box("plug", -half, tall, half, deep, "#5b6067")
    rows = 8
    step = (deep - tall) / rows
    threads = []
    for side in (-1, 1):
        near, far = sorted((side * 0.45 * half, side * half))
        for row in range(1, rows):
            a = sheet.at(x + near, y + tall + row * step)
            b = sheet.at(x + far, y + tall + (row + 0.35) * step)
            threads.append((*a, *b))
    picture.lines("thread", threads, stroke="#d9dcdf", stroke_width=style.thin)
    box("insulator", -0.44 * half, tall - 0.012 * bore, 0.44 * half, deep - 0.01 * bore, "#faf6ec")
    box("electrode", -0.11 * half, tall - 0.022 * bore, 0.11 * half, deep - 0.01 * bore, "#8b9094")
    strap = [
        (0.62 * half, tall),
        (0.62 * half, tall - 0.042 * bore),
        (-0.2 * half, tall - 0.042 * bore),
        (-0.2 * half, tall - 0.03 * bore),
        (0.84 * half, tall - 0.03 * bore),
        (0.84 * half, tall),
    ]
    strap[4:] = [(0.42 * half, tall - 0.03 * bore), (0.42 * half, tall)]
    _shape(picture, sheet, "strap", [(x + a, y + b) for a, b in strap], fill="#8b9094",
           stroke_width=style.thin)  # fmt: skip


def _bubble(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """Air under the plate, once the water is near it."""
    bench, style = head.bench, picture.style
    if not bench.bubble or bench.inside < 0.93 * (bench.chamber - bench.bubble):
        return
    middle, half, deep = head.bubble
    low = [(middle + half * math.cos(t * π / 16), 2 * 0.6 * deep * math.sin(t * π / 16))
           for t in range(17)]  # fmt: skip
    _shape(picture, sheet, "bubble", low, fill=style.paper)
    shine = [(middle - 0.55 * half, 0.25 * deep), (middle - 0.35 * half, 0.62 * deep)]
    picture.trace("shine", [sheet.at(*p) for p in shine], stroke="#8b9094",
                  stroke_width=1.4 * style.frame)  # fmt: skip


def draw_plate(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """The clear plate with its hole, as far above the head as it is held."""
    style, out, thick, back = picture.style, head.out, head.plate, head.back
    up = -head.bench.plate
    hole, half = head.hole, head.hole_half

    def shape(kind: str, points: list[Point], **marks: str | float) -> None:
        _shape(picture, sheet, kind, [(x, y + up) for x, y in points], **marks)

    top = [(-out, -thick - back), (out, -thick - back), (out, -thick), (-out, -thick)]
    shape("plate-top", top, fill="#dfeaf4", fill_opacity="0.55")
    for left, right in ((-out, hole - half), (hole + half, out)):
        front = [(left, -thick), (right, -thick), (right, 0.0), (left, 0.0)]
        shape("plate", front, fill="#b9d6ea", fill_opacity="0.5")
    wet = head.bench.full and head.bench.plate <= 0 and head.bench.closed
    slot = [(hole - half, -thick), (hole + half, -thick), (hole + half, 0.0), (hole - half, 0.0)]
    if wet or head.bench.spilled > 0:
        low = [(hole - half, -0.75 * thick), (hole + half, -0.75 * thick), *slot[2:]]
        brim = slot if head.bench.spilled > 0 else low
        shape("in-the-hole", brim, fill=picture.hatch("water"), stroke="none")
    rim_at, rim = -thick - 0.32 * back, 1.45 * half
    rim_points = [(hole + rim * math.cos(t * π / 8), rim_at + 0.32 * rim * math.sin(t * π / 8))
                  for t in range(16)]  # fmt: skip
    shape("hole", rim_points, fill=style.paper, stroke_width=style.thin)
    for x in (0.18 * out, 0.28 * out):
        a, b = sheet.at(x, up - 0.2 * thick), sheet.at(x + 0.07 * out, up - 0.82 * thick)
        picture.lines("glint", ((*a, *b),), stroke="#ffffff", stroke_width=3 * style.frame,
                      stroke_linecap="round")  # fmt: skip


def _spill(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """What was spilled: on the plate, over its edge and down the head's side; not to scale."""
    bore, out, thick = head.bench.bore, head.out, head.plate
    deep = 0.018 * bore
    end = head.hole + 3.5 * head.hole_half
    points = [
        (end, -thick), (end - 0.6 * deep, -thick - 0.8 * deep), (end - 2 * deep, -thick - deep),
        (-out, -thick - deep), (-out - deep, -thick), (-out - deep, head.deep - 2 * deep),
        (-out - 2.5 * deep, head.deep), (-out, head.deep), (-out, -thick),
    ]  # fmt: skip
    _shape(picture, sheet, "spill", points, fill=picture.hatch("water"),
           stroke_width=picture.style.thin)  # fmt: skip


def _leak(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """Water that creeps out under the plate where no grease is; not to scale."""
    thin, out = 0.012 * head.bench.bore, head.out
    points = [(head.cone.wide, -thin), (out, -thin), (out + thin, 0.0), (out + thin, 8 * thin),
              (out, 9 * thin), (out, 0.0), (head.cone.wide, 0.0)]  # fmt: skip
    _shape(picture, sheet, "leak", points, fill=picture.hatch("water"),
           stroke_width=picture.style.thin)  # fmt: skip


def draw_bench(picture: Picture, y: float, style: Style, ends: tuple[float, float]) -> None:
    """The bench's edge under the head, with a mat on it."""
    left, right = ends
    mat = 0.9 * style.text
    picture.rect("mat", left, y, right - left, mat, fill="#4d4d4d", stroke="none")
    picture.lines("bench", ((max(left - 40, 0), y + mat, min(right + 40, picture.width), y + mat),))
