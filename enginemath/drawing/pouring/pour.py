"""A chamber being filled from a burette through a clear plate; every level follows the pour."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.stand_in_shapes import CutCone
from enginemath.drawing.instruments import burette
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import SCREEN, WARNING, Style
from enginemath.drawing.paper.scales import DrawingSheet, block, outline, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring import liquid, rig
from enginemath.drawing.pouring.rig import hole_radius
from enginemath.formulas.geometry import π
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 640.0, 600.0
_ROOF, _WALL, _HOLE = 0.16, 0.14, 0.60


@dataclass(frozen=True)
class PourView:
    """A chamber on the bench during a pour.

    Args:
        chamber: true volume, cc.
        bore: across the head's face, mm.
        poured: what has run in so far, cc.
        reading: of the burette now, mL.
        start: of the burette at the beginning of this fill, mL.
        capacity: of the burette, mL.
        bubble: air held under the plate, cc.
        plug: whether the spark plug is in its hole.
        grease: whether a thick bead was squeezed into the chamber.
        spilled: what has run over the plate, cc.
    """

    chamber: float
    bore: float
    poured: float
    reading: float
    start: float = 0.0
    capacity: float = 50.0
    bubble: float = 0.0
    plug: bool = True
    grease: bool = False
    spilled: float = 0.0

    @property
    def full(self) -> bool:
        """Whether the liquid has reached the plate."""
        return self.poured >= self.chamber - self.bubble - 1e-9


def pour(
    view: PourView,
    *,
    unit: str = "mm",
    tell: bool = True,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw plate, burette and chamber during a pour.

    Args:
        view: the pour.
        unit: ``mm`` or ``in``, for the scale bar.
        tell: whether readings and volumes are written beside the picture; without it the
            burette is to be read.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> pour(PourView(47.5, 92.0, poured=24.4, reading=25.0, start=0.6)).title
    'Pouring a chamber: 24.40 cc so far'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    title = f"Pouring a chamber: {fixed(view.poured, 2)} cc so far" if tell else "Pouring a chamber"
    picture = Picture(
        "pour",
        width,
        height,
        title=title,
        description=_description(view, tell),
        key=key,
        style=style,
    )
    text = style.text
    cone = stand_in_shapes.chamber(view.chamber, view.bore)
    half = (0.5 + _WALL) * view.bore
    deep = cone.height + _ROOF * view.bore
    room = width - 18.5 * text, 0.40 * height
    scale = preferred(min(room[0] / (2 * half), room[1] / deep))
    face = height - 2.6 * text - deep * scale
    sheet = DrawingSheet(1.5 * text + room[0] / 2, face, scale)

    _head(picture, sheet, view, cone, half)
    hole = -_HOLE * cone.wide
    plate_top = rig.draw_rig(picture, sheet, view, half, hole)
    if view.spilled:
        _, foot = sheet.at(0, deep)
        draw_spill(picture, sheet, half, hole, plate_top=plate_top, foot=foot, brimming=view.full)
    right, _ = sheet.at(half, 0)
    picture.label(
        "clear plate on grease",
        right,
        plate_top - 0.9 * text,
        anchor="end",
        size=style.small,
    )
    left, _ = sheet.at(-half, 0)
    dimension_lines.scale_bar(picture, left, height - 1.2 * text, scale, 0.4 * room[0], unit)
    rig.draw_notes(picture, _notes(view, tell))
    return picture


def _notes(view: PourView, tell: bool) -> list[tuple[str, bool]]:
    state = rig.state(view)
    if not tell:
        return [(state, True)]
    return [
        (f"start {fixed(view.start, 2)} mL", False),
        (f"now {fixed(view.reading, 2)} mL", False),
        (f"this fill {fixed(view.reading - view.start, 2)} cc", True),
        (f"in the chamber {fixed(view.poured, 2)} cc", True),
        *([(f"spilled {fixed(view.spilled, 2)} cc", True)] if view.spilled else []),
        (state, False),
    ]


def _head(
    picture: Picture, sheet: DrawingSheet, view: PourView, cone: CutCone, half: float
) -> None:
    style = picture.style
    floor = cone.height + _ROOF * view.bore
    casting = [
        (-half, 0.0),
        (-cone.wide, 0.0),
        (-cone.narrow, cone.height),
        (cone.narrow, cone.height),
        (cone.wide, 0.0),
        (half, 0.0),
        (half, floor),
        (-half, floor),
    ]
    outline(picture, sheet, "head", casting, fill=picture.hatch("metal"))
    inside = min(view.poured, view.chamber - view.bubble)
    high = liquid.level_in_chamber(cone, max(inside, 0.0))
    if inside > 0:
        radius = cone.narrow + (cone.wide - cone.narrow) * high / cone.height
        level = 0.0 if view.full else cone.height - high
        if view.full:
            radius = cone.wide
        filled = [
            (-radius, level),
            (radius, level),
            (cone.narrow, cone.height),
            (-cone.narrow, cone.height),
        ]
        liquid_fill = picture.hatch("water")
        outline(picture, sheet, "liquid", filled, fill=liquid_fill, stroke_width=style.thin)
    if view.bubble and view.full:
        _bubble(picture, sheet, view, cone)
    if view.grease:
        _grease(picture, sheet, view, cone, half)
    _plug(picture, sheet, view, cone, floor)


def _grease(
    picture: Picture, sheet: DrawingSheet, view: PourView, cone: CutCone, half_width: float
) -> None:
    """A bead under the plate all around the chamber's mouth, too large to overlook, and named
    in the head's wall below it."""
    style, bead = picture.style, 0.035 * view.bore
    for side in (-1, 1):
        mouth = side * cone.wide
        corners = (mouth + side * bead / 2, 0.0), (mouth - side * bead, 0.0), (mouth, bead)
        outline(picture, sheet, "grease", corners, fill=style.quiet, stroke="none")
    edge, foot = sheet.at(-half_width, bead)
    beside, below = edge + 0.4 * style.text, foot + 0.9 * style.text
    picture.label("thick grease", beside, below, size=style.small, kind="note")


def _bubble(picture: Picture, sheet: DrawingSheet, view: PourView, cone: CutCone) -> None:
    """A flat bubble under the plate: half a lens three times as wide as it is deep."""
    depth = (view.bubble * MM3_PER_CC * 6 / (π * 28)) ** (1 / 3)
    x, y = sheet.at(0.35 * cone.wide, 0.0)
    a, b = 3 * depth * sheet.scale, depth * sheet.scale
    drawn = f"M{px(x - a)} {px(y)}Q{px(x)} {px(y + 2 * b)} {px(x + a)} {px(y)}Z"
    picture.path("bubble", drawn, fill=picture.style.paper, stroke_width=picture.style.line)
    picture.label("air", x, y + b + 1.0 * picture.style.text, anchor="middle", kind="note")


def _plug(
    picture: Picture, sheet: DrawingSheet, view: PourView, cone: CutCone, floor: float
) -> None:
    """The spark plug in its hole, or the hole with liquid in it and a drop below it."""
    style, text = picture.style, picture.style.text
    half = min(0.075 * view.bore, 0.6 * cone.narrow)
    wet = picture.hatch("water") if view.poured > 0 else style.paper
    if view.plug:
        kind, name, fill = "plug", "spark plug", style.quiet
    else:
        kind, name, fill = "plug-hole", "open plug hole", wet
    hole = -half, cone.height, 2 * half, floor - cone.height
    block(picture, sheet, kind, *hole, fill=fill, stroke_width=style.thin)
    left, middle = sheet.at(-half, (cone.height + floor) / 2)
    picture.label(name, left - 0.6 * text, middle, anchor="end", size=style.small, kind="note")
    if view.poured > 0 and not view.plug:
        _drop(picture, *sheet.at(0.0, floor), fill=wet)


def _drop(picture: Picture, x: float, y: float, fill: str) -> None:
    """A drop that hangs from a point."""
    wide, foot = 0.55 * picture.style.text, y + 0.75 * picture.style.text
    right = f"Q{px(x + wide)} {px(foot)} {px(x)} {px(foot)}"
    left = f"Q{px(x - wide)} {px(foot)} {px(x)} {px(y)}"
    attributes: dict[str, str | float] = {"stroke": WARNING, "stroke_width": picture.style.line}
    picture.path("drop", f"M{px(x)} {px(y)}{right}{left}Z", fill=fill, **attributes)


def _description(view: PourView, tell: bool) -> str:
    drips = " and drips" if view.poured > 0 else ""
    plug = "the plug is in its hole" if view.plug else f"the plug hole is open{drips}"
    grease = "; grease stands in the chamber" if view.grease else ""
    air = "; air stays under the plate" if view.bubble and view.full else ""
    told = f"A head lies face up under a clear plate; {plug}{grease}; {rig.state(view)}{air}."
    if view.spilled:
        told += " Spilled: liquid lies on the plate, runs off its edge and down the head's side."
    if tell:
        return (
            f"{told} Burette from {fixed(view.start, 2)} to {fixed(view.reading, 2)} mL; "
            f"{words.volume(view.poured)} poured in all."
        )
    return f"{told} {burette.marks(view.reading)}"


_DEEP, _PUDDLE = 0.35, 1.25
"""Thickness of the layer and width of the puddle, in the height of the type."""


def draw_spill(
    picture: Picture,
    sheet: DrawingSheet,
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
    attributes: dict[str, str | float] = {"fill": picture.hatch("water")}
    attributes["stroke_width"] = picture.style.thin
    if brimming:
        picture.rect("brim", near, plate_top, far - near, plate_foot - plate_top, **attributes)
    on_the_plate = f"M{px(end)} {px(plate_top)}Q{px(end)} {px(top)} {px(end - deep)} {px(top)}"
    over_the_edge = f"L{px(edge)} {px(top)}Q{px(outside)} {px(top)} {px(outside)} {px(plate_top)}"
    down = (
        f"L{px(outside)} {px(foot - deep)}Q{px(puddle)} {px(foot - deep)} {px(puddle)} {px(foot)}"
    )
    back = f"L{px(edge)} {px(foot)}L{px(edge)} {px(plate_top)}Z"
    picture.path("spill", on_the_plate + over_the_edge + down + back, **attributes)
    middle = (edge + near) / 2
    picture.label("spilled", middle, top - 0.9 * text, anchor="middle", bold=True, kind="note")
