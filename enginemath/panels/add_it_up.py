"""Lesson 07: the crank is turned, the ratio is counted, the parts are taken by hand."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.drawing.cylinder.counting import counting
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.cylinder.views import section_view, stack_view
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import Stack, stack_of
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of, fuel_band, regular_fuel
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import CRANK, ONCE_ROUND, Turn, grip_of, grips_of, place_of
from enginemath.units import Number, Quantity, in_mm, nominal, show, show_ratio

PARTS, TURN, COUNT = "the parts", "the crank", "the count"
TAKEN = (dial.CHAMBER, dial.THICKNESS, dial.DECK, dial.CROWN)
"""What sets the small space and is taken by hand."""
TOP = Quantity(0.0, "degree")
ALL_LAID = 1e6
"""More than any ratio: all that fits is laid in."""


def add_it_up_numbers(engine: EngineOrName = "heron-four", cylinder: int = 1) -> dict[str, Number]:
    """The numbers of the panel `add_it_up`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine.
        cylinder: counted from 1.

    Returns:
        Volumes and squish clearance (None where the gasket's thickness is not known) as
        quantities, the ratio as a bare number, by name.

    Raises:
        Refused: no such cylinder.

    >>> numbers = add_it_up_numbers("heron-four")
    >>> print(show(numbers["clearance"], "cc"), show_ratio(numbers["ratio"]))
    68.39 cc 8.68
    """
    whole = plain(engine_of(engine))
    one = one_cylinder(whole, whole.place(cylinder))
    return _numbers(one, stack_of(one))


def _numbers(engine: Engine, volumes: Stack) -> dict[str, Number]:
    return {
        "swept": volumes.swept,
        **volumes.parts,
        "clearance": volumes.clearance,
        "ratio": volumes.ratio,
        "squish": engine.squish(),
    }


class AddItUp(EnginePanel):
    title = "Add it up"
    large = True
    pictures = (PARTS, TURN, COUNT)
    dials = (dial.CHAMBER, dial.THICKNESS, dial.GASKET_BORE, dial.DECK,
             dial.CROWN, dial.RELIEFS, dial.BORE, dial.STROKE)  # fmt: skip
    moved = ("engine", "turn", "held")

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        self.crank = Control(CRANK, TOP, "mm", self.move)
        super().__init__(engine, predict=predict, projector=projector, below=[self.crank])

    def prediction(self) -> Prediction:
        what = f"the compression ratio of cylinder {self.number + 1}"
        return Prediction(f"Your guess for {what}:", lambda: self.numbers["ratio"], asks=what)

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.found, self.held = engine, ""
        self.turn = Turn()
        self.crank.restart(TOP)

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control is self.crank:
            self.turn = self.turn.to(float(value.m_as("degree")))
        else:
            super().change(control, value)
            self.held = place_of(control)

    def hidden(self) -> list[Control]:
        hidden = super().hidden()
        if self.shows.chosen == PARTS:
            return [*hidden, self.crank]
        return [each for each in self.controls if each is not self.crank or not self._turns]

    def free(self) -> list[Control]:
        return [self.crank] if self._turns else []

    @property
    def _turns(self) -> bool:
        return bool(self.shows.chosen == TURN)

    def work_out(self) -> None:
        super().work_out()
        self.numbers = _numbers(self.engine, self.stack)

    def picture(self, style: Style) -> Picture:
        return self._draw(style, answered=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, answered=False)

    def _draw(self, style: Style, *, answered: bool) -> Picture:
        how: Any = {"unit": self.unit, "key": self.key, "style": style}
        if self._turns:
            clearance = nominal(self.numbers["clearance"].m_as("cc")) if answered else None
            turn = self.turn
            return turning(
                section_view(self.engine, turn.angle),
                turn.turned,
                clearance=clearance,
                grip=grip_of(self.crank, Quantity(turn.angle, "degree")),
                hint=not turn.once_round,
                **how,
            )
        if self.shows.chosen == COUNT or not answered:
            volumes, laid = stack_view(self.stack, self.engine), ALL_LAID if answered else None
            return counting(section_view(self.engine), volumes, laid, guess=self._guessed, **how)
        return self._parts(how)

    def _parts(self, how: dict[str, Any]) -> Picture:
        squish, found = self.numbers["squish"], stack_of(self.found)
        lines = [ratio_line(nominal(self.numbers["ratio"]), fuel_band(self.whole))]
        if squish is not None:
            lines.append(squish_line(in_mm(squish), unit=self.unit))
        gaps = ("gasket", "deck") if self.engine.gasket.compressed_thickness else ("deck",)
        return taking_hold(
            section_view(self.engine),
            lines,
            found=section_view(self.found),
            grips=grips_of((self.controls_by_dial[each] for each in TAKEN), self.engine),
            held=self.held,
            lens=gaps,
            guess=self._guessed,
            before=nominal(found.ratio),
            **how,
        )

    @property
    def _guessed(self) -> float | None:
        given = self.guess.guessed if self.guess else None
        return None if given is None else float(nominal(given))

    def waits(self) -> str:
        return "" if not self._turns or self.turn.once_round else ONCE_ROUND

    def words_before_guess(self) -> str:
        if not self._turns or not self.turn.once_round:
            return ""
        return (
            "Once round. The space is smallest with the piston at the top, largest with the "
            "piston at the bottom."
        )

    def words(self) -> str:
        if self._turns:
            return self._words_of_the_turn()
        numbers = self.numbers
        clearance, ratio = show(numbers["clearance"], "cc"), show_ratio(numbers["ratio"])
        if self.shows.chosen == COUNT:
            whole = show(numbers["swept"] + numbers["clearance"], "cc")
            return f"{clearance} fits {ratio} times into {whole}: the compression ratio is {ratio}."
        told = [
            f"Cylinder {self.number + 1}: compression ratio {ratio}",
            f"swept {show(numbers['swept'], 'cc')}",
            f"clearance {clearance}",
        ]
        if numbers["squish"] is not None:
            told.append(f"squish clearance {show(numbers['squish'], self.unit)}")
        rule = regular_fuel(self.whole)
        judged = f" {rule.says(numbers['ratio'])}" if rule else ""
        return f"{', '.join(told)}.{self.hanging_in()}{judged}"

    def _words_of_the_turn(self) -> str:
        numbers = self.numbers
        whole = numbers["swept"] + numbers["clearance"]
        return (
            f"Crank {self.turn.angle:.0f}° after top dead centre. At the top "
            f"{show(numbers['clearance'], 'cc')} is left above the piston, at the bottom "
            f"{show(whole, 'cc')}."
        )


def add_it_up(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Turn the crank, count how often the small space fits, and take the parts by hand.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> add_it_up("heron-one", predict=False)
    <panel: Add it up — Heron One>
    """
    return AddItUp(engine, projector=projector, predict=predict)
