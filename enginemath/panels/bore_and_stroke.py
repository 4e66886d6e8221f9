"""Lesson 01: swept volume and displacement, overbore and stroke."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pint

from enginemath.bench.measuring import bore_after_overbore
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine import limits
from enginemath.engine.parts import Cylinder, Engine
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import grips_of
from enginemath.panels.frame.setting import Choice
from enginemath.units import Number, in_cc, nominal, read, show
from enginemath.units.words import count

OVERBORE = Dial(
    "overbore", "swept", limits.OVERBORE, {"mm": 0.05, "in": 0.005}, whole=(0, 2.0)
)  # fmt: skip
LARGER = {"mm": read("1.00 mm"), "in": read("40 thou")}
NO_OVERBORE = read("0 mm")
MOST = 12


def bore_and_stroke_numbers(
    bore: str | pint.Quantity,
    stroke: str | pint.Quantity,
    cylinders: int = 1,
    *,
    overbore: str | pint.Quantity = NO_OVERBORE,
) -> dict[str, Number]:
    """The numbers of the panel `bore_and_stroke`, without the panel.

    Args:
        bore, stroke: lengths.
        cylinders: how many.
        overbore: on the diameter, a length.

    Returns:
        The bore after boring out, the swept volume of one cylinder and the displacement.

    >>> numbers = bore_and_stroke_numbers("92.0 mm", "88.5 mm", 4, overbore="0.50 mm")
    >>> show(numbers["swept"], "cc"), show(numbers["displacement"], "cc")
    ('594.73 cc', '2378.90 cc')
    """
    after = bore_after_overbore(bore, overbore)
    swept = Cylinder(after, stroke).swept
    return {"bore": after, "swept": swept, "displacement": cylinders * swept}


class BoreAndStroke(EnginePanel):
    title = "Bore and stroke"
    large = True
    dials = (dial.BORE, dial.STROKE)
    moved = ("engine", "over")

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        self.over = NO_OVERBORE
        self.over_control = Control(OVERBORE, self.over, "mm", self.move)
        self.how_many = Choice(
            "cylinders", "swept", [(str(number), number) for number in range(1, MOST + 1)],
            self.refresh,
        )  # fmt: skip
        super().__init__(
            engine,
            predict=predict,
            projector=projector,
            cylinders=False,
            extra=[self.how_many, self.over_control],
        )

    def prediction(self) -> Prediction:
        over, numbers = LARGER[self.unit], self._numbers(NO_OVERBORE)
        after = self._numbers(over)
        text = (
            f"The displacement is {show(numbers['displacement'], 'cc')}. Bored out by "
            f"{show(over, self.unit)}, it grows by how many cc?"
        )
        grows = after["displacement"] - numbers["displacement"]
        asks = f"more displacement, bored out by {show(over, self.unit)}"
        return Prediction(text, lambda: grows, "cc", asks=asks)

    def _numbers(self, over: pint.Quantity) -> dict[str, Number]:
        cylinder = self.engine.cylinder
        return bore_and_stroke_numbers(
            cylinder.bore, cylinder.stroke, self.how_many.chosen, overbore=over
        )

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.found = engine
        self.over = NO_OVERBORE
        self.over_control.restart(NO_OVERBORE)
        self.how_many.put(min(self.whole.count, MOST))

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control is self.over_control:
            self.over = value
        else:
            super().change(control, value)

    def work_out(self) -> None:
        self.numbers = self._numbers(self.over)

    def picture(self, style: Style) -> Picture:
        return self._draw(style, answered=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, answered=False)

    def _draw(self, style: Style, answered: bool) -> Picture:
        engine = self.engine
        guessed = self.guess.guessed if self.guess else None
        bored = replace(engine, cylinder=replace(engine.cylinder, bore=self.numbers["bore"]))
        return sizing(
            section_view(bored),
            cylinders=self.how_many.chosen,
            tell=answered,
            found=section_view(self.found),
            guess=None if guessed is None else float(nominal(in_cc(guessed))),
            grips=grips_of(self.controls_by_dial.values(), engine),
            key=self.key,
            style=style,
        )

    def words(self) -> str:
        numbers, unit = self.numbers, self.unit
        cylinders = count(self.how_many.chosen, "cylinder")
        shown = [show(numbers["displacement"], name) for name in ("cc", "l", "cu_in")]
        measured = show(self.whole.displacement, "cc")
        moved = f" Dashed: the engine as measured, {measured}."
        return (
            f"π/4 × bore {show(numbers['bore'], unit)} squared × stroke "
            f"{show(self.engine.cylinder.stroke, unit)} = swept {show(numbers['swept'], 'cc')}; "
            f"{cylinders}: displacement {', '.join(shown)}.{'' if shown[0] == measured else moved}"
        )


def bore_and_stroke(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show the swept volume of a cylinder and the displacement of all.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> bore_and_stroke("heron-four")
    <panel: Bore and stroke — Heron Four>
    """
    return BoreAndStroke(engine, projector=projector, predict=predict)
