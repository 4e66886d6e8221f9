"""A piston lowered by a known depth, the space above it filled from a burette."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.piston import DrawnPiston, draw_pin, draw_piston, drawn_piston
from enginemath.drawing.instruments import burette
from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.scales import DrawingSheet, block, outline, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring import liquid, rig
from enginemath.drawing.pouring.head_on_bench import STRETCHES
from enginemath.formulas.geometry import disc
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 700.0, 640.0
_WALL, _HOLE, _LINER = 0.13, 0.30, 0.12
_OVER_A_DOME = 0.06
"""Chamber, in bore³, whose shape a dome repeats: a common one."""
_OFTEN = {1: "once", 2: "twice"}
_UNDER_THE_PLATE = 0.9
"""How far up to the plate a dome may reach, of the known depth."""


@dataclass(frozen=True)
class KnownDepthView:
    """A piston down a known depth, during the pour.

    Args:
        bore: mm.
        depth: deck to the crown's edge, mm.
        dish: true volume of the crown, cc; negative for a dome.
        reliefs: volume of the valve reliefs, cc.
        poured: what has run in so far, cc.
        reading: of the burette now, mL.
        capacity: of the burette, mL.
        grease: stretches of grease that are laid round the edge, 0 to 5.
        plate: how far the plate is above the deck, mm; 0 when it lies on it.
        crevice: what the gap round the piston holds, cc; it fills where grease is missing.
    """

    bore: float
    depth: float
    poured: float
    reading: float
    dish: float = 0.0
    reliefs: float = 0.0
    capacity: float = 50.0
    grease: int = STRETCHES
    plate: float = 0.0
    crevice: float = 0.0

    @property
    def lost(self) -> float:
        """What is lost in the gap round the piston before the space is full, cc."""
        return 0.0 if self.grease >= STRETCHES else self.crevice

    @property
    def over_crown(self) -> float:
        """What stands over the crown now, cc.

        >>> KnownDepthView(92.0, 12.7, 20.0, 20.0, grease=4, crevice=0.5).over_crown
        19.5
        """
        return min(max(self.poured - self.lost, 0.0), self.space - self.lost)

    @property
    def disc(self) -> float:
        """What a flat piston would take, cc.

        >>> round(KnownDepthView(92.0, 12.7, poured=0, reading=0).disc, 2)
        84.42
        """
        return disc(self.bore, self.depth) / MM3_PER_CC

    @property
    def space(self) -> float:
        """All that there is to fill, cc."""
        return self.disc + self.dish + self.reliefs + self.lost

    @property
    def refilled(self) -> str:
        """How often the burette was filled again, in words; empty where one filling is enough.

        >>> KnownDepthView(92.0, 12.7, poured=93.23, reading=43.23).refilled
        'burette refilled once'
        """
        times = int(self.poured // self.capacity)
        return f"burette refilled {_OFTEN.get(times, f'{times} times')}" if times else ""

    @property
    def full(self) -> bool:
        """Whether the liquid has reached the plate."""
        return self.poured >= self.space - 1e-9


def known_depth(
    view: KnownDepthView,
    *,
    unit: str = "mm",
    tell: bool = True,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw the known-depth method: piston, plate and burette.

    Args:
        view: the pour.
        unit: ``mm`` or ``in``, for the depth and the bore.
        tell: whether volumes are written beside the picture; without it the burette is to be read.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> view = KnownDepthView(92.0, 12.7, poured=93.23, reading=43.23, dish=6.0, reliefs=2.8)
    >>> known_depth(view).title
    'Piston 12.700 mm down: 93.23 cc poured'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    text = style.text
    depth = words.length(view.depth, unit)
    told = f": {words.volume(view.poured)} poured" if tell else ""
    picture = Picture(
        "known-depth",
        width,
        height,
        title=f"Piston {depth} down{told}",
        description=_description(view, unit, tell),
        key=key,
        style=style,
    )
    body = lowered_piston(view)
    half = (0.5 + _WALL) * view.bore
    deep = view.depth + body.length
    room = width - 26.0 * text, 0.47 * height
    scale = preferred(min(room[0] / (2 * half), room[1] / deep))
    deck = height - 3.0 * text - deep * scale
    sheet = DrawingSheet(8.6 * text + room[0] / 2, deck, scale)

    notes = _notes(view, tell)
    _bore(picture, sheet, view, body, half, rig.foot_of(notes, text))
    rig.draw_rig(picture, sheet, view, half, -_HOLE * view.bore)
    left, _ = sheet.at(-half, 0)
    edge = sheet.at(0, view.depth)[1]
    dimension_lines.upright(picture, deck, edge, left - 1.6 * text, f"depth\n{depth}", from_x=left)
    dimension_lines.scale_bar(picture, left, height - 1.2 * text, scale, 0.4 * room[0], unit)
    rig.draw_notes(picture, notes)
    return picture


def lowered_piston(view: KnownDepthView) -> DrawnPiston:
    """The piston drawn for a crown of that volume, under the plate."""
    over = _over_the_dome(view)
    chamber = stand_in_shapes.chamber(over, view.bore)
    return drawn_piston(view.bore, view.dish, view.reliefs, None, None, chamber, over)


def _over_the_dome(view: KnownDepthView) -> float:
    """The chamber whose shape the dome repeats, cc: a lower one where the plate would touch."""
    dome = max(-view.dish, 0.0)
    common = max(_OVER_A_DOME * view.bore**3 / MM3_PER_CC, 2 * dome)
    if not dome:
        return common
    # The dome's height grows with the chamber's volume to the power 2/3.
    height_of_one = stand_in_shapes.chamber(1.0, view.bore).height
    room = _UNDER_THE_PLATE * view.depth
    return max(dome, min(common, (room / (height_of_one * dome ** (1 / 3))) ** 1.5))


def _notes(view: KnownDepthView, tell: bool) -> list[tuple[str, bool]]:
    state, refilled = rig.state(view), [(view.refilled, False)] if view.refilled else []
    if not tell:
        return [(state, True), *refilled]
    shown = [
        *refilled,
        (f"poured {fixed(view.poured, 2)} cc", False),
        (state, False),
        (f"bore area × depth {fixed(view.disc, 2)} cc", False),
    ]
    if view.full:
        crown = view.poured - view.disc
        shown += [
            (f"crown = {fixed(view.poured, 2)} − {fixed(view.disc, 2)}", False),
            (f"= {words.volume(crown)} ({kind_of_crown(crown)})", True),
        ]
    return shown


def kind_of_crown(crown: float) -> str:
    """What a crown's volume makes it, in a word.

    >>> kind_of_crown(8.8), kind_of_crown(-3), kind_of_crown(0)
    ('dish', 'dome', 'flat')
    """
    if abs(crown) < 0.005:
        return "flat"
    return "dish" if crown > 0 else "dome"


def _bore(
    picture: Picture,
    sheet: DrawingSheet,
    view: KnownDepthView,
    body: DrawnPiston,
    half: float,
    notes_end: float,
) -> None:
    """The bore with its piston; the seal's name stands at the seal, or under the notes."""
    style, radius = picture.style, view.bore / 2
    liner = view.depth + body.pin_depth + _LINER * view.bore
    metal = picture.hatch("metal")
    for left in (-half, radius):
        block(picture, sheet, "wall", left, 0.0, half - radius, liner, fill=metal)
    level = liquid.level_over_crown(body, view.depth, min(view.poured, view.space))
    if view.poured > 0:
        top = max(view.depth - level, 0.0)
        fill = picture.hatch("water")
        deep = view.depth - top
        block(picture, sheet, "liquid", -radius, top, view.bore, deep, fill=fill, stroke="none")
    draw_piston(picture, sheet, body, view.depth)
    if level < 0:
        draw_still_empty(picture, sheet, view, body, -level)
    for side in (-1, 1):
        x, y = sheet.at(side * radius, view.depth)
        bead = max(0.018 * view.bore * sheet.scale, 2.0)
        picture.shape(
            "grease",
            ((x, y - 2 * bead), (x, y), (x - side * 2 * bead, y)),
            fill=style.quiet,
            stroke="none",
        )
    draw_pin(picture, sheet, body, view.depth)
    wall, at = sheet.at(radius, view.depth)
    out, _ = sheet.at(half, 0)
    named = at if rig.is_free_beside(picture, out + 1.7 * style.text, "grease seal") else notes_end
    down = max(at, named)
    dimension_lines.leader(
        picture, out + 1.4 * style.text, down, wall - 2, at - 2, run=-0.4 * style.text
    )
    picture.label("grease seal", out + 1.7 * style.text, down, size=style.small)


def draw_still_empty(
    picture: Picture, sheet: DrawingSheet, view: KnownDepthView, body: DrawnPiston, down: float
) -> None:
    """The part of the pockets in the crown that the liquid has not reached."""
    style = picture.style
    pockets = []
    if body.dish:
        share = min(down / body.dish.height, 1.0)
        at_level = body.dish.wide + share * (body.dish.narrow - body.dish.wide)
        low = share * body.dish.height
        corners = (-body.dish.wide, 0.0), (body.dish.wide, 0.0), (at_level, low), (-at_level, low)
        pockets.append(corners)
    if body.reliefs:
        ring = body.reliefs
        share = min(down / ring.depth, 1.0)
        near, far = (end + share * (ring.apex - end) for end in (ring.inner, ring.outer))
        low = share * ring.depth
        for side in (-1, 1):
            rim = (side * ring.inner, 0.0), (side * ring.outer, 0.0)
            pockets.append((*rim, (side * far, low), (side * near, low)))
    for corners in pockets:
        points = [(x, view.depth + y) for x, y in corners]
        outline(picture, sheet, "empty", points, fill=style.paper, stroke_width=style.thin)


def _description(view: KnownDepthView, unit: str, tell: bool) -> str:
    state = ", ".join(filter(None, (rig.state(view), view.refilled)))
    told = (
        f"Bore {words.length(view.bore, unit)}, piston {words.length(view.depth, unit)} below "
        f"the deck, its edge sealed with grease; {state}."
    )
    if tell:
        return (
            f"{told} Poured {words.volume(view.poured)}; bore times depth is "
            f"{words.volume(view.disc)}."
        )
    return f"{told} {burette.marks(view.reading)}"
