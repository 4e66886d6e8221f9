"""Lesson 07: the stack of volumes and the ratio they make."""

from __future__ import annotations

from typing import Any

from enginemath.drawing.cylinder.overview import overview, section_alone
from enginemath.drawing.paper.number_line import ratio_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import Stack, stack_of
from enginemath.panels.frame import dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of, fuel_band, regular_fuel
from enginemath.panels.frame.guess import Question
from enginemath.units import Number, show, show_ratio


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
    dials = (dial.CHAMBER, dial.THICKNESS, dial.GASKET_BORE, dial.DECK,
             dial.CROWN, dial.RELIEFS, dial.BORE, dial.STROKE)  # fmt: skip

    def question(self) -> Question:
        text = f"Your guess for the compression ratio of cylinder {self.number + 1}:"
        return Question(text, lambda: self.numbers["ratio"])

    def work_out(self) -> None:
        super().work_out()
        self.numbers = _numbers(self.engine, self.stack)

    def picture(self, style: Style) -> Picture:
        line = ratio_line(self.numbers["ratio"], fuel_band(self.whole))
        return overview(self.engine, self.stack, line, unit=self.unit, key=self.key, style=style)

    def picture_before_guess(self, style: Style) -> Picture:
        return section_alone(self.engine, unit=self.unit, key=self.key, style=style)

    def words(self) -> str:
        numbers = self.numbers
        squish = numbers["squish"]
        told = [
            f"Cylinder {self.number + 1}: compression ratio {show_ratio(numbers['ratio'])}",
            f"swept {show(numbers['swept'], 'cc')}",
            f"clearance {show(numbers['clearance'], 'cc')}",
        ]
        if squish is not None:
            told.append(f"squish clearance {show(squish, self.unit)}")
        rule = regular_fuel(self.whole)
        judged = f" {rule.says(numbers['ratio'])}" if rule else ""
        return f"{', '.join(told)}.{self.hanging_in()}{judged}"


def add_it_up(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show the stack of volumes of one cylinder and the ratio that it makes.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> add_it_up("heron-one", predict=False)
    <panel: Add it up — Heron One>
    """
    return AddItUp(engine, projector=projector, predict=predict)
