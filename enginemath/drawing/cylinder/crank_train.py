"""Crank and rod of a large engine: counterweight, pin, shank and both rod ends.

Their lengths are true; widths are common proportions of the bore.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.paper.palette import SATIN, STEEL
from enginemath.drawing.paper.scales import DrawingSheet, outline
from enginemath.drawing.paper.svg import Picture, Point, around

_JOURNAL, _PIN, _BIG_END, _SMALL_END = 0.13, 0.095, 0.165, 0.15
_WEB, _WEB_OPENS = 0.95, 104.0
"""Counterweight's radius, of the throw; half the angle that it fills, degrees."""
_ROUNDED = 0.03
"""Rounding of the web's corners, of the bore."""


@dataclass(frozen=True)
class CrankTrain:
    """Where a crank and its rod stand, mm below the deck and right of the bore's centre line.

    Args:
        bore, throw: mm; the throw is the crank's radius.
        centre: of the crank, below the deck.
        direction: of the crank pin, degrees clockwise from above.
        piston_pin: its place.
        piston_pin_radius: mm.
    """

    bore: float
    throw: float
    centre: float
    direction: float
    piston_pin: Point
    piston_pin_radius: float

    @property
    def crank_pin(self) -> Point:
        """The place of the crank pin."""
        return around(0.0, self.centre, self.throw, self.direction)

    @property
    def journal(self) -> float:
        """Radius of the main journal, mm."""
        return _JOURNAL * self.bore

    @property
    def big_end(self) -> float:
        """Radius of the rod's big end, mm."""
        return _BIG_END * self.bore

    @property
    def web(self) -> float:
        """Radius of the counterweight, mm."""
        return max(_WEB * self.throw, 1.3 * self.journal)

    @property
    def reach(self) -> float:
        """How far anything gets from the crank's centre, mm."""
        return max(self.throw + self.big_end, self.web + _ROUNDED * self.bore)


def draw_crank_train(picture: Picture, sheet: DrawingSheet, train: CrankTrain) -> None:
    """Draw crank, then rod; the piston is drawn over them."""
    _crank(picture, sheet, train)
    _rod(picture, sheet, train)


def _crank(picture: Picture, sheet: DrawingSheet, train: CrankTrain) -> None:
    style, scale = picture.style, sheet.scale
    x, y = sheet.at(0.0, train.centre)
    picture.circle(
        "crank-circle",
        x,
        y,
        train.throw * scale,
        stroke=style.quiet,
        stroke_width=style.thin,
        stroke_dasharray="6 4",
    )
    cheek = [sheet.at(*point) for point in _cheek(train)]
    soft = 2 * _ROUNDED * train.bore * scale
    picture.shape("crank", cheek, fill=style.ink, stroke_width=soft + 2 * style.line)
    picture.shape("crank-body", cheek, fill=SATIN, stroke=SATIN, stroke_width=soft)
    picture.circle("crank-journal", x, y, train.journal * scale, fill=style.paper)
    picture.lines("centre", ((x - 7, y, x + 7, y), (x, y - 7, x, y + 7)), stroke_width=style.thin)


def _cheek(train: CrankTrain) -> list[Point]:
    """The web's outline less its rounding: up to the pin, and the counterweight across from it."""
    soft = _ROUNDED * train.bore
    web, pin = train.web - soft, 1.25 * _PIN * train.bore - soft / 2
    waist = max(1.15 * train.journal - soft, 0.6 * web)
    starts = _WEB_OPENS
    arc = [_turned(train, web, starts + step * (360 - 2 * starts) / 20) for step in range(21)]
    shoulder = [_turned(train, waist, angle) for angle in (74.0, 360 - 74.0)]
    sides = [_beside(train, side * pin, train.throw + 0.4 * pin) for side in (1, -1)]
    return [sides[0], shoulder[0], *arc, shoulder[1], sides[1]]


def _turned(train: CrankTrain, radius: float, angle: float) -> Point:
    """A point so many degrees on from the crank pin."""
    return around(0.0, train.centre, radius, train.direction + angle)


def _beside(train: CrankTrain, across: float, out: float) -> Point:
    """A point out along the throw and across it."""
    x, y = around(0.0, train.centre, out, train.direction)
    i, j = around(0.0, 0.0, across, train.direction + 90)
    return x + i, y + j


def _rod(picture: Picture, sheet: DrawingSheet, train: CrankTrain) -> None:
    style, scale, bore = picture.style, sheet.scale, train.bore
    start, end = train.piston_pin, train.crank_pin
    long = math.dist(start, end)
    along = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    aside = along[1], -along[0]

    def at(out: float, across: float) -> Point:
        return (
            start[0] + out * along[0] + across * aside[0],
            start[1] + out * along[1] + across * aside[1],
        )

    small, big = 0.075 * bore, 0.12 * bore
    shank = [at(0, small), at(0, -small), at(long, -big), at(long, big)]
    outline(picture, sheet, "rod", shank, fill=STEEL)
    near, far = 1.35 * _SMALL_END * bore, long - 1.3 * train.big_end
    if far - near > 0.1 * bore:
        taper = (big - small) / long
        narrow = [
            at(out, side * 0.45 * (small + taper * out))
            for out, side in ((near, 1), (near, -1), (far, -1), (far, 1))
        ]
        outline(
            picture, sheet, "rod-waist", narrow,
            fill=SATIN, stroke=style.quiet, stroke_width=style.thin,
        )  # fmt: skip
    bolts = [at(long, side * 0.93 * train.big_end) for side in (1, -1)]
    for x, y in bolts:
        _bolt(picture, sheet, (x, y), along, aside, bore)
    for kind, (x, y), radius in (
        ("rod-end", start, _SMALL_END * bore),
        ("big-end", end, train.big_end),
    ):
        px, py = sheet.at(x, y)
        picture.circle(kind, px, py, radius * scale, fill=STEEL)
    parting = [at(long, side * train.big_end) for side in (1, -1)]
    (a, b), (c, d) = (sheet.at(*point) for point in parting)
    picture.lines("parting", ((a, b, c, d),), stroke_width=style.thin)
    px, py = sheet.at(*end)
    picture.circle("crank-pin", px, py, _PIN * bore * scale, fill=style.paper)


def _bolt(
    picture: Picture, sheet: DrawingSheet, at: Point, along: Point, aside: Point, bore: float
) -> None:
    """A rod bolt's shoulder, across the parting of the big end."""
    long, wide = 0.075 * bore, 0.032 * bore
    corners = [
        (at[0] + i * long * along[0] + j * wide * aside[0],
         at[1] + i * long * along[1] + j * wide * aside[1])
        for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]  # fmt: skip
    outline(picture, sheet, "rod-bolt", corners, fill=STEEL)
