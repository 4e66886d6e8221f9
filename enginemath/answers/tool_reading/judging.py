"""What a typed reading of an instrument shows, and how a session goes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from enginemath.answers.quantities import Asked
from enginemath.answers.question import judge_text
from enginemath.answers.tolerance import of_a_scale
from enginemath.answers.tool_reading.setting import Misreading, Setting, Tool
from enginemath.answers.verdict import RIGHT, TOO_COARSE, Verdict, not_yet, unreadable
from enginemath.answers.written_answer import Answer

_SQUARE_ON = Verdict("nearly", "Look at it square on: is your eye level with the mark?")


def judge(setting: Setting, text: str) -> Verdict:
    """Judge a typed reading, and say which misreading it shows.

    Args:
        setting: of the instrument.
        text: what was typed; a number without a unit is taken to be in the instrument's.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> setting = Setting(TOOLS["micrometer", "mm"], 5.78)
    >>> judge(setting, "5.78 mm").sentence
    'right'
    >>> judge(setting, "5.28 mm").sentence
    'not yet. Look below the datum line: is there a half-millimetre line uncovered?'
    """
    return judge_text(text, Asked("reading", setting.tool.unit), lambda each: _judge(setting, each))


def _judge(setting: Setting, answer: Answer) -> Verdict:
    if answer.spread:
        return unreadable("write the reading alone, without ±")
    tool, reading = setting.tool, answer.value
    rule = of_a_scale(tool.step)
    if abs(reading - setting.reading) <= rule.slack:
        return RIGHT
    for each in _misreadings(setting):
        if abs(reading - each.gives) <= rule.slack:
            return not_yet(each.hint, each.place)
    if abs(reading - setting.reading) < 1.51 * tool.step:
        return _SQUARE_ON
    if rule.grade(answer, setting.reading) == "nearly":
        return TOO_COARSE
    return Verdict("unknown", tool.how)


def _misreadings(setting: Setting) -> Iterator[Misreading]:
    scale = setting.reading - setting.base
    for each in setting.tool.misreadings(scale):
        yield replace(each, gives=each.gives + setting.base)
    if setting.base:
        hint = "The tool does not begin at zero. What does its frame or rod add?"
        yield Misreading(scale, hint, "frame")


@dataclass
class Tally:
    """How a session goes: readings tried and right, by instrument."""

    tried: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)

    def note(self, tool: Tool, verdict: Verdict) -> None:
        """Count one reading.

        Args:
            tool: that was read.
            verdict: on what was typed; one that could not be read is not counted.
        """
        if verdict.kind in ("unreadable", "nothing_written"):
            return
        self.tried[tool.name] += 1
        self.right[tool.name] += verdict.is_right

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
