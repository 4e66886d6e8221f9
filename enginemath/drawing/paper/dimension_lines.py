"""What a shop drawing carries around its outlines: dimension lines, leaders, a scale bar."""

from __future__ import annotations

from collections.abc import Iterable

from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import LINE, text_width
from enginemath.units import MM_PER_INCH


def across(
    picture: Picture, left: float, right: float, y: float, text: str, *, from_y: float
) -> None:
    """A level dimension line with arrowheads; its text breaks it or, too wide, stands above it.

    Args:
        left, right: ends of what is measured.
        y: height of the dimension line.
        from_y: where the extension lines begin.
    """
    arrow, gap = _arrow(picture), 3 if y > from_y else -3
    inside = right - left >= 2.6 * arrow
    fits = inside and right - left >= text_width(text, picture.style.text) + 3 * arrow
    tail = 0.0 if inside else 2.2 * arrow
    beyond = y + gap
    picture.lines(
        "extension",
        ((left, from_y + gap, left, beyond), (right, from_y + gap, right, beyond)),
        stroke_width=picture.style.thin,
    )
    picture.lines(
        "dimension", ((left - tail, y, right + tail, y),), stroke_width=picture.style.thin
    )
    turned = 1 if inside else -1
    _arrowheads(picture, ((left, y, turned, 0), (right, y, -turned, 0)))
    up = 0.0 if fits else 0.8 * picture.style.text
    picture.label(text, (left + right) / 2, y - up, anchor="middle", kind="measure")


def upright(
    picture: Picture, top: float, bottom: float, x: float, text: str, *, from_x: float
) -> None:
    """An upright dimension line with arrowheads; its level text breaks it or stands beside it.

    Args:
        top, bottom: ends of what is measured.
        x: of the dimension line.
        from_x: where the extension lines begin.
    """
    size, lines = picture.style.text, text.split("\n")
    high, wide = len(lines) * LINE * size, max(text_width(line, size) for line in lines)
    clear_of_part = abs(x - from_x) >= wide / 2
    fits = clear_of_part and bottom - top >= high + 3 * _arrow(picture)
    gap_upright(picture, top, bottom, x, from_x=from_x, broken=high if fits else 0.0)
    middle = (top + bottom) / 2 - (len(lines) - 1) * LINE * size / 2
    if fits:
        picture.label(text, x, middle, anchor="middle", kind="measure")
    else:
        outward = x < from_x
        picture.label(
            text,
            x - 8 if outward else x + 8,
            middle,
            anchor="end" if outward else "start",
            kind="measure",
        )


def gap_upright(
    picture: Picture, top: float, bottom: float, x: float, *, from_x: float, broken: float = 0.0
) -> None:
    """The lines and arrowheads of an upright dimension, without its text.

    Args:
        broken: how much of the line's middle is left out for the text, px.
    """
    arrow, gap = _arrow(picture), 3 if x > from_x else -3
    inside = bottom - top >= 2.6 * arrow
    tail = 0.0 if inside else 2.2 * arrow
    beyond = x + gap
    picture.lines(
        "extension",
        ((from_x + gap, top, beyond, top), (from_x + gap, bottom, beyond, bottom)),
        stroke_width=picture.style.thin,
    )
    middle = (top + bottom) / 2
    halves = (
        ((x, top, x, middle - broken / 2), (x, middle + broken / 2, x, bottom))
        if broken
        else ((x, top - tail, x, bottom + tail),)
    )
    picture.lines("dimension", halves, stroke_width=picture.style.thin)
    turned = 1 if inside else -1
    _arrowheads(picture, ((x, top, 0, turned), (x, bottom, 0, -turned)))


def scale_bar(
    picture: Picture, x: float, y: float, scale: float, room: float, unit: str = "mm"
) -> None:
    """A bar of a round length, to measure the drawing by.

    Args:
        x, y: its left end.
        scale: px for one mm.
        room: longest that the bar may be, px.
        unit: ``mm`` or ``in``.
    """
    step, mm = (1.0, MM_PER_INCH) if unit == "in" else (10.0, 1.0)
    lengths = [share * step for share in (0.1, 0.2, 0.5, 1, 2, 5)]
    fitting = [length for length in lengths if length * mm * scale <= room]
    bar = fitting[-1] if fitting else lengths[0]
    end = x + bar * mm * scale
    ends = ((x, y - 4, x, y + 4), (x, y, end, y), (end, y - 4, end, y + 4))
    picture.lines("scale-bar", ends)
    picture.label(f"{bar:g} {unit}", end + 0.5 * picture.style.text, y, kind="scale")


def double_scale(picture: Picture, x: float, y: float, scale: float, room: float) -> None:
    """One bar to measure the drawing by, in both units: mm above it, inches below it.

    Args:
        x, y: its left end.
        scale: px for one mm.
        room: longest that the bar may be, px.
    """
    style = picture.style
    small, up = style.small, 0.4 * style.text
    ends = []
    for unit, mm, side, lengths in (
        ("mm", 1.0, -1, (1, 2, 5, 10, 20, 50, 100, 200)),
        ("in", MM_PER_INCH, 1, (0.1, 0.2, 0.5, 1, 2, 5, 10)),
    ):
        fitting = [length for length in lengths if length * mm * scale <= room]
        length = fitting[-1] if fitting else lengths[0]
        long, parts = length * mm * scale, 5
        ends.append(x + long)
        ticks = [x + long * k / parts for k in range(parts + 1)]
        picture.lines(
            f"scale-{unit}",
            [
                (t, y, t, y + side * up * (1.4 if k in (0, parts) else 0.8))
                for k, t in enumerate(ticks)
            ],
            stroke_width=style.thin,
        )
        below = y + side * (1.4 * up + 0.65 * small)
        picture.label(
            f"{length:g} {unit}", x + long, below, anchor="middle", size=small, kind="scale"
        )
        picture.label("0", x, below, anchor="middle", size=small, kind="scale")
    picture.lines("scale-bar", ((x, y, max(ends), y),))


def _arrow(picture: Picture) -> float:
    return 0.62 * picture.style.text


def _arrowheads(picture: Picture, tips: Iterable[tuple[float, float, int, int]]) -> None:
    """Slender filled triangles; each has its tip and the direction from the tip to its tail."""
    long, half = _arrow(picture), _arrow(picture) / 6
    drawn = "".join(
        [
            f"M{px(x)} {px(y)}"
            f"L{px(x + long * i + half * j)} {px(y + long * j + half * i)}"
            f"L{px(x + long * i - half * j)} {px(y + long * j - half * i)}Z"
            for x, y, i, j in tips
        ]
    )
    picture.path("arrow", drawn, fill=picture.style.ink, stroke="none")


def leader(picture: Picture, x: float, y: float, to_x: float, to_y: float, run: float = 10) -> None:
    """A thin line from a label to a dot on the part that it names.

    Args:
        run: px of level line at the label's end; negative where it runs left.
    """
    bend = (x + run, y)
    picture.trace("leader", ((x, y), bend, (to_x, to_y)), stroke_width=picture.style.thin)
    dot = 1.6 * picture.style.line
    picture.circle(
        "leader-dot",
        to_x,
        to_y,
        dot,
        fill=picture.style.ink,
        stroke=picture.style.paper,
        stroke_width=picture.style.thin,
    )


def callouts(
    picture: Picture, notes: Iterable[tuple[str, float, float]], x: float, top: float
) -> float:
    """A column of labels on the right, each with a leader to its part.

    The labels stand still while the parts move.

    Args:
        notes: text and the place of the dot, from above.
        x: left edge of the labels.
        top: of the column.

    Returns:
        The height at which the column ends.
    """
    text = picture.style.text
    y = top + 0.7 * text
    for name, to_x, to_y in notes:
        leader(picture, x - 4, y, to_x, to_y, run=-0.6 * text)
        picture.label(name, x, y)
        y += 1.4 * text
    return y - 0.7 * text
