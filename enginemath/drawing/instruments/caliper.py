"""A vernier caliper: the vernier line that meets a line of the beam gives the last digits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.paper.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.units import words

WIDTH, HEIGHT = 860.0, 330.0


@dataclass(frozen=True)
class Vernier:
    """How beam and vernier are divided.

    Args:
        unit: ``mm`` or ``in``.
        division: of the beam, in the unit.
        lines: of the vernier after its zero; they span one beam division less than so many.
        numbered: every how many beam divisions a number stands.
        number: what one such step adds to the number.
        vernier_numbered: every how many vernier lines a number stands.
        vernier_number: what one such step adds to the vernier's number.
        longest: end of the beam, in the unit.
    """

    unit: str
    division: float
    lines: int
    numbered: int
    number: int
    vernier_numbered: int
    vernier_number: int
    longest: float

    @property
    def least(self) -> float:
        """What one vernier line stands for, in the unit.

        >>> MM.least, INCH.least
        (0.02, 0.001)
        """
        return round(self.division / self.lines, 6)

    def line(self, reading: float) -> int:
        """The vernier line that meets a beam line best.

        >>> MM.line(37.46), INCH.line(1.237)
        (23, 12)
        """
        return round(reading / self.division % 1 * self.lines) % self.lines


MM = Vernier("mm", 1.0, 50, 10, 10, 5, 1, 210.0)
INCH = Vernier("in", 0.025, 25, 4, 1, 5, 5, 7.0)
VERNIERS = {"mm": MM, "in": INCH}


def caliper(
    reading: float,
    unit: str = "mm",
    *,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw the scales of a vernier caliper: 0.02 mm or 0.001 in.

    Args:
        reading: in the unit, not negative.
        unit: ``mm`` or ``in``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> caliper(37.46).description
    'Vernier zero 7 divisions of 1 mm past the number 30. Vernier line 23 meets a line of the beam.'
    """
    vernier = VERNIERS[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "caliper",
        width,
        height,
        title="Vernier caliper to be read",
        description=_marks(vernier, reading),
        key=key,
        style=style,
    )
    text = style.text
    span = (vernier.lines - 1) * vernier.division
    first, last = reading - 3.2 * vernier.division, reading + span + 3.2 * vernier.division
    beam = Scale(first, last, 1.2 * text, width - 1.2 * text)
    meet, top, foot = height - 8.6 * text, height - 13.6 * text, height - 3.0 * text

    _whole_beam(picture, vernier, beam, reading, top)
    picture.rect("beam", 1.2 * text, top, width - 2.4 * text, meet - top, fill=STEEL)
    _beam(picture, vernier, beam, meet)
    left, right = (
        beam(reading - 1.6 * vernier.division),
        beam(reading + span + 1.6 * vernier.division),
    )
    picture.rect("slide", left, meet, right - left, foot - meet, fill=SATIN)
    _vernier(picture, vernier, beam, reading, meet)
    half, tall = (beam(reading + span) - beam(reading)) / 2, 2.2 * text
    picture.place_of("vernier", beam(reading) + half, meet + text, tall, half - tall)
    picture.place_of("beam", beam(reading), meet - text, 3.0 * text)
    named = {"mm": "mm", "in": "inches"}[unit]
    note = f"beam in {named}, vernier {vernier.least:g} {unit}"
    picture.label(note, width - 1.2 * text, height - 1.2 * text, anchor="end", size=style.small)
    return picture


def _whole_beam(
    picture: Picture, vernier: Vernier, beam: Scale, reading: float, foot: float
) -> None:
    """The beam from end to end, slim, and a frame around the part magnified below."""
    style, text = picture.style, picture.style.text
    whole = Scale(0.0, vernier.longest, 2.4 * text, picture.width - 2.4 * text)
    y, tall = 3.4 * text, 1.3 * text
    step = 10.0 if vernier.unit == "mm" else 0.5
    picture.rect(
        "whole-beam",
        whole.start - text,
        y - tall,
        whole.end - whole.start + 2 * text,
        1.9 * tall,
        fill=STEEL,
    )
    count = round(vernier.longest / step)
    drawn = [(whole(k * step), y, whole(k * step), y - 0.5 * text) for k in range(count + 1)]
    picture.lines("whole-mark", drawn, stroke_width=style.thin)
    for k in range(0, count + 1, 1 if vernier.unit == "mm" else 2):
        number = k * 10 if vernier.unit == "mm" else k // 2
        picture.label(
            f"{number}",
            whole(k * step),
            y + 0.55 * text,
            anchor="middle",
            size=style.small,
            kind="whole-number",
            halo=False,
        )
    left, right = whole(beam.low), whole(beam.high)
    picture.rect("spot", left, y - 1.25 * tall, right - left, 2.4 * tall, stroke_width=style.thin)
    at = whole(reading)
    half = 0.35 * text
    picture.shape(
        "vernier-zero",
        ((at, y - tall), (at - half, y - tall - text), (at + half, y - tall - text)),
        fill=style.ink,
        stroke="none",
    )
    joins = ((left, y + 1.15 * tall, beam.start, foot), (right, y + 1.15 * tall, beam.end, foot))
    picture.lines("spot-line", joins, stroke_width=style.thin, stroke=style.quiet)


def _beam(picture: Picture, vernier: Vernier, beam: Scale, meet: float) -> None:
    style, text = picture.style, picture.style.text
    lines: dict[str, list[tuple[float, float, float, float]]] = {"beam-mark": [], "beam-long": []}
    lowest = max(0, math.ceil(beam.low / vernier.division))
    for division in range(lowest, math.floor(beam.high / vernier.division) + 1):
        x = beam(division * vernier.division)
        numbered = division % vernier.numbered == 0
        half = vernier.numbered > 4 and division % 5 == 0
        tall = text * (2.4 if numbered else 1.9 if half else 1.4)
        lines["beam-long" if numbered else "beam-mark"].append((x, meet, x, meet - tall))
        if numbered and 2.2 * text < x < picture.width - 2.2 * text:
            picture.label(
                _number(vernier, division),
                x,
                meet - 3.2 * text,
                anchor="middle",
                kind="beam-number",
                halo=False,
            )
    for kind, drawn in lines.items():
        picture.lines(kind, drawn, stroke_width=style.thin)


def _number(vernier: Vernier, division: int) -> str:
    """The beam's numbers: mm in tens; inches whole, and tenths between them."""
    if vernier.unit == "mm":
        return f"{division}"
    whole, tenth = divmod(division // vernier.numbered, 10)
    return f"{whole} in" if tenth == 0 else f"{tenth}"


def _vernier(picture: Picture, vernier: Vernier, beam: Scale, reading: float, meet: float) -> None:
    style, text = picture.style, picture.style.text
    step = vernier.division * (1 - 1 / vernier.lines)
    drawn = []
    for line in range(vernier.lines + 1):
        x = beam(reading + line * step)
        numbered = line % vernier.vernier_numbered == 0
        drawn.append((x, meet, x, meet + text * (2.0 if numbered else 1.3)))
        if numbered:
            number = line // vernier.vernier_numbered * vernier.vernier_number
            picture.label(
                f"{number}",
                x,
                meet + 2.8 * text,
                anchor="middle",
                size=style.small,
                kind="vernier-number",
                halo=False,
            )
    picture.lines("vernier-mark", drawn, stroke_width=style.thin)


def _marks(vernier: Vernier, reading: float) -> str:
    divisions = math.floor(round(reading / vernier.division, 8))
    number, past = divmod(divisions, vernier.numbered)
    named = _number(vernier, number * vernier.numbered)
    where = (
        f"{words.count(past, 'division')} of {vernier.division:g} {vernier.unit} past"
        if past
        else "just past"
        if vernier.line(reading)
        else "on"
    )
    return (
        f"Vernier zero {where} the number {named}. "
        f"Vernier line {vernier.line(reading)} meets a line of the beam."
    )
