"""Axes with round ticks."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.paper.scales import Scale, tick_step, tick_text, ticks
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width


def across(
    picture: Picture,
    scale: Scale,
    y: float,
    name: str,
    *,
    about: int = 6,
    at: Sequence[float] = (),
    grid_to: float | None = None,
) -> None:
    """A level axis with ticks below it and its name below them.

    Args:
        scale: of the axis.
        y: its height.
        name: with the unit.
        about: how many round ticks are wanted.
        at: the ticks, where round ones will not do; whole numbers.
        grid_to: the height that thin lines lead to from the ticks.
    """
    style = picture.style
    marked = at or ticks(scale.low, scale.high, about)
    step = 1.0 if at else tick_step(scale.high - scale.low, about)
    if grid_to is not None:
        _grid(picture, [(scale(t), y, scale(t), grid_to) for t in marked])
    drawn = [(scale(t), y, scale(t), y + 5) for t in marked]
    picture.lines("axis", [(scale.start, y, scale.end, y), *drawn], stroke_width=style.thin)
    below = y + 8 + 0.5 * style.small
    for t in marked:
        said, x = tick_text(t, step), scale(t)
        picture.label(said, x, below, anchor="middle", size=style.small, kind="tick")
    if name:
        below += 1.4 * style.small
        end = scale.end
        picture.label(name, end, below, anchor="end", size=style.small, kind="axis-name")


def upright(
    picture: Picture,
    scale: Scale,
    x: float,
    name: str,
    *,
    about: int = 6,
    grid_to: float | None = None,
) -> None:
    """An upright axis with round ticks on its left and its name above it."""
    style = picture.style
    at = ticks(scale.low, scale.high, about)
    step = tick_step(scale.high - scale.low, about)
    if grid_to is not None:
        _grid(picture, [(x, scale(t), grid_to, scale(t)) for t in at])
    picture.lines(
        "axis",
        [(x, scale.start, x, scale.end)] + [(x, scale(t), x - 5, scale(t)) for t in at],
        stroke_width=style.thin,
    )
    for t in at:
        picture.label(
            tick_text(t, step), x - 8, scale(t), anchor="end", size=style.small, kind="tick"
        )
    if name:
        widest = max([text_width(tick_text(t, step), style.small) for t in at], default=0.0)
        picture.label(
            name,
            x - 8 - widest,
            min(scale.start, scale.end) - 1.4 * style.small,
            size=style.small,
            kind="axis-name",
        )


def _grid(picture: Picture, segments: list[tuple[float, float, float, float]]) -> None:
    picture.lines("grid", segments, stroke="#d0d0d0", stroke_width=0.8)
