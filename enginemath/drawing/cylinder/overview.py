"""The drawings of one cylinder put together: section, stack of volumes, number lines."""

from __future__ import annotations

from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.views import section_view, stack_view
from enginemath.drawing.cylinder.volume_blocks import stack
from enginemath.drawing.paper.layout import column, row
from enginemath.drawing.paper.number_line import LineView, number_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import Engine
from enginemath.engine.stack import Stack

SECTION, STACK, HIGH = 545, 305, 440
"""Widths and height in px of the plain style: together they fit beside the controls."""


def overview(
    engine: Engine,
    volumes: Stack,
    *lines: LineView,
    unit: str,
    key: str,
    style: Style,
    angle: float = 0.0,
    crank: bool = False,
) -> Picture:
    """Section and stack of volumes side by side, number lines under both.

    Args:
        engine: with one cylinder.
        volumes: its stack.
        lines: numbers with their bands.
        unit: of lengths, mm or in; volumes are in cc, as the bench reads them.
        key, style: see `drawing.svg.Picture`.
        angle: of the crank, degrees after top dead centre.
        crank: whether rod and crank are shown.
    """
    high = (HIGH - 40 * max(len(lines) - 1, 0)) * style.enlargement
    left = section(section_view(engine, angle), unit=unit, crank=crank,
                   size=(SECTION * style.enlargement, high), style=style)  # fmt: skip
    blocks = stack_view(volumes, engine)
    right = stack(blocks, size=(STACK * style.enlargement, high), style=style)
    size = left.width + right.width, 6.6 * style.text
    below = [number_line(line, size=size, style=style) for line in lines]
    title = below[0].title if below else right.title
    return column((row((left, right), title=title), *below), title=title, key=key)


def section_alone(
    engine: Engine, *, unit: str, key: str, style: Style, angle: float = 0.0, crank: bool = False
) -> Picture:
    """The section without the volumes: the picture before the guess."""
    size = (SECTION + STACK) * style.enlargement, HIGH * style.enlargement
    view = section_view(engine, angle)
    return section(view, unit=unit, crank=crank, size=size, key=key, style=style)
