"""One picture for each kind of reading: the work, the tool on it, and the place that is read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from enginemath.drawing.paper.dimension_lines import gap_upright
from enginemath.drawing.paper.palette import PAGE, SATIN, STEEL, WARNING, Style
from enginemath.drawing.paper.svg import Picture, around
from enginemath.drawing.taking import tools, work
from enginemath.drawing.taking.work import DECK, FOOT, HALF, MIDDLE, OUTSIDE
from enginemath.units import MM_PER_INCH

WIDTH, HEIGHT = 640.0, 478.0
_SCALE = 3.3
"""px for a millimetre, where a length is drawn to scale."""
_ACROSS = (MIDDLE - OUTSIDE + 8, MIDDLE + OUTSIDE - 8)
"""Ends of what lies across the bore."""


@dataclass(frozen=True)
class Taken:
    """A reading as it is being taken.

    Args:
        what: as the table of readings calls it.
        box: which number of it: "reading", "depth", "start" or "end".
        place: where, as the table calls it; empty where there is one place.
        value: mm or cc; None before anything is typed.
        shown: the number as it was typed, with its unit; "?" before.
        unit: "in" or "mm", of a dial's face.
        other: of a bore, what the others say, mm: where the gauge was set to zero.
    """

    what: str
    box: str = "reading"
    place: str = ""
    value: float | None = None
    shown: str = "?"
    unit: str = "mm"
    other: float | None = None


def taking(taken: Taken, title: str, *, key: str | None = None, style: Style = PAGE) -> Picture:
    """Draw where a reading is taken, and with what.

    Args:
        taken: the reading.
        title: what it is, with the tool, in words.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> taking(Taken("bore", value=92.0, shown="92.00 mm"), "Bore, with the bore gauge").description
    '92.00 mm'
    """
    picture = Picture(
        "taking", WIDTH, HEIGHT, title=title, description=taken.shown, key=key, style=style
    )
    draw_taking(picture, taken)
    return picture


def draw_taking(picture: Picture, taken: Taken) -> None:
    """Draw it into a larger picture, at its upper left."""
    _SCENES[taken.what](picture, taken)


def _down(taken: Taken, low: float, high: float, without: float) -> float:
    """How far below the deck, px: to scale within what the picture has room for."""
    mm = without if taken.value is None else taken.value
    return max(low, min(high, mm * _SCALE))


# The piston and the deck


def _deck_clearance(picture: Picture, taken: Taken) -> None:
    side = 1 if taken.place.startswith(("right", "rear")) else -1
    edge = DECK + _down(taken, -16, 22, 0.5)
    x, other = MIDDLE + side * 122, MIDDLE - side * 122
    work.block(picture, edge, tilt=side * 0.25)
    left, wide = MIDDLE - OUTSIDE + 8, 2 * OUTSIDE - 16
    bridge = f"M{left} {DECK - 1}v-38h{wide}v38h-26v-22h{52 - wide}v22z"
    picture.path("bridge", bridge, fill=SATIN)
    picture.rect("stem", x - 11, DECK - 76, 22, 46, fill=picture.style.paper)
    picture.lines("plunger", [(x, DECK - 30, x, edge - 5)], stroke_width=6)
    picture.shape(
        "plunger-tip",
        [(x, edge), (x - 4, edge - 4), (x - 4, edge - 9), (x + 4, edge - 9), (x + 4, edge - 4)],
        fill=picture.style.ink,
        stroke="none",
    )
    turns = None if taken.value is None else taken.value / _one_turn(taken.unit)
    tools.dial(picture, x, 88, 74, turns, '0.001"' if taken.unit == "in" else "0.01 mm")
    picture.lines("other-side", [(other, DECK - 62, other, DECK - 42)], stroke_dasharray="3 3")
    words = "the other side" if taken.place else "and there"
    picture.label(words, other, DECK - 72, anchor="middle", size=13, fill=picture.style.quiet)
    tools.pill(picture, taken.shown, other, 60)


def _one_turn(unit: str) -> float:
    return 0.1 * MM_PER_INCH if unit == "in" else 1.0


def _depth_at_bottom(picture: Picture, taken: Taken) -> None:
    edge = DECK + _down(taken, 150, 190, 60)
    work.block(picture, edge)
    tools.depth_gauge(picture, MIDDLE + 104, DECK, edge, _ACROSS)
    _depth(picture, taken, edge, MIDDLE - 60)


def _depth(picture: Picture, taken: Taken, edge: float, x: float) -> None:
    gap_upright(picture, DECK, edge, x, from_x=x + 30)
    if edge - DECK > 60:
        tools.pill(picture, taken.shown, x, (DECK + edge) / 2)
    else:
        tools.pill(picture, taken.shown, MIDDLE - 40, DECK - 60)


def _known_depth(picture: Picture, taken: Taken) -> None:
    if taken.box == "depth":
        edge = DECK + _down(taken, 22, 110, 9)
        work.block(picture, edge)
        tools.depth_gauge(picture, MIDDLE + 104, DECK, edge, _ACROSS)
        _depth(picture, taken, edge, MIDDLE - 118)
        return
    work.block(picture, DECK + 44, water=DECK if _is_poured(taken) else DECK + 52)
    picture.lines(
        "grease",
        [(MIDDLE + side * (HALF - 1), DECK + 34, MIDDLE + side * (HALF - 1), DECK + 50)
         for side in (-1, 1)],
        stroke=WARNING,
        stroke_width=5,
    )  # fmt: skip
    picture.label("grease at the edge", MIDDLE + 96, DECK - 60, size=13,
                  fill=picture.style.quiet)  # fmt: skip
    picture.lines("leader", [(MIDDLE + 130, DECK - 50, MIDDLE + HALF - 4, DECK + 36)],
                  stroke_width=1)  # fmt: skip
    _pour(picture, taken)


def _is_poured(taken: Taken) -> bool:
    """Whether the space is full: at the end, once that is read."""
    return taken.box != "start" and taken.value is not None


def _pour(picture: Picture, taken: Taken, tip: float = DECK - 14) -> None:
    tools.plate(picture, MIDDLE - OUTSIDE + 18, MIDDLE + OUTSIDE - 18, DECK)
    tools.burette(picture, MIDDLE, tip, taken.value)
    tools.pill(picture, taken.shown, MIDDLE - 120, 96)
    said = "before the tap is opened" if taken.box == "start" else "after the pour"
    picture.label(said, MIDDLE - 120, 126, anchor="middle", size=13, fill=picture.style.quiet)


def _bore(picture: Picture, taken: Taken) -> None:
    heights = {"top": 262.0, "middle": 325.0, "bottom": 388.0}
    near = next((name for name in heights if taken.place.startswith(name)), "middle")
    y = heights[near]
    work.block(picture, 446)
    for name, level in heights.items():
        if name != near:
            picture.lines(
                "height", [(MIDDLE - HALF, level, MIDDLE + HALF, level)],
                stroke=picture.style.quiet, stroke_dasharray="4 5",
            )  # fmt: skip
            picture.label(name, MIDDLE + HALF - 10, level - 11, anchor="end", size=13,
                          fill=picture.style.quiet)  # fmt: skip
    picture.lines("handle", [(MIDDLE, y, MIDDLE, 132)], stroke_width=15)
    picture.lines("handle", [(MIDDLE, y, MIDDLE, 132)], stroke=SATIN, stroke_width=12)
    picture.rect("gauge", MIDDLE - HALF + 1, y - 7, 2 * HALF - 2, 14, fill=SATIN)
    picture.rect("gauge-body", MIDDLE - 38, y - 13, 76, 26, fill=SATIN)
    for side in (-1, 1):
        picture.circle("tip", MIDDLE + side * (HALF - 7), y, 7, fill=picture.style.ink)
    off = None
    if taken.value is not None and taken.other is not None:
        off = (taken.value - taken.other) / _one_turn(taken.unit)
    tools.dial(picture, MIDDLE, 82, 62, off, "")
    tools.pill(picture, taken.shown, MIDDLE + 95, y - 30 if near != "top" else y + 32)


def _stroke(picture: Picture, taken: Taken) -> None:
    bottom, top = DECK + 178, DECK + 4
    work.block(picture, bottom)
    tools.depth_gauge(picture, MIDDLE + 104, DECK, bottom, _ACROSS)
    picture.lines(
        "piston-at-the-top", [(MIDDLE - HALF, top, MIDDLE + HALF, top)], stroke_dasharray="9 4"
    )
    picture.label("edge at the top", MIDDLE - 10, top + 14, anchor="middle", size=13,
                  fill=picture.style.quiet)  # fmt: skip
    gap_upright(picture, top, bottom, MIDDLE - 90, from_x=MIDDLE - 60)
    tools.pill(picture, taken.shown, MIDDLE - 90, (top + bottom) / 2)


# The head, the gasket


def _chamber(picture: Picture, taken: Taken) -> None:
    work.head(picture, filled=_is_poured(taken))
    _pour(picture, taken)


def _prechamber(picture: Picture, taken: Taken) -> None:
    """A head of a diesel: flat, its prechamber behind a throat, the plug in."""
    face = DECK
    picture.rect("head", MIDDLE - OUTSIDE, face, 2 * OUTSIDE, 210, fill=picture.hatch("metal"))
    fill = picture.hatch("water") if _is_poured(taken) else picture.style.paper
    picture.path("throat", f"M{MIDDLE - 9} {face}v46h18v-46z", fill=fill)
    picture.circle("prechamber", MIDDLE, face + 84, 46, fill=fill)
    picture.path("throat-mouth", f"M{MIDDLE - 8} {face + 1}v44h16v-44z", fill=fill, stroke="none")
    picture.rect("plug", MIDDLE + 40, face + 72, 120, 22, fill=STEEL)
    picture.label("glow plug and injector in", MIDDLE, face + 230, anchor="middle", size=13,
                  fill=picture.style.quiet)  # fmt: skip
    _pour(picture, taken)


def _plug_hole(picture: Picture, taken: Taken) -> None:
    face, edge = DECK + 60, DECK + 66
    work.block(picture, edge, deck=face)
    roof = [(HALF, 0), (112, -56), (14, -56), (14, -106)]
    for side in (-1, 1):
        metal = [*roof, (OUTSIDE, -106), (OUTSIDE, 0)]
        picture.shape(
            "head", [(MIDDLE + side * x, face + y) for x, y in metal], fill=picture.hatch("metal")
        )
    top = -80 if _is_poured(taken) else 6
    surface = [(side * min(x, 300), max(y, top)) for side in (1, -1) for x, y in roof[::side]]
    crown = [(-HALF, 6), (-80, 6), (-58, 30), (58, 30), (80, 6), (HALF, 6)]
    space = [*surface, *crown]
    if not _is_poured(taken):
        space = crown[1:5]
    picture.shape("space", [(MIDDLE + x, face + y) for x, y in space], fill=picture.hatch("water"))
    tools.burette(picture, MIDDLE, face - 110, taken.value, top=8)
    tools.pill(picture, taken.shown, MIDDLE - 120, 60)
    picture.label("piston at the top, valves shut", MIDDLE - 120, 90, anchor="middle", size=13,
                  fill=picture.style.quiet)  # fmt: skip


def _gasket_bore(picture: Picture, taken: Taken) -> None:
    y = 260.0
    picture.rect("gasket", MIDDLE - 262, y - 150, 524, 320, fill=picture.hatch("gasket"))
    for x, down in ((-220, -120), (220, -120), (-220, 140), (220, 140)):
        picture.circle("bolt-hole", MIDDLE + x, y + down, 15, fill=picture.style.paper)
    picture.circle("opening", MIDDLE, y + 10, 142, fill=picture.style.paper, stroke_width=7)
    if taken.place.startswith("across"):
        gap_upright(picture, y - 132, y + 152, MIDDLE - 60, from_x=MIDDLE - 50)
        tools.pill(picture, taken.shown, MIDDLE - 30, y + 10)
        picture.label("across the block", MIDDLE + 6, y + 60, anchor="middle", size=13,
                      fill=picture.style.quiet)  # fmt: skip
    else:
        tools.caliper_inside(picture, MIDDLE - 142, MIDDLE + 142, y + 10)
        tools.pill(picture, taken.shown, MIDDLE, y + 50)
        picture.label("the gasket's own opening", MIDDLE, y + 92, anchor="middle", size=13,
                      fill=picture.style.quiet)  # fmt: skip


def _thickness(picture: Picture, taken: Taken) -> None:
    thick = 28.0 if taken.what == "compressed thickness" else 40.0
    tools.micrometer(picture, 330, 200, thick, (taken.value or 0.0) * 60)
    picture.rect("gasket", 48, 200, 296, thick, fill=picture.hatch("gasket"))
    picture.rect("anvil", 318, 182, 24, 18, fill=picture.style.paper)
    picture.rect("spindle", 318, 200 + thick, 24, 12, fill=picture.style.paper)
    tools.pill(picture, taken.shown, 170, 164)
    said = "compressed, not free" if thick < 30 else "free, as from the box"
    picture.label(said, 170, 222 + thick, anchor="middle", size=13, fill=picture.style.quiet)


# A piston and a rod alone


def _crown(crown: str) -> Callable[[Picture, Taken], None]:
    def draw(picture: Picture, taken: Taken) -> None:
        work.piston_alone(picture, MIDDLE, DECK, crown=crown)
        if crown == "dome":
            tools.pill(picture, taken.shown, MIDDLE, DECK - 90)
            picture.label("the maker's volume, or a pour at a known depth", MIDDLE, DECK - 126,
                          anchor="middle", size=13, fill=picture.style.quiet)  # fmt: skip
            return
        if _is_poured(taken):
            bowls = {"dish": [[(-80, 0), (-58, 26), (58, 26), (80, 0)]],
                     "reliefs": [[(-104, 0), (-96, 16), (-34, 16), (-26, 0)],
                                 [(26, 0), (34, 16), (96, 16), (104, 0)]]}[crown]  # fmt: skip
            for bowl in bowls:
                picture.shape("water", [(MIDDLE + x, DECK + y) for x, y in bowl],
                              fill=picture.hatch("water"))  # fmt: skip
        _pour(picture, taken)

    return draw


def _on_the_piston(what: str) -> Callable[[Picture, Taken], None]:
    def draw(picture: Picture, taken: Taken) -> None:
        top, x = 180.0, MIDDLE
        work.piston_alone(picture, x, top, crown="flat")
        if what == "land height":
            gap_upright(picture, top, top + 26, x - 190, from_x=x - 150)
            tools.pill(picture, taken.shown, x - 230, top - 30)
            picture.label("crown's edge to the ring", x - 230, top - 62, anchor="middle", size=13,
                          fill=picture.style.quiet)  # fmt: skip
        elif what == "compression height":
            gap_upright(picture, top, top + 122, x + 210, from_x=x + 150)
            tools.pill(picture, taken.shown, x + 236, top + 61)
            picture.lines("centre", [(x - 20, top + 122, x + 214, top + 122)],
                          stroke_dasharray="9 3 2 3", stroke_width=1)  # fmt: skip
        elif what == "land diameter":
            for side in (-1, 1):
                picture.rect("jaw", x + side * 150 - (18 if side < 0 else 0), top - 46, 18, 66,
                             fill=SATIN)  # fmt: skip
            picture.rect("jaw-beam", x - 168, top - 76, 336, 32, fill=SATIN)
            tools.pill(picture, taken.shown, x, top - 60)
        else:
            picture.lines("middle", [(x - 14, top - 40, x - 14, top + 180)],
                          stroke_dasharray="9 3 2 3", stroke_width=1)  # fmt: skip
            picture.lines("pin-middle", [(x, top + 60, x, top + 210)], stroke_width=1)
            tools.pill(picture, taken.shown, x + 60, top - 40)
            picture.label("middle of the piston, middle of the pin", x, top + 226,
                          anchor="middle", size=13, fill=picture.style.quiet)  # fmt: skip

    return draw


def _rod(picture: Picture, taken: Taken) -> None:
    x, small, big = 300.0, 110.0, 390.0
    picture.shape("rod", [(x - 16, small), (x + 16, small), (x + 26, big), (x - 26, big)],
                  fill=STEEL)  # fmt: skip
    for y, radius in ((small, 44), (big, 76)):
        picture.circle("eye", x, y, radius, fill=STEEL)
        picture.circle("hole", x, y, 0.66 * radius, fill=picture.style.paper)
        picture.lines("centre", [(x - 60, y, x + 150, y)], stroke_dasharray="9 3 2 3",
                      stroke_width=1)  # fmt: skip
    gap_upright(picture, small, big, x + 130, from_x=x + 80)
    tools.pill(picture, taken.shown, x + 130, (small + big) / 2)
    picture.label("middle to middle", x + 130, (small + big) / 2 + 34, anchor="middle", size=13,
                  fill=picture.style.quiet)  # fmt: skip


def _block_height(picture: Picture, taken: Taken) -> None:
    x, deck, crank = 290.0, 70.0, 390.0
    sides = [(x - 150, deck), (x - 92, deck), (x - 92, 280), (x + 92, 280), (x + 92, deck),
             (x + 150, deck), (x + 150, 330), (x + 190, 440), (x - 190, 440),
             (x - 150, 330)]  # fmt: skip
    picture.shape("block", sides, fill=picture.hatch("metal"))
    picture.circle("bearing", x, crank, 40, fill=picture.style.paper)
    picture.lines("deck", [(x - 150, deck, x + 250, deck)], stroke_width=1)
    picture.lines("centre", [(x - 60, crank, x + 250, crank)], stroke_dasharray="9 3 2 3",
                  stroke_width=1)  # fmt: skip
    gap_upright(picture, deck, crank, x + 232, from_x=x + 200)
    tools.pill(picture, taken.shown, x + 232, (deck + crank) / 2)
    picture.label("crank", x, crank, anchor="middle", size=13, halo=False)


def _closes(when: str) -> Callable[[Picture, Taken], None]:
    def draw(picture: Picture, taken: Taken) -> None:
        x, y, radius = MIDDLE, 250.0, 170.0
        picture.circle("wheel", x, y, radius, fill=picture.style.paper)
        picture.circle("wheel-ring", x, y, radius - 26, stroke_width=1)
        picture.lines(
            "wheel-mark",
            [(*around(x, y, radius, 10 * n), *around(x, y, radius - (12 if n % 3 else 22), 10 * n))
             for n in range(36)],
            stroke_width=1,
        )  # fmt: skip
        for name, turned in (("top dead centre", 0), ("bottom dead centre", 180)):
            across, down = around(x, y, radius - 48, turned)
            picture.label(name, across, down, anchor="middle", size=13)
        at = 60.0 if taken.value is None else taken.value
        picture.path("angle", tools.arc(x, y, 84, 180, 180 + at), stroke=WARNING, stroke_width=4)
        for turn, dash in ((180.0, "4 4"), (180 + at, "")):
            picture.lines("pointer", [(x, y, *around(x, y, radius - 26, turn))],
                          stroke_dasharray=dash or "none", stroke_width=2)  # fmt: skip
        picture.circle("crank-nose", x, y, 22, fill=SATIN)
        tools.pill(picture, taken.shown, x - 250 + 26, y + 130)
        picture.label(when, x - 224, y + 162, anchor="middle", size=13,
                      fill=picture.style.quiet)  # fmt: skip

    return draw


_SCENES: dict[str, Callable[[Picture, Taken], None]] = {
    "deck clearance": _deck_clearance,
    "depth at bdc": _depth_at_bottom,
    "bore": _bore,
    "known depth": _known_depth,
    "chamber": _chamber,
    "prechamber": _prechamber,
    "gasket bore": _gasket_bore,
    "compressed thickness": _thickness,
    "free thickness": _thickness,
    "stroke": _stroke,
    "rod length": _rod,
    "dish": _crown("dish"),
    "dome": _crown("dome"),
    "reliefs": _crown("reliefs"),
    "land height": _on_the_piston("land height"),
    "land diameter": _on_the_piston("land diameter"),
    "block height": _block_height,
    "compression height": _on_the_piston("compression height"),
    "pin offset": _on_the_piston("pin offset"),
    "intake closes": _closes("valve back at its lift"),
    "exhaust closes": _closes("the piston shuts the port"),
    "plug hole pour": _plug_hole,
}
assert FOOT < HEIGHT
SCENES = tuple(_SCENES)
"""Every kind of reading that has a picture."""
