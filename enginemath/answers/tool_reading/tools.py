"""The instruments to be read."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.answers.tool_reading.misreadings import (
    of_burette,
    of_caliper,
    of_depth_micrometer,
    of_dial,
    of_feeler,
    of_micrometer,
)
from enginemath.answers.tool_reading.setting import Tool
from enginemath.drawing.instruments.caliper import VERNIERS
from enginemath.drawing.instruments.depth_micrometer import SCREWS as DEPTH_SCREWS
from enginemath.drawing.instruments.dial_indicator import FACES
from enginemath.drawing.instruments.screws import SCREWS
from enginemath.units import Refused

FEELER = "feeler gauge"


def _tools() -> Iterator[Tool]:
    yield Tool(
        "burette", "mL", 0.05, 2, 1.0, 48.0, of_burette,
        "Read the lowest point of the meniscus, from the line above it downwards, to half a line.",
    )  # fmt: skip
    how = "Add the number uncovered, the lines after it, and the thimble's line at the datum line."
    yield Tool("micrometer", "mm", 0.01, 2, 0.5, 24.5, of_micrometer(SCREWS["mm"]), how,
               bases=(0.0, 25.0, 75.0))  # fmt: skip
    yield Tool("micrometer", "in", 0.0001, 4, 0.025, 0.975, of_micrometer(SCREWS["in"]), how,
               bases=(0.0, 1.0, 3.0))  # fmt: skip
    how = "Take the last covered number, the covered lines after it, and the thimble's line."
    yield Tool("depth micrometer", "mm", 0.01, 2, 0.5, 24.5,
               of_depth_micrometer(DEPTH_SCREWS["mm"]), how, bases=(0.0, 25.0, 75.0))  # fmt: skip
    yield Tool("depth micrometer", "in", 0.001, 3, 0.025, 0.975,
               of_depth_micrometer(DEPTH_SCREWS["in"]), how, bases=(0.0, 1.0, 3.0))  # fmt: skip
    how = "The small hand counts whole turns of the long one; add the long hand's divisions."
    yield Tool("dial indicator", "mm", 0.01, 2, 0.0, 9.99, of_dial(FACES["mm"]), how)
    yield Tool("dial indicator", "in", 0.001, 3, 0.0, 0.999, of_dial(FACES["in"]), how)
    how = "Take the beam line just before the vernier's zero; add the vernier line that meets one."
    yield Tool("vernier caliper", "mm", 0.02, 2, 2.0, 120.0, of_caliper(VERNIERS["mm"]), how)
    yield Tool("vernier caliper", "in", 0.001, 3, 0.1, 4.5, of_caliper(VERNIERS["in"]), how)
    how = "Try thicker leaves until one drags; the next must not go in."
    yield Tool(FEELER, "mm", 0.05, 2, 0.30, 0.70, of_feeler(0.05), how)
    yield Tool(FEELER, "in", 0.002, 3, 0.012, 0.028, of_feeler(0.002), how)


TOOLS = {(tool.name, tool.unit): tool for tool in _tools()}
"""By name and unit."""


def tool_named(name: str, unit: str = "") -> Tool:
    """An instrument by its name and unit; the first of its units where none is given.

    Raises:
        Refused: there is no such instrument.

    >>> tool_named("micrometer").unit
    'mm'
    """
    units = [known for instrument, known in TOOLS if instrument == name]
    if not units or unit not in ("", *units):
        known = ", ".join(f"{instrument} in {of}" for instrument, of in TOOLS)
        asked = f"{name} in {unit}" if unit else name
        raise Refused(f"{asked}: no such tool; there are {known}")
    return TOOLS[name, unit or units[0]]


def leaves(tool: Tool) -> list[float]:
    """The leaves of a feeler gauge, in its unit, thinnest first."""
    count = round((tool.high - tool.low) / tool.step) + 3
    return [round(tool.low + (place - 1) * tool.step, tool.decimals) for place in range(count)]
