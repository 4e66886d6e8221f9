"""A class's readings of the same chambers: groups side by side, every repeat a point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from statistics import fmean

from enginemath.drawing.charts.plane import room_for
from enginemath.drawing.paper import axes
from enginemath.drawing.paper.palette import BLUE, SCREEN, VERMILLION, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import fitted, text_width
from enginemath.units import fixed, words

WIDTH, HEIGHT = 860.0, 460.0
_LEAST_SPAN = 0.05
"""Of the axis: its numbers have two decimals, as a burette is read."""


def class_readings(
    readings: Mapping[str, Mapping[str, Sequence[float]]],
    *,
    unit: str = "cc",
    stands_off: Set[str] = frozenset(),
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw each group's repeats, one field for each chamber.

    Args:
        readings: chamber to group to its repeats, in the unit.
        unit: of the readings.
        stands_off: groups whose means stand apart from the others'.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> class_readings({"1": {"A": [47.4, 47.6], "B": [47.9, 48.1]}}, stands_off={"B"}).title
    'Readings of 1 chamber by 2 groups; stands off: B'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    groups = list(dict.fromkeys(group for row in readings.values() for group in row))
    chambers, by = words.count(len(readings), "chamber"), words.count(len(groups), "group")
    title = f"Readings of {chambers} by {by}"
    apart = [group for group in groups if group in stands_off]
    if apart:
        title += f"; stands off: {', '.join(apart)}"
    picture = Picture(
        "class-readings",
        width,
        height,
        title=title,
        description=_description(readings, unit),
        key=key,
        style=style,
    )
    text, small = style.text, style.small
    every = [x for row in readings.values() for repeats in row.values() for x in repeats]
    names = [fitted(group, 6.0 * text, small) for group in groups]
    foot = height - 1.4 * text - max(text_width(name, small) for name in names)
    low, high = room_for(every)
    if high - low < _LEAST_SPAN:
        middle = (low + high) / 2
        low, high = middle - _LEAST_SPAN / 2, middle + _LEAST_SPAN / 2
    left = text_width("000.00", small) + 1.9 * text
    scale = Scale(low, high, foot, 5.2 * text)
    right = width - 1.0 * text
    axes.upright(picture, scale, left, unit, grid_to=right)
    _key(picture, (left, right), bool(apart))
    field = (right - left) / len(readings)
    for number, (chamber, row) in enumerate(readings.items()):
        start = left + number * field
        if number:
            picture.lines("field", ((start, foot, start, 4.6 * text),), stroke_width=style.thin)
        picture.label(
            fitted(f"chamber {chamber}", field - text, text),
            start + field / 2,
            3.6 * text,
            anchor="middle",
            bold=True,
        )
        _field(picture, row, groups, names, scale, start, field, stands_off)
    picture.lines("axis", ((left, foot, right, foot),), stroke_width=style.thin)
    return picture


def _field(
    picture: Picture,
    row: Mapping[str, Sequence[float]],
    groups: Sequence[str],
    names: Sequence[str],
    scale: Scale,
    start: float,
    width: float,
    stands_off: Set[str],
) -> None:
    """One chamber: its mean across the field, and a column for each group."""
    style, text = picture.style, picture.style.text
    mean = scale(fmean(fmean(repeats) for repeats in row.values()))
    picture.lines(
        "chamber-mean",
        ((start + 3, mean, start + width - 3, mean),),
        stroke_dasharray="6 3",
        stroke_width=style.thin,
    )
    step = width / len(groups)
    for number, (group, name) in enumerate(zip(groups, names, strict=True)):
        x = start + (number + 0.5) * step
        if step >= 1.1 * style.small:
            picture.label(
                name,
                x,
                scale.start + 0.7 * text,
                anchor="end",
                size=style.small,
                upwards=True,
                kind="group",
            )
        if repeats := row.get(group):
            _column(picture, repeats, scale, x, step, group in stands_off)


def _column(
    picture: Picture, repeats: Sequence[float], scale: Scale, x: float, step: float, off: bool
) -> None:
    """One group's repeats as points, their range and their mean."""
    style = picture.style
    top, foot = scale(max(repeats)), scale(min(repeats))
    picture.lines("range", ((x, top, x, foot),), stroke_width=style.thin)
    mean = scale(fmean(repeats))
    picture.lines(
        "group-mean",
        ((x - 0.32 * step, mean, x + 0.32 * step, mean),),
        stroke=VERMILLION if off else style.ink,
        stroke_width=1.6 * style.line,
    )
    r = min(0.3 * style.text, 0.2 * step)
    for y in map(scale, repeats):
        if off:
            _triangle(picture, "reading-off", x, y, r)
        else:
            picture.circle(
                "reading", x, y, r, fill=BLUE, stroke=style.paper, stroke_width=style.thin
            )


def _triangle(picture: Picture, kind: str, x: float, y: float, r: float) -> None:
    """A reading of a group that stands off, told by its shape as well as its colour."""
    corners = ((x, y - 1.4 * r), (x + 1.3 * r, y + r), (x - 1.3 * r, y + r))
    picture.shape(kind, corners, fill=picture.style.paper, stroke=VERMILLION)


def _key(picture: Picture, ends: tuple[float, float], apart: bool) -> None:
    """What the signs mean, in the middle above the fields."""
    style, text, small = picture.style, picture.style.text, picture.style.small
    y, r = 1.2 * text, 0.3 * text
    entries = ["one reading", "group's mean", "chamber's mean"] + ["group stands off"] * apart
    wide = sum(3.4 * text + text_width(entry, small) for entry in entries)
    x = max(ends[0], (sum(ends) - wide) / 2)
    for entry in entries:
        middle = x + 0.8 * text
        if entry == "one reading":
            picture.circle("reading-key", middle, y, r, fill=BLUE)
        elif entry == "group stands off":
            _triangle(picture, "off-key", middle, y, r)
        else:
            dashed = entry == "chamber's mean"
            picture.lines(
                "mean-key",
                ((x, y, x + 1.6 * text, y),),
                stroke_dasharray="6 3" if dashed else "none",
                stroke_width=style.thin if dashed else 1.6 * style.line,
            )
        picture.label(entry, x + 2.1 * text, y, size=small, kind="key-name")
        x += 3.4 * text + text_width(entry, small)


def _description(readings: Mapping[str, Mapping[str, Sequence[float]]], unit: str) -> str:
    told = []
    for chamber, row in readings.items():
        means = ", ".join(f"{group} {fixed(fmean(r), 2)}" for group, r in row.items() if r)
        told.append(f"chamber {chamber}: {means} {unit}")
    return f"Means of the groups. {'; '.join(told)}."
