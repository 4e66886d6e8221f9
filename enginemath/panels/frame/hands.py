"""What a panel and its large drawing share: each control that the hand takes is a grip there."""

from __future__ import annotations

from collections.abc import Iterable

from enginemath.drawing.cylinder.grips import Grip
from enginemath.engine.limits import Limit
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial

ANGLE_LIMIT = Limit("crank angle", "deg", 0, 360)
CRANK = Dial("crank angle", "metal", ANGLE_LIMIT, {"deg": 1.0}, whole=(0, 360))
"""The crank, turned by its pin."""
_PLACES = {
    dial.BORE: "bore",
    dial.STROKE: "stroke",
    dial.CHAMBER: "chamber",
    dial.THICKNESS: "gasket",
    dial.DECK: "deck",
    dial.CROWN: "crown",
    CRANK: "crank",
}
"""Where the drawing has a dial's handle."""


def place_of(control: Control) -> str:
    """The part that a control takes hold of in the large drawing; empty for none."""
    return _PLACES.get(control.dial, "")


def grip_of(control: Control, says: str = "") -> Grip:
    """A control as the drawing's grip.

    Args:
        control: one that has a handle in the drawing.
        says: what a screen reader adds to the number.
    """
    unit = "°" if control.unit == "deg" else control.unit
    return Grip(
        place_of(control), control.name, control.at, control.low, control.high, control.step, unit,
        _decimals(unit), says,
    )  # fmt: skip


def grips_of(controls: Iterable[Control]) -> list[Grip]:
    """The grips of all controls that can be touched now."""
    return [grip_of(each) for each in controls if each.shown and not each.locked and place_of(each)]


def _decimals(unit: str) -> int:
    return {"°": 0, "cc": 2, "in": 4}.get(unit, 3)
