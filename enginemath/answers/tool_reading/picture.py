"""An instrument at its setting, drawn."""

from __future__ import annotations

from collections.abc import Callable

from enginemath.answers.tool_reading.setting import Setting
from enginemath.answers.tool_reading.tools import FEELER, leaves
from enginemath.drawing.instruments.burette import burette
from enginemath.drawing.instruments.caliper import caliper
from enginemath.drawing.instruments.depth_micrometer import depth_micrometer
from enginemath.drawing.instruments.dial_indicator import dial_indicator
from enginemath.drawing.instruments.feeler import DRAG, feeler
from enginemath.drawing.instruments.micrometer import micrometer
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.units import MM_PER_INCH

_READ: dict[str, Callable[..., Picture]] = {
    "burette": lambda s, **frame: burette(s.reading, **frame),
    "micrometer": lambda s, **frame: micrometer(s.reading, s.tool.unit, base=s.base, **frame),
    "depth micrometer": lambda s, **frame: depth_micrometer(
        s.reading, s.tool.unit, base=s.base, **frame
    ),
    "dial indicator": lambda s, **frame: dial_indicator(s.reading, s.tool.unit, **frame),
    "vernier caliper": lambda s, **frame: caliper(s.reading, s.tool.unit, **frame),
}


_WIDE = {"burette": 600.0, "dial indicator": 640.0, "depth micrometer": 560.0}
"""Width of the upright instruments on a page; the lying ones take the whole of it, px."""
_PAGE, _LYING = (940.0, 690.0), 470.0


def page_size(tool: str, style: Style, *, below: float = 0.0) -> tuple[float, float]:
    """How large an instrument is drawn on a page, px.

    Args:
        tool: its name.
        style: of the page.
        below: room that is kept free below it, px.

    >>> from enginemath.drawing.paper.palette import PAGE
    >>> page_size("burette", PAGE), page_size("micrometer", PAGE)
    ((600.0, 690.0), (940.0, 470.0))
    """
    if tool not in _WIDE:
        return style.framed(_PAGE[0], _LYING)
    width, height = style.framed(_WIDE[tool], _PAGE[1])
    return width, height - below


def draw(
    setting: Setting,
    *,
    leaf: int = 0,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw an instrument to be read.

    Args:
        setting: of the instrument.
        leaf: which leaf of a feeler gauge is tried, counted from 0.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> draw(Setting(TOOLS["dial indicator", "mm"], 3.27)).description
    'Divisions of 0.01 mm. Long hand on 27 of 100; counter hand between 3 and 4.'
    """
    if setting.tool.name != FEELER:
        return _READ[setting.tool.name](setting, size=size, key=key, style=style)
    unit = setting.tool.unit
    mm = MM_PER_INCH if unit == "in" else 1.0
    gap = setting.reading * mm + DRAG / 3  # a little wider than the leaf that drags in it
    thicknesses = [thickness * mm for thickness in leaves(setting.tool)]
    return feeler(gap, thicknesses, leaf, unit=unit, size=size, key=key, style=style)
