"""What a panel and its large drawing share: each control that the hand takes is a grip there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pint

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.turning import Stretch, turned_on
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Engine
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial, PartDial
from enginemath.units import magnitude_in, nominal, unit_of

ANGLE_LIMIT = Limit("crank angle", "deg", 0, 360)
CRANK = Dial("crank angle", "metal", ANGLE_LIMIT, {"deg": 1.0}, whole=(0, 360))
"""The crank, turned by its pin."""
ONCE_ROUND = "Turn it once round first. By keys: Page Up."
"""What the crank waits for."""
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


@dataclass(frozen=True)
class Turn:
    """Where the crank is, and where it has been.

    Args:
        angle: degrees after top dead centre.
        turned: the stretches of the turn that it went through, degrees.

    >>> Turn(350.0).to(10.0).turned
    ((0.0, 10.0), (350.0, 360.0))
    """

    angle: float = 0.0
    turned: tuple[Stretch, ...] = ()

    def to(self, angle: float) -> Turn:
        """Turned on, the shorter way: from 350° to 10° it goes on, not back."""
        way = (angle - self.angle + 180) % 360 - 180
        return Turn(angle, turned_on(self.turned, self.angle, self.angle + way))

    @property
    def once_round(self) -> bool:
        """Whether it has been nearly everywhere."""
        return sum(b - a for a, b in self.turned) >= 300


def place_of(control: Control) -> str:
    """The part that a control takes hold of in the large drawing; empty for none."""
    return _PLACES.get(control.dial, "")


def grip_of(control: Control, value: pint.Quantity, place: str = "", says: str = "") -> Grip:
    """A control as the drawing's grip.

    Args:
        control: one that has a handle in the drawing.
        value: where it stands; while it moves the control itself is still where it was.
        place: where the drawing has its handle; by default where its dial's is.
        says: what a screen reader adds to the number.
    """
    unit = "°" if control.unit == "deg" else control.unit
    at = nominal(magnitude_in(unit_of(control.unit), value))
    low, high = min(control.low, at), max(control.high, at)
    decimals = _decimals(unit)
    at_place = place or place_of(control)
    return Grip(at_place, control.name, at, low, high, control.step, unit, decimals, says)


def grips_of(controls: Iterable[Control], engine: Engine) -> list[Grip]:
    """The grips of all controls that can be touched now.

    Args:
        controls: each for a dimension of the engine.
        engine: as it stands, one cylinder.
    """
    grips = []
    for control in controls:
        if isinstance(control.dial, PartDial) and place_of(control):
            value = control.dial.dimension.of(engine)
            if value is not None and control.shown and not control.locked:
                grips.append(grip_of(control, value))
    return grips


def _decimals(unit: str) -> int:
    return {"°": 0, "cc": 2, "in": 4}.get(unit, 3)
