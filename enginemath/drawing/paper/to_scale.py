"""Shapes given in mm, drawn where a sheet of paper has them."""

from __future__ import annotations

from collections.abc import Iterable

from enginemath.drawing.paper.scales import Sheet
from enginemath.drawing.paper.svg import Picture, Point


def block(
    picture: Picture,
    sheet: Sheet,
    kind: str,
    left: float,
    top: float,
    width: float,
    height: float,
    **look: str | float,
) -> None:
    """A rectangle from its upper left corner, mm right of and below the sheet's origin."""
    x, y = sheet.at(left, top)
    picture.rect(kind, x, y, width * sheet.scale, height * sheet.scale, **look)


def outline(
    picture: Picture, sheet: Sheet, kind: str, points: Iterable[Point], **look: str | float
) -> None:
    """A closed outline through points, each in mm right of and below the sheet's origin."""
    picture.shape(kind, [sheet.at(*point) for point in points], **look)
