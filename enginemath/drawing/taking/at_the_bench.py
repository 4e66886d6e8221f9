"""The record page's picture: the reading being taken, its place in the engine, what was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from enginemath.drawing.paper.palette import PAGE, SATIN, WARNING, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.drawing.taking.scenes import Taken, draw_taking

WIDTH, HEIGHT = 956.0, 470.0
_LEFT, _RIGHT = 668.0, 928.0
"""Of what stands beside the scene."""
_LENS = (798.0, 338.0, 88.0)
_IN_THE_LENS = 42.0
"""px for a millimetre of deck clearance."""
MOST_NOTES = 7


@dataclass(frozen=True)
class Seen:
    """The engine from above, and what was read of this kind.

    Args:
        banks: the cylinders of each bank, by its name; one without a name where there are none.
        at: the cylinder whose turn it is; 0 for none.
        done: cylinders on which all of this kind was read.
        dots: by cylinder, for each place whether it was read; for the deck clearance.
        at_place: which of the places it is now.
        notes: what was read last, with its number.
    """

    banks: Mapping[str, Sequence[int]]
    at: int = 0
    done: frozenset[int] = frozenset()
    dots: Mapping[int, Sequence[bool]] = field(default_factory=dict)
    at_place: int = 0
    notes: Sequence[tuple[str, str]] = ()


def at_the_bench(
    taken: Taken, seen: Seen, title: str, *, key: str = "bench", style: Style = PAGE
) -> Picture:
    """Draw the whole: scene at the left, engine from above and readings at the right.

    >>> picture = at_the_bench(Taken("bore"), Seen({"": [1, 2]}, at=2), "Bore of cylinder 2")
    >>> "cylinder 2" in picture.description
    True
    """
    told = f"{taken.shown}; cylinder {seen.at} of the engine" if seen.at else taken.shown
    picture = Picture("bench", WIDTH, HEIGHT, title=title, description=told, key=key, style=style)
    draw_taking(picture, taken)
    foot = _from_above(picture, seen)
    if taken.what == "deck clearance":
        _lens(picture, taken)
    else:
        _notes(picture, seen.notes, foot + 34)
    return picture


def _from_above(picture: Picture, seen: Seen) -> float:
    """The engine from above, its front at the left; gives its lower edge."""
    quiet = {"size": 13, "fill": picture.style.quiet}
    picture.label("‹ front", _LEFT, 18, **quiet)  # type: ignore[arg-type]
    y = 34.0
    # Left and right are those of one who sits behind the engine and looks to the front.
    for name in sorted(seen.banks, key=lambda bank: {"right": -1, "left": 1}.get(bank, 0)):
        cylinders = seen.banks[name]
        half = min(24.0, (_RIGHT - _LEFT - 12) / max(len(cylinders), 1) / 2 - 3)
        if len(cylinders) == 1:
            half = 40.0
        high = 2 * half + 16
        picture.rect("bank", _LEFT, y, _RIGHT - _LEFT, high, rx=8, fill=picture.hatch("metal"))
        step = (_RIGHT - _LEFT) / len(cylinders)
        for place, number in enumerate(cylinders):
            _cylinder(picture, seen, number, _LEFT + step * (place + 0.5), y + high / 2, half)
        if name:
            picture.label(f"{name} bank", _RIGHT, y + high + 12, anchor="end", **quiet)  # type: ignore[arg-type]
        y += high + (26 if name else 8)
    return y


def _cylinder(picture: Picture, seen: Seen, number: int, x: float, y: float, radius: float) -> None:
    on = number == seen.at
    fill = SATIN if number in seen.done else picture.style.paper
    picture.circle("cylinder", x, y, radius, fill=fill, stroke_width=4 if on else 1.4)
    size = 15.0 if radius > 16 else 13.0
    picture.label(f"{number}", x, y, anchor="middle", bold=on, halo=False, size=size)
    for place, read in enumerate(seen.dots.get(number, ())):
        now = on and place == seen.at_place
        down = radius * 0.66 * (1 if place == 0 else -1)
        picture.circle(
            "side", x, y + down, 4.2, stroke=WARNING if now else picture.style.ink,
            fill=picture.style.ink if read else WARNING if now else picture.style.paper,
            stroke_width=1.3,
        )  # fmt: skip


def _lens(picture: Picture, taken: Taken) -> None:
    """Deck and piston's edge from near."""
    x, y, radius = _LENS
    style = picture.style
    mm = 0.5 if taken.value is None else taken.value
    low = max(-50.0, min(70.0, mm * _IN_THE_LENS))
    deck = y - 14
    picture.open_round_window(x, y, radius)
    picture.rect("glass", x - radius, y - radius, 2 * radius, 2 * radius, fill=style.paper)
    picture.rect("block", x + 20, deck, 120, 160, fill=picture.hatch("metal"))
    picture.rect("clearance", x - 120, deck, 136, max(low, 0), fill=picture.hatch("deck"))
    picture.rect("piston", x - 120, deck + low, 136, 180, fill=picture.hatch("metal"))
    picture.rect("gap", x + 16, deck + max(0, low), 4, 160, fill=style.paper)
    picture.lines("deck-line", [(x - 120, deck, x + 20, deck)], stroke_dasharray="9 3 2 3")
    picture.close_window()
    picture.circle("lens", x, y, radius, stroke_width=1.8)
    picture.label("deck", x + 48, deck - 12, anchor="middle")
    above = "above" if mm < 0 else "below"
    said = taken.shown.lstrip("−-") if taken.value is not None else "?"
    picture.label(f"{said} {above} the deck", x, y + radius + 20, anchor="middle", bold=True)


def _notes(picture: Picture, notes: Sequence[tuple[str, str]], y: float) -> None:
    room = int((HEIGHT - 12 - y) / 24)
    shown = notes[-min(MOST_NOTES, max(room - 1, 0)) :] if room > 1 else ()
    if not shown:
        return
    picture.label("read so far", _LEFT, y, size=13, fill=picture.style.quiet)
    for line, (name, number) in enumerate(shown, start=1):
        wide = text_width(number, picture.style.text, bold=True)
        size = 15.0 if text_width(name, 15) < _RIGHT - _LEFT - wide - 10 else 13.0
        picture.label(name, _LEFT, y + 24 * line, size=size)
        picture.label(number, _RIGHT, y + 24 * line, anchor="end", bold=True)
