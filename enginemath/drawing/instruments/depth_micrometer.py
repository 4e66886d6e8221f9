"""A depth micrometer: its thimble covers what is read, so its numbers run the other way."""

from __future__ import annotations

from enginemath.drawing.instruments.screws import MM, Screw, visible
from enginemath.drawing.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.svg import Picture

WIDTH, HEIGHT = 420.0, 640.0
INCH = Screw("in", 1.0, 0.025, 25, numbered=4, number_step=1, vernier=False)
"""Forty threads to the inch, read to 0.001 in."""
SCREWS = {"mm": MM, "in": INCH}


def depth_micrometer(
    reading: float,
    unit: str = "mm",
    *,
    base: float = 0.0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a depth micrometer on the deck: 0.01 mm or 0.001 in.

    Args:
        reading: depth of the rod's end below the base, in the unit.
        unit: ``mm`` or ``in``.
        base: what the fitted rod adds, in the unit: 25 for a 25–50 mm rod.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> depth_micrometer(5.78).description
    'Rod 0–25 mm. Sleeve: 1 line past the number 5 covered. Thimble: line 28 on the datum line.'
    """
    screw = SCREWS[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    on_scale = reading - base
    span = f"{base:g}–{base + screw.travel:g} {unit}"
    picture = Picture(
        "depth-micrometer",
        width,
        height,
        title=f"Depth micrometer, rod {span}, to be read",
        description=f"Rod {span}. {marks(screw, on_scale)}",
        key=key,
        style=style,
    )
    text = style.text
    datum, division = 0.52 * width, 1.28 * text
    half = 7.2 * division
    deck = height - 8.6 * text
    foot = deck - 2.6 * text
    zero = 9.5 * text
    px_per_unit = (foot - 2.0 * text - zero) / screw.travel
    edge = zero + on_scale * px_per_unit
    _bench(picture, datum, deck, span)
    picture.rect("sleeve", datum - half, edge, 2 * half, foot - edge, fill=STEEL)
    picture.lines("datum", ((datum, edge, datum, foot),))
    _sleeve(picture, screw, on_scale, zero, px_per_unit, datum)
    _thimble(picture, screw, on_scale, edge, datum, division, half)
    picture.label(
        "sleeve and thimble drawn unrolled",
        width - 0.8 * text,
        height - 1.0 * text,
        anchor="end",
        size=style.small,
    )
    return picture


def marks(screw: Screw, on_scale: float) -> str:
    """What a sighted reader sees on the scales, in words."""
    number, past = divmod(screw.uncovered(on_scale), screw.numbered)
    lines = f"{past} line{'' if past == 1 else 's'} past the number" if past else "the number"
    turned = screw.turned(on_scale)
    whole = int(turned)
    sleeve = f"Sleeve: {lines} {number * screw.number_step} covered."
    if turned == whole:
        return f"{sleeve} Thimble: line {whole} on the datum line."
    after = (whole + 1) % screw.divisions
    return f"{sleeve} Thimble: the datum line stands between lines {whole} and {after}."


def _sleeve(
    picture: Picture, screw: Screw, on_scale: float, zero: float, px_per_unit: float, datum: float
) -> None:
    """The lines that the thimble has not covered yet, numbers growing towards the base."""
    style, text = picture.style, picture.style.text
    drawn = []
    edge = zero + on_scale * px_per_unit
    covered = screw.uncovered(on_scale) + (screw.turned(on_scale) > 0)
    for line in range(covered, screw.lines + 1):
        y = zero + line * screw.pitch * px_per_unit
        numbered = line % screw.numbered == 0
        side = 1 if screw.unit == "in" or line % 2 == 0 else -1
        drawn.append((datum, y, datum + side * text * (1.5 if numbered else 1.0), y))
        if numbered and y > edge + 0.6 * text:
            number = f"{line // screw.numbered * screw.number_step}"
            picture.label(number, datum + 1.9 * text, y, kind="sleeve-number", halo=False)
    picture.lines("sleeve-mark", drawn, stroke_width=style.thin)


def _thimble(
    picture: Picture,
    screw: Screw,
    on_scale: float,
    edge: float,
    datum: float,
    division: float,
    half: float,
) -> None:
    style, text = picture.style, picture.style.text
    top = edge - 8.0 * text
    picture.rect("thimble", datum - half, top, 2 * half, edge - top, fill=SATIN)
    drawn = []
    reach = half / division - 0.3
    for number, past in visible(screw.turned(on_scale), -reach, reach, screw.divisions):
        x = datum + past * division
        fifth = number % 5 == 0
        drawn.append((x, edge, x, edge - (2.2 if fifth else 1.4) * text))
        if fifth:
            picture.label(
                f"{number}",
                x,
                edge - 2.9 * text,
                anchor="middle",
                kind="thimble-number",
                halo=False,
            )
    picture.lines("thimble-mark", drawn, stroke_width=style.thin)
    grip = [
        (datum - half + 4, edge - y * text, datum + half - 4, edge - y * text)
        for y in (4.6, 5.2, 5.8, 6.4, 7.0)
    ]
    picture.lines("grip", grip, stroke=style.quiet, stroke_width=style.thin)


def _bench(picture: Picture, x: float, deck: float, span: str) -> None:
    """Base, deck and rod; not to scale."""
    style, text = picture.style, picture.style.text
    left, right = 1.5 * text, picture.width - 1.5 * text
    foot = deck + 6.4 * text
    bore = 5.2 * text
    metal = picture.hatch("metal")
    for a, b in ((left, x - bore), (x + bore, right)):
        picture.rect("wall", a, deck, b - a, foot - deck, fill=metal)
    crown = deck + 3.4 * text
    picture.rect("piston", x - bore, crown, 2 * bore, foot - crown, fill=metal)
    picture.rect("rod", x - 0.3 * text, deck, 0.6 * text, crown - deck, fill=STEEL)
    picture.rect("base", x - 9.0 * text, deck - 2.6 * text, 18.0 * text, 2.6 * text, fill=SATIN)
    picture.label(
        span, x, deck - 1.3 * text, anchor="middle", size=style.small, bold=True, halo=False
    )
    picture.label("deck", left + 0.6 * text, deck + 1.0 * text, size=style.small)
    picture.label("piston", x + 1.2 * text, crown + 1.2 * text, size=style.small)
