"""What a typed reading of an instrument shows, and how a session goes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

import pint

from enginemath.answers.tool_reading.setting import Setting, Slip, Tool
from enginemath.units import Quantity, Refused, read_as, unit_of


@dataclass(frozen=True)
class Judgement:
    """What a typed reading shows."""

    right: bool
    off: pint.Quantity
    """Typed less right."""
    says: str


def judge(setting: Setting, typed: str) -> Judgement:
    """Say how far a typed reading is off, and which misreading it shows.

    Args:
        setting: of the instrument.
        typed: a number with its unit.

    Raises:
        Refused: no number with a unit of the right kind.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> setting = Setting(TOOLS["micrometer", "mm"], 5.78)
    >>> judge(setting, "5.78 mm").right
    True
    >>> judge(setting, "5.28 mm").says
    '0.50 mm too small. A half-millimetre line below the datum line was missed.'
    """
    tool = setting.tool
    reading = read_as(typed, tool.unit).m_as(unit_of(tool.unit))
    if hasattr(reading, "nominal_value"):
        raise Refused(f"{typed}: write the reading alone, without ±")
    off = reading - setting.reading
    quantity = Quantity(off, unit_of(tool.unit))
    if abs(off) < 0.51 * tool.step:
        return Judgement(True, quantity, f"Right: {setting.shown}.")
    distance = f"{abs(off):.{tool.decimals}f} {tool.unit} too {'large' if off > 0 else 'small'}."
    for slip in _slips(setting):
        if abs(reading - slip.gives) < 0.51 * tool.step:
            return Judgement(False, quantity, f"{distance} {slip.says}")
    if abs(off) < 1.51 * tool.step:
        near = "One step of the scale: look at it square on, eye level with the mark."
        return Judgement(False, quantity, f"{distance} {near}")
    return Judgement(False, quantity, f"{distance} {tool.how}")


def _slips(setting: Setting) -> Iterator[Slip]:
    scale = setting.reading - setting.base
    for slip in setting.tool.slips(scale):
        yield Slip(slip.gives + setting.base, slip.says)
    if setting.base:
        yield Slip(scale, f"The tool begins at {setting.base:g} {setting.tool.unit}: add it.")


@dataclass
class Tally:
    """How a session goes: readings tried and right, by instrument."""

    tried: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)

    def note(self, tool: Tool, judgement: Judgement) -> None:
        """Count one reading."""
        self.tried[tool.name] += 1
        self.right[tool.name] += judgement.right

    def __str__(self) -> str:
        """The score in words.

        >>> from enginemath.answers.tool_reading.tools import TOOLS
        >>> tally = Tally()
        >>> tool = TOOLS["burette", "mL"]
        >>> tally.note(tool, judge(Setting(tool, 23.45), "23.25 mL"))
        >>> print(tally)
        0 of 1 right (burette 0 of 1)
        """
        if not self.tried:
            return "no reading yet"
        each = ", ".join(f"{name} {self.right[name]} of {n}" for name, n in self.tried.items())
        return f"{self.right.total()} of {self.tried.total()} right ({each})"
