"""Liquid that ran over the plate: on top of it, down the side and in a puddle beside the head."""

from __future__ import annotations

from enginemath.drawing.paper.scales import Sheet
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.rig import hole_radius

_DEEP, _PUDDLE = 0.35, 1.25
"""Thickness of the layer and width of the puddle, in the height of the type."""


def draw_spill(
    picture: Picture,
    sheet: Sheet,
    half_width: float,
    hole: float,
    *,
    plate_top: float,
    foot: float,
    brimming: bool,
) -> None:
    """Draw what was spilled, from the hole in the plate to the bench; its amount is not to scale.

    Args:
        half_width: of the plate, mm.
        hole: its middle, mm right of the centre line.
        plate_top: height of the plate's upper face, px.
        foot: height of the bench, px.
        brimming: whether the liquid still stands in the hole.
    """
    text = picture.style.text
    edge, plate_foot = sheet.at(-half_width, 0.0)
    near, far = (sheet.at(hole + side * hole_radius(half_width), 0.0)[0] for side in (-1, 1))
    end = far + text if brimming else near
    deep = _DEEP * text
    top, outside, puddle = plate_top - deep, edge - deep, edge - _PUDDLE * text
    look: dict[str, str | float] = {"fill": picture.hatch("chamber")}
    look["stroke_width"] = picture.style.thin
    if brimming:
        picture.rect("brim", near, plate_top, far - near, plate_foot - plate_top, **look)
    on_the_plate = f"M{end:.2f} {plate_top:.2f}Q{end:.2f} {top:.2f} {end - deep:.2f} {top:.2f}"
    over_the_edge = f"L{edge:.2f} {top:.2f}Q{outside:.2f} {top:.2f} {outside:.2f} {plate_top:.2f}"
    down = (
        f"L{outside:.2f} {foot - deep:.2f}Q{puddle:.2f} {foot - deep:.2f} {puddle:.2f} {foot:.2f}"
    )
    back = f"L{edge:.2f} {foot:.2f}L{edge:.2f} {plate_top:.2f}Z"
    picture.path("spill", on_the_plate + over_the_edge + down + back, **look)
    middle = (edge + near) / 2
    picture.label("spilled", middle, top - 0.9 * text, anchor="middle", bold=True, kind="note")
