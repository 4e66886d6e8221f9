"""Practice at reading instruments: a setting at random, and what a reading of it shows."""

from __future__ import annotations

from enginemath.practice.judging import Judgement, Tally, judge
from enginemath.practice.picture import draw
from enginemath.practice.setting import Setting, Slip, Tool, settings
from enginemath.practice.tools import FEELER, TOOLS, leaves, tool_named

__all__ = [
    "FEELER",
    "TOOLS",
    "Judgement",
    "Setting",
    "Slip",
    "Tally",
    "Tool",
    "draw",
    "judge",
    "leaves",
    "settings",
    "tool_named",
]
