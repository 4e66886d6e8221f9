"""Sleeve and thimble of a measuring screw, unrolled onto the paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from enginemath.drawing.instruments.screws import Screw, visible
from enginemath.drawing.paper.handles import Hold
from enginemath.drawing.paper.palette import SATIN, STEEL
from enginemath.drawing.paper.svg import Picture, Point

DIVISION = 1.28
"""The distance from one thimble line to the next, in the height of the type."""
_CUT = 0.3
"""What is left clear of thimble lines at either side of what is in sight, in divisions."""


@dataclass(frozen=True)
class Form:
    """How a tool carries its screw. Lengths are in the height of the type.

    Args:
        upright: whether it stands with the thimble above; else it lies, the thimble at the right.
        sleeve_number: from the datum line to the sleeve's numbers.
        clear: what a sleeve number needs between itself and the thimble's edge.
        thimble: its length.
        fifth, other: length of each fifth thimble line and of the lines between.
        thimble_number: from the thimble's edge to its numbers.
        grip: from the thimble's edge to each line of the grip.
    """

    upright: bool
    sleeve_number: float
    clear: float
    thimble: float
    fifth: float
    other: float
    thimble_number: float
    grip: tuple[float, ...]


LYING = Form(False, 2.2, 0.35, 11.0, 2.6, 1.6, 3.0, (6.6, 7.2, 7.8, 8.4, 9.0, 9.6))
UPRIGHT = Form(True, 1.9, 0.6, 8.0, 2.2, 1.4, 2.9, (4.6, 5.2, 5.8, 6.4, 7.0))


@dataclass(frozen=True)
class Barrel:
    """A screw at a reading.

    Args:
        screw: how it is divided.
        reading: on the sleeve's scale, in the screw's unit.
        form: how it is carried.
        datum: where the datum line runs, px.
        zero: where the sleeve's zero line stands along the tool, px.
        end: where the sleeve ends in the tool's body, px.
        scale: px along the tool for one unit.
        division: px from one thimble line to the next.
        behind, ahead: divisions in sight on the two sides of the datum line; the thimble's
            numbers grow from the one to the other.
    """

    screw: Screw
    reading: float
    form: Form
    datum: float
    zero: float
    end: float
    scale: float
    division: float
    behind: float
    ahead: float

    def along(self, reading: float) -> float:
        """Px along the tool where a reading stands on the sleeve."""
        return self.zero + reading * self.scale

    @property
    def edge(self) -> float:
        """The thimble's edge, px along the tool."""
        return self.along(self.reading)

    def on_thimble(self, away: float) -> float:
        """Px along the tool for px from the thimble's edge towards its grip."""
        return self.edge - away if self.form.upright else self.edge + away

    def at(self, along: float, around: float) -> Point:
        """The point at px along the tool, and px around it from the datum line."""
        return (self.datum + around, along) if self.form.upright else (along, self.datum - around)


def draw_sleeve(picture: Picture, barrel: Barrel, lines: Iterable[int]) -> None:
    """Draw the sleeve as far as the thimble's edge.

    Args:
        lines: those in sight, counted from zero.
    """
    style, text, screw = picture.style, picture.style.text, barrel.screw
    near, far = sorted((barrel.end, barrel.edge))
    _block(picture, "sleeve", barrel, near, far, STEEL)
    picture.lines("datum", ((*barrel.at(near, 0), *barrel.at(far, 0)),))
    drawn = []
    for line in lines:
        along = barrel.along(line * screw.pitch)
        numbered = line % screw.numbered == 0
        side = screw.side(line) * text
        tall = 1.5 if numbered else 1.0
        drawn.append((*barrel.at(along, 0), *barrel.at(along, side * tall)))
        if numbered and abs(along - barrel.edge) > barrel.form.clear * text:
            picture.label(
                f"{line // screw.numbered * screw.number_step}",
                *barrel.at(along, side * barrel.form.sleeve_number),
                anchor="start" if barrel.form.upright else "middle",
                kind="sleeve-number",
                halo=False,
            )
    picture.lines("sleeve-mark", drawn, stroke_width=style.thin)


def draw_thimble(picture: Picture, barrel: Barrel) -> None:
    """Draw the thimble with its lines and its grip."""
    style, text, screw, form = picture.style, picture.style.text, barrel.screw, barrel.form
    _block(picture, "thimble", barrel, barrel.edge, barrel.on_thimble(form.thimble * text), SATIN)
    drawn = []
    turned = screw.turned(barrel.reading)
    low, high = _CUT - barrel.behind, barrel.ahead - _CUT
    for number, past in visible(turned, low, high, screw.divisions):
        around = past * barrel.division
        fifth = number % 5 == 0
        long = barrel.on_thimble((form.fifth if fifth else form.other) * text)
        drawn.append((*barrel.at(barrel.edge, around), *barrel.at(long, around)))
        if fifth:
            picture.label(
                f"{number}",
                *barrel.at(barrel.on_thimble(form.thimble_number * text), around),
                anchor="middle" if form.upright else "start",
                kind="thimble-number",
                halo=False,
            )
    picture.lines("thimble-mark", drawn, stroke_width=style.thin)
    behind, ahead = 4 - barrel.behind * barrel.division, barrel.ahead * barrel.division - 4
    grip = []
    for away in form.grip:
        along = barrel.on_thimble(away * text)
        start, end = sorted((barrel.at(along, behind), barrel.at(along, ahead)))
        grip.append((*start, *end))
    picture.lines("grip", grip, stroke=style.quiet, stroke_width=style.thin)


def mark_barrel(picture: Picture, barrel: Barrel) -> None:
    """Where sleeve and thimble are read, and where the thimble is taken by hand."""
    text, form = picture.style.text, barrel.form
    picture.place_of("sleeve", *barrel.at(barrel.on_thimble(-1.0 * text), 0), 3.0 * text)
    picture.place_of("thimble", *barrel.at(barrel.on_thimble(1.8 * text), 0), 3.0 * text)
    along = barrel.on_thimble((form.grip[0] + form.grip[-1]) / 2 * text)
    pull = (0.0, barrel.scale) if form.upright else (barrel.scale, 0.0)
    picture.hold = Hold(*barrel.at(along, 0), pull)


def say_unrolled(picture: Picture) -> None:
    """Say at the lower right what the drawing does not show as it is."""
    text = picture.style.text
    picture.label(
        "sleeve and thimble drawn unrolled",
        picture.width - 0.8 * text,
        picture.height - 1.0 * text,
        anchor="end",
        size=picture.style.small,
    )


def _block(
    picture: Picture, kind: str, barrel: Barrel, start: float, end: float, fill: str
) -> None:
    """All that is in sight around the tool, from one place along it to another."""
    corners = (
        barrel.at(start, -barrel.behind * barrel.division),
        barrel.at(end, barrel.ahead * barrel.division),
    )
    (left, right), (top, foot) = map(sorted, zip(*corners, strict=True))
    picture.rect(kind, left, top, right - left, foot - top, fill=fill)
