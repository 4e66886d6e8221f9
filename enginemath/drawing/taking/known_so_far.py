"""What can be said so far: the parts of the clearance, the ratio and where it lies on its line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.svg import Picture

WIDTH, HEIGHT = 956.0, 246.0
_LEFT, _RIGHT = 28.0, 928.0
_LINE = 204.0
_ROWS = 3


@dataclass(frozen=True)
class Part:
    """One volume: its hatch, its name, what is known of it, and whether it was read."""

    hatch: str
    name: str
    says: str
    known: bool


@dataclass(frozen=True)
class Known:
    """What the readings say so far.

    Args:
        parts: swept volume and the parts of the clearance.
        ratio: in large type.
        lines: two lines beside it.
        ends: of the ratio; None where nothing can be said.
        best: the ratio where all is read, else None.
        cylinders: each one's ratio, where all is read.
        foot: below the band, where usual ranges stand in.
    """

    parts: Sequence[Part]
    ratio: str
    lines: tuple[str, str] = ("", "")
    ends: tuple[float, float] | None = None
    best: float | None = None
    cylinders: Sequence[float] = ()
    foot: str = ""


def known_so_far(known: Known, *, key: str = "known", style: Style = PAGE) -> Picture:
    """Draw it.

    >>> print(known_so_far(Known([], "ratio 9.44 ± 0.04", best=9.44, ends=(9.4, 9.48))).description)
    ratio 9.44 ± 0.04
    """
    told = ". ".join(
        [
            *(f"{part.name} {part.says}" for part in known.parts),
            known.ratio,
            *filter(None, known.lines),
        ]
    )
    picture = Picture(
        "known", WIDTH, HEIGHT, title="What can be said so far", description=told, key=key,
        style=style,
    )  # fmt: skip
    picture.lines("rule", [(_LEFT, 4, _RIGHT, 4)], stroke="#dedbd3")
    _parts(picture, known.parts)
    picture.label(known.ratio, _LEFT, 98, size=style.heading, bold=True)
    beside = 306.0
    for row, line in enumerate(known.lines):
        picture.label(
            line, beside, 88 + 22 * row, fill=style.quiet if row else style.ink
        )  # fmt: skip
    if known.ends:
        _on_the_line(picture, known, *known.ends)
    return picture


def _parts(picture: Picture, parts: Sequence[Part]) -> None:
    step = (WIDTH - 56) / max(len(parts), 1)
    for place, part in enumerate(parts):
        x = _LEFT + place * step
        if not part.known:
            picture.open_pale(0.45)
        picture.rect("part", x, 20, 17, 17, fill=picture.hatch(part.hatch))
        if not part.known:
            picture.close_window()
        picture.label(part.name, x + 26, 29)
        quiet = None if part.known else picture.style.quiet
        size = picture.style.text if part.known else 13
        picture.label(part.says, x + 26, 50, bold=part.known, fill=quiet, size=size)


def _on_the_line(picture: Picture, known: Known, low: float, high: float) -> None:
    style = picture.style
    first, step, count = _divided(known, low, high)
    last = first + step * count

    def x(ratio: float) -> float:
        share = min(1.0, max(0.0, (ratio - first) / (last - first)))
        return _LEFT + 12 + share * (_RIGHT - _LEFT - 24)

    if known.best is None:
        picture.rect(
            "range", x(low), _LINE - 26, max(3.0, x(high) - x(low)), 26, fill="#e4e1d8",
            stroke_dasharray="4 3",
        )  # fmt: skip
        picture.label(known.foot, _RIGHT, _LINE - 38, anchor="end", size=13, fill=style.quiet)
    else:
        _marker(picture, x(known.best), x(low), x(high))
        if len(known.cylinders) > 1:
            _numbered(picture, [x(each) for each in known.cylinders])
    picture.lines("line", [(x(first), _LINE, x(last), _LINE)])
    for mark in range(count + 1):
        at = first + step * mark
        picture.lines("mark", [(x(at), _LINE, x(at), _LINE + 6)], stroke_width=1)
        decimals = 0 if step >= 1 else 1 if step >= 0.1 else 2
        picture.label(f"{at:.{decimals}f}", x(at), _LINE + 22, anchor="middle")


def _divided(known: Known, low: float, high: float) -> tuple[float, float, int]:
    """Where the line begins, its step and how many of them."""
    if known.best is not None:
        every = [low, high, *known.cylinders]
        reach = max(known.best - min(every), max(every) - known.best)
        step = next((s for s in (0.1, 0.2, 0.5, 1.0) if 5 * s > 1.2 * reach), 2.0)
        return (round(known.best / step) - 5) * step, step, 10
    step = next((s for s in (1.0, 2.0, 5.0) if (high - low) < 11 * s), 10.0)
    first = math.floor(low / step) * step
    return first, step, max(4, math.ceil(high / step) - round(first / step))


def _marker(picture: Picture, at: float, low: float, high: float) -> None:
    style = picture.style
    picture.shape(
        "best", [(at, _LINE - 1), (at - 8, _LINE - 17), (at + 8, _LINE - 17)], fill=style.ink
    )
    y = _LINE - 13
    for end, inner in ((low, at - 10), (high, at + 10)):
        if abs(end - at) > 10:
            picture.lines("interval", [(end, y, inner, y), (end, y - 4, end, y + 4)])


def _numbered(picture: Picture, places: Sequence[float]) -> None:
    """Each cylinder in its circle, those that lie close above each other."""
    put: list[tuple[float, int]] = []
    for number, at in sorted(enumerate(places, start=1), key=lambda each: each[1]):
        row = 0
        while any(r == row and abs(x - at) < 20 for x, r in put):
            row += 1
            if row == _ROWS:  # no more room above: beside the last one
                row, at = 0, at + 20
        put.append((at, row))
        y = _LINE - 31 - 19 * row
        picture.circle("cylinder", at, y, 9.5, fill=picture.style.paper)
        picture.label(f"{number}", at, y, anchor="middle", size=13, halo=False)
