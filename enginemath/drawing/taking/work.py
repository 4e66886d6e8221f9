"""The work on which a reading is taken: the block with its piston, the head, a piston alone."""

from __future__ import annotations

import math

from enginemath.drawing.paper.palette import STEEL
from enginemath.drawing.paper.svg import Picture, Point

MIDDLE, DECK, FOOT = 322.0, 226.0, 462.0
"""The cylinder's axis, the deck and where the picture fades out, px."""
HALF, WALL = 165.0, 52.0
"""Half the bore and the metal beside it, px."""
OUTSIDE = HALF + WALL
_CROWN = ((-80.0, 0.0), (-58.0, 24.0), (58.0, 24.0), (80.0, 0.0))
"""The dish."""


def block(
    picture: Picture,
    edge: float,
    *,
    deck: float = DECK,
    tilt: float = 0.0,
    water: float | None = None,
) -> None:
    """Block and piston, cut open; the piston's edge stands at a height.

    Args:
        edge: y of the piston's edge.
        deck: y of the deck.
        tilt: of the piston on its pin, degrees.
        water: y of the water's surface above the piston; None without.
    """
    picture.open_window(0, 0, picture.width, FOOT)
    if water is not None:
        under = [(MIDDLE - HALF, water), (MIDDLE + HALF, water), (MIDDLE + HALF, edge)]
        dish = [(MIDDLE + x, edge + y) for x, y in reversed(_CROWN)]
        picture.shape(
            "water",
            [*under, *dish, (MIDDLE - HALF, edge)],
            fill=picture.hatch("water"),
            stroke="none",
        )
    _piston(picture, edge, tilt)
    for side in (-1, 1):
        left = MIDDLE + HALF if side > 0 else MIDDLE - OUTSIDE
        picture.rect("wall", left, deck, WALL, 420, fill=picture.hatch("metal"))
    picture.close_window()
    picture.fade(0, FOOT - 50, MIDDLE + OUTSIDE + 80, 51)


def _piston(picture: Picture, edge: float, tilt: float) -> None:
    turn = math.radians(tilt)

    def at(x: float, y: float) -> Point:
        return (
            MIDDLE + x * math.cos(turn) - y * math.sin(turn),
            edge + x * math.sin(turn) + y * math.cos(turn),
        )

    side, inner = HALF - 1, HALF - 26
    outline = [
        *((-side, 0.0), *_CROWN, (side, 0.0), (side, 400.0), (inner, 400.0), (inner, 92.0)),
        *((82.0, 58.0), (-82.0, 58.0), (-inner, 92.0), (-inner, 400.0), (-side, 400.0)),
    ]
    picture.shape("piston", [at(*each) for each in outline], fill=picture.hatch("metal"))
    for ring in (20, 36, 52):
        for side_of in (-1, 1):
            x, y = at(side_of * (HALF - 6), ring)
            picture.rect("ring", x - 6, y - 3, 12, 6, fill=picture.style.ink)
    x, y = at(0, 118)
    picture.rect("rod", x - 26, y, 52, 400, fill=STEEL)
    picture.circle("rod-eye", x, y, 42, fill=STEEL)
    picture.circle("pin", x, y, 28, fill=picture.style.paper)
    if y < FOOT - 30:
        picture.label("pin", x, y, anchor="middle", halo=False)


def head(picture: Picture, filled: bool, face: float = DECK) -> None:
    """A head on the bench, chamber up, with valve and plug in."""
    deep = 100.0
    outline = [(-OUTSIDE, 0), (-140, 0), (-92, deep), (92, deep), (140, 0), (OUTSIDE, 0),
               (OUTSIDE, 190), (-OUTSIDE, 190)]  # fmt: skip
    picture.shape("head", [(MIDDLE + x, face + y) for x, y in outline], fill=picture.hatch("metal"))
    bowl = [(MIDDLE + x, face + y) for x, y in ((-140, 0), (-92, deep), (92, deep), (140, 0))]
    picture.shape("chamber", bowl, fill=picture.hatch("water" if filled else "chamber"))
    roof = face + deep
    disc = [(16, 0), (80, 0), (70, 12), (26, 12)]
    picture.shape("valve", [(MIDDLE + x, roof + y) for x, y in disc], fill=STEEL)
    picture.rect("stem", MIDDLE + 44, roof + 12, 8, 78, fill=STEEL)
    picture.rect("plug", MIDDLE - 66, roof - 10, 24, 100, fill=picture.style.paper)
    picture.label(
        "valves and plug in", MIDDLE, face + 212, anchor="middle", fill=picture.style.quiet, size=14
    )


def piston_alone(
    picture: Picture, x: float, top: float, *, crown: str = "dish", half: float = 150.0
) -> None:
    """A piston out of the engine, cut open: its crown, its rings' grooves, its pin."""
    outline = {
        "dish": [(-80, 0), (-58, 26), (58, 26), (80, 0)],
        "dome": [(-90, 0), (-52, -44), (52, -44), (90, 0)],
        "reliefs": [(-104, 0), (-96, 16), (-34, 16), (-26, 0),
                    (26, 0), (34, 16), (96, 16), (104, 0)],
        "flat": [],
    }[crown]  # fmt: skip
    shape = [(-half, 0), *outline, (half, 0), (half, 190), (half - 24, 190), (half - 24, 92),
             (74, 62), (-74, 62), (24 - half, 92), (24 - half, 190), (-half, 190)]  # fmt: skip
    picture.shape(
        "piston", [(x + across, top + down) for across, down in shape], fill=picture.hatch("metal")
    )
    for ring in (30, 46, 62):
        for side in (-1, 1):
            picture.rect(
                "groove", x + side * (half - 6) - 6, top + ring - 4, 12, 8, fill=picture.style.paper
            )
    picture.circle("pin", x, top + 122, 28, fill=picture.style.paper)
    if crown == "dome":
        dome = [(x + across, top + down) for across, down in outline]
        picture.shape("crown", dome, fill=picture.hatch("crown"))
