"""An error budget that is set by hand: each bar is pulled, and the whole follows as a root.

Before anything is told the bars are the student's own, from nothing to much; then they stay dashed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.large_line import STRIP, Said, draw_large_line, draw_said
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.units import fixed

WIDTH, HEIGHT = 956.0, 716.0
_NAMES = 270.0
"""What the names take at the left, px of the page."""
_SHARE = 70.0
_LEAST = 0.8
"""The part of the room that the bar of all together takes as found."""


@dataclass(frozen=True)
class HandBar:
    """What one source brings to the ± of the result.

    Args:
        name: of the tool or the scatter.
        told: its own ±, with unit.
        adds: what it adds to the result's ±, in the result's unit.
        share: of the variance, 0 to 1.
        part: whose colour and hatch it has.
        grip: its handle; None where it is not to be moved.
        of_one: what one unit of its ± adds to the result's.
        thought: how long the student thought it, 0 to 1 of the longest that can be pulled.
    """

    name: str
    told: str
    adds: float
    share: float
    part: str
    grip: Grip | None = None
    of_one: float = 0.0
    thought: float = 0.0


def budget_by_hand(
    bars: Sequence[HandBar],
    u: float,
    whole: float,
    said: Sequence[Said] = (),
    line: LineView | None = None,
    *,
    guess: float | None = None,
    own: float = 0.0,
    shown: bool = True,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw a bar for each source, and below them the bar of all together.

    Args:
        bars: the largest as found first.
        u: of the result, the root of the sum of the bars' squares.
        whole: the result's ± as found, in its unit: the scale follows it.
        said: in large type below.
        line: the result on its line.
        guess: of the result's ±; it stays at the bar of all together.
        own: how long the longest of the student's own bars stays, in the result's unit.
        shown: whether the bars are told; before a guess they are as the student thinks.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> bars = [HandBar("burette", "± 0.035 cc", 0.015, 0.85, "water")]
    >>> budget_by_hand(bars, 0.0163, 0.0163).title
    'What makes the ratio unsure: burette 85 %; all together ± 0.016'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    shares = ", ".join(f"{bar.name} {100 * bar.share:.0f} %" for bar in bars)
    names = ", ".join(bar.name for bar in bars)
    told = f"{shares}; all together ± {fixed(u, 3)}" if shown else names
    picture = Picture(
        "budget-by-hand",
        width,
        height,
        title=f"What makes the ratio unsure: {told}",
        description="; ".join(f"{bar.name}: {bar.told}" for bar in bars) + ".",
        key=key,
        style=style,
    )
    text, frame = style.text, style.frame
    foot = height - STRIP * frame
    left, right = _NAMES * frame, width - (_SHARE + 12) * frame
    per_unit = _LEAST * (right - left) / whole if whole else 0.0
    row = (foot - 3.2 * text) / (len(bars) + 1.4)
    y = 2.6 * text
    thought = max((bar.thought for bar in bars), default=0.0)
    _axis(picture, left, right, y - 1.2 * text, shown, bool(thought))
    for bar in bars:
        if shown:
            _bar(picture, bar, (left, right), y, row, per_unit)
            if thought:
                _ghost(picture, left, y, row, bar.thought / thought * own * per_unit)
        else:
            _own_bar(picture, bar, left, y, row, _LEAST * (right - left))
        y += row
    picture.lines("sum", ((left - 8, y, right, y),), stroke_width=style.thin)
    if shown:
        tall = 0.5 * row
        picture.rect("all", left, y + 0.35 * row, min(u * per_unit, right - left), tall,
                     fill=style.ink, stroke="none")  # fmt: skip
        picture.label("all together", text, y + 0.6 * row, bold=True, kind="name")
        told, beside = f"± {fixed(u, 3)}", left + min(u * per_unit, right - left) + 0.6 * text
        if guess is not None:
            at = min(left + guess * per_unit, right)
            if beside - 0.6 * text < at < beside + text_width(told, text, bold=True) + 0.4 * text:
                beside = at + 0.6 * text  # clear of the guess
        picture.label(told, beside, y + 0.6 * row, bold=True, kind="measure")
        if guess is not None:
            x = min(left + guess * per_unit, right)
            dash = f"{4 * frame:g} {3 * frame:g}"
            picture.lines("guess", ((x, y + 0.15 * row, x, y + 1.05 * row),),
                          stroke_width=2 * frame, stroke_dasharray=dash)  # fmt: skip
            picture.label("your guess", x, y + 1.25 * row, anchor="middle", size=style.small,
                          fill=style.quiet, kind="guess-name")  # fmt: skip
    if line:
        down = height - 3.2 * text
        if said:
            draw_said(picture, said, down - 4.4 * text)
        draw_large_line(picture, line, down)
        if line.interval:
            _interval(picture, line, down)
    return picture


def _axis(picture: Picture, left: float, right: float, y: float, shown: bool, own: bool) -> None:
    """What a bar's length means."""
    style, text, frame = picture.style, picture.style.text, picture.style.frame
    if not shown:
        picture.label("nothing", left, y, size=style.small, kind="axis-name")
        much = left + _LEAST * (right - left)
        picture.label("much", much, y, anchor="middle", size=style.small, kind="axis-name")
        return
    picture.label("adds to the ratio's ±", left, y, size=style.small, kind="axis-name")
    if own:
        x = left + 14 * text
        picture.lines("ghost-key", ((x, y, x + 2 * text, y),), **_dashed(frame))
        picture.label("as you thought", x + 2.5 * text, y, size=style.small, kind="key")


def _dashed(frame: float) -> dict[str, str | float]:
    return {"stroke_width": 1.6 * frame, "stroke_dasharray": f"{5 * frame:g} {4 * frame:g}"}


def _names(picture: Picture, bar: HandBar, y: float, row: float) -> tuple[float, float]:
    """A source by name, with its own ±; its bar's middle and height, px."""
    style, text = picture.style, picture.style.text
    middle, tall = y + 0.5 * row, min(0.52 * row, 34 * style.frame)
    picture.label(bar.name, text, middle - 0.65 * text, kind="name")
    picture.label(bar.told, text, middle + 0.65 * text, size=style.small, fill=style.quiet,
                  kind="told")  # fmt: skip
    return middle, tall


def _ghost(picture: Picture, left: float, y: float, row: float, long: float) -> None:
    """As long as the student thought it beside the others."""
    frame = picture.style.frame
    middle, tall = y + 0.5 * row, min(0.52 * row, 34 * frame) + 8 * frame
    picture.rect("ghost", left, middle - tall / 2, long, tall, **_dashed(frame))


def _own_bar(
    picture: Picture, bar: HandBar, left: float, y: float, row: float, most: float
) -> None:
    """A bar as the student pulls it: no reading has a part in its length."""
    middle, tall = _names(picture, bar, y, row)
    long = bar.thought * most
    picture.lines("start", ((left, middle - tall / 2, left, middle + tall / 2),))
    if long:
        picture.rect("bar", left, middle - tall / 2, long, tall, fill=picture.hatch(bar.part),
                     stroke_width=picture.style.thin)  # fmt: skip
    if bar.grip:
        _take(picture, bar.grip, left + long, middle, most / (bar.grip.high - bar.grip.low))


def _bar(
    picture: Picture,
    bar: HandBar,
    ends: tuple[float, float],
    y: float,
    row: float,
    per_unit: float,
) -> None:
    style, text = picture.style, picture.style.text
    left, right = ends
    middle, tall = _names(picture, bar, y, row)
    long = min(bar.adds * per_unit, right - left)
    picture.rect("bar", left, middle - tall / 2, long, tall, fill=picture.hatch(bar.part),
                 stroke_width=style.thin)  # fmt: skip
    share = "<1 %" if 0 < bar.share < 0.005 else f"{100 * bar.share:.0f} %"
    picture.label(share, picture.width - text, middle, anchor="end", bold=True, kind="share")
    if bar.grip:
        _take(picture, bar.grip, left + long, middle, max(bar.of_one * per_unit, 1e-3))


def _take(picture: Picture, grip: Grip, x: float, y: float, of_one: float) -> None:
    """The handle at a bar's end, pulled across: so many px for one unit."""
    picture.handle(
        Handle(
            grip.name, x, y, grip.value, grip.low, grip.high, grip.step,
            grip.unit, grip.decimals, (of_one, 0.0), says=grip.says, first=grip.first,
        )
    )  # fmt: skip


def _interval(picture: Picture, line: LineView, y: float) -> None:
    """Between which limits 95 % lie, on the line."""
    assert line.interval
    text = picture.style.text
    left, right = 3.2 * text, picture.width - 3.2 * text
    ends = [
        left + (at - line.low) / (line.high - line.low) * (right - left) for at in line.interval
    ]
    a, b = (min(max(end, left), right) for end in ends)
    up = y - 0.7 * text
    marks = ((a, up, b, up), (a, up - 5, a, up + 5), (b, up - 5, b, up + 5))
    picture.lines("interval", marks, stroke_width=2.4 * picture.style.frame)
