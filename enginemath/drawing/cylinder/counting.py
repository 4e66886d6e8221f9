"""This much fits into that: the small space laid into the big one, and counted until it is full."""

from __future__ import annotations

from dataclasses import replace

from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_large_engine
from enginemath.drawing.cylinder.volume_blocks import StackView
from enginemath.drawing.paper.large_line import STRIP, Said, draw_large_line, draw_said
from enginemath.drawing.paper.number_line import ratio_line
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.formulas.geometry import π
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 956.0, 716.0
_MOST = 60.0
"""The furthest that the line grows for a guess."""
_PALE = 0.14
"""How much of the big cylinder still shows behind what is laid into it."""


def counting(
    cylinder: SectionView,
    volumes: StackView,
    laid: float | None = None,
    *,
    guess: float | None = None,
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the space left at the top beside the space at the bottom, and lay one into the other.

    Args:
        cylinder: what is shown; its crank's angle is of no account.
        volumes: of the same cylinder.
        laid: how many were laid so far, with the share of its way that the next one has come;
            None before the guess is made, when no number is shown. Beyond the ratio all are laid.
        guess: what was guessed; it stays on the line.
        unit: ``mm`` for cc, ``in`` for cubic inches.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> cylinder = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, dish=6.0, reliefs=2.8)
    >>> volumes = StackView(588.31, 47.5, 7.50, 2.33, dish=6.0, reliefs=2.8, crevice=0.52)
    >>> counting(cylinder, volumes, 99).title
    'The small space fits 9.83 times into the big one'
    >>> counting(cylinder, volumes).title
    'How many times does the small space fit into the big one?'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    counted = None if laid is None else min(laid, volumes.ratio)
    picture = Picture(
        "counting",
        width,
        height,
        title=_title(volumes, laid),
        description=_description(volumes, laid, unit),
        key=key,
        style=style,
    )
    text = style.text
    small = LargeEngine(replace(cylinder, angle=0.0), valves=False)
    big = LargeEngine(replace(cylinder, angle=180.0), valves=False)
    foot = height - STRIP * style.frame
    names = foot + 0.2 * text
    low = big.edge + 0.62 * big.shape.piston.length
    room = foot - 3.6 * text - 1.2 * text
    outer = small.shape.outer
    scale = min(room / (low - small.top), (width - 7 * text) / (4 * outer))
    straight = "" if counted is None else ", made straight"
    named = "the small space", f"the big space{straight}"
    widths = [text_width(name, text, bold=True) for name in named]
    apart = max(2 * outer * scale + 2.5 * text, sum(widths) / 2 + 1.5 * text)
    left = (width - apart) / 2
    top = 1.2 * text - small.top * scale
    near = DrawingSheet(left, top, scale)
    far = DrawingSheet(left + apart, top, scale)

    picture.open_window(0, 0, width, foot - 1.4 * text)
    draw_large_engine(picture, near, small)
    _big_one(picture, far, big, counted)
    picture.close_window()
    fade = min(4 * text, room / 6)
    picture.fade(0, foot - 1.4 * text - fade, width, fade + 1)
    if counted is not None:
        _pile(picture, near, far, cylinder, volumes, counted)
    for sheet, name in zip((near, far), named, strict=True):
        picture.label(name, sheet.x, names - 0.7 * text, anchor="middle", bold=True, kind="name")
    line = height - 3.4 * text
    if counted is not None:
        done = laid is not None and laid >= volumes.ratio
        said = (
            Said(f"{fixed(volumes.ratio, 2)} times", "the compression ratio")
            if done
            else Said(f"{int(counted)} …")
        )
        draw_said(picture, [said], line - 4.5 * text)
    whole = ratio_line(max(volumes.ratio, min(guess or 0.0, _MOST)), low=0.0, high=16.0)
    view = replace(whole, value=counted or 0.0)
    draw_large_line(picture, view, line, guess=guess, shown=counted is not None)
    picture.place_of("small space", near.x, near.at(0, small.edge)[1], 0.3 * cylinder.bore * scale)
    picture.place_of("big space", far.x, far.at(0, big.edge / 2)[1], 0.4 * cylinder.bore * scale)
    return picture


def _big_one(
    picture: Picture, sheet: DrawingSheet, engine: LargeEngine, counted: float | None
) -> None:
    """The cylinder with its piston at the bottom; pale, once it is being filled."""
    shown = 1.0 if counted is None else 1.0 - (1.0 - _PALE) * min(2 * counted, 1.0)
    if shown == 1.0:
        draw_large_engine(picture, sheet, engine)
        return
    picture.open_pale(shown)
    draw_large_engine(picture, sheet, engine)
    picture.close_window()


def _columns(volumes: StackView) -> list[tuple[str, float]]:
    """Part and volume of each space; what stands into one, a dome or a piston above the deck, is
    taken off it."""
    parts: dict[str, float] = {}
    for part, _, volume in volumes.blocks:
        parts[part] = parts.get(part, 0.0) + volume
    order = ["chamber", "gasket", "deck", "crown", "crevice"]
    for part in [p for p in order if parts.get(p, 0.0) < 0]:
        owed = -parts.pop(part)
        for giver in order:
            given = min(owed, parts.get(giver, 0.0))
            if given > 0:
                parts[giver] -= given
                owed -= given
    return [(part, parts[part]) for part in order if parts.get(part, 0.0) > 0]


def _pile(
    picture: Picture,
    near: DrawingSheet,
    far: DrawingSheet,
    cylinder: SectionView,
    volumes: StackView,
    counted: float,
) -> None:
    style, scale = picture.style, far.scale
    radius, clearance = cylinder.bore / 2, volumes.clearance
    high = clearance * MM3_PER_CC / (π * radius**2) * scale
    wide, left = cylinder.bore * scale, far.at(-radius, 0.0)[0]
    floor = far.at(0.0, cylinder.deck_clearance + cylinder.stroke)[1]
    roof = floor - volumes.ratio * high
    picture.rect("big-space", left, roof, wide, floor - roof, fill=style.paper)
    columns = [(part, cc / clearance * wide) for part, cc in _columns(volumes)]
    start = near.at(-radius, 0.0)
    whole, count = int(counted), counted - int(counted)
    every = max(1, round(1.15 * style.small / high + 0.35)) if high < 1.25 * style.small else 1
    for number in range(whole + (1 if count > 1e-9 else 0)):
        share = min(1.0, volumes.ratio - number)
        landed = _eased(min(1.0, (counted - number) / share)) if number == whole else 1.0
        y = floor - number * high - share * high
        x = start[0] + (left - start[0]) * landed
        y = start[1] + (y - start[1]) * landed
        _slice(picture, columns, x, y, share * high, wide)
        said = fixed(share, 2) if share < 1 else str(number + 1)
        middle = y + share * high / 2
        if landed <= 0.6:
            continue
        if share < 1 and share * high < 1.3 * style.small:
            beside = far.at(cylinder.bore / 2, 0.0)[0] + 0.5 * style.text
            picture.label(said, beside, middle, size=style.small, bold=True, kind="count")
        elif (number + 1) % every == 0 or share < 1:
            _number(picture, said, x + 0.34 * wide, middle, share * high)


def _slice(
    picture: Picture,
    columns: list[tuple[str, float]],
    x: float,
    y: float,
    high: float,
    wide: float,
) -> None:
    at = x
    for part, width in columns:
        picture.rect(f"slice-{part}", at, y, width, high, fill=picture.hatch(part), stroke="none")
        at += width
    picture.rect("slice", x, y, wide, high)


def _number(picture: Picture, said: str, x: float, y: float, high: float) -> None:
    """The count on a slice, on paper of its own."""
    style = picture.style
    size = style.text if high > 1.5 * style.text else style.small
    half = text_width(said, size, bold=True) / 2 + 0.6 * size
    tall = min(1.4 * size, max(high - 3, 0.9 * size))
    picture.rect(
        "number-paper", x - half, y - tall / 2, 2 * half, tall,
        fill=style.paper, stroke="none", rx=tall / 2,
    )  # fmt: skip
    picture.label(said, x, y, anchor="middle", size=size, bold=True, halo=False, kind="count")


def _eased(share: float) -> float:
    """Slow at both ends."""
    return share * share * (3 - 2 * share)


def _title(volumes: StackView, laid: float | None) -> str:
    if laid is None:
        return "How many times does the small space fit into the big one?"
    if laid < volumes.ratio:
        return f"The small space is laid into the big one: {int(laid)} so far"
    return f"The small space fits {fixed(volumes.ratio, 2)} times into the big one"


def _description(volumes: StackView, laid: float | None, unit: str) -> str:
    told = (
        "At the left the piston is at the top and leaves the small space; at the right it is at "
        "the bottom and leaves the big one. To scale."
    )
    if laid is None or laid < volumes.ratio:
        return told
    small = words.volume(volumes.clearance, unit)
    big = words.volume(volumes.swept + volumes.clearance, unit)
    return f"{told} The small space is {small}, the big one {big}."
