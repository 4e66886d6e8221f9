"""A dial indicator with a counter of whole turns."""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.paper.handles import Hold
from enginemath.drawing.paper.palette import SATIN, SCREEN, STEEL, Style
from enginemath.drawing.paper.svg import Picture, around

WIDTH, HEIGHT = 420.0, 480.0
_GEARED = 2.0
"""How far the hand goes for one turn, in the height of the type; the plunger itself goes less."""


@dataclass(frozen=True)
class Face:
    """How an indicator is divided: travel of one turn and its divisions, turns of the counter."""

    unit: str
    turn: float
    division: str
    turns: int = 10
    divisions: int = 100

    def hand(self, reading: float) -> float:
        """Divisions at the long hand.

        >>> MM.hand(3.27)
        27.0
        """
        return round(reading / self.turn % 1 * self.divisions, 6) % self.divisions

    def counted(self, reading: float) -> float:
        """Turns at the counter's hand, with their fraction."""
        return round(reading / self.turn, 8) % self.turns


MM = Face("mm", 1.0, "0.01 mm")
INCH = Face("in", 0.1, "0.001 in")
FACES = {"mm": MM, "in": INCH}


def dial_indicator(
    reading: float,
    unit: str = "mm",
    *,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a dial indicator: 0.01 mm and 1 mm a turn, or 0.001 in and 0.100 in a turn.

    Args:
        reading: travel of the plunger from zero, in the unit, not negative.
        unit: ``mm`` or ``in``.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> dial_indicator(3.27).description
    'Divisions of 0.01 mm. Long hand on 27 of 100; counter hand between 3 and 4.'
    """
    face = FACES[unit]
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "dial-indicator",
        width,
        height,
        title="Dial indicator to be read",
        description=_marks(face, reading),
        key=key,
        style=style,
    )
    text = style.text
    radius = min(width, height) / 2 - 1.6 * text
    x, y = width / 2, radius + 1.2 * text
    stem = 0.9 * text
    picture.rect(
        "stem", x - stem, y + radius - 4, 2 * stem, height - y - radius - 1.6 * text, fill=SATIN
    )
    picture.rect("plunger", x - 0.4 * stem, height - 2.0 * text, 0.8 * stem, 1.6 * text, fill=STEEL)
    picture.circle("bezel", x, y, radius, fill=SATIN, stroke_width=1.4 * style.line)
    picture.circle("face", x, y, 0.93 * radius, fill=style.paper)
    _ring(picture, x, y, 0.90 * radius, face.divisions)
    small_y, small = y + 0.38 * radius, 0.22 * radius
    picture.circle("counter", x, small_y, small, stroke_width=style.thin)
    _counter(picture, x, small_y, 0.92 * small, face)
    corner = width - 0.8 * text, height - 1.0 * text
    picture.label(f"division {face.division}", *corner, anchor="end", bold=True)
    _hand(
        picture, "counter-hand", x, small_y, 0.86 * small, 36 * face.counted(reading), 0.09 * small
    )
    _hand(picture, "long-hand", x, y, 0.86 * radius, 3.6 * face.hand(reading), 0.022 * radius)
    picture.circle("boss", x, y, 0.045 * radius, fill=style.ink)
    picture.place_of("small hand", x, small_y, 1.6 * small)
    tip = around(x, y, 0.78 * radius, 3.6 * face.hand(reading))
    picture.place_of("long hand", *tip, 0.2 * radius)
    picture.hold = Hold(x, height - 1.2 * text, (0.0, -_GEARED * text / face.turn))
    return picture


def _ring(picture: Picture, x: float, y: float, radius: float, divisions: int) -> None:
    style = picture.style
    lines: dict[str, list[tuple[float, float, float, float]]] = {"one": [], "five": [], "ten": []}
    for division in range(divisions):
        kind, share = (
            ("ten", 0.86)
            if division % 10 == 0
            else ("five", 0.90)
            if division % 5 == 0
            else ("one", 0.94)
        )
        turn = 360 * division / divisions
        lines[kind].append((*around(x, y, radius, turn), *around(x, y, share * radius, turn)))
        if division % 10 == 0:
            number_x, number_y = around(x, y, 0.76 * radius, turn)
            picture.label(
                f"{division}", number_x, number_y, anchor="middle", kind="number", halo=False
            )
    for kind, drawn in lines.items():
        picture.lines(
            f"mark-{kind}", drawn, stroke_width=style.thin * (1 if kind == "one" else 1.5)
        )


def _counter(picture: Picture, x: float, y: float, radius: float, face: Face) -> None:
    style = picture.style
    turns = [360 * k / face.turns for k in range(face.turns)]
    picture.lines(
        "counter-mark",
        [(*around(x, y, radius, t), *around(x, y, 0.84 * radius, t)) for t in turns],
        stroke_width=style.thin,
    )
    for number in range(0, face.turns, 2):
        at = around(x, y, 1.3 * radius, 360 * number / face.turns)
        picture.label(
            f"{number}",
            *at,
            anchor="middle",
            size=picture.style.small,
            kind="counter-number",
            halo=False,
        )


def _hand(
    picture: Picture, kind: str, x: float, y: float, long: float, direction: float, half: float
) -> None:
    """A slender hand with a short tail, its tip on the scale."""
    tip = around(x, y, long, direction)
    tail = around(x, y, 0.1 * long, direction + 180)
    sides = [around(x, y, half, direction + turn) for turn in (90, -90)]
    picture.shape(kind, (tip, sides[0], tail, sides[1]), fill=picture.style.ink, stroke="none")


def _marks(face: Face, reading: float) -> str:
    hand, counted = face.hand(reading), face.counted(reading)
    on = f"on {hand:g} of" if hand == int(hand) else f"between {int(hand)} and {int(hand) + 1} of"
    whole = math.floor(counted)
    counter = (
        f"on {whole}" if counted == whole else f"between {whole} and {(whole + 1) % face.turns}"
    )
    return f"Divisions of {face.division}. Long hand {on} {face.divisions}; counter hand {counter}."
