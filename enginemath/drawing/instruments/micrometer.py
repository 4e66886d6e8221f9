"""An outside micrometer, sleeve and thimble drawn unrolled."""

from __future__ import annotations

from enginemath.drawing.instruments.screws import SCREWS, Screw, visible
from enginemath.drawing.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.svg import Picture

WIDTH, HEIGHT = 720.0, 330.0


def micrometer(
    reading: float,
    unit: str = "mm",
    *,
    base: float = 0.0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw an outside micrometer: 0.01 mm, or 0.001 in with a vernier to 0.0001 in.

    Args:
        reading: between the anvils, in the unit; base is part of it.
        unit: ``mm`` or ``in``.
        base: smallest opening of the frame, in the unit: 75 for a 75–100 mm micrometer.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> micrometer(5.78).description
    'Range 0–25 mm. Sleeve: 1 line past the number 5. Thimble: line 28 on the datum line.'
    """
    screw = SCREWS[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    on_scale = reading - base
    span = f"{base:g}–{base + screw.travel:g} {unit}"
    picture = Picture(
        "micrometer",
        width,
        height,
        title=f"Outside micrometer {span}, to be read",
        description=f"Range {span}. {marks(screw, on_scale)}",
        key=key,
        style=style,
    )
    text = style.text
    division = 1.28 * text
    above, below = (11.2, 3.6) if screw.vernier else (6.6, 6.6)
    datum = 1.5 * text + above * division
    zero = 0.28 * width
    px_per_unit = (width - zero - 12.5 * text) / screw.travel
    edge = zero + on_scale * px_per_unit
    top, foot = datum - above * division, datum + below * division

    _frame(picture, zero, datum, span)
    picture.rect("sleeve", zero - 2.4 * text, top, edge - zero + 2.4 * text, foot - top, fill=STEEL)
    picture.lines("datum", ((zero - 2.4 * text, datum, edge, datum),))
    _sleeve(picture, screw, on_scale, zero, px_per_unit, datum)
    if screw.vernier:
        _vernier(picture, zero, edge, datum, division)
    _thimble(picture, screw, on_scale, edge, datum, division, (top, foot))
    note = "sleeve and thimble drawn unrolled"
    picture.label(note, width - 0.8 * text, height - 1.0 * text, anchor="end", size=style.small)
    return picture


def marks(screw: Screw, on_scale: float) -> str:
    """What a sighted reader sees on the scales, in words."""
    number, past = divmod(screw.uncovered(on_scale), screw.numbered)
    lines = f"{past} line{'' if past == 1 else 's'} past" if past else "on"
    turned = screw.turned(on_scale)
    whole = int(turned)
    sleeve = f"Sleeve: {lines} the number {number * screw.number_step}."
    if turned == whole:
        thimble = f"Thimble: line {whole} on the datum line."
    else:
        after = (whole + 1) % screw.divisions
        thimble = f"Thimble: the datum line stands between lines {whole} and {after}."
    told = f"{sleeve} {thimble}"
    if screw.vernier:
        told += f" Vernier: line {screw.vernier_line(on_scale)} meets a thimble line."
    return told


def _sleeve(
    picture: Picture, screw: Screw, on_scale: float, zero: float, px_per_unit: float, datum: float
) -> None:
    """Sleeve lines: whole mm above and half mm below, or all below where a vernier is above."""
    style, text = picture.style, picture.style.text
    drawn = []
    edge = zero + on_scale * px_per_unit
    for line in range(screw.uncovered(on_scale) + 1):
        x = zero + line * screw.pitch * px_per_unit
        numbered = line % screw.numbered == 0
        side = 1 if screw.vernier or line % 2 else -1
        drawn.append((x, datum, x, datum + side * text * (1.5 if numbered else 1.0)))
        if numbered and x < edge - 0.35 * text:
            number = f"{line // screw.numbered * screw.number_step}"
            picture.label(
                number,
                x,
                datum + side * 2.2 * text,
                anchor="middle",
                kind="sleeve-number",
                halo=False,
            )
    picture.lines("sleeve-mark", drawn, stroke_width=style.thin)


def _vernier(picture: Picture, zero: float, edge: float, datum: float, division: float) -> None:
    """Ten lines along the sleeve that span nine thimble divisions."""
    style, text = picture.style, picture.style.text
    left = zero - 0.6 * text
    rows = [(line, datum - line * 0.9 * division) for line in range(11)]
    picture.lines("vernier-mark", [(left, y, edge, y) for _, y in rows], stroke_width=style.thin)
    for line, y in rows:
        picture.label(
            f"{line % 10}",
            left - 0.5 * text,
            y,
            anchor="end",
            size=style.small,
            kind="vernier-number",
            halo=False,
        )


def _thimble(
    picture: Picture,
    screw: Screw,
    on_scale: float,
    edge: float,
    datum: float,
    division: float,
    ends: tuple[float, float],
) -> None:
    style, text = picture.style, picture.style.text
    top, foot = ends
    long = 11.0 * text
    picture.rect("thimble", edge, top, long, foot - top, fill=SATIN)
    low, high = (datum - foot) / division + 0.3, (datum - top) / division - 0.3
    drawn = []
    for number, past in visible(screw.turned(on_scale), low, high, screw.divisions):
        y = datum - past * division
        fifth = number % 5 == 0
        drawn.append((edge, y, edge + (2.6 if fifth else 1.6) * text, y))
        if fifth:
            picture.label(f"{number}", edge + 3.0 * text, y, kind="thimble-number", halo=False)
    picture.lines("thimble-mark", drawn, stroke_width=style.thin)
    grip = [
        (edge + x * text, top + 4, edge + x * text, foot - 4)
        for x in (6.6, 7.2, 7.8, 8.4, 9.0, 9.6)
    ]
    picture.lines("grip", grip, stroke=style.quiet, stroke_width=style.thin)


def _frame(picture: Picture, zero: float, datum: float, span: str) -> None:
    """Anvil, spindle and bow, not to scale."""
    style, text = picture.style, picture.style.text
    right = zero - 2.4 * text
    left = 1.4 * text
    middle = (left + right) / 2
    thick = 1.9 * text
    low = datum + min(8.0 * text, picture.height - datum - 3.2 * text)

    def half_ring(a: float, b: float, foot: float) -> str:
        """From the top of one arm, around below, to the top of the other."""
        return (
            f"L{a:.2f} {datum:.2f}Q{a:.2f} {foot:.2f} {middle:.2f} {foot:.2f}"
            f"Q{b:.2f} {foot:.2f} {b:.2f} {datum:.2f}L{b:.2f} {datum - text:.2f}"
        )

    outer = half_ring(left, right, low)
    inner = half_ring(right - thick, left + thick, low - thick)
    start = f"M{left:.2f} {datum - text:.2f}"
    bow = f"{start}{outer}L{right - thick:.2f} {datum - text:.2f}{inner}Z"
    picture.path("bow", bow, fill=SATIN)
    spindle = 0.55 * text
    faces = left + thick + 0.5 * text, left + thick + 0.5 * text + 0.3 * (right - left)
    picture.rect(
        "anvil", left + thick, datum - spindle, faces[0] - left - thick, 2 * spindle, fill=STEEL
    )
    picture.rect(
        "spindle", faces[1], datum - spindle, right - thick - faces[1], 2 * spindle, fill=STEEL
    )
    picture.rect(
        "part",
        faces[0],
        datum - 1.5 * text,
        faces[1] - faces[0],
        3.0 * text,
        fill=picture.hatch("metal"),
        stroke_width=style.thin,
    )
    picture.label(
        span, middle, low - thick / 2, anchor="middle", size=style.small, bold=True, halo=False
    )
