"""Lesson 02: the volume above the piston at top and bottom dead centre, and in between."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.drawing.charts.volume_angle import VolumeView, volume_against_angle
from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.layout import row
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import Stack, stack_of
from enginemath.formulas.geometry import disc
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of
from enginemath.panels.frame.guess import Question
from enginemath.units import (
    CC,
    Number,
    Quantity,
    as_quantity,
    in_cc,
    magnitude_in,
    read,
    show,
    show_ratio,
    unit_of,
)

ANGLE_LIMIT = Limit("crank angle", "deg", 0, 360)
ANGLE = Dial("crank angle", "metal", ANGLE_LIMIT, {"deg": 1.0}, whole=(0, 360))
TDC = read("0 deg")
QUARTER = Quantity(90.0, "degree")


def two_volumes_numbers(
    engine: EngineOrName = "heron-four", angle: str | pint.Quantity = TDC
) -> dict[str, Number]:
    """The numbers of the panel `two_volumes`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine; its cylinder 1 counts.
        angle: of the crank after top dead centre.

    Returns:
        How far the piston is down and the volumes above it - at the angle, at top and at bottom
        dead centre - as quantities, and the ratio of the last two, by name.

    Raises:
        Refused: the engine's rod length is not known.

    >>> numbers = two_volumes_numbers("heron-four", "90 deg")
    >>> show(numbers["piston_down"], "mm"), show(numbers["above"], "cc")
    ('49.527 mm', '371.96 cc')
    """
    one = one_cylinder(plain(engine_of(engine)), 0)
    return _numbers(one, stack_of(one), ANGLE_LIMIT.accept(as_quantity(angle)))


def _numbers(engine: Engine, volumes: Stack, angle: pint.Quantity) -> dict[str, Number]:
    down = engine.cylinder.piston_drop(angle)
    return {
        "piston_down": down,
        "above": volumes.clearance + disc(engine.cylinder.bore, down).to(CC),
        "at_tdc": volumes.clearance,
        "at_bdc": volumes.clearance + volumes.swept,
        "ratio": volumes.ratio,
    }


class TwoVolumes(EnginePanel):
    title = "Two volumes, one ratio"
    dials = (dial.STROKE, dial.ROD, dial.CHAMBER, dial.CROWN)
    moved = ("engine", "angle")

    def __init__(self, engine: EngineOrName, angle: str, *, projector: bool, predict: bool):
        self.first = ANGLE_LIMIT.accept(angle)
        self.crank = Control(ANGLE, self.first, "mm", self.move)
        super().__init__(engine, predict=predict, projector=projector, extra=[self.crank])

    def question(self) -> Question:
        half = show(self.engine.cylinder.stroke / 2, self.unit)
        text = (
            f"Crank 90° after top dead centre. Half the stroke is {half}. "
            "How far is the piston down?"
        )
        return Question(text, lambda: self.engine.cylinder.piston_drop(QUARTER), self.unit)

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.angle = self.first
        self.crank.restart(self.first)

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control is self.crank:
            self.angle = value
        else:
            super().change(control, value)

    def work_out(self) -> None:
        super().work_out()
        self.numbers = _numbers(self.engine, self.stack, self.angle)

    def picture(self, style: Style) -> Picture:
        return self._draw(style, float(magnitude_in(unit_of("deg"), self.angle)), answered=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, 0.0, answered=False)

    def _draw(self, style: Style, angle: float, answered: bool) -> Picture:
        large, numbers = style.enlargement, self.numbers
        view = section_view(self.engine, angle)
        if not answered:
            return section(view, unit=self.unit, size=(850 * large, 480 * large), key=self.key,
                           style=style)  # fmt: skip
        high = 480 * large
        left = section(view, unit=self.unit, size=(545 * large, high), style=style)
        least, rod = in_cc(numbers["at_tdc"]), view.rod_length or 0.0
        offset = view.pin_offset
        turn = VolumeView(view.bore, view.stroke, rod, least, angle, pin_offset=offset)
        right = volume_against_angle(turn, size=(305 * large, high), style=style)
        title = f"{left.title}: {show(numbers['above'], 'cc')} above the piston"
        return row((left, right), title=title, key=self.key)

    def words(self) -> str:
        numbers = self.numbers
        tdc, bdc = show(numbers["at_tdc"], "cc"), show(numbers["at_bdc"], "cc")
        return (
            f"Crank {show(self.angle, 'deg')} after top dead centre: the piston is "
            f"{show(numbers['piston_down'], self.unit)} down, {show(numbers['above'], 'cc')} above "
            f"it. At bottom dead centre {bdc}, at top dead centre {tdc}: "
            f"{bdc} ÷ {tdc} = {show_ratio(numbers['ratio'])}."
        )


def two_volumes(
    engine: EngineOrName = "heron-four",
    angle: str = "0 deg",
    *,
    projector: bool = False,
    predict: bool = True,
) -> Any:
    """Turn the crank and watch the volume above the piston.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        angle: of the crank after top dead centre at the start.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    Raises:
        Refused: the engine's rod length is not known.

    >>> two_volumes("heron-four")
    <panel: Two volumes, one ratio — Heron Four>
    """
    two_volumes_numbers(engine, angle)
    return TwoVolumes(engine, angle, projector=projector, predict=predict)
