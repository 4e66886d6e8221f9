"""Sizes worked out against sizes printed, and below them how far off each is, in per cent."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from enginemath.drawing.charts.plane import key_line, plot, room_for
from enginemath.drawing.paper.palette import BLUE, GREY, SCREEN, VERMILLION, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width

WIDTH, HEIGHT = 860.0, 430.0
"""Of one of the two charts."""


@dataclass(frozen=True)
class SizePoint:
    """One size, as one or more records print it.

    Args:
        name: row or rows that print it.
        printed: size, cu in.
        worked_out: from bore, stroke and cylinders, cu in.
        off: how far the size worked out is from the printed one, per cent of the printed one.
    """

    name: str
    printed: float
    worked_out: float
    off: float


def sizes(
    points: Sequence[SizePoint],
    band: float,
    *,
    description: str = "",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw both charts, one above the other.

    Args:
        points: one or more.
        band: per cent off that is let pass: beyond it a point is a flag with its name.
        description: in words, for who does not see it.
        size: width and height of both together, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> sizes([SizePoint("row 1", 97, 97.2, 0.2), SizePoint("row 2", 121, 42.0, -65.3)], 5).title
    'Size worked out, and how far it is off, against the size printed'
    """
    width, height = style.framed(WIDTH, HEIGHT)
    if size:
        width, height = size[0], size[1] / 2
    picture = Picture(
        "sizes",
        width,
        2 * height,
        title="Size worked out, and how far it is off, against the size printed",
        description=description,
        key=key,
        style=style,
    )
    printed = [point.printed for point in points]
    across = room_for(printed)
    upper, lower = (Picture(kind, width, height, title="", description="", style=style)
                    for kind in ("worked-out", "off"))  # fmt: skip
    _worked_out(upper, points, band, across)
    _off(lower, points, band, across)
    picture.place(upper, 0.0, 0.0)
    picture.place(lower, 0.0, height)
    return picture


def _worked_out(
    picture: Picture, points: Sequence[SizePoint], band: float, across: tuple[float, float]
) -> None:
    level, rising = plot(
        picture,
        across,
        "printed size, cu in",
        room_for([point.worked_out for point in points]),
        "worked out from bore and stroke, cu in",
    )
    low, high = max(level.low, rising.low), min(level.high, rising.high)
    if low < high:
        ends = (level(low), rising(low), level(high), rising(high))
        picture.lines("both-equal", (ends,), stroke=GREY)
    _points(picture, points, band, level, rising, lambda point: point.worked_out, named_beyond=15)
    _key(picture, level.start, band, "both equal")


def _off(
    picture: Picture, points: Sequence[SizePoint], band: float, across: tuple[float, float]
) -> None:
    level, rising = plot(
        picture,
        across,
        "printed size, cu in",
        room_for([point.off for point in points] + [-band, band]),
        "worked out less printed, %",
    )
    top, foot = rising(band), rising(-band)
    picture.rect("band", level.start, top, level.end - level.start, foot - top,
                 fill=GREY, fill_opacity=0.25, stroke="none")  # fmt: skip
    picture.lines("none-off", ((level.start, rising(0), level.end, rising(0)),), stroke=GREY)
    _points(picture, points, band, level, rising, lambda point: point.off)
    _key(picture, level.start, band, "nothing off")


def _points(
    picture: Picture,
    points: Sequence[SizePoint],
    band: float,
    level: Scale,
    rising: Scale,
    height: Callable[[SizePoint], float],
    named_beyond: float = 0.0,
) -> None:
    """A ring for each inside the band; a flag with its name for the others."""
    style, r = picture.style, 0.32 * picture.style.text
    spots = [(level(point.printed), rising(height(point)), point) for point in points]
    inside = [spot for spot in spots if abs(spot[2].off) <= band]
    outside = [spot for spot in spots if abs(spot[2].off) > band]
    for x, y, _ in inside:
        picture.circle("inside", x, y, r, stroke=BLUE, stroke_width=style.thin)
    for x, y, _ in outside:
        _flag(picture, x, y)
    flags = [(x - 1.3 * r, y - 1.4 * r, x + 1.3 * r, y + r) for x, y, _ in outside]
    rings = [(x - r, y - r, x + r, y + r) for x, y, _ in inside]
    for x, y, point in outside:
        if abs(point.off) > named_beyond:
            _name(picture, point.name, x, y, (level.end, rising.start), flags, rings)


Box = tuple[float, float, float, float]
"""Left, top, right and foot of what is drawn, px."""


def _name(
    picture: Picture,
    name: str,
    x: float,
    y: float,
    ends: tuple[float, float],
    flags: Sequence[Box],
    rings: Sequence[Box],
) -> None:
    """The name of a flag where it hides the least: of all a name, then a flag, then a ring."""
    small, r = picture.style.small, 0.32 * picture.style.text
    width = text_width(name, small)
    names = [(each.left, each.top, each.right, each.bottom) for each in picture.labels]
    left = {"start": x + 2 * r, "end": x - 2 * r - width, "middle": x - width / 2}
    downs = (0, -0.6, 0.6, -1.0, 1.0)
    beside = [(anchor, y + down * small) for down in downs for anchor in ("start", "end")]
    tried: list[tuple[bool, list[int], int, str, float]] = []
    for anchor, middle in [*beside, ("middle", y - 1.2 * small), ("middle", y + 1.2 * small)]:
        here = (left[anchor], middle - 0.6 * small, left[anchor] + width, middle + 0.6 * small)
        hidden = [sum(_meet(here, each) for each in kind) for kind in (names, flags, rings)]
        cut = here[0] < 0 or here[2] > ends[0] or here[3] > ends[1]
        tried.append((cut, hidden, len(tried), anchor, middle))
    *_, anchor, middle = min(tried)
    at = {"start": x + 2 * r, "end": x - 2 * r, "middle": x}[anchor]
    picture.label(name, at, middle, anchor=anchor, size=small, kind="rows")


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _flag(picture: Picture, x: float, y: float) -> None:
    """A triangle: told from a ring by its shape as well as its colour."""
    r = 0.32 * picture.style.text
    corners = ((x, y - 1.4 * r), (x + 1.3 * r, y + r), (x - 1.3 * r, y + r))
    picture.shape("outside", corners, fill=VERMILLION, stroke_width=picture.style.thin)


def _key(picture: Picture, x: float, band: float, line: str) -> None:
    style, text = picture.style, picture.style.text
    y, r = 1.0 * text, 0.32 * text
    x = key_line(picture, x, y, line, stroke=GREY)
    for name in (f"within {band:g} %", f"more than {band:g} % off"):
        if name.startswith("within"):
            picture.circle("inside-key", x + r, y, r, stroke=BLUE, stroke_width=style.thin)
        else:
            _flag(picture, x + r, y)
        picture.label(name, x + 1.2 * text, y, size=style.small, kind="key-name")
        x += 2.6 * text + text_width(name, style.small)
