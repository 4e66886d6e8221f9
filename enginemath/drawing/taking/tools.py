"""The tools as they stand on the work: small, and following what is typed."""

from __future__ import annotations

from enginemath.drawing.paper.palette import GLASS, SATIN, STEEL, WARNING
from enginemath.drawing.paper.svg import Picture, around
from enginemath.drawing.paper.typeface import text_width

BURETTE = 100.0
"""What the drawn burette holds, mL."""


def pill(picture: Picture, text: str, x: float, y: float) -> None:
    """A number in a frame: what the tool shows."""
    size = picture.style.text + 1
    wide = text_width(text, size, bold=True) + 24
    picture.rect("pill", x - wide / 2, y - 15, wide, 30, rx=15, fill=picture.style.paper)
    picture.label(text, x, y, anchor="middle", bold=True, size=size, halo=False, kind="shown")


def dial(
    picture: Picture, x: float, y: float, radius: float, turns: float | None, top: str
) -> None:
    """A dial whose hand follows; `top` is one turn of it, to be read at its foot."""
    style = picture.style
    picture.circle("dial", x, y, radius, fill=style.paper)
    picture.circle("dial-ring", x, y, radius - 6, stroke_width=style.thin)
    strokes: dict[bool, list[tuple[float, float, float, float]]] = {True: [], False: []}
    for tick in range(50):
        long = tick % 5 == 0
        inner = radius - 6 - (11 if long else 6)
        a, b = around(x, y, radius - 6, 7.2 * tick), around(x, y, inner, 7.2 * tick)
        strokes[long].append((*a, *b))
    for long, lines in strokes.items():
        picture.lines("dial-mark", lines, stroke_width=1.5 if long else 0.8)
    for number in range(0, 100, 20):
        at = around(x, y, radius - 28, 3.6 * number)
        picture.label(f"{number}", *at, anchor="middle", size=13)
    if top:
        picture.label(top, x, y + 0.34 * radius, anchor="middle", size=13, fill=style.quiet)
    turn = 0.0 if turns is None else 360 * turns
    tail, tip = around(x, y, 14, turn + 180), around(x, y, radius - 15, turn)
    picture.lines(
        "dial-hand", [(*tail, *tip)], stroke=WARNING, stroke_width=3, stroke_linecap="round"
    )
    picture.circle("dial-boss", x, y, 4.5, fill=style.ink)


def burette(picture: Picture, x: float, tip: float, reading: float | None, top: float = 14) -> None:
    """A burette above its tip, zero at the top; the water stands where it is read."""
    style = picture.style
    high = tip - 44 - top
    scale = high - 40
    level = top + 14 + scale * min(1.0, max(0.0, (reading or 0.0) / BURETTE))
    foot = top + high
    tube = (
        f"M{x - 10} {top}h20v{high}l-6 9v18l-3 17h-2l-3 -17v-18l-6 -9z",
        f"M{x - 9} {level:.2f}h18v{foot - level:.2f}l-6 8h-6l-6 -8z",
        f"M{x - 9} {level:.2f}q9 6 18 0",
    )
    picture.path("burette", tube[0], fill=style.paper)
    picture.path("burette-water", tube[1], fill=picture.hatch("water"), stroke="none")
    picture.path("meniscus", tube[2])
    for mark in range(21):
        y = top + 14 + mark * scale / 20
        picture.lines(
            "burette-mark", [(x + 10, y, x + (4 if mark % 4 else -2), y)], stroke_width=0.9
        )
        if mark % 4 == 0:
            picture.label(f"{mark * 5}", x + 15, y, size=13)
    picture.lines("tap", [(x - 15, tip - 33, x + 15, tip - 33)], stroke_width=6)


def plate(picture: Picture, left: float, right: float, face: float) -> None:
    """The clear plate with its hole, lying on a face."""
    middle = (left + right) / 2
    picture.rect("plate", left, face - 11, right - left, 10, fill=GLASS)
    picture.rect("plate-hole", middle - 5, face - 12, 10, 12, fill=picture.style.paper)
    picture.label("clear plate", right, face - 22, anchor="end", size=13, fill=picture.style.quiet)


def depth_gauge(
    picture: Picture, x: float, deck: float, edge: float, base: tuple[float, float]
) -> None:
    """A depth gauge on the deck, its rod down to the piston's edge; `base` from left to right."""
    left, right = base
    picture.rect("gauge-rod", x - 5, deck - 134, 10, edge - deck + 134, fill=picture.style.paper)
    picture.rect("gauge-base", left, deck - 24, right - left, 24, fill=SATIN)
    picture.rect("gauge-body", x - 17, deck - 164, 34, 142, fill=SATIN)
    marks = [
        (x - 17, deck - 150 + 14 * n, x - (9 if n % 2 else 3), deck - 150 + 14 * n)
        for n in range(9)
    ]
    picture.lines("gauge-mark", marks, stroke_width=1)


def micrometer(picture: Picture, x: float, top: float, gap: float, spin: float = 0.0) -> None:
    """A micrometer from the side: anvil above, spindle from below, `gap` px between them."""
    style, y = picture.style, top
    anvil, spindle = y, y + gap
    frame = f"M{x} {anvil - 16}v-16q0 -58 60 -58h40q74 0 74 74v{gap + 62:.2f}q0 74 -74 74h-92"
    picture.path("frame", frame, stroke=style.ink, stroke_width=35)
    picture.path("frame", frame, stroke=SATIN, stroke_width=32)
    picture.rect("anvil", x - 12, anvil - 18, 24, 18, fill=style.paper)
    picture.rect("spindle", x - 12, spindle, 24, 84, fill=style.paper)
    sleeve = spindle + 84
    picture.rect("sleeve", x - 26, sleeve, 52, 74, fill=STEEL)
    picture.rect("thimble", x - 32, sleeve + 64, 64, 62, fill=SATIN)
    picture.rect("ratchet", x - 18, sleeve + 126, 36, 16, fill=SATIN)
    marks = [
        (x, sleeve + 8 + 8 * n, x + (8 if n % 2 else 14), sleeve + 8 + 8 * n) for n in range(7)
    ]
    marks += [
        (x - 25 + 9 * n + spin % 9, sleeve + 64, x - 25 + 9 * n + spin % 9, sleeve + 74)
        for n in range(6)
    ]
    picture.lines("micrometer-mark", [*marks, (x, sleeve, x, sleeve + 64)], stroke_width=1)


def caliper_inside(picture: Picture, left: float, right: float, y: float) -> None:
    """The two inner jaws of a caliper, its beam above."""
    for x, out in ((left, 1), (right, -1)):
        picture.path(
            "jaw", f"M{x} {y - 34}v58l{out * 12} -10v-84h{-out * 2}z", fill=SATIN
        )  # fmt: skip
    picture.rect("beam", left - 24, y - 86, right - left + 90, 26, fill=SATIN)
    picture.rect("slider", right - 36, y - 92, 74, 38, fill=STEEL)
    marks = [
        (left + 8 * n, y - 60, left + 8 * n, y - (68 if n % 5 else 74))
        for n in range(int((right - left - 40) / 8))
    ]
    picture.lines("beam-mark", marks, stroke_width=0.9)


def arc(x: float, y: float, radius: float, start: float, stop: float) -> str:
    """A path along a circle, from one direction to another, degrees clockwise from above."""
    (ax, ay), (bx, by) = around(x, y, radius, start), around(x, y, radius, stop)
    large = int((stop - start) % 360 > 180)
    return f"M{ax:.2f} {ay:.2f}A{radius} {radius} 0 {large} 1 {bx:.2f} {by:.2f}"
