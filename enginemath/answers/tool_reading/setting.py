"""An instrument to be read, and its settings at random."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random


@dataclass(frozen=True)
class Misreading:
    """A usual misreading of an instrument.

    Args:
        gives: what is read in place of the right reading, in the instrument's unit.
        hint: for the student: where to look, never the reading nor how far off it is.
        place: in the instrument's picture, where to look.
    """

    gives: float
    hint: str
    place: str = ""


Misreadings = Callable[[float], Iterator[Misreading]]
"""From a reading of an instrument's scale to what the usual misreadings make of it."""


@dataclass(frozen=True)
class Tool:
    """An instrument to be read.

    Args:
        name: in shop words.
        unit: of its scale: ``mm``, ``in`` or ``mL``.
        step: finest reading.
        decimals: of a reading.
        low, high: ends of the settings, on whole steps.
        misreadings: the usual ones of a setting, the likeliest first.
        bases: what is added to the scale: frames of a micrometer, rods of a depth micrometer.
        how: the rule for reading it, one sentence.
    """

    name: str
    unit: str
    step: float
    decimals: int
    low: float
    high: float
    misreadings: Misreadings
    how: str
    bases: tuple[float, ...] = (0.0,)


@dataclass(frozen=True)
class Setting:
    """An instrument set to a reading; `base` is part of the reading."""

    tool: Tool
    reading: float
    base: float = 0.0

    @property
    def shown(self) -> str:
        """The right reading as it is written down."""
        return f"{self.reading:.{self.tool.decimals}f} {self.tool.unit}"


def settings(tool: Tool, seed: int) -> Iterator[Setting]:
    """Settings of an instrument without end, the same ones for the same seed.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> drawn = settings(TOOLS["burette", "mL"], seed=1)
    >>> next(drawn).shown, next(drawn).shown
    ('23.75 mL', '14.65 mL')
    """
    draw = Random(f"{tool.name}, {tool.unit}, {seed}")
    steps = round((tool.high - tool.low) / tool.step)
    while True:
        base = draw.choice(tool.bases)
        scale = tool.low + draw.randint(0, steps) * tool.step
        yield Setting(tool, round(base + scale, tool.decimals), base)
