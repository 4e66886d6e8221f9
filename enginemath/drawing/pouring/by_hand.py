"""The pour by hand: plug, grease and plate are put in place, the tap is turned, the water read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.instruments.burette import Tube, draw_round_window, draw_tube, marks
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.svg import Picture, around
from enginemath.drawing.pouring.head_on_bench import (
    STRETCHES,
    Bench,
    HeadOnBench,
    Tilted,
    draw_bench,
    draw_head_on_bench,
    draw_plug,
)

WIDTH, HEIGHT = 956.0, 716.0
LIFTED = 0.40
"""How far above the head the plate rests when it is off, of the bore."""


@dataclass(frozen=True)
class Written:
    """One line of what was written down: a fill's start and end as typed, empty where not yet."""

    start: str = ""
    end: str = ""


def by_hand(
    bench: Bench,
    reading: float = 0.0,
    *,
    capacity: float = 25.0,
    tap: float = 0.0,
    burette: bool = True,
    written: Sequence[Written] = (),
    grips: Sequence[Grip] = (),
    ring: str = "",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the head on the bench during a pour.

    Args:
        bench: the head and what was done to it.
        reading: of the burette, mL: the bottom of the curve.
        capacity: of the burette, mL.
        tap: how far it is open, degrees: 0 shut, 90 wide open.
        burette: whether it stands over the head; not while the head is still being closed.
        written: the fills as written down so far; none, no list.
        grips: what can be taken by hand: parts ``tap``, ``plate``, ``tilt``, ``plug``, ``grease``.
        ring: a place to look at: ``meniscus``, ``number``, ``plug``, ``grease``, ``plate``,
            ``bubble``, ``spill``, ``hole``, ``tap``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> by_hand(Bench(47.4, 88.34, inside=20.0), 20.35).title
    'Pouring a chamber: not full yet'
    >>> by_hand(Bench(47.4, 88.34, plug=0, grease=2, plate=40), burette=False).title
    'A head on the bench, chamber up'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    title = f"Pouring a chamber: {bench.state.lstrip('✓▲ ')}" if burette else (
        "A head on the bench, chamber up"
    )  # fmt: skip
    picture = Picture(
        "by-hand",
        width,
        height,
        title=title,
        description=_description(bench, reading, tap, burette),
        key=key,
        style=style,
    )
    text, head = style.text, HeadOnBench(bench)
    scale = min((width - 11.3 * text) / (2 * head.out), 0.33 * height / head.deep)
    middle = width / 2 - 1.5 * text
    face = height - 4.6 * text - head.deep * scale
    sheet = head.sheet(middle, face, scale)
    left, right = middle - head.out * scale, middle + head.out * scale
    draw_bench(picture, face + head.deep * scale, style, (left - 0.5 * text, right + 0.5 * text))
    draw_head_on_bench(picture, sheet, head)
    home = _plug_home(head, scale, text)
    if bench.plug < 1 and not burette:
        out = 1 - bench.plug
        draw_plug(picture, _level(sheet), head, (home[0] * out, home[1] * out))
    mark_bench(picture, sheet, head)
    tap_at = (0.0, 0.0)
    if burette:
        tap_at = _burette(picture, sheet, head, reading, capacity, tap)
        _state(picture, bench, middle, height)
    if written:
        draw_written(picture, written, width - 13.2 * text, 3.4 * text)
    _grips(picture, grips, sheet, head, home, tap_at, tap)
    if not burette:
        _names(picture, sheet, head, home)
    if ring:
        words = {"number": "which number?"}.get(ring, "look here")
        picture.look_here(ring, words, above=ring in ("bubble", "spill", "plate"))
    return picture


def _level(sheet: Tilted) -> Tilted:
    return Tilted(sheet.x, sheet.y, sheet.scale)


def _plug_home(head: HeadOnBench, scale: float, text: float) -> tuple[float, float]:
    """Where the plug stands when it is out: beside the head, on the bench; mm from its hole."""
    return head.out + 1.0 * text / scale + head.plug, 0.9 * text / scale


def _burette(
    picture: Picture,
    sheet: Tilted,
    head: HeadOnBench,
    reading: float,
    capacity: float,
    tap: float,
) -> tuple[float, float]:
    """The burette over the plate's hole, its stopcock, and the curve in a glass beside it."""
    style, text = picture.style, picture.style.text
    x, plate = _level(sheet).at(head.hole, -head.plate - 0.32 * head.back)
    tip = plate - 1.0 * text
    cock = tip - 2.7 * text
    foot = cock - 0.9 * text
    tube = Tube(x, 1.75 * text, 0.4 * text, foot, text, reading, capacity)
    draw_tube(picture, tube)
    draw_cock(picture, tube, cock, tip, tap)
    _stream(picture, x, tip, plate, tap, head)
    radius = 0.138 * picture.width
    half = tube.width / 2
    glass_x, glass_y = x + 2.4 * text + 1.75 * radius, 1.6 * text + radius
    draw_round_window(picture, tube, glass_x, glass_y, radius)
    picture.label("mL", x - half - 0.6 * text, 0.9 * text, anchor="end", size=style.small,
                  kind="tick")  # fmt: skip
    level = tube.window(glass_y - radius, glass_y + radius)
    picture.place_of("meniscus", glass_x + 0.18 * radius, level(reading), 1.9 * text)
    picture.place_of("number", glass_x - 0.58 * radius, level(round(reading)), 1.6 * text)
    picture.place_of("tap", x, cock, 2.2 * text)
    return x, cock


def draw_cock(picture: Picture, tube: Tube, cock: float, tip: float, tap: float) -> None:
    """The stopcock under a burette and its nozzle.

    Args:
        cock, tip: heights of the stopcock and of the nozzle's end, px.
        tap: how far it is open, degrees.
    """
    style, text, x, foot = picture.style, picture.style.text, tube.x, tube.foot
    water = picture.hatch("water")
    half = tube.width / 2
    neck = [(x - half, foot), (x - 0.25 * text, cock - 0.4 * text), (x - 0.25 * text, cock)]
    picture.shape("nozzle", neck + [(2 * x - a, b) for a, b in reversed(neck)], fill=water)
    spout = [(x - 0.28 * text, cock + 0.5 * text), (x - 0.14 * text, tip)]
    picture.shape("nozzle", spout + [(2 * x - a, b) for a, b in reversed(spout)], fill=water)
    lever = 1.65 * text
    ends = [around(x, cock, lever, 90 + tap + turn) for turn in (0, 180)]
    for kind, ink, wide in (("tap-edge", style.ink, 8.0), ("tap-lever", style.paper, 4.5)):
        picture.lines(kind, ((*ends[0], *ends[1]),), stroke=ink, stroke_width=wide * style.frame,
                      stroke_linecap="round")  # fmt: skip
    picture.circle("tap", x, cock, 0.62 * text, fill=style.paper)
    across = [around(x, cock, 0.62 * text, 90 + tap + turn) for turn in (0, 180)]
    picture.lines("tap-bore", ((*across[0], *across[1]),), stroke_width=2.2 * style.frame)


def _stream(
    picture: Picture, x: float, tip: float, plate: float, tap: float, head: HeadOnBench
) -> None:
    """What runs from the nozzle: drops while the tap is hardly open, then a thread of water."""
    if tap <= 0 or head.bench.plate > 0:
        return
    style = picture.style
    if tap < 15:
        picture.circle("drop", x, (tip + plate) / 2, 0.2 * style.text,
                       fill=picture.hatch("water"), stroke_width=style.thin)  # fmt: skip
        return
    half = (0.04 + 0.12 * tap / 90) * style.text
    picture.rect("stream", x - half, tip, 2 * half, plate - tip + 0.4 * style.text,
                 fill=picture.hatch("water"), stroke_width=style.thin)  # fmt: skip


def _state(picture: Picture, bench: Bench, middle: float, height: float) -> None:
    style = picture.style
    size = 1.35 * style.text
    fill = "#a84300" if bench.spilled > 0 else None
    picture.label(bench.state, middle, height - 1.7 * style.text, anchor="middle", size=size,
                  bold=True, fill=fill, kind="said")  # fmt: skip


def draw_written(picture: Picture, written: Sequence[Written], left: float, top: float) -> float:
    """What was written down, fill by fill, on ruled lines.

    Returns:
        The height at which the list ends, px.
    """
    style, text = picture.style, picture.style.text
    right = left + 11.0 * text
    picture.label("written down", left, top, fill=style.quiet, kind="ledger")
    y = top + 1.9 * text
    rules = []
    for number, fill in enumerate(written, 1):
        picture.label(f"fill {number}", left, y, bold=True, kind="ledger")
        for name, typed in (("start", fill.start), ("end", fill.end)):
            y += 1.65 * text
            picture.label(name, left, y, kind="ledger")
            if typed:
                picture.label(typed, right, y, anchor="end", bold=True, kind="ledger")
            rules.append((left, y + 0.75 * text, right, y + 0.75 * text))
            picture.place_of(f"{name} {number}", (left + right) / 2, y, 0.8 * text, 6.1 * text)
        y += 2.0 * text
    picture.lines("rule", rules, stroke="#b9b5aa", stroke_width=style.thin)
    half = (y - text - top) / 2
    picture.place_of("burette", (left + right) / 2, top + half, half + 0.5 * text, 6.3 * text)
    return y - text


def mark_bench(picture: Picture, sheet: Tilted, head: HeadOnBench) -> None:
    """Where each thing on the bench is, for a ring to be put there."""
    bench, text = head.bench, picture.style.text
    places = {
        "plug": ((0.0, (head.tall + head.deep) / 2), 3.0),
        "grease": ((head.ring, 0.0), 2.0),
        "plate": ((0.6 * head.out, -head.plate - bench.plate), 2.4),
        "hole": ((head.hole, -head.plate), 2.2),
        "chamber": ((0.0, 0.5 * head.tall), 3.0),
    }
    if bench.bubble:
        middle, half, deep = head.bubble
        places["bubble"] = ((middle, 0.4 * deep), 1.15 * half * sheet.scale / text)
    if bench.spilled:
        places["spill"] = ((-head.out, -head.plate), 2.6)
    for part, (spot, size) in places.items():
        picture.place_of(part, *sheet.at(*spot), size * text)


def _grips(
    picture: Picture,
    grips: Sequence[Grip],
    sheet: Tilted,
    head: HeadOnBench,
    home: tuple[float, float],
    tap_at: tuple[float, float],
    tap: float,
) -> None:
    """A handle on each thing that can be taken."""
    scale, text, bench = sheet.scale, picture.style.text, head.bench
    for grip in grips:
        pull: tuple[float, float] | None = None
        turn = None
        if grip.part == "tap":
            at, turn = around(*tap_at, 1.65 * text, 90 + tap), tap_at
        elif grip.part == "plate":
            at = sheet.at(0.55 * head.out, -head.plate / 2 - bench.plate)
            pull = (0.0, -scale)
        elif grip.part == "tilt":
            at = sheet.at(-head.out, 0.55 * head.deep)
            pull = (0.0, -math.radians(1) * 2 * head.out * scale)
        elif grip.part == "plug":
            out = 1 - bench.plug
            spot = (home[0] * out, (head.tall + head.deep) / 2 + home[1] * out)
            at, pull = _level(sheet).at(*spot), (-home[0] * scale, -home[1] * scale)
        elif grip.part == "grease":
            at = sheet.at(*head.on_the_grease(bench.grease))
            pull = (2 * head.ring * scale / STRETCHES, 0.0)
        else:
            raise ValueError(f"nothing on the bench is called {grip.part}")
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
            )
        )


def _names(picture: Picture, sheet: Tilted, head: HeadOnBench, home: tuple[float, float]) -> None:
    """What still lies about, by name."""
    bench, text = head.bench, picture.style.text
    if bench.plate > 0:
        x, y = sheet.at(0.0, -bench.plate - head.plate - head.back)
        picture.label("clear plate", x, y - 1.0 * text, anchor="middle", bold=True, kind="name")
    if bench.grease < STRETCHES and bench.plate > 0:
        x, y = sheet.at(0.0, -head.back)
        picture.label("line of grease", x, y - 1.0 * text, anchor="middle", bold=True, kind="name")
    if bench.plug < 1:
        x, y = _level(sheet).at(home[0], head.tall + home[1] - 0.042 * bench.bore)
        picture.label("spark plug", min(x, picture.width - 3.6 * text), y - 1.1 * text,
                      anchor="middle", bold=True, kind="name")  # fmt: skip


def _description(bench: Bench, reading: float, tap: float, burette: bool) -> str:
    plug = "its plug is in" if bench.plug >= 1 else "its plug hole is open"
    laid = {STRETCHES: "grease is laid all along its edge"}
    grease = laid.get(bench.grease, f"grease is laid along {bench.grease} of {STRETCHES} stretches")
    plate = "the clear plate lies on it" if bench.plate <= 0 else "the clear plate is off"
    told = f"A head lies on the bench with its chamber up: {plug}, {grease}, {plate}."
    if bench.tilt:
        told += " It is tilted, its hole at the highest point."
    if not burette:
        return told
    if bench.bubble and bench.full:
        told += " Air stays under the plate."
    running = " The tap is open." if tap > 0 else ""
    return f"{told} {bench.state.lstrip('✓▲ ').capitalize()}.{running} {marks(reading)}"
