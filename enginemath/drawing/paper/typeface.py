"""How wide a text stands, so that labels can be set apart without asking a browser."""

from __future__ import annotations

import math
from functools import lru_cache

FAMILY = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"

# Advance widths in em, the wider of DejaVu Sans and Liberation Sans (metrics as Arial), rounded up.
_GROUPS = {
    0.30: "'Iijl",
    0.35: " ,./:;\\|·’",
    0.40: "()-[]ft",
    0.45: "!r²³",
    0.50: '"*J`°',
    0.55: "csz",
    0.60: "?L_kvxy–",
    0.65: "$0123456789FTabdeghnopqu{}µ√äöüéßñ",
    0.70: "ABEKPSVXYZπ",
    0.75: "CNRU",
    0.80: "&DGHOQØ",
    0.85: "#+<=>^w~±×−≈≤≥↑↓",
    0.90: "M",
    1.00: "%Wm—…½→←",
    1.05: "@",
}
_EM = {character: width for width, characters in _GROUPS.items() for character in characters}
_UNKNOWN = 1.05
_BOLD = 1.13
ASCENT, DESCENT = 0.42, 0.60
"""How far a text reaches above and below the middle of its line, in em."""
LINE = 1.25
"""Distance between two lines of one label, in em."""


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Widest that a line of text can stand in the kit's typefaces.

    Args:
        text: one line.
        size: of the type, px.
        bold: for bold type.

    Returns:
        Width, px; a little more than a browser will need.

    Source: advance widths of DejaVu Sans and Liberation Sans, read from the font files.

    >>> round(text_width("bore 92.000 mm", 13), 1)
    113.1
    """
    ems = math.fsum([_EM.get(character, _UNKNOWN) for character in text])
    return ems * size * (_BOLD if bold else 1)


def fitted(text: str, width: float, size: float, bold: bool = False) -> str:
    """A text shortened with an ellipsis where it would stand wider than its room.

    >>> fitted("compressed thickness of the gasket", 110, 13)
    'compressed t…'
    """
    if text_width(text, size, bold) <= width:
        return text
    while text and text_width(text + "…", size, bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"
