"""A round magnifier over the bore's edge, where gasket, deck and squish are thin."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_ghost, draw_large_engine
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.scales import DrawingSheet, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.units import fixed, words

_FILLED = 0.62
"""How much of the glass gasket and deck fill as found, of its radius."""


@dataclass(frozen=True)
class Magnifier:
    """A round glass on the paper: its middle and radius, px."""

    x: float
    y: float
    radius: float


def magnified(
    sheet: DrawingSheet, engine: LargeEngine, glass: Magnifier, side: int = 1
) -> DrawingSheet:
    """Where the engine stands in the glass, the gaps at its bore's edge in the middle.

    The scale follows the engine as found, so that it stands still while a gap is pulled.

    Args:
        side: 1 for the bore's right edge, -1 for its left one.
    """
    view = engine.view
    span = view.gasket_thickness + abs(view.deck_clearance)
    scale = max(preferred(_FILLED * glass.radius / span), 2 * sheet.scale)
    middle = (view.deck_clearance - view.gasket_thickness) / 2
    return DrawingSheet(glass.x - side * view.bore / 2 * scale, glass.y - middle * scale, scale)


def draw_magnifier(
    picture: Picture,
    sheet: DrawingSheet,
    closer: DrawingSheet,
    engine: LargeEngine,
    glass: Magnifier,
    measured: Collection[str],
    unit: str,
    found: LargeEngine | None = None,
    found_at: DrawingSheet | None = None,
) -> None:
    """Draw the glass, the spot that it stands over, and the gaps that are measured in it.

    Args:
        sheet: of the engine; `closer` is that in the glass.
        measured: of ``gasket`` and ``deck``.
        unit: ``mm`` or ``in``.
        found: as it was, to be dashed.
        found_at: where it stood in the glass; by default where the engine stands.
    """
    style, text = picture.style, picture.style.text
    times = closer.scale / sheet.scale
    draw_spot(picture, sheet, closer, glass)
    inside = LargeEngine(engine.view, valves=False)
    picture.circle("lens", glass.x, glass.y, glass.radius, fill=style.paper)
    picture.open_round_window(glass.x, glass.y, glass.radius)
    draw_large_engine(picture, closer, inside, train=False)
    if found:
        draw_ghost(picture, found_at or closer, found)
    picture.close_window()
    picture.circle("lens", glass.x, glass.y, glass.radius, stroke_width=1.3 * style.line)
    picture.label(
        f"{fixed(times, 1)} times larger", glass.x, glass.y - glass.radius - 0.9 * text,
        anchor="middle", size=style.small, fill=style.quiet, kind="times",
    )  # fmt: skip
    _measures(picture, closer, engine, glass, measured, unit)
    view = engine.view
    reach = 1.5 * text
    x = closer.at(view.gasket_bore / 2, 0.0)[0]
    picture.place_of("gasket", min(x, glass.x + 0.7 * glass.radius),
                     closer.at(0, engine.shape.face / 2)[1], reach + 0.4 * text)  # fmt: skip
    picture.place_of("deck", glass.x - 0.5 * glass.radius,
                     closer.at(0, view.deck_clearance / 2)[1], reach)  # fmt: skip


def draw_spot(
    picture: Picture,
    sheet: DrawingSheet,
    closer: DrawingSheet,
    glass: Magnifier,
) -> None:
    """What the glass stands over, and the lines that touch both."""
    style = picture.style
    right = (glass.x - closer.x) / closer.scale
    down = (glass.y - closer.y) / closer.scale
    x, y = sheet.at(right, down)
    small = glass.radius * sheet.scale / closer.scale
    across, fall = glass.x - x, glass.y - y
    away, facing = math.hypot(across, fall), math.atan2(fall, across)
    picture.circle("spot", x, y, small, stroke_width=style.thin)
    if away <= glass.radius - small:
        return
    open_ = math.acos((small - glass.radius) / away)
    joins = []
    for side in (-1, 1):
        turn = facing + side * open_
        i, j = math.cos(turn), math.sin(turn)
        joins.append((x + small * i, y + small * j,
                      glass.x + glass.radius * i, glass.y + glass.radius * j))  # fmt: skip
    picture.lines("spot-line", joins, stroke=style.quiet, stroke_width=style.thin)


def _measures(
    picture: Picture,
    closer: DrawingSheet,
    engine: LargeEngine,
    glass: Magnifier,
    measured: Collection[str],
    unit: str,
) -> None:
    style, text, view = picture.style, picture.style.text, engine.view
    face, deck = (closer.at(0, mm)[1] for mm in (engine.shape.face, 0.0))
    edge = closer.at(0, view.deck_clearance)[1]
    above, below = sorted((deck, edge))
    gaps: dict[str, tuple[str, float, float, float]] = {
        "gasket": ("gasket", face, deck, view.gasket_thickness),
        "deck": ("deck", above, below, view.deck_clearance),
    }
    shown = [gaps[part] for part in ("gasket", "deck") if part in measured]
    x = glass.x + glass.radius + 0.75 * text
    wanted = []
    for number, (name, top, bottom, length) in enumerate(shown):
        at = x + 0.9 * text * number
        _arrows(picture, glass, top, bottom, at, style)
        wanted.append(((top + bottom) / 2, name, words.length(length, unit)))
    if len(wanted) == 2:
        middle = (wanted[0][0] + wanted[1][0]) / 2
        heights = [min(wanted[0][0], middle - 1.45 * text), max(wanted[1][0], middle + 1.45 * text)]
    else:
        heights = [height for height, _, _ in wanted]
    beside = x + 0.9 * text * max(len(shown) - 1, 0) + 0.7 * text
    for (_, name, said), y in zip(wanted, heights, strict=True):
        picture.label(name, beside, y - 0.62 * text, kind="measure-name")
        picture.label(said, beside, y + 0.62 * text, bold=True, kind="measure")


def _arrows(
    picture: Picture, glass: Magnifier, top: float, bottom: float, x: float, style: Style
) -> None:
    """Two arrows from outside on a gap, and lines out of the glass to them."""
    tail, half, long = 1.2 * style.text, 0.17 * style.text, 0.6 * style.text
    lines = []
    for y in (top, bottom):
        reach = math.sqrt(max(glass.radius**2 - (y - glass.y) ** 2, 0.0))
        lines.append((glass.x + reach + 2, y, x + 0.4 * style.text, y))
    lines += [(x, top - tail, x, top), (x, bottom, x, bottom + tail), (x, top, x, bottom)]
    picture.lines("dimension", lines, stroke_width=style.thin)
    heads = "".join(
        f"M{px(x)} {px(y)}L{px(x - half)} {px(tail)}L{px(x + half)} {px(tail)}Z"
        for y, tail in ((top, top - long), (bottom, bottom + long))
    )
    picture.path("arrow", heads, fill=style.ink, stroke="none")
