"""Numbers in large type under a page's picture: how they stand, and the line that they stand on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper import axes
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import BAND, WARNING
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.units import MM_PER_INCH

STRIP = 150.0
"""Height of what stands under a picture, px of the page."""
_SIGNS = {"inside": "✓ in", "above": "▲ above", "below": "▼ below"}
_WHOLE = 24.0
"""The longest line that has a tick at each whole number."""


@dataclass(frozen=True)
class Said:
    """A number in large type, and in smaller type what is said of it."""

    large: str
    small: str = ""


def said_of(view: LineView, name: str | None = None, *, drawn: bool = True) -> Said:
    """A number and how it stands to its band, with a sign.

    Args:
        name: by default the number's own.
        drawn: whether the band is to be seen on a line; if not, its ends are said.

    >>> from enginemath.drawing.paper.number_line import ratio_line
    >>> said_of(ratio_line(9.06, (9.0, 9.5)), "ratio")
    Said(large='ratio 9.06', small='✓ in the band')
    >>> said_of(ratio_line(8.68, (9.0, 9.5)), "ratio").small
    '▼ below the band'
    >>> from enginemath.drawing.paper.number_line import squish_line
    >>> said_of(squish_line(1.45), drawn=False).small
    '▲ above 0.90 to 1.15'
    """
    stands = ""
    if view.band:
        low, high = view.band
        value = view.value
        sign = _SIGNS["above" if value > high else "below" if value < low else "inside"]
        stands = f"{sign} {'the band' if drawn else view.band_shown}"
    return Said(f"{name or view.name} {view.shown(view.value)}", stands)


def draw_said(
    picture: Picture,
    said: Sequence[Said],
    y: float,
    *,
    left: float | None = None,
    fill: str | None = None,
) -> None:
    """Numbers side by side in large type, as large as the picture is wide enough for.

    Args:
        y: height of the letters' middle.
        left: where the row begins; by default it stands in the middle.
        fill: colour of the letters.
    """
    style = picture.style
    room = picture.width - 2 * style.text - (left or 0.0)
    large, small = style.heading, style.text + 1
    while large > style.text and _wide(said, large, small) > room:
        large, small = large - 1, max(small - 0.5, style.small)
    x = (picture.width - _wide(said, large, small)) / 2 if left is None else left
    for one in said:
        picture.label(one.large, x, y, size=large, bold=True, fill=fill, kind="said")
        x += text_width(one.large, large, bold=True) + 0.4 * small
        if one.small:
            picture.label(
                one.small, x, y + 0.2 * (large - small), size=small, fill=fill, kind="said-of"
            )
            x += text_width(one.small, small)
        x += 1.4 * large


def _wide(said: Sequence[Said], large: float, small: float) -> float:
    each = [
        text_width(one.large, large, bold=True)
        + (0.4 * small + text_width(one.small, small) if one.small else 0.4 * small)
        for one in said
    ]
    return sum(each) + 1.4 * large * (len(each) - 1)


def draw_large_line(
    picture: Picture,
    view: LineView,
    y: float,
    *,
    guess: float | None = None,
    before: float | None = None,
    shown: bool = True,
    ends: tuple[float, float] | None = None,
) -> None:
    """A number line with its band, the guess as a ghost, and the number's pointer.

    Args:
        view: the number, its band and the line's ends.
        y: height of the line.
        guess: what was guessed; it stays on the line.
        before: the number as it was found.
        shown: whether the number itself is on the line; a guess comes first.
        ends: px at which the line begins and ends.
    """
    style, text = picture.style, picture.style.text
    left, right = ends or (3.2 * text, picture.width - 3.2 * text)
    scale = Scale(view.low, view.high, left, right)
    tall = 1.35 * text
    if view.band:
        a, b = map(scale.inside, view.band)
        picture.rect("band", a, y - tall, b - a, tall, fill=BAND, stroke_width=style.thin)
    if view.aim is not None:
        aim = scale.inside(view.aim)
        picture.lines("aim", ((aim, y - tall, aim, y),), stroke_width=1.6 * style.line)
    inches = MM_PER_INCH if view.unit == "in" else 1.0
    low, high = view.low / inches, view.high / inches
    every = range(math.ceil(low), math.floor(high) + 1)
    at = tuple(every) if 4 <= high - low <= _WHOLE else ()
    axes.across(
        picture,
        Scale(low, high, left, right),
        y,
        "",
        at=at,
        about=min(10, int((right - left) / (4 * text))),
    )
    good = view.band is None or view.band[0] <= view.value <= view.band[1]
    if before is not None:
        x, half = scale.inside(before), 0.5 * text
        corners = ((x, y - 2), (x - half, y - tall + 2), (x + half, y - tall + 2))
        dash = f"{3 * style.frame:g} {2 * style.frame:g}"
        picture.shape("before", corners, stroke_width=style.thin, stroke_dasharray=dash)
    if shown:
        x, half = scale.inside(view.value), 0.62 * text
        picture.shape(
            "marker",
            ((x, y - 1), (x - half, y - tall), (x + half, y - tall)),
            fill=style.ink if good else WARNING,
        )
    if guess is not None:
        x = scale.inside(guess)
        dash = f"{4 * style.frame:g} {3 * style.frame:g}"
        up = y - tall - 0.9 * text
        picture.lines("guess", ((x, up, x, y + 5),), stroke_width=2 * style.frame,
                      stroke_dasharray=dash)  # fmt: skip
        words = "your guess"
        wide = text_width(words, style.small)
        beyond = x + 0.5 * text + wide > picture.width - 4
        away = shown and x < scale.inside(view.value) < x + wide + 2 * text
        flip = beyond or (away and x - wide - text > 4)
        aside, anchor = (-0.5, "end") if flip else (0.5, "start")
        picture.label(
            words, x + aside * text, up + 0.1 * text,
            anchor=anchor, size=style.small, fill=style.quiet, kind="guess-name",
        )  # fmt: skip
