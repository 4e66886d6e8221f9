"""Practice at reading instruments: a setting at random, and what a reading of it shows."""

from __future__ import annotations

from enginemath.answers.tool_reading.judging import Tally, judge
from enginemath.answers.tool_reading.picture import draw
from enginemath.answers.tool_reading.setting import Misreading, Setting, Tool, settings
from enginemath.answers.tool_reading.tools import FEELER, TOOLS, leaves, tool_named

__all__ = [
    "FEELER",
    "TOOLS",
    "Misreading",
    "Setting",
    "Tally",
    "Tool",
    "draw",
    "judge",
    "leaves",
    "settings",
    "tool_named",
]
