"""What was measured against what is true: two bars, the ± as a band, and a blunder pointed at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper import axes
from enginemath.drawing.paper.handles import RING
from enginemath.drawing.paper.large_line import Said, draw_said
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.drawing.pouring.by_hand import Written, draw_written, mark_bench
from enginemath.drawing.pouring.head_on_bench import (
    Bench,
    HeadOnBench,
    draw_bench,
    draw_head_on_bench,
)
from enginemath.units import fixed, signed

WIDTH, HEIGHT = 956.0, 716.0
RIGHT = "#006b4f"
"""The colour of what is right; dark enough for letters."""


_ABOVE = ("bubble", "spill", "plate")
_LEAST = 1.8
"""A glass that does not even enlarge so much is left out."""


@dataclass(frozen=True)
class Blunder:
    """What went wrong, and what it did to the volume.

    Args:
        place: where to look, as `by_hand` names its places.
        name: in shop words.
        cc: by how much it made the reading too large.
    """

    place: str
    name: str
    cc: float


@dataclass(frozen=True)
class Comparison:
    """A measured volume with its uncertainty beside the true one, cc.

    Args:
        value, u: as measured, and its ±.
        true: what the chamber holds.
    """

    value: float
    u: float
    true: float

    @property
    def off(self) -> float:
        """How much too large it was measured."""
        return self.value - self.true

    @property
    def inside(self) -> bool:
        """Whether the ± explains the difference.

        >>> Comparison(47.30, 0.12, 47.40).inside, Comparison(46.75, 0.12, 47.40).inside
        (True, False)
        """
        return abs(self.off) <= self.u + 1e-9


def measured(
    found: Comparison,
    bench: Bench,
    *,
    written: Sequence[Written] = (),
    blunders: Sequence[Blunder] = (),
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw what was measured over what is true, and point at what went wrong.

    Args:
        found: measured and true.
        bench: how the head was left.
        written: the fills as they were written down.
        blunders: the largest first; those that the ± explains are left out.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> measured(Comparison(46.75, 0.12, 47.40), Bench(47.4, 88.3, inside=46.7, bubble=0.7)).title
    'Measured 46.75 ± 0.12 cc, true 47.40 cc: 0.65 cc too small'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    told = (
        f"Measured {fixed(found.value, 2)} ± {fixed(found.u, 2)} cc, true {fixed(found.true, 2)} cc"
    )
    large = [blunder for blunder in blunders if abs(blunder.cc) > found.u]
    picture = Picture(
        "measured",
        width,
        height,
        title=f"{told}: {_stands(found)}",
        description=_description(large),
        key=key,
        style=style,
    )
    text = style.text
    head = HeadOnBench(bench)
    ledger_left = width - (14.6 * text + 0.26 * width)
    scale = min((ledger_left - 4.7 * text) / (2 * head.out), 0.27 * height / head.deep)
    face = 0.315 * height
    sheet = head.sheet(2.2 * text + head.out * scale, face, scale)
    left, right = sheet.x - head.out * scale, sheet.x + head.out * scale
    draw_bench(picture, face + head.deep * scale, style, (left - 0.5 * text, right + 0.5 * text))
    draw_head_on_bench(picture, sheet, head)
    mark_bench(picture, sheet, head)
    below_ledger = draw_written(picture, written, ledger_left, 0.15 * height) if written else face
    bars = _bars(picture, found)
    _glass(picture, found, bars)
    _heading(picture, found, bars.top - 2.0 * text)
    _point(picture, large, ledger_left, below_ledger)
    return picture


@dataclass(frozen=True)
class _Bars:
    """Where the two bars stand, px."""

    scale: Scale
    top: float
    high: float
    lower: float
    base: float


def _bars(picture: Picture, found: Comparison) -> _Bars:
    text = picture.style.text
    most = 1.12 * max(found.value + found.u, found.true)
    scale = Scale(0.0, most, 2.6 * text, picture.width - 2.6 * text)
    base, high = picture.height - 3.4 * text, 3.6 * text
    lower = base - high - 0.5 * text
    top = lower - high - 0.9 * text
    for part, y, cc in (("water", top, found.value), ("chamber", lower, found.true)):
        picture.rect(f"bar-{part}", scale.start, y, scale(cc) - scale.start, high,
                     fill=picture.hatch(part))  # fmt: skip
    bars = _Bars(scale, top, high, lower, base)
    _band(picture, found, scale, top - 0.5 * text, base)
    axes.across(picture, scale, base, "cc", about=11)
    value, u = fixed(found.value, 2), fixed(found.u, 2)
    _pill(picture, "measured", f"{value} ± {u} cc", bars, top)
    _pill(picture, "true", f"{fixed(found.true, 2)} cc", bars, lower)
    return bars


def _band(picture: Picture, found: Comparison, scale: Scale, top: float, foot: float) -> None:
    """The ± around what was measured."""
    style = picture.style
    ends = scale(found.value - found.u), scale(found.value + found.u)
    picture.rect("interval", ends[0], top, ends[1] - ends[0], foot - top,
                 fill=style.ink, fill_opacity="0.13", stroke="none")  # fmt: skip
    dash = f"{4 * style.frame:g} {3 * style.frame:g}"
    picture.lines("interval-end", [(x, top, x, foot) for x in ends],
                  stroke_width=1.2 * style.thin, stroke_dasharray=dash)  # fmt: skip


def _pill(picture: Picture, name: str, number: str, bars: _Bars, y: float) -> None:
    """A name and a number on paper of their own, in a bar."""
    style, size = picture.style, picture.style.text + 2
    first, second = text_width(f"{name} ", size), text_width(number, size, bold=True)
    left, tall = bars.scale.start + 0.9 * size, 1.9 * size
    middle = y + bars.high / 2
    picture.rect("pill", left, middle - tall / 2, first + second + 2 * size, tall,
                 fill=style.paper, stroke="none", rx=tall / 2)  # fmt: skip
    picture.label(name, left + size, middle, size=size, halo=False, kind="bar-name")
    picture.label(number, left + size + first, middle, size=size, bold=True, halo=False,
                  kind="measure")  # fmt: skip


def _glass(picture: Picture, found: Comparison, bars: _Bars) -> None:
    """The ends of both bars, magnified, with what lies between them."""
    style, text = picture.style, picture.style.text
    radius = 0.13 * picture.width
    x, y = picture.width - radius - 1.0 * text, 0.09 * picture.height + radius
    off = found.off
    unit = min(15 * text, 0.95 * radius / max(abs(off), found.u, 0.01))
    middle = (found.value + found.true) / 2
    closer = Scale(middle - radius / unit, middle + radius / unit, x - radius, x + radius)
    at, level = bars.scale(middle), (bars.top + bars.lower + bars.high) / 2
    times = unit / bars.scale.unit
    if times < _LEAST:
        return
    small = max(radius * bars.scale.unit / unit, (bars.lower + bars.high - bars.top) / 2 + 6)
    _touching(picture, (at, level, small), (x, y, radius))
    picture.circle("lens", x, y, radius, fill=style.paper)
    picture.open_round_window(x, y, radius)
    high = 0.44 * radius
    top, lower = y - 0.48 * radius, y + 0.04 * radius
    beyond = x - radius - 10
    for part, height, cc in (("water", top, found.value), ("chamber", lower, found.true)):
        picture.rect(f"glass-{part}", beyond, height, closer(cc) - beyond, high,
                     fill=picture.hatch(part))  # fmt: skip
    _band(picture, found, closer, top - 0.05 * radius, lower + high + 0.06 * radius)
    if not found.inside:
        a, b = sorted((closer(found.value), closer(found.true)))
        line = top - 0.14 * radius
        ends = [(end, line - 6, end, line + 6) for end in (a, b)]
        picture.lines("dimension", [(a, line, b, line), *ends], stroke_width=style.thin)
        longer = closer(found.true)
        picture.lines("level", ((longer, line, longer, lower),), stroke_width=style.thin,
                      stroke_dasharray="9 3 2 3")  # fmt: skip
    picture.close_window()
    picture.circle("lens", x, y, radius, stroke_width=1.3 * style.line)
    if not found.inside:
        apart = f"{fixed(abs(off), 2)} cc"
        picture.label(apart, x, top - 0.14 * radius - 0.9 * text, anchor="middle", bold=True,
                      kind="measure")  # fmt: skip
    u = f"± {fixed(found.u, 2)}"
    half = text_width(u, text) / 2
    reach = 0.62 * radius
    place = min(max(closer(found.value), x - reach + half), x + reach - half)
    picture.label(
        u, place, lower + high + 0.06 * radius + 0.9 * text, anchor="middle", kind="measure"
    )
    said = f"{fixed(times, 0)} times larger"
    picture.label(said, x, y - radius - 0.9 * text, anchor="middle", size=style.small,
                  fill=style.quiet, kind="times")  # fmt: skip


def _touching(
    picture: Picture, spot: tuple[float, float, float], glass: tuple[float, float, float]
) -> None:
    """A circle on what is magnified, and the two lines that touch both circles."""
    style = picture.style
    (x, y, small), (far_x, far_y, radius) = spot, glass
    away, facing = math.hypot(far_x - x, far_y - y), math.atan2(far_y - y, far_x - x)
    open_ = math.acos((small - radius) / away)
    joins = []
    for side in (-1, 1):
        i, j = math.cos(facing + side * open_), math.sin(facing + side * open_)
        joins.append((x + small * i, y + small * j, far_x + radius * i, far_y + radius * j))
    picture.lines("spot-line", joins, stroke=style.quiet, stroke_width=style.thin)
    picture.circle("spot", x, y, small, stroke_width=style.thin)


def _heading(picture: Picture, found: Comparison, y: float) -> None:
    """The verdict in large type over the bars."""
    style = picture.style
    off, u = fixed(abs(found.off), 2), fixed(found.u, 2)
    if found.inside:
        said, fill = Said("✓ inside the ±", f"{off} cc apart"), RIGHT
    else:
        size = "small" if found.off < 0 else "large"
        said, fill = Said(f"✗ {off} cc too {size}", f"the ± is only {u}"), RING
    draw_said(picture, [said], y, left=2.6 * style.text, fill=fill)


def _point(
    picture: Picture, blunders: Sequence[Blunder], ledger: float, below_ledger: float
) -> None:
    """A ring at each blunder, with its name and what it did."""
    text = picture.style.text
    y = below_ledger + 0.6 * text
    for blunder in blunders[:3]:
        words = f"{blunder.name} {signed(blunder.cc, 2)} cc"
        if blunder.place.startswith(("start", "end")):
            picture.look_here(blunder.place, "")
            picture.label(words, ledger, y, bold=True, fill=RING, kind="ring-words")
            y += 1.4 * text
        else:
            above = blunder.place in _ABOVE
            picture.look_here(blunder.place, words, above=above, before=ledger - 0.5 * text)


def _stands(found: Comparison) -> str:
    off = fixed(abs(found.off), 2)
    if found.inside:
        return f"inside the ±, {off} cc apart"
    return f"{off} cc too {'small' if found.off < 0 else 'large'}"


def _description(blunders: Sequence[Blunder]) -> str:
    told = "Two bars from zero, the measured volume over the true one, the ± as a band around it."
    if blunders:
        named = "; ".join(f"{b.name} {signed(b.cc, 2)} cc" for b in blunders)
        told += f" What the ± does not explain: {named}."
    return told
