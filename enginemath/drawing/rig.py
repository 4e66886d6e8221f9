"""What stands around a pour: the clear plate, the burette above it, and the notes beside it."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.drawing.instruments import burette
from enginemath.drawing.palette import GLASS
from enginemath.drawing.scales import Sheet
from enginemath.drawing.svg import Picture, Point

TUBE = 1.5
"""Inner width of the slim burette, in the height of the type."""


def draw_plate(
    picture: Picture, sheet: Sheet, half_width: float, thick: float, hole: float, level: float
) -> None:
    """A clear plate with a hole to pour through, its underside at a level.

    Args:
        half_width, thick: mm.
        hole: its middle, mm right of the centre line.
        level: of the underside, mm below the sheet's origin.
    """
    gap = 0.035 * half_width
    for left, right in ((-half_width, hole - gap), (hole + gap, half_width)):
        x, y = sheet.at(left, level - thick)
        picture.rect(
            "plate",
            x,
            y,
            (right - left) * sheet.scale,
            thick * sheet.scale,
            fill=GLASS,
            fill_opacity="0.85",
            stroke_width=picture.style.thin,
        )


def draw_burette(
    picture: Picture,
    tip: Point,
    top: float,
    reading: float,
    capacity: float,
    dripping: bool,
    part: str = "chamber",
) -> None:
    """The burette over the hole, and its meniscus magnified at the right.

    Args:
        tip: end of its nozzle, px.
        top: of the glass, px.
        reading: mL.
        capacity: mL.
        dripping: whether a drop falls.
        part: whose colour the liquid has.
    """
    style, text = picture.style, picture.style.text
    x, y = tip
    tube, tap = TUBE * text, y - 3.2 * text
    level = burette.draw_column(picture, x, tube, top, tap, reading, capacity, part)
    half = tube / 2
    funnel = [
        (x - half, tap),
        (x - 3, tap + 0.9 * text),
        (x - 2, y),
        (x + 2, y),
        (x + 3, tap + 0.9 * text),
        (x + half, tap),
    ]
    picture.shape("nozzle", funnel, fill=picture.hatch(part))
    handle = 0.8 * text
    turned = (
        (x, tap + 0.9 * text - handle, x, tap + 0.9 * text + handle)
        if dripping
        else (x - handle, tap + 0.9 * text, x + handle, tap + 0.9 * text)
    )
    picture.circle("tap", x, tap + 0.9 * text, 0.42 * text, fill=style.paper)
    picture.lines("tap", (turned,), stroke_width=2.2 * style.line, stroke_linecap="round")
    if dripping:
        picture.circle("drop", x, y + 5, 2.6, fill=picture.hatch(part), stroke_width=style.thin)
    left, wide = picture.width - 15.5 * text, 14.5 * text
    window = top, top + 17 * text
    burette.draw_window(
        picture, left, window[0], wide, window[1] - window[0], reading, capacity, part
    )
    burette.draw_link(picture, level, x, tube, left, window, burette.first_shown(reading, capacity))


def notes(picture: Picture, lines: Sequence[tuple[str, bool]], top: float) -> None:
    """Lines of text under the magnified meniscus; bold ones hold results."""
    text = picture.style.text
    left = picture.width - 15.5 * text
    for number, (line, bold) in enumerate(lines):
        picture.label(line, left, top + 1.45 * text * number, bold=bold, kind="note")


def state(full: bool) -> str:
    """Whether there is still air under the plate, in words."""
    return "full to the plate" if full else "not full yet"
