"""A measuring tool that is moved by hand, with what it reads in large type below it."""

from __future__ import annotations

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.large_line import Said, draw_said
from enginemath.drawing.paper.svg import Picture

STRIP = 5.4
"""Height of what stands below the tool, in the height of the type."""


def in_hand(tool: Picture, grip: Grip, reads: str, *, key: str | None = None) -> Picture:
    """A tool with a handle where a hand takes it, and its reading put together below it.

    Args:
        tool: the drawing of an instrument, see `hold` of `svg.Picture`.
        grip: the reading.
        reads: how the reading is put together.
        key: see `svg.Picture`.

    >>> from enginemath.drawing.instruments.dial_indicator import dial_indicator
    >>> grip = Grip("tool", "plunger", 6.01, 0, 9.99, 0.01, decimals=2)
    >>> in_hand(dial_indicator(6.01), grip, "small hand 6 + long hand 0.01 = 6.01 mm").title
    'small hand 6 + long hand 0.01 = 6.01 mm'
    """
    style, strip = tool.style, STRIP * tool.style.text
    picture = Picture(
        "tool-in-hand",
        tool.width,
        tool.height + strip,
        title=reads,
        description=f"{tool.title.removesuffix(', to be read')}. {tool.description}",
        key=key,
        style=style,
    )
    picture.place(tool, 0.0, 0.0)
    if tool.hold:
        picture.handle(
            Handle(
                grip.name,
                tool.hold.x,
                tool.hold.y,
                grip.value,
                grip.low,
                grip.high,
                grip.step,
                grip.unit,
                grip.decimals,
                pull=tool.hold.pull,
                says=grip.says,
            )
        )
    sum_, _, whole = reads.partition(" = ")
    draw_said(picture, [Said(f"= {whole}", "")], tool.height + 3.6 * style.text)
    picture.label(
        sum_, tool.width / 2, tool.height + 1.2 * style.text, anchor="middle",
        size=style.text + 3, kind="said-of",
    )  # fmt: skip
    return picture
