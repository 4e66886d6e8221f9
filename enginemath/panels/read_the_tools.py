"""Lesson 03: instruments to read, drawn at a random setting, and the score."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from enginemath.answers.tool_reading import (
    FEELER,
    TOOLS,
    Tally,
    Tool,
    draw,
    judge,
    leaves,
    settings,
    tool_named,
)
from enginemath.answers.verdict import Verdict
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, EntryBox, Press

_session = Tally()
"""The score of all panels of this session."""
_WIDE = {"burette": 600.0, "dial indicator": 640.0}
"""Width of the upright instruments; the lying ones take the whole of the page, px."""
_PAGE, _LYING = (940.0, 690.0), 470.0


def read_the_tools_numbers(
    tool: str = "burette", unit: str = "mL", typed: str = "", *, seed: int = 1, turn: int = 1
) -> Verdict:
    """What the panel `read_the_tools` says of a typed reading, without the panel.

    Args:
        tool, unit: which instrument; see `enginemath.answers.tool_reading.TOOLS`.
        typed: the reading, with its unit.
        seed: of the settings.
        turn: which setting, counted from 1.

    Raises:
        Refused: no such instrument.

    >>> read_the_tools_numbers("burette", "mL", "23.55 mL").sentence
    'not yet. Is that the top of the meniscus, at the glass, or its lowest point?'
    """
    drawn = settings(tool_named(tool, unit), seed)
    for _ in range(turn - 1):
        next(drawn)
    return judge(next(drawn), typed)


class ReadTheTools(Panel):
    title = "Read the tools"
    large = True

    def __init__(self, tool: Tool, seed: int, *, projector: bool):
        self.seed, self.tally = seed, _session
        options = [(f"{each.name}, {each.unit}", each) for each in TOOLS.values()]
        self.tools = Choice("instrument", "metal", options, self.reset)
        self.tools.put(tool)
        self.entry = EntryBox("your reading, with its unit", "check", self._check)
        self.leaf = Choice("leaf tried", "metal", [("", 0)], self.refresh)
        self.another = Press("another setting", self.next_setting)
        for part in (self.tools, self.leaf, self.entry, self.another):
            part.with_step = True
        self._start()
        super().__init__(
            left=[self.tools, self.leaf, self.entry, self.another], projector=projector
        )

    @property
    def tool(self) -> Tool:
        """The instrument to be read."""
        return self.tools.chosen

    @property
    def subject(self) -> str:
        return f"{self.tool.name}, {self.tool.unit}"

    def stand_alone(self, folder: Path | None) -> None:
        super().stand_alone(folder)
        self.tally = Tally()
        self.refresh()

    def next_setting(self) -> None:
        """Set the instrument anew."""
        self.setting = next(self._drawn)
        self.entry.clear()
        self.refresh()

    def reset(self) -> None:
        self._start()
        self.entry.clear()
        self.refresh()

    def picture(self, style: Style) -> Picture:
        name = self.tool.name
        wide, high = _WIDE.get(name, _PAGE[0]), _PAGE[1] if name in _WIDE else _LYING
        size = wide * style.frame, high * style.frame
        leaf = self.leaf.chosen or 0
        return draw(self.setting, leaf=leaf, size=size, key=self.key, style=style)

    def words(self) -> str:
        return f"Score of this session: {self.tally}."

    def _start(self) -> None:
        self._drawn = settings(self.tool, self.seed)
        self.setting = next(self._drawn)
        tried = self.tool.name == FEELER
        self.leaf.shown = tried
        shown = leaves(self.tool) if tried else [0.0]
        self.leaf.restart(
            [
                (f"{leaf:.{self.tool.decimals}f} {self.tool.unit}", place)
                for place, leaf in enumerate(shown)
            ]
        )

    def _check(self, typed: str) -> str:
        verdict = judge(self.setting, typed)
        self.tally.note(self.tool, verdict)
        if verdict.is_right:
            self.entry.locked = True
        self.refresh()
        return (
            verdict.sentence if verdict.is_right else f"{verdict.sign} {verdict.sentence}".strip()
        )


def read_the_tools(
    tool: str = "burette", unit: str = "", *, seed: int = 1, projector: bool = False
) -> Any:
    """Show an instrument at a random setting, to be read and checked.

    Args:
        tool: shown first: burette, micrometer, depth micrometer, dial indicator, vernier
            caliper or feeler gauge.
        unit: ``mL``, ``mm`` or ``in``; by default the first that the instrument has.
        seed: of the settings; the same seed gives a class the same settings.
        projector: large type and high contrast.

    Raises:
        Refused: no such instrument.

    >>> read_the_tools("micrometer", "in")
    <panel: Read the tools — micrometer, in>
    """
    return ReadTheTools(tool_named(tool, unit), seed, projector=projector)
