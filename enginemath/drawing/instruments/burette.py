"""A burette: zero at the top, read at the bottom of the meniscus."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.handles import Hold
from enginemath.drawing.paper.palette import GLASS, SCREEN, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.units import fixed

WIDTH, HEIGHT = 420.0, 480.0
DIVISION = 0.1
MENISCUS = 0.20
"""How far the liquid climbs the wall of a 50 mL burette, mL. Common practice, no source."""
_MARK = {"ml": 1.0, "half": 0.62, "tenth": 0.42}
"""Length of the marks, of the tube's width."""
_APART = 3.0
"""Least distance of two marks that can be told apart, px."""
_WINDOW = 2.4
"""Length of scale in the magnified window, mL."""


def burette(
    reading: float,
    *,
    capacity: float = 50.0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a burette divided in 0.1 mL, its liquid magnified.

    Args:
        reading: bottom of the meniscus, mL below the zero line.
        capacity: of the burette, mL.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> burette(23.45).description
    'The bottom of the meniscus stands 4.5 divisions of 0.1 mL below the line marked 23.'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "burette",
        width,
        height,
        title="Burette to be read",
        description=marks(reading),
        key=key,
        style=style,
    )
    text = style.text
    top, foot = 1.6 * text, height - 2.4 * text
    tube = Tube(5.2 * text, 1.8 * text, top, foot, text, reading, capacity)
    draw_tube(picture, tube)
    left, wide = 11.5 * text, width - 12.5 * text
    draw_window(picture, tube, left, top, wide, foot - top)
    _mark_places(picture, tube, tube.window(top, foot), left, left + wide)
    picture.hold = Hold(tube.x, tube.scale(reading), (0.0, tube.scale.unit))
    picture.label("mL", left + wide, height - 1.0 * text, anchor="end")
    return picture


def marks(reading: float) -> str:
    """What a sighted reader sees at the meniscus, in words.

    >>> marks(7.0)
    'The bottom of the meniscus stands on the line marked 7.'
    """
    whole = int(reading + 1e-9)
    below = (reading - whole) / DIVISION
    if below < 0.005:
        return f"The bottom of the meniscus stands on the line marked {whole}."
    divisions = fixed(below, 1).removesuffix(".0")
    return (
        f"The bottom of the meniscus stands {divisions} divisions of 0.1 mL "
        f"below the line marked {whole}."
    )


@dataclass(frozen=True)
class Tube:
    """A burette on the paper, slim.

    Args:
        x: of its middle, px.
        width: inner, px.
        top, foot: of the glass, px.
        text: height of the type beside it, px.
        reading, capacity: mL.
    """

    x: float
    width: float
    top: float
    foot: float
    text: float
    reading: float
    capacity: float

    @property
    def scale(self) -> Scale:
        """The scale of the tube, from mL to px."""
        return Scale(0.0, self.capacity, self.top + 1.5 * self.text, self.foot - 1.5 * self.text)

    def window(self, top: float, foot: float) -> Scale:
        """From mL to px in a magnified window."""
        return Scale(self.first_shown, self.first_shown + _WINDOW, top, foot)

    @property
    def first_shown(self) -> float:
        """Where the magnified window begins on the scale, mL."""
        return min(max(self.reading - _WINDOW / 2, -0.4), self.capacity + 0.4 - _WINDOW)


_SMALL = 30.0
"""The largest burette whose every fifth mL has its number."""


def draw_tube(picture: Picture, tube: Tube) -> None:
    """Draw the whole burette: a line for each mL, if there is room, a number for each ten."""
    style, scale, top, foot = picture.style, tube.scale, tube.top, tube.foot
    left, right = tube.x - tube.width / 2, tube.x + tube.width / 2
    surface = scale(tube.reading)
    liquid = picture.hatch("water")
    picture.rect(
        "column-liquid", left, surface, tube.width, foot - surface, fill=liquid, stroke="none"
    )
    lines: dict[str, list[tuple[float, float, float, float]]] = {"ml": [], "five": []}
    step = 1 if scale.unit >= _APART else 5
    for ml in range(0, int(tube.capacity) + 1, step):
        y = scale(ml)
        kind, share = ("five", 0.7) if ml % 5 == 0 else ("ml", 0.4)
        lines[kind].append((left, y, left + share * tube.width, y))
        if ml % (10 if tube.capacity > _SMALL else 5) == 0:
            picture.label(
                f"{ml}", left - 0.7 * tube.text, y, anchor="end", size=style.small, kind="tick"
            )
    for kind, drawn in lines.items():
        picture.lines(f"{kind}-marks", drawn, stroke_width=style.thin)
    picture.lines("glass", ((left, top, left, foot), (right, top, right, foot)))


def draw_window(
    picture: Picture, tube: Tube, left: float, top: float, width: float, height: float
) -> None:
    """Draw the scale around the meniscus in a magnified window, and a frame on the slim burette.

    Args:
        left, top, width, height: of the window, px.
    """
    foot = top + height
    scale = tube.window(top, foot)
    picture.rect("window", left, top, width, height, fill=picture.style.paper)
    picture.open_window(left, top, width, height)
    _magnified(picture, tube, scale, left, left + width)
    picture.close_window()
    picture.rect("window", left, top, width, height)
    _link(picture, tube, left, (top, foot))


def draw_round_window(picture: Picture, tube: Tube, x: float, y: float, radius: float) -> None:
    """Draw the scale around the meniscus in a round glass, and the spot that it stands over.

    Args:
        x, y, radius: of the glass, px.
    """
    style = picture.style
    scale = tube.window(y - radius, y + radius)
    spot = tube.scale((scale.low + scale.high) / 2)
    small = 0.62 * tube.width
    away, facing = math.hypot(x - tube.x, y - spot), math.atan2(y - spot, x - tube.x)
    open_ = math.acos((small - radius) / away)
    joins = []
    for side in (-1, 1):
        i, j = math.cos(facing + side * open_), math.sin(facing + side * open_)
        joins.append((tube.x + small * i, spot + small * j, x + radius * i, y + radius * j))
    picture.lines("spot-line", joins, stroke=style.quiet, stroke_width=style.thin)
    picture.circle("spot", tube.x, spot, small, stroke_width=style.thin)
    picture.circle("window", x, y, radius, fill=style.paper)
    picture.open_round_window(x, y, radius)
    glass = x - 0.36 * radius - 3.4 * tube.text
    _magnified(picture, tube, scale, glass, x + 0.72 * radius + 0.8 * tube.text, 0.3 * radius)
    picture.close_window()
    picture.circle("window", x, y, radius, stroke_width=1.3 * style.line)


def _magnified(
    picture: Picture,
    tube: Tube,
    scale: Scale,
    left: float,
    right: float,
    margin: float | None = None,
) -> None:
    """Meniscus, marks and glass between the two sides of the window."""
    style, text, top, foot = picture.style, picture.style.text, scale.start, scale.end
    margin = text if margin is None else margin
    wall = 0.6 * text
    glass, end = left + 3.4 * text, right - 0.8 * text
    _meniscus(picture, tube, scale, glass, end)
    lines: dict[str, list[tuple[float, float, float, float]]] = {"tenth": [], "half": [], "ml": []}
    lowest, highest = max(0, round(scale.low * 10) - 1), round(scale.high * 10) + 1
    for tenths in range(lowest, min(round(tube.capacity * 10), highest) + 1):
        y = scale(tenths / 10)
        kind = "ml" if tenths % 10 == 0 else "half" if tenths % 5 == 0 else "tenth"
        lines[kind].append((glass, y, glass + _MARK[kind] * (end - glass), y))
        if kind == "ml" and top + margin < y < foot - margin:
            picture.label(
                f"{tenths // 10}",
                glass - wall - 0.6 * text,
                y,
                anchor="end",
                size=min(style.heading, 1.3 * style.text),
                kind="number",
            )
    for kind, drawn in lines.items():
        picture.lines(
            f"mark-{kind}", drawn, stroke_width=style.line if kind == "ml" else style.thin
        )
    beyond = foot - top + 10
    for x in (glass - wall, end):
        picture.rect("glass", x, top - 5, wall, beyond, fill=GLASS, stroke_width=style.thin)


def _meniscus(picture: Picture, tube: Tube, scale: Scale, left: float, right: float) -> None:
    """The liquid with its hollow surface: lowest in the middle, climbing at the glass."""
    bottom, rim, foot = scale(tube.reading), scale(tube.reading - MENISCUS), scale.end
    # A parabola through both rims with its lowest point at the reading.
    middle, control = (left + right) / 2, 2 * bottom - rim
    curve = f"M{px(left)} {px(rim)}Q{px(middle)} {px(control)} {px(right)} {px(rim)}"
    picture.path(
        "window-liquid",
        f"{curve}L{px(right)} {px(foot)}L{px(left)} {px(foot)}Z",
        fill=picture.hatch("water"),
        stroke="none",
    )
    picture.path("meniscus", curve, stroke_width=1.8 * picture.style.line)


def _mark_places(picture: Picture, tube: Tube, scale: Scale, left: float, right: float) -> None:
    """The meniscus, the numbered line above it, and the lines between."""
    text, above = tube.text, scale(int(tube.reading + 1e-9))
    bottom = scale(tube.reading)
    glass, end = left + 3.4 * text, right - 0.8 * text
    picture.place_of("meniscus", (glass + end) / 2, bottom, 2.6 * text)
    if above > scale.start + text:
        picture.place_of("number", left + 1.8 * text, above, 2.0 * text)
    lines = max(bottom, above) + 2 * text
    picture.place_of("lines", glass + 0.2 * (end - glass), lines, 3.2 * text)


def _link(picture: Picture, tube: Tube, left: float, ends: tuple[float, float]) -> None:
    """A frame on the slim burette, and lines from it to the left edge of its window."""
    style = picture.style
    edge = tube.width / 2 + 0.35 * tube.text
    spot = tube.scale(tube.first_shown), tube.scale(tube.first_shown + _WINDOW)
    picture.rect(
        "spot", tube.x - edge, spot[0], 2 * edge, spot[1] - spot[0], stroke_width=style.thin
    )
    joins = [(tube.x + edge, near, left, far) for near, far in zip(spot, ends, strict=True)]
    picture.lines("spot-line", joins, stroke_width=style.thin, stroke=style.quiet)
