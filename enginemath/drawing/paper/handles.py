"""Handles: marks in a picture that a hand, a key or a screen reader moves; and places to look at.

A handle is written as a slider of the open accessibility standard (WAI-ARIA 1.2, ``slider``), named
as the dimension that it moves. What a script needs to move it stands beside that:

- ``data-handle``: the name;
- ``data-pull``: px right and down for one unit, in the picture's own coordinates; or
- ``data-turn``: the middle that it turns round, px; degrees run clockwise;
- ``data-step``, ``data-unit``, ``data-decimals``.

A place is an unseen circle of class ``em-part-…`` around a named part, for a ring to be put there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from enginemath.drawing.paper.coordinates import px
from enginemath.drawing.paper.palette import Style
from enginemath.units import fixed

RING = "#a84300"
"""The colour of the ring that points; dark enough for letters (7:1 on white)."""
TAKE = "#0072b2"
"""The colour of the ring around what the hand takes first."""
KNOB = 13.0
"""Radius of a handle's knob, px of the page."""
_RING, _REACH = 19.0, 24.0
"""Radii of a handle's focus ring and of what a finger hits, px of the page."""
_SHAFT, _HEAD = 8.0, 4.0


@dataclass(frozen=True)
class Handle:
    """A mark in a picture that moves a number.

    Args:
        name: the dimension.
        x, y: where it is, px.
        value, low, high, step: of the number, in its unit.
        unit: ``mm``, ``in``, ``cc``, ``°`` or empty.
        decimals: of the number.
        pull: px right and down for one unit.
        turn: the middle that it is turned round, px, in place of a pull.
        says: what a screen reader adds to the number.
        words: what it says in place of the number, where it goes along a list.
        first: whether the hand takes it first: it wears a ring until it was moved.

    >>> Handle("deck clearance", 40, 60, 0.35, 0, 2, 0.01, pull=(0, 30)).told
    '0.350 mm'
    """

    name: str
    x: float
    y: float
    value: float
    low: float
    high: float
    step: float
    unit: str = "mm"
    decimals: int = 3
    pull: tuple[float, float] | None = None
    turn: tuple[float, float] | None = None
    says: str = ""
    words: str = ""
    first: bool = False

    @property
    def told(self) -> str:
        """The number with its unit, and what goes with it; or the words in their place."""
        if self.words:
            return self.words
        number = fixed(self.value, self.decimals)
        space = "" if self.unit == "°" else " "
        return ", ".join(filter(None, (f"{number}{space}{self.unit}".rstrip(), self.says)))

    @property
    def upright(self) -> bool:
        """Whether it is moved up and down rather than across."""
        return self.pull is not None and abs(self.pull[1]) > abs(self.pull[0])

    def marks(self) -> dict[str, str]:
        """The attributes by which a page and a screen reader know the handle."""
        way = {}
        if self.pull:
            way = {"data-pull": f"{self.pull[0]:.4g} {self.pull[1]:.4g}"}
        elif self.turn:
            way = {"data-turn": f"{px(self.turn[0])} {px(self.turn[1])}"}
        return {
            "role": "slider",
            "tabindex": "0",
            "aria-label": self.name,
            "aria-orientation": "vertical" if self.upright else "horizontal",
            "aria-valuemin": f"{self.low:g}",
            "aria-valuemax": f"{self.high:g}",
            "aria-valuenow": f"{round(self.value, 6):g}",
            "aria-valuetext": self.told,
            "data-handle": self.name,
            **way,
            "data-step": f"{self.step:g}",
            "data-unit": self.unit,
            "data-decimals": str(self.decimals),
        }

    def drawn(self, style: Style) -> str:
        """The knob around its own middle, with the arrows of its way."""
        size = style.frame
        knob, ring, reach = KNOB * size, _RING * size, _REACH * size
        dash = f"{5 * size:g} {4 * size:g}"
        hint = f'stroke="{TAKE}" stroke-dasharray="{dash}"' if self.first else 'stroke="none"'
        return (
            f'<circle class="em-handle-reach" r="{reach:g}" fill="{style.paper}" fill-opacity="0" '
            f'stroke="none"/>'
            f'<circle class="em-handle-focus" r="{ring:g}" fill="none" {hint} '
            f'stroke-width="{3 * size:g}"/>'
            f'<circle class="em-handle-knob" r="{knob:g}" fill="{style.paper}" '
            f'stroke="{style.ink}" stroke-width="{1.8 * size:g}"/>'
            f'<path d="{_arrows(self, size)}" fill="none" stroke="{style.ink}" '
            f'stroke-width="{1.6 * size:g}" stroke-linecap="round" stroke-linejoin="round"/>'
        )


def _arrows(handle: Handle, size: float) -> str:
    """Two arrowheads on a shaft along the pull; on what turns, a curved one."""
    if handle.pull is None:
        round_, head = 6.5 * size, 3.6 * size
        return (
            f"M{px(-round_)} 0A{px(round_)} {px(round_)} 0 1 1 0 {px(round_)}"
            f"M{px(0.8 * head)} {px(round_ - head)}L{px(-0.8 * head)} {px(round_)}"
            f"L{px(0.8 * head)} {px(round_ + head)}Z"
        )
    across, down = handle.pull
    long = math.hypot(across, down) or 1.0
    i, j = across / long, down / long
    drawn = f"M{px(-_SHAFT * size * i)} {px(-_SHAFT * size * j)}"
    drawn += f"L{px(_SHAFT * size * i)} {px(_SHAFT * size * j)}"
    for side in (-1, 1):
        tip = side * _SHAFT * size
        back = tip - side * _HEAD * size
        half = 0.9 * _HEAD * size
        drawn += (
            f"M{px(back * i - half * j)} {px(back * j + half * i)}L{px(tip * i)} {px(tip * j)}"
            f"L{px(back * i + half * j)} {px(back * j - half * i)}"
        )
    return drawn


@dataclass(frozen=True)
class Hold:
    """Where a measuring tool is taken by hand, and its way for one unit of its scale: px."""

    x: float
    y: float
    pull: tuple[float, float]


@dataclass(frozen=True)
class Place:
    """Where a part of a picture is, for a ring to be put around it: px.

    Args:
        x, y: its middle.
        radius: of the ring.
        wide: half the width of a ring that is drawn out level, around a line of writing.
    """

    x: float
    y: float
    radius: float
    wide: float = 0.0
