"""Lesson 03: instruments moved by hand, instruments to read at a random setting, and the score."""

from __future__ import annotations

from dataclasses import replace
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
from enginemath.answers.tool_reading.picture import page_size
from enginemath.answers.tool_reading.pieces import in_one_line
from enginemath.answers.tool_reading.setting import Setting
from enginemath.answers.verdict import Verdict
from enginemath.drawing.instruments.in_hand import STRIP, in_hand
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, EntryBox, Press

_session = Tally()
"""The score of all panels of this session."""
TO_READ = "to be read"
"""The picture without its reading; the others are moved by hand and say what they read."""
IN_HAND = {
    "micrometer": ("thimble", Setting(tool_named("micrometer", "mm"), 87.78, 75.0)),
    "micrometer in inches": (
        "thimble, inches",
        Setting(tool_named("micrometer", "in"), 3.7925, 3.0),
    ),
    "dial indicator": ("plunger", Setting(tool_named("dial indicator", "mm"), 6.01)),
    "depth micrometer": (
        "depth thimble",
        Setting(tool_named("depth micrometer", "mm"), 86.08, 75.0),
    ),
    "burette": ("water", Setting(tool_named("burette", "mL"), 24.50)),
}
"""The tools that are moved by hand, each with the name of what is taken, at their start."""


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
    pictures = (TO_READ, *IN_HAND)

    def __init__(self, tool: Tool, seed: int, *, projector: bool):
        self.seed, self.tally = seed, _session
        options = [(f"{each.name}, {each.unit}", each) for each in TOOLS.values()]
        self.tools = Choice("instrument", "metal", options, self.reset)
        self.tools.put(tool)
        self.entry = EntryBox("your reading, with its unit", "check", self._check)
        self.leaf = Choice("leaf tried", "metal", [("", 0)], self.refresh)
        self.another = Press("another setting", self.next_setting)
        self._asking = [self.tools, self.leaf, self.entry, self.another]
        for part in self._asking:
            part.with_step = True
        self.hands = {name: self._hand(name) for name in IN_HAND}
        self.place = ""
        self._start()
        super().__init__(left=[*self._asking, *self.hands.values()], projector=projector)

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
        self.setting, self.place = next(self._drawn), ""
        self.entry.clear()
        self.refresh()

    def reset(self) -> None:
        self._start()
        self.entry.clear()
        for hand in self.hands.values():
            hand.put(hand.first)
        self.refresh()

    @property
    def in_hand(self) -> Setting | None:
        """The tool that is moved by hand now, as it stands; None where one is to be read."""
        if self.shows.chosen == TO_READ:
            return None
        _, first = IN_HAND[self.shows.chosen]
        return replace(first, reading=self.hands[self.shows.chosen].at)

    def picture(self, style: Style) -> Picture:
        moved = self.in_hand
        setting = moved or self.setting
        size = page_size(setting.tool.name, style, below=STRIP * style.text if moved else 0.0)
        if moved:
            tool = draw(moved, size=size, style=style)
            grip = self.hands[self.shows.chosen].grip()
            return in_hand(tool, grip, in_one_line(moved), key=self.key)
        leaf = self.leaf.chosen or 0
        drawn = draw(setting, leaf=leaf, size=size, key=self.key, style=style)
        drawn.look_here(self.place)
        return drawn

    def words(self) -> str:
        if self.in_hand:
            return f"{in_one_line(self.in_hand)}."
        return f"Score of this session: {self.tally}."

    def _show(self) -> None:
        for part in self._asking:
            part.shown = self.shows.chosen == TO_READ
        self.leaf.shown = self.leaf.shown and self.tool.name == FEELER
        for name, hand in self.hands.items():
            hand.shown = name == self.shows.chosen
        super()._show()

    def _hand(self, name: str) -> HandPiece:
        taken, first = IN_HAND[name]
        tool = first.tool
        ends = first.base + tool.low, first.base + tool.high
        return HandPiece(taken, "tool", ends, unit=tool.unit, step=tool.step, first=first.reading,
                         moved=lambda _: self.refresh())  # fmt: skip

    def _start(self) -> None:
        self._drawn = settings(self.tool, self.seed)
        self.setting, self.place = next(self._drawn), ""
        tried = self.tool.name == FEELER
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
        self.place = verdict.place if verdict.kind == "mistake" else ""
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
