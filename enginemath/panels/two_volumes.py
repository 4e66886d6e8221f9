"""Lesson 02: the volume above the piston at top and bottom dead centre, and in between."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import Stack, stack_of
from enginemath.formulas.geometry import disc
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import ANGLE_LIMIT, CRANK, Turn, grip_of
from enginemath.units import (
    CC,
    Number,
    Quantity,
    Refused,
    as_quantity,
    in_cc,
    in_mm,
    magnitude_in,
    nominal,
    read,
    show,
    show_ratio,
    unit_of,
)

TDC = read("0 deg")
QUARTER = Quantity(90.0, "degree")
VOLUMES, START = "the volumes", "the start"
STOP = 60.0
"""How far the crank may be turned before the guess, degrees: the quarter turn is what is asked."""


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
    large = True
    pictures = (VOLUMES, START)
    dials = (dial.STROKE, dial.ROD, dial.CHAMBER, dial.CROWN)
    moved = ("engine", "angle", "turn")

    def __init__(self, engine: EngineOrName, angle: str, *, projector: bool, predict: bool):
        self.first = ANGLE_LIMIT.accept(angle)
        self.crank = Control(CRANK, self.first, "mm", self.move)
        super().__init__(engine, predict=predict, projector=projector, extra=[self.crank])

    def prediction(self) -> Prediction:
        half = show(self.engine.cylinder.stroke / 2, self.unit)
        text = (
            f"Crank 90° after top dead centre. Half the stroke is {half}. "
            "How far is the piston down?"
        )
        return Prediction(
            text,
            lambda: self.engine.cylinder.piston_drop(QUARTER),
            self.unit,
            asks="how far the piston is down at 90°",
        )

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.angle = self.first
        self.turn = Turn(_degrees(self.first))
        self.crank.restart(self.first)

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control is self.crank:
            degrees = _degrees(value)
            if not self.answer_is_shown and degrees > STOP:
                raise Refused(f"stop at {STOP:g}°: guess first where the piston is at 90°")
            self.angle, self.turn = value, self.turn.to(degrees)
        else:
            super().change(control, value)

    def work_out(self) -> None:
        super().work_out()
        self.numbers = _numbers(self.engine, self.stack, self.angle)

    def free(self) -> list[Control]:
        return [self.crank] if self.shows.chosen == START else []

    def hidden(self) -> list[Control]:
        if self.shows.chosen == VOLUMES:
            return [*super().hidden()]
        return [each for each in self.controls if each is not self.crank]

    def picture(self, style: Style) -> Picture:
        return self._draw(style, in_cc(self.numbers["at_tdc"]))

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, None)

    def _draw(self, style: Style, clearance: float | None) -> Picture:
        may_turn = not self.crank.locked
        guessed = self.guess.guessed if self.guess else None
        return turning(
            section_view(self.engine, self.turn.angle),
            self.turn.turned,
            clearance=clearance,
            guess=None if guessed is None else (float(nominal(in_mm(guessed))), _degrees(QUARTER)),
            grip=grip_of(self.crank, self.angle) if may_turn else None,
            hint=may_turn and not self.turn.once_round,
            unit=self.unit,
            key=self.key,
            style=style,
        )

    def words(self) -> str:
        numbers = self.numbers
        tdc, bdc = show(numbers["at_tdc"], "cc"), show(numbers["at_bdc"], "cc")
        return (
            f"Crank {show(self.angle, 'deg')} after top dead centre: the piston is "
            f"{show(numbers['piston_down'], self.unit)} down, {show(numbers['above'], 'cc')} above "
            f"it. At bottom dead centre {bdc}, at top dead centre {tdc}: "
            f"{bdc} ÷ {tdc} = {show_ratio(numbers['ratio'])}."
        )


def _degrees(angle: pint.Quantity) -> float:
    return float(magnitude_in(unit_of("deg"), angle))


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
