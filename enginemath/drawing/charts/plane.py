"""The two axes of a chart."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.paper import axes
from enginemath.drawing.paper.scales import Scale, tick_step, tick_text, ticks
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width

DASHES = ("none", "9 4", "2 3", "10 3 2 3")
"""Line styles, so that curves are told apart without colour."""


def plot(
    picture: Picture,
    across: tuple[float, float],
    across_name: str,
    upright: tuple[float, float],
    upright_name: str,
    *,
    top: float = 3.4,
    right: float = 1.6,
    foot: float = 3.6,
    at: Sequence[float] = (),
) -> tuple[Scale, Scale]:
    """Draw both axes and say where numbers stand between them.

    Args:
        across, upright: lowest and highest number of each axis.
        across_name, upright_name: with the unit.
        top, right, foot: margins, in the height of the type.
        at: ticks of the level axis, where round ones will not do.

    Returns:
        The scales of the level and the upright axis.
    """
    text, small = picture.style.text, picture.style.small
    step = tick_step(upright[1] - upright[0], 6)
    widest = max((text_width(tick_text(t, step), small) for t in ticks(*upright, 6)), default=0.0)
    left, end = widest + 1.9 * text, picture.width - right * text
    base, head = picture.height - foot * text, top * text
    level = Scale(*across, left, end)
    rising = Scale(*upright, base, head)
    axes.upright(picture, rising, left, upright_name, grid_to=end)
    axes.across(picture, level, base, across_name, at=at, grid_to=head)
    return level, rising


def room_for(numbers: Sequence[float], share: float = 0.06) -> tuple[float, float]:
    """The ends of an axis that holds some numbers, with a little air.

    >>> room_for([2.0, 4.0], 0.1)
    (1.8, 4.2)
    """
    low, high = min(numbers), max(numbers)
    air = share * (high - low) or 0.05 * abs(high) or 1.0
    return low - air, high + air


def key_line(picture: Picture, x: float, y: float, name: str, **attributes: str | float) -> float:
    """A sample of a line and its name; returns where the next may begin."""
    text = picture.style.text
    picture.lines("key", ((x, y, x + 2.2 * text, y),), **attributes)
    return _key_name(picture, x, y, name)


def key_patch(picture: Picture, x: float, y: float, name: str, part: str) -> float:
    """A sample of a part's fill and its name; returns where the next may begin."""
    text = picture.style.text
    fill, thin = picture.hatch(part), picture.style.thin
    picture.rect("key-patch", x, y - 0.5 * text, 2.2 * text, text, fill=fill, stroke_width=thin)
    return _key_name(picture, x, y, name)


def _key_name(picture: Picture, x: float, y: float, name: str) -> float:
    text, small = picture.style.text, picture.style.small
    picture.label(name, x + 2.7 * text, y, size=small, kind="key-name")
    return x + 3.9 * text + text_width(name, small)
