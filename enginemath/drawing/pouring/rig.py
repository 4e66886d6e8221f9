"""What stands around a pour: the clear plate, the burette above it, and the notes beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from enginemath.drawing.instruments.burette import Tube, draw_tube, draw_window
from enginemath.drawing.paper.palette import GLASS
from enginemath.drawing.paper.scales import DrawingSheet, block
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width

TUBE = 1.5
"""Inner width of the slim burette, in the height of the type."""
_PLATE = 0.06
"""Thickness of the plate, of the bore."""
_HOLE = 0.035
"""Radius of the hole in the plate, of the plate's half width."""


class DrawnPour(Protocol):
    """What a rig is drawn from: mm and mL."""

    @property
    def bore(self) -> float:
        """How wide the opening under the plate is."""

    @property
    def reading(self) -> float:
        """What the burette reads now."""

    @property
    def capacity(self) -> float:
        """How much the burette holds."""

    @property
    def full(self) -> bool:
        """Whether the liquid has reached the plate."""


def draw_rig(
    picture: Picture,
    sheet: DrawingSheet,
    pour: DrawnPour,
    half_width: float,
    hole: float,
) -> float:
    """Draw the plate at the sheet's origin and the burette over its hole.

    Args:
        half_width: of the plate, mm.
        hole: its middle, mm right of the centre line.

    Returns:
        Height of the plate's upper face, px.
    """
    thick = _PLATE * pour.bore
    _plate(picture, sheet, half_width, thick, hole)
    x, plate_top = sheet.at(hole, -thick)
    _burette(picture, pour, x, plate_top)
    return plate_top


def hole_radius(half_width: float) -> float:
    """Radius of the hole in a plate so wide, mm."""
    return _HOLE * half_width


def _plate(
    picture: Picture, sheet: DrawingSheet, half_width: float, thick: float, hole: float
) -> None:
    """A clear plate with a hole to pour through."""
    gap = hole_radius(half_width)
    glass: dict[str, str | float] = {"fill": GLASS, "fill_opacity": "0.85"}
    glass["stroke_width"] = picture.style.thin
    for left, right in ((-half_width, hole - gap), (hole + gap, half_width)):
        block(picture, sheet, "plate", left, -thick, right - left, thick, **glass)


def _burette(picture: Picture, pour: DrawnPour, x: float, plate_top: float) -> None:
    """The burette over the hole, and its meniscus magnified at the right."""
    text = picture.style.text
    top, tip = 1.4 * text, plate_top - 0.7 * text
    glass_end = tip - 3.2 * text
    tube = Tube(x, TUBE * text, top, glass_end, text, pour.reading, pour.capacity)
    draw_tube(picture, tube)
    _nozzle(picture, tube, tip, dripping=not pour.full)
    draw_window(picture, tube, _beside(picture), top, 14.5 * text, 17 * text)


def _nozzle(picture: Picture, tube: Tube, tip: float, dripping: bool) -> None:
    """The nozzle with its tap, open where a drop falls."""
    style, text, x = picture.style, picture.style.text, tube.x
    liquid = picture.hatch("water")
    half, tap = tube.width / 2, tube.foot + 0.9 * text
    funnel = [(x - half, tube.foot), (x - 3, tap), (x - 2, tip)]
    funnel += [(2 * x - a, y) for a, y in reversed(funnel)]
    picture.shape("nozzle", funnel, fill=liquid)
    handle = 0.8 * text
    turned = (x, tap - handle, x, tap + handle) if dripping else (x - handle, tap, x + handle, tap)
    picture.circle("tap", x, tap, 0.42 * text, fill=style.paper)
    picture.lines("tap", (turned,), stroke_width=2.2 * style.line, stroke_linecap="round")
    if dripping:
        picture.circle("drop", x, tip + 5, 2.6, fill=liquid, stroke_width=style.thin)


def draw_notes(picture: Picture, lines: Sequence[tuple[str, bool]]) -> None:
    """Lines of text under the magnified meniscus; bold ones hold results."""
    text = picture.style.text
    for number, (line, bold) in enumerate(lines):
        y = foot_of(lines[:number], text)
        picture.label(line, _beside(picture), y, bold=bold, kind="note")


def foot_of(lines: Sequence[tuple[str, bool]], text: float) -> float:
    """Where the line after these notes stands, px."""
    return 21.5 * text + 1.45 * text * len(lines)


def is_free_beside(picture: Picture, x: float, label: str) -> bool:
    """Whether a label that begins at a place ends before the notes begin."""
    return x + text_width(label, picture.style.small) < _beside(picture)


def state(pour: DrawnPour) -> str:
    """Whether there is still air under the plate, in words."""
    return "full to the plate" if pour.full else "not full yet"


def _beside(picture: Picture) -> float:
    """Left edge of what stands at the right of the rig, px."""
    return picture.width - 15.5 * picture.style.text
