"""What one piston sweeps, and what all of them sweep: bore and stroke are taken by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.grips import Grip, draw_grips
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_large_engine, mark_places
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.large_line import draw_large_line
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.formulas.geometry import disc
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 956.0, 716.0
_GAIN, _MOST_GAIN = 60.0, 2000.0
"""Where the line of what is gained ends, cc: as far as needed, by doubling."""
_MIDDLE, _RIGHT = 0.26, 0.55
"""Where the cylinder's middle stands, and where the volumes begin, of the picture's width."""


def sizing(
    cylinder: SectionView,
    *,
    cylinders: int = 1,
    tell: bool = True,
    found: SectionView | None = None,
    guess: float | None = None,
    grips: Sequence[Grip] = (),
    ring: str = "",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw the engine with its piston at the bottom, its bore and its stroke measured.

    Args:
        cylinder: what is shown; its crank's angle is of no account.
        cylinders: how many the engine has.
        tell: whether volumes are written, and the cylinders drawn in a row.
        found: as it was; its bore and stroke are dashed where they differ, and what the engine has
            gained since stands on a line.
        guess: of that gain, cc; it stays on the line.
        grips: what can be taken by hand: ``bore`` and ``stroke``.
        ring: ``bore``, ``stroke`` or ``swept``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, rod_length=145.0)
    >>> sizing(view, cylinders=4).title
    'Bore 92.000 mm, stroke 88.500 mm: 588.31 cc in each of 4 cylinders'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    engine = LargeEngine(replace(cylinder, angle=180.0))
    base = LargeEngine(replace(found or cylinder, angle=180.0))
    swept = disc(cylinder.bore, cylinder.stroke) / MM3_PER_CC
    picture = Picture(
        "sizing",
        width,
        height,
        title=_title(cylinder, swept, cylinders, tell),
        description=_description(cylinder, swept, cylinders, tell),
        key=key,
        style=style,
    )
    text = style.text
    head, margin = 3.2 * text, 0.8 * text
    beside = 2.6 * text + text_width(words.length(base.view.stroke), text, bold=True)
    fits = min(
        (height - head - margin) / (base.bottom - base.top),
        (_MIDDLE * width - text) / base.half_width,
        ((_RIGHT - _MIDDLE) * width - beside) / base.shape.outer,
    )
    # From preferred numbers, so that the drawing stands still while a dimension is pulled.
    scale = preferred(0.97 * fits)
    middle = _MIDDLE * width
    sheet = DrawingSheet(middle, head - base.top * scale, scale)
    draw_large_engine(picture, sheet, engine)
    if found and (found.bore, found.stroke) != (cylinder.bore, cylinder.stroke):
        _as_found(picture, sheet, found)
    _dimensions(picture, sheet, engine)
    if tell:
        _row(picture, cylinder, cylinders, swept, _RIGHT * width)
        if found:
            before = disc(found.bore, found.stroke) / MM3_PER_CC
            _gained(picture, (swept - before) * cylinders, guess, _RIGHT * width)
    scale_left = _RIGHT * width
    dimension_lines.double_scale(picture, scale_left, height - 2.6 * text, scale, 0.24 * width)
    mark_places(picture, sheet, engine)
    draw_grips(picture, grips, sheet, engine)
    if ring:
        picture.look_here(ring)
    return picture


def _both(mm: float) -> str:
    return f"{words.length(mm)}\n{words.length(mm, 'in')}"


def _dimensions(picture: Picture, sheet: DrawingSheet, engine: LargeEngine) -> None:
    """Bore across the cylinder, stroke beside it, each in both units."""
    view, style, text = engine.view, picture.style, picture.style.text
    top = sheet.at(0.0, view.deck_clearance)[1]
    foot = sheet.at(0.0, view.deck_clearance + view.stroke)[1]
    left, right = sheet.at(-view.bore / 2, 0.0)[0], sheet.at(view.bore / 2, 0.0)[0]
    wall = sheet.at(engine.shape.outer, 0.0)[0]
    long = 9 * style.frame
    picture.lines(
        "level",
        ((left, y, wall + 1.4 * text, y) for y in (top, foot)),
        stroke_width=style.thin,
        stroke_dasharray=f"{long:g} {long / 3:g} {long / 4:g} {long / 3:g}",
    )
    x = wall + 1.0 * text
    dimension_lines.gap_upright(picture, top, foot, x, from_x=x - 4)
    picture.label("stroke", x + 0.7 * text, (top + foot) / 2 - 1.3 * text, kind="measure-name")
    picture.label(_both(view.stroke), x + 0.7 * text, (top + foot) / 2, bold=True, kind="measure")
    y = top + 0.32 * (foot - top)
    dimension_lines.across(picture, left, right, y, "", from_y=y)
    picture.label("bore", (left + right) / 2, y - 1.0 * text, anchor="middle", kind="measure-name")
    room = right - left - text
    bore = _both(view.bore)
    wide = max(text_width(line, text, bold=True) for line in bore.split("\n"))
    if room > wide:
        picture.label(bore, (left + right) / 2, y + 1.0 * text, anchor="middle", bold=True,
                      kind="measure")  # fmt: skip
    else:
        outside = sheet.at(-engine.shape.outer, 0.0)[0] - 0.6 * text
        picture.lines("leader", ((outside, y, left, y),), stroke_width=style.thin)
        picture.label(bore, outside - 0.2 * text, y - 0.6 * text, anchor="end", bold=True,
                      kind="measure")  # fmt: skip


def _as_found(picture: Picture, sheet: DrawingSheet, found: SectionView) -> None:
    """The space that the piston swept before, dashed."""
    size = picture.style.frame
    radius, top = found.bore / 2, found.deck_clearance
    corners = [(-radius, top), (radius, top), (radius, top + found.stroke),
               (-radius, top + found.stroke)]  # fmt: skip
    dash = f"{4 * size:g} {3 * size:g}"
    ghost = [sheet.at(*corner) for corner in corners]
    picture.shape("ghost", ghost, stroke_width=1.4 * size, stroke_dasharray=dash)


def _row(picture: Picture, view: SectionView, cylinders: int, swept: float, left: float) -> None:
    """Each cylinder's swept volume as a block to one scale, counted, and the sum of them."""
    style, text = picture.style, picture.style.text
    across = min(cylinders, 4 if cylinders <= 8 else 8)
    rows = math.ceil(cylinders / across)
    room = picture.width - left - 1.5 * text, 0.40 * picture.height
    gap = 0.8 * text
    scale = min(
        (room[0] - gap * (across - 1)) / (across * view.bore),
        (room[1] - gap * (rows - 1)) / (rows * view.stroke),
        0.9,
    )
    wide, high = view.bore * scale, view.stroke * scale
    top = 2.2 * text
    for number in range(cylinders):
        x = left + (number % across) * (wide + gap)
        y = top + (number // across) * (high + gap)
        picture.rect("block", x, y, wide, high, fill=picture.hatch("swept"))
        picture.label(str(number + 1), x + wide / 2, y + high / 2, anchor="middle", bold=True,
                      kind="count")  # fmt: skip
    y = top + rows * (high + gap) + 0.5 * text + 0.5 * style.heading
    whole = f"{fixed(swept * cylinders, 1)} cc"
    lines = [(f"{fixed(swept, 2)} cc", "swept by one piston")]
    if cylinders > 1:
        lines.append((whole, f"= {cylinders} × {fixed(swept, 2)}, the displacement"))
    for large, small in lines:
        size = style.heading
        if text_width(large, size, bold=True) + text_width(small, text) > room[0]:
            size = text + 3
        picture.label(large, left, y, size=size, bold=True, kind="said")
        picture.label(small, left, y + 1.5 * text + 0.1 * size, kind="said-of")
        y += 1.35 * style.heading + 2.1 * text


def _gained(picture: Picture, gained: float, guess: float | None, left: float) -> None:
    """What the displacement has gained, on a line that begins at nothing; the guess stays there."""
    text = picture.style.text
    y, ends = 0.80 * picture.height, (left, picture.width - 3.2 * text)
    far = _GAIN
    while abs(gained) > far or (guess is not None and far < abs(guess) <= _MOST_GAIN):
        far *= 2
    low = -far if gained < -0.005 or (guess or 0.0) < 0 else 0.0
    line = LineView("gained", gained, low, far, decimals=1, unit="cc")
    said = f"{fixed(gained, 1)} cc"
    picture.label(said, left, y - 5.2 * text, size=picture.style.heading, bold=True, kind="said")
    wide = text_width(said, picture.style.heading, bold=True) + 0.6 * text
    picture.label("more displacement", left + wide, y - 5.0 * text, kind="said-of")
    draw_large_line(picture, line, y, guess=guess, ends=ends)


def _title(view: SectionView, swept: float, cylinders: int, tell: bool) -> str:
    title = f"Bore {words.length(view.bore)}, stroke {words.length(view.stroke)}"
    if not tell:
        return title
    each = f" in each of {cylinders} cylinders" if cylinders > 1 else ""
    return f"{title}: {words.volume(swept)}{each}"


def _description(view: SectionView, swept: float, cylinders: int, tell: bool) -> str:
    told = (
        f"An engine in section, its piston at the bottom. Bore {words.length(view.bore)} or "
        f"{words.length(view.bore, 'in')}, stroke {words.length(view.stroke)} or "
        f"{words.length(view.stroke, 'in')}. To scale."
    )
    if not tell:
        return told
    whole = fixed(swept * cylinders, 1)
    return f"{told} One piston sweeps {words.volume(swept)}; {cylinders} sweep {whole} cc."
