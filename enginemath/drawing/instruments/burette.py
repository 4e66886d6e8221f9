"""A burette: zero at the top, read at the bottom of the meniscus."""

from __future__ import annotations

from enginemath.drawing.palette import GLASS, SCREEN, Style
from enginemath.drawing.scales import Scale
from enginemath.drawing.svg import Picture
from enginemath.units import fixed

WIDTH, HEIGHT = 420.0, 480.0
DIVISION = 0.1
MENISCUS = 0.20
"""How far the liquid climbs the wall of a 50 mL burette, mL. Common practice, no source."""
_MARK = {"ml": 1.0, "half": 0.62, "tenth": 0.42}
"""Length of the marks, of the tube's width."""
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
    tube = 1.8 * text
    x = 5.2 * text
    level = draw_column(picture, x, tube, top, foot, reading, capacity)
    left, wide = 11.5 * text, width - 12.5 * text
    draw_window(picture, left, top, wide, foot - top, reading, capacity)
    draw_link(picture, level, x, tube, left, (top, foot), first_shown(reading, capacity))
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


def first_shown(reading: float, capacity: float) -> float:
    """Where the magnified window begins on the scale, mL."""
    return min(max(reading - _WINDOW / 2, -0.4), capacity + 0.4 - _WINDOW)


def draw_link(
    picture: Picture,
    level: Scale,
    x: float,
    tube: float,
    left: float,
    ends: tuple[float, float],
    first: float,
) -> None:
    """A frame on the slim burette and two lines to its magnified window.

    Args:
        level: scale of the slim burette.
        x, tube: its middle and inner width, px.
        left: edge of the window, px.
        ends: top and foot of the window, px.
        first: where the window begins on the scale, mL.
    """
    style = picture.style
    edge = tube / 2 + 0.35 * style.text
    from_to = level(first), level(first + _WINDOW)
    picture.rect(
        "spot", x - edge, from_to[0], 2 * edge, from_to[1] - from_to[0], stroke_width=style.thin
    )
    joins = [(x + edge, near, left, far) for near, far in zip(from_to, ends, strict=True)]
    picture.lines("spot-line", joins, stroke_width=style.thin, stroke=style.quiet)


def draw_column(
    picture: Picture,
    x: float,
    tube: float,
    top: float,
    foot: float,
    reading: float,
    capacity: float,
    part: str = "chamber",
) -> Scale:
    """The whole burette, slim: a line for each mL, a number for each ten.

    Args:
        x: of its middle, px.
        tube: inner width, px.
        top, foot: of the glass, px.
        reading: mL.
        capacity: mL.
        part: whose colour the liquid has.

    Returns:
        Its scale, from mL to px.
    """
    style, text = picture.style, picture.style.text
    scale = Scale(0.0, capacity, top + 1.5 * text, foot - 1.5 * text)
    left, right = x - tube / 2, x + tube / 2
    picture.rect(
        "column-liquid",
        left,
        scale(reading),
        tube,
        foot - scale(reading),
        fill=picture.hatch(part),
        stroke="none",
    )
    lines: dict[str, list[tuple[float, float, float, float]]] = {"ml": [], "five": []}
    for ml in range(int(capacity) + 1):
        y = scale(ml)
        kind, share = ("five", 0.7) if ml % 5 == 0 else ("ml", 0.4)
        lines[kind].append((left, y, left + share * tube, y))
        if ml % 10 == 0:
            picture.label(
                f"{ml}", left - 0.7 * text, y, anchor="end", size=style.small, kind="tick"
            )
    for kind, drawn in lines.items():
        picture.lines(f"{kind}-marks", drawn, stroke_width=style.thin)
    picture.lines("glass", ((left, top, left, foot), (right, top, right, foot)))
    return scale


def draw_window(
    picture: Picture,
    left: float,
    top: float,
    width: float,
    height: float,
    reading: float,
    capacity: float,
    part: str = "chamber",
) -> None:
    """A magnified window on the scale around the meniscus.

    Args:
        left, top, width, height: of the window, px.
        reading: mL.
        capacity: mL.
        part: whose colour the liquid has.
    """
    style, text = picture.style, picture.style.text
    first = first_shown(reading, capacity)
    scale = Scale(first, first + _WINDOW, top, top + height)
    picture.rect("window", left, top, width, height, fill=style.paper)
    picture.open_window(left, top, width, height)
    wall = 0.6 * text
    glass, end = left + 3.4 * text, left + width - 0.8 * text
    _meniscus(picture, glass, end, scale(reading), scale(reading - MENISCUS), top + height, part)
    lines: dict[str, list[tuple[float, float, float, float]]] = {"tenth": [], "half": [], "ml": []}
    lowest, highest = max(0, round(first * 10) - 1), round((first + _WINDOW) * 10) + 1
    for tenths in range(lowest, min(round(capacity * 10), highest) + 1):
        y = scale(tenths / 10)
        kind = "ml" if tenths % 10 == 0 else "half" if tenths % 5 == 0 else "tenth"
        lines[kind].append((glass, y, glass + _MARK[kind] * (end - glass), y))
        if kind == "ml" and top + text < y < top + height - text:
            picture.label(
                f"{tenths // 10}",
                glass - wall - 0.6 * text,
                y,
                anchor="end",
                size=style.heading,
                kind="number",
            )
    for kind, drawn in lines.items():
        picture.lines(
            f"mark-{kind}", drawn, stroke_width=style.line if kind == "ml" else style.thin
        )
    for x in (glass - wall, end):
        picture.rect("glass", x, top - 5, wall, height + 10, fill=GLASS, stroke_width=style.thin)
    picture.close_window()
    picture.rect("window", left, top, width, height)


def _meniscus(
    picture: Picture, left: float, right: float, bottom: float, top: float, foot: float, part: str
) -> None:
    """The liquid with its hollow surface: lowest in the middle, climbing at the glass."""
    middle, rim = (left + right) / 2, f"{left:.2f} {top:.2f}"
    # A parabola through both rims with its lowest point at the reading.
    control = 2 * bottom - top
    curve = f"M{rim}Q{middle:.2f} {control:.2f} {right:.2f} {top:.2f}"
    picture.path(
        "window-liquid",
        f"{curve}L{right:.2f} {foot:.2f}L{left:.2f} {foot:.2f}Z",
        fill=picture.hatch(part),
        stroke="none",
    )
    picture.path("meniscus", curve, stroke_width=1.8 * picture.style.line)
