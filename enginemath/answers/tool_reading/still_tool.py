"""A measuring tool as a still picture in a lesson, and what a reading of it shows."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from html import escape
from itertools import islice

from enginemath.answers.tool_reading.judging import judge
from enginemath.answers.tool_reading.picture import draw, page_size
from enginemath.answers.tool_reading.setting import Setting, settings
from enginemath.answers.tool_reading.tools import FEELER, tool_named
from enginemath.answers.verdict import Verdict
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.units import Refused, kind, read, read_as, shop_unit, unit_of

SEED = 3
"""Of the settings in the lessons: the same for every student."""


@dataclass(frozen=True)
class StillTool:
    """A tool at a setting, shown as a picture; its text names the marks, not the reading."""

    setting: Setting

    def __post_init__(self) -> None:
        if self.setting.tool.name == FEELER:
            raise Refused(f"{self.setting.tool.name}: is felt and not read off a still picture")

    @property
    def picture(self) -> Picture:
        """The drawing."""
        return draw(self.setting, key="tool")

    def drawn_in(self, style: Style) -> Picture:
        """The drawing as a page shows it."""
        size = page_size(self.setting.tool.name, style)
        return draw(self.setting, size=size, key="tool", style=style)

    def __repr__(self) -> str:
        return f"{self.picture.title}. {self.picture.description}"

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        data = b64encode(self.picture.svg().encode()).decode()
        image = f'<img alt="{escape(repr(self))}" style="max-width:100%;max-height:460px" '
        source = f'src="data:image/svg+xml;base64,{data}">'
        return {"text/plain": repr(self), "text/html": image + source}


def show_tool(tool: str, reading: str, *, base: str = "") -> StillTool:
    """A tool at a reading that is known.

    Args:
        tool: burette, micrometer, depth micrometer, dial indicator or vernier caliper.
        reading: with its unit, mm, in or mL.
        base: smallest opening of a micrometer's frame, or what its rod adds; zero if left out.

    Raises:
        Refused: no such tool in this unit, or a reading off its scale.

    >>> show_tool("micrometer", "1.61 mm")
    Outside micrometer 0–25 mm, to be read. Range 0–25 mm. Sleeve: 3 lines past the number 0. \
Thimble: line 11 on the datum line.
    """
    size = read(reading)
    unit = shop_unit(size) if kind(size.units) == "a length" else "mL"
    shown = tool_named(tool, unit)
    value, begins = (
        float(read_as(text, unit).m_as(unit_of(unit))) for text in (reading, base or f"0 {unit}")
    )
    if not 0 <= value - begins <= shown.high:
        raise Refused(f"{tool}: {reading} is off its scale")
    return StillTool(Setting(shown, value, begins))


def tool_to_read(tool: str, unit: str, number: int = 1) -> StillTool:
    """A tool at a setting that nobody tells.

    Args:
        tool, unit: see `show_tool`.
        number: which setting, counted from 1; any number has one.

    Raises:
        Refused: no such tool in this unit.

    >>> tool_to_read("dial indicator", "mm", 1)
    Dial indicator to be read. Divisions of 0.01 mm. Long hand on 67 of 100; counter hand \
between 6 and 7.
    """
    drawn = settings(tool_named(tool, unit), SEED)
    return StillTool(next(islice(drawn, number - 1, None)))


def judge_reading(still: StillTool, text: str) -> Verdict:
    """Judge what a student read, whatever is written.

    Args:
        still: the tool as it was shown.
        text: what the student wrote.

    >>> judge_reading(tool_to_read("dial indicator", "mm", 1), "0.67 mm").sentence
    'not yet. What does the small hand count? Is it in your reading?'
    """
    return judge(still.setting, text)
