"""A panel about one cylinder of an engine that can be chosen."""

from __future__ import annotations

from collections.abc import Sequence

import pint

from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import stack_of
from enginemath.engine.unusual import of_hanging_in
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import PartDial
from enginemath.panels.frame.engines import EngineOrName, engine_list, engine_of
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, Part
from enginemath.units import Quantity, Refused, shop_unit

LENGTHS = (("mm", "mm"), ("inch", "in"))


class EnginePanel(Panel):
    """A panel whose controls move the parts of one cylinder.

    Args:
        engine: shown first; more can be chosen.
        predict, projector: see `Panel`.
        cylinders: whether one of several cylinders can be chosen.
        extra: what stands above the dials.
        below: what stands below them.

    `whole` is the chosen engine, `engine` the one cylinder of it that the picture shows, as it
    stands now, `stack` its volumes.
    """

    dials: Sequence[PartDial] = ()
    """What can be moved, from the top of the picture down."""
    moved: tuple[str, ...] = ("engine",)
    """Attributes that controls move; they go back where a value is refused."""

    def __init__(
        self,
        engine: EngineOrName,
        *,
        predict: bool = True,
        projector: bool = False,
        cylinders: bool = True,
        extra: Sequence[Part] = (),
        below: Sequence[Part] = (),
    ):
        self.whole = plain(engine_of(engine))
        self.number = 0
        self.engine = one_cylinder(self.whole, 0)
        self.engines = engine_list(engine)
        unit = shop_unit(self.whole.cylinder.bore)
        self.engines.then = self._choose_engine
        self.lengths = Choice("lengths in", "", LENGTHS, self._choose_unit)
        self.lengths.put(unit)
        self.cylinders = Choice("cylinder", "", self._cylinder_numbers(), self._choose_cylinder)
        self.controls_by_dial = {
            dial: Control(dial, self._value(dial), unit, self.move) for dial in self.dials
        }
        for control in extra:
            if isinstance(control, Control):
                control.show_in(unit)
        self.start_from(self.engine)
        super().__init__(
            left=[*extra, *self.controls_by_dial.values(), *below],
            predict=predict, projector=projector,
            head=[self.engines, *([self.cylinders] if cylinders else []), self.lengths],
        )  # fmt: skip

    @property
    def subject(self) -> str:
        return self.whole.name

    @property
    def unit(self) -> str:
        """The unit in which lengths are shown: mm or in."""
        return self.lengths.chosen

    def change(self, control: Control, value: pint.Quantity) -> None:
        assert isinstance(control.dial, PartDial)
        self.engine = control.dial.dimension.onto(self.engine, value)

    def move(self, control: Control, value: pint.Quantity) -> None:
        before = {name: getattr(self, name) for name in self.moved}
        try:
            super().move(control, value)
        except Refused:
            self.__dict__.update(before)
            raise

    def work_out(self) -> None:
        self.stack = stack_of(self.engine)

    def hidden(self) -> Sequence[Control]:
        return [
            control
            for dial, control in self.controls_by_dial.items()
            if dial.dimension.of(self.engine) is None
        ]

    def hanging_in(self) -> str:
        """A sentence where the gasket as it stands would hang into the bore; else nothing."""
        warnings = of_hanging_in(self.engine.gasket, self.engine.cylinder.bore, self.unit)
        return "".join(f" The gasket: {warning}." for warning in warnings)

    def _value(self, dial: PartDial) -> pint.Quantity:
        """What a dial stands at; its least where the engine has no value for it."""
        value = dial.dimension.of(self.engine)
        return Quantity(dial.limit.low, dial.limit.unit) if value is None else value

    def start_from(self, engine: Engine) -> None:
        """Begin again from one cylinder; what a panel adds to it begins again too."""
        self.engine = engine

    def reset(self) -> None:
        self._start_from(one_cylinder(self.whole, self.number))

    def _choose_engine(self) -> None:
        self.whole = plain(engine_of(self.engines.chosen))
        self.number = 0
        self.cylinders.restart(self._cylinder_numbers())
        self.lengths.put(shop_unit(self.whole.cylinder.bore))
        self._show_lengths()
        self._start_from(one_cylinder(self.whole, 0))

    def _choose_cylinder(self) -> None:
        self.number = self.cylinders.chosen
        self._start_from(one_cylinder(self.whole, self.number))

    def _choose_unit(self) -> None:
        self._show_lengths()
        self._ask()
        self.refresh()

    def _show_lengths(self) -> None:
        for control in self.controls:
            control.show_in(self.unit)

    def _start_from(self, engine: Engine) -> None:
        self.start_from(engine)
        for dial, control in self.controls_by_dial.items():
            control.restart(self._value(dial))
        self._ask()
        self.refresh()

    def _ask(self) -> None:
        """Ask about the cylinder in the picture, in the unit that is shown."""
        if self.guess and not self.guess.given:
            self.guess.ask(self.named_prediction())

    def _cylinder_numbers(self) -> list[tuple[str, int]]:
        return [(str(number + 1), number) for number in range(self.whole.count)]
