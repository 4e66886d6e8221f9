"""One colour and one hatch for each part, and the styles that a picture can be drawn in.

Colours: M. Okabe and K. Ito, "Color Universal Design" (2002, revised 2008), told apart with the
usual kinds of colour blindness. A hatch says the same without colour. Water is a colour of our own,
as theirs are all taken by parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

ORANGE = "#E69F00"
SKY_BLUE = "#56B4E9"
BLUISH_GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILLION = "#D55E00"
REDDISH_PURPLE = "#CC79A7"
GREY = "#999999"
AQUA = "#50dcf0"


@dataclass(frozen=True)
class Style:
    """How a picture is drawn: colours of paper and ink, sizes of type and lines in px.

    Args:
        name: of the style.
        paper, ink, quiet: background, main and secondary colour, ``#rrggbb``.
        text, small, heading: sizes of type, px.
        line, thin: widths of outlines and of dimension lines, px.
        strength: of a part's colour, 0 (paper) to 1 (pure colour).
        frame: how much larger a picture is drawn than in the plain style.
    """

    name: str
    paper: str
    ink: str
    quiet: str
    text: float
    small: float
    heading: float
    line: float
    thin: float
    strength: float
    frame: float

    @property
    def enlargement(self) -> float:
        """How much larger a panel's picture stands than on the screen, as its type does."""
        return self.text / SCREEN.text

    def framed(self, width: float, height: float) -> tuple[float, float]:
        """Width and height of a picture in this style, from those in the plain style, px.

        >>> SCREEN.framed(600, 400)
        (600.0, 400.0)
        """
        return width * self.frame, height * self.frame


SCREEN = Style("screen", "#ffffff", "#1a1a1a", "#555555", 13, 11.5, 15, 1.4, 0.9, 0.7, 1.0)
PROJECTOR = Style("projector", "#ffffff", "#000000", "#262626", 19, 17, 22, 2.4, 1.5, 0.8, 1.4)
PAGE = Style("page", "#ffffff", "#1a1a1a", "#555555", 15, 13, 27, 1.5, 1.0, 0.7, 1.0)
PAGE_PROJECTOR = Style("page-projector", "#ffffff", "#000000", "#262626",
                       22, 20, 38, 2.3, 1.5, 0.8, 1.4)  # fmt: skip
"""The large pictures of a lesson page: at 1366 × 768 no letter under 13 px, on the projector at
1920 × 1080 none under 20 px."""

# Each hatch: period in px, turn in degrees, and the marks of one period.
_UPRIGHT = (6, 0, '<path d="M3 0V6" stroke="{ink}" stroke-width="1"/>')
_LEVEL = (5, 90, '<path d="M2.5 0V5" stroke="{ink}" stroke-width="1"/>')
_BARS = (7, -45, '<path d="M3.5 0V7" stroke="{ink}" stroke-width="2"/>')
_LINING = (5, 45, '<path d="M2.5 0V5" stroke="{ink}" stroke-width="0.9"/>')
_CROSS = (7, 45, '<path d="M3.5 0V7M0 3.5H7" stroke="{ink}" stroke-width="1"/>')
_CHECKS = (6, 0, '<path d="M0 0H3V3H0ZM3 3H6V6H3Z" fill="{ink}" stroke="none"/>')
_WAVES = (
    12,
    0,
    '<path d="M0 3Q3 0 6 3T12 3M-6 9Q-3 6 0 9T6 9T12 9T18 9" fill="none" stroke="{ink}"/>',
)
_DOTS = (9, 0, '<circle cx="4.5" cy="4.5" r="1" fill="{ink}" stroke="none"/>')

PARTS = {
    "chamber": (ORANGE, _UPRIGHT),
    "gasket": (BLUE, _BARS),
    "deck": (YELLOW, _LEVEL),
    "crown": (BLUISH_GREEN, _CROSS),
    "crevice": (REDDISH_PURPLE, _CHECKS),
    "swept": (SKY_BLUE, _DOTS),
    "metal": (GREY, _LINING),
    "water": (AQUA, _WAVES),
}
"""Each part's colour and hatch, the same in every picture, chart and page."""

WARNING = VERMILLION
"""The colour of what lies outside its limits; never without words or another shape."""
STEEL, SATIN, GLASS = "#e9ecef", "#d5dade", "#eaf0f4"
"""Bright and dull metal of a tool, and clear glass or plate."""
BAND = "#dcdcdc"
"""The colour of the band that a number should fall in."""


def mix(colour: str, other: str, share: float) -> str:
    """A colour between two.

    Args:
        colour, other: ``#rrggbb``.
        share: of the first colour, 0 to 1.

    >>> mix("#000000", "#ffffff", 0.5)
    '#808080'
    """
    a, b = _channels(colour), _channels(other)
    return "#" + "".join(
        f"{round(x * share + y * (1 - share)):02x}" for x, y in zip(a, b, strict=True)
    )


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def background(part: str, style: Style = SCREEN) -> str:
    """The colour that lies under a part's hatch."""
    return mix(PARTS[part][0], style.paper, 0.35 if part == "metal" else style.strength)


def hatch_ink(part: str, style: Style = SCREEN) -> str:
    """The colour of a part's hatch: its own, darkened."""
    return mix(PARTS[part][0], style.ink, 0.45)


@lru_cache(maxsize=64)
def pattern(part: str, style: Style) -> str:
    """The body of an SVG pattern for one part, from its attributes to its end, without its id."""
    period, turn, marks = PARTS[part][1]
    drawn = marks.format(ink=hatch_ink(part, style))
    return (
        f'width="{period}" height="{period}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate({turn}) scale({style.line / SCREEN.line:g})">'
        f'<path d="M0 0H{period}V{period}H0Z" fill="{background(part, style)}"/>{drawn}</pattern>'
    )
