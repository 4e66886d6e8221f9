"""Lesson 08: the error budget of the ratio, and the class as a measuring system."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import pint
from uncertainties import UFloat, Variable, ufloat

from enginemath.bench.how_sure.class_study import MeasuringSystem, Study, analyse
from enginemath.bench.how_sure.engine_results import result_of
from enginemath.bench.how_sure.error_budget import Budget, budget
from enginemath.bench.how_sure.labels import label_of
from enginemath.drawing.charts.budget_by_hand import HandBar, budget_by_hand
from enginemath.drawing.charts.class_readings import class_readings
from enginemath.drawing.paper.large_line import Said
from enginemath.drawing.paper.number_line import LineView, ratio_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.limits import Limit
from enginemath.engine.parts import one_cylinder
from enginemath.engine.stack import stack_of
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial
from enginemath.panels.frame.engine_panel import LENGTHS
from enginemath.panels.frame.engines import (
    EngineOrName,
    engine_list,
    engine_of,
    fuel_band,
)
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.hands import grip_of
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, Setting
from enginemath.sheets import kit_data
from enginemath.sheets.study_file import read_study
from enginemath.units import Number, Quantity, nominal, read, shop_unit, show, show_ratio

BUDGET, CLASS = "error budget", "the class's readings"
MOST = 7
"""Readings that get a slider: those that count most."""
MUCH = 10
"""As far as a bar of one's own can be pulled."""
STUDY = "class-chambers.csv"


def how_sure_numbers(engine: EngineOrName = "heron-four") -> dict[str, Any]:
    """The numbers of the panel `how_sure`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine; its cylinder 1 counts.

    Returns:
        The ratio with its uncertainty, its error budget, and the limits that hold 95 %.

    Raises:
        Refused: nothing on the sheet carries an uncertainty.

    >>> numbers = how_sure_numbers("heron-four")
    >>> show_ratio(numbers["ratio"], 3), numbers["budget"].lines[0].name
    ('8.682 ± 0.019', 'burette')
    """
    return _numbers(stack_of(one_cylinder(engine_of(engine), 0)).ratio)


def _numbers(ratio: Number) -> dict[str, Any]:
    found = budget(ratio)
    result = result_of(ratio, is_ratio=True)
    return {"ratio": ratio, "budget": found, "interval": result.interval_95}


def with_readings_of_its_own(number: UFloat) -> UFloat:
    """The same number of readings that are the same, whose ± are moved without moving others'.

    Source: a number and its readings are a straight line to first order, JCGM 100:2008, 5.1.2.

    >>> from uncertainties import ufloat
    >>> reading = ufloat(2.0, 0.1)
    >>> own = with_readings_of_its_own(3 * reading)
    >>> for each in own.derivatives:
    ...     each.std_dev = 0.5
    >>> print(own, reading)
    6.0+/-1.5 2.00+/-0.10
    """
    own = number.nominal_value
    for reading, slope in number.derivatives.items():
        own += slope * (
            ufloat(reading.nominal_value, reading.std_dev, reading.tag) - reading.nominal_value
        )
    return own


class OwnEngine:
    """An engine whose readings nobody else holds, so that their ± can be moved.

    Args:
        engine: which one.
    """

    def __init__(self, engine: EngineOrName):
        self.whole = engine_of(engine)
        self.ratio = with_readings_of_its_own(stack_of(one_cylinder(self.whole, 0)).ratio)
        self.lines = budget(self.ratio).lines[:MOST]
        self._found = {reading: reading.std_dev for reading in self.ratio.derivatives}

    def as_found(self) -> None:
        """Every ± as it was at first."""
        for reading, u in self._found.items():
            reading.std_dev = u

    def readings(self, name: str) -> list[Variable]:
        """Those of one line of the budget."""
        return [reading for reading in self._found if label_of(reading).name == name]


class HowSure(Panel):
    title = "How sure"
    large = True
    pictures = (BUDGET, CLASS)

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        self.engines = engine_list(engine)
        self.engines.then = self._choose_engine
        self.lengths = Choice("lengths in", "", LENGTHS, self._choose_unit)
        self._own: dict[int, OwnEngine] = {}
        self._read_engine()
        _class_study()  # read now, before a hand waits for it
        super().__init__(
            left=self._left(),
            head=[self.engines, self.lengths],
            predict=predict,
            projector=projector,
        )

    @property
    def subject(self) -> str:
        return self.whole.name

    def prediction(self) -> Prediction:
        return Prediction(
            f"The ratio is {show_ratio(nominal(self.ratio))}. How sure is it? Your guess for its "
            "standard uncertainty, as a bare number:",
            lambda: self.ratio.std_dev,
            above=0.0,
            decimals=3,
            asks="the standard uncertainty of the ratio",
        )

    def free(self) -> Sequence[Setting]:
        return list(self.thought.values())

    def hidden(self) -> Sequence[Control]:
        told = self.answer_is_shown and self.shows.chosen == BUDGET
        return () if told else self.controls

    def change(self, control: Control, value: pint.Quantity) -> None:
        readings = self.readings[control]
        before = [reading.std_dev for reading in readings]
        u = float(value.m_as(label_of(readings[0]).unit))
        for reading, share in zip(readings, self.shares[control], strict=True):
            reading.std_dev = share * u
        try:
            budget(self.ratio)
        except Exception:
            for reading, was in zip(readings, before, strict=True):
                reading.std_dev = was
            raise

    def _show(self) -> None:
        for bar in self.thought.values():
            bar.shown = not self.answer_is_shown and self.shows.chosen == BUDGET
        super()._show()

    def outlives_reset(self) -> list[Setting]:
        own = self.thought.values() if self.answer_is_shown else ()
        return [*super().outlives_reset(), *own]

    def reset(self) -> None:
        if not self.answer_is_shown:
            for bar in self.thought.values():
                bar.put(0)
        super().reset()
        self.refresh()

    def work_out(self) -> None:
        self.numbers = _numbers(self.ratio)

    def picture(self, style: Style) -> Picture:
        if self.shows.chosen == CLASS:
            return self._class(style)
        return self._budget(style, shown=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._budget(style, shown=False)

    def _budget(self, style: Style, *, shown: bool) -> Picture:
        found: Budget = self.numbers["budget"]
        low, high = self.numbers["interval"]
        span = max(round(14 * self.u_found, 1), 0.1)
        line = ratio_line(found.value, fuel_band(self.whole), low=found.value - 4 * span,
                          high=found.value + 4 * span, interval=(low, high))  # fmt: skip
        ratio = Said(f"ratio {show_ratio(found.value, 3)}")
        said = [
            Said(f"ratio {show_ratio(self.ratio, 3)}"),
            Said(f"95 %: {show_ratio(low)} to {show_ratio(high)}"),
        ]
        given = self.guess.guessed if self.guess else None
        return budget_by_hand(
            self._bars(found, shown),
            found.u,
            self.u_found,
            said if shown else [ratio],
            line if shown else self._bare(line),
            guess=None if given is None else float(nominal(given)),
            own=self.longest_found,
            shown=shown,
            key=self.key,
            style=style,
        )

    def _bare(self, line: LineView) -> LineView:
        return replace(line, interval=None)

    def _bars(self, found: Budget, shown: bool) -> list[HandBar]:
        """The sources that count most, each with what one unit of its ± adds.

        The largest comes first; before a guess they go by name, so that none is given away.
        """
        lines = {line.name: line for line in found.lines}
        bars = []
        for control, readings in self.readings.items():
            name = label_of(readings[0]).name
            line = lines.get(name)
            unit = label_of(readings[0]).unit
            at = Quantity(max(r.std_dev for r in readings), _unit_read(unit))
            own, grip = self.thought[control], None
            if own.shown:
                grip = own.grip()
            elif shown and control.shown and not control.locked:
                grip = grip_of(control, at, "bar")
            bars.append(
                HandBar(
                    name,
                    f"± {show(at, control.unit)}",
                    line.contribution if line else 0.0,
                    line.share if line else 0.0,
                    _part_of(name),
                    grip,
                    self.of_one[control] * in_unit(control.unit, unit),
                    own.at / MUCH,
                )
            )
        if shown:
            return bars
        bars.sort(key=lambda bar: bar.name)
        if bars[0].grip and not any(bar.thought for bar in bars):
            bars[0] = replace(bars[0], grip=replace(bars[0].grip, first=True))
        return bars

    def words_before_guess(self) -> str:
        longest = self._longest()
        return f"You trust this least: {longest}." if longest else ""

    def _longest(self) -> str:
        """The one source whose bar the student pulled out furthest; empty where there is none."""
        most = max(bar.at for bar in self.thought.values())
        names = [self._name_of(each) for each, bar in self.thought.items() if bar.at == most]
        return names[0] if most and len(names) == 1 else ""

    def _name_of(self, control: Control) -> str:
        return label_of(self.readings[control][0]).name

    def words(self) -> str:
        if self.shows.chosen == CLASS:
            _, system = _class_study()
            apart = ", ".join(check.group for check in system.out_of_line)
            look = f" Look again at group {apart}." if apart else ""
            return f"Repeatability {system.repeatability:.2f} {system.unit}, reproducibility " + (
                f"{system.reproducibility:.2f} {system.unit}; {system.verdict()}.{look}"
            )
        found: Budget = self.numbers["budget"]
        low, high = (show_ratio(end, 3) for end in self.numbers["interval"])
        longest = self._longest()
        thought = f" You thought: {longest}." if longest else ""
        return (
            f"Cylinder 1: compression ratio {show_ratio(self.ratio, 3)} (one standard "
            f"uncertainty); 95 %: {low} to {high}. {found.advice().capitalize()}.{thought}"
        )

    def _class(self, style: Style) -> Picture:
        study, system = _class_study()
        readings = {
            chamber: {
                group: study.readings[row][place] for row, group in enumerate(study.groups)
            }
            for place, chamber in enumerate(study.chambers)
        }  # fmt: skip
        apart = {check.group for check in system.out_of_line}
        size = style.framed(956, 716)
        return class_readings(
            readings, unit=study.unit, stands_off=apart, size=size, key=self.key, style=style
        )

    def _read_engine(self) -> None:
        place = self.engines.place
        if place not in self._own:
            self._own[place] = OwnEngine(self.engines.chosen)
        own = self._own[place]
        own.as_found()
        self.whole, self.ratio = own.whole, own.ratio
        self.readings: dict[Control, list[Variable]] = {}
        self.thought: dict[Control, HandPiece] = {}
        self.shares: dict[Control, list[float]] = {}
        self.lengths.put(shop_unit(self.whole.cylinder.bore))
        self.of_one: dict[Control, float] = {}
        self.u_found = float(self.ratio.std_dev)
        self.longest_found = own.lines[0].contribution
        for line in own.lines:
            readings = own.readings(line.name)
            largest = max(readings, key=lambda reading: reading.std_dev)
            first = Quantity(largest.std_dev, _unit_read(label_of(largest).unit))
            control = Control(_dial(line.name, first), first, self.lengths.chosen, self.move)
            self.readings[control] = readings
            self.thought[control] = HandPiece(
                f"my bar: {line.name}", _part_of(line.name), (0, MUCH), unit=f"of {MUCH}",
                moved=lambda _: self.refresh(),
            )  # fmt: skip
            self.of_one[control] = line.contribution / largest.std_dev if largest.std_dev else 0.0
            self.shares[control] = [r.std_dev / largest.std_dev for r in readings]

    def _choose_unit(self) -> None:
        for control in self.readings:
            control.show_in(self.lengths.chosen)

    def _left(self) -> list[Any]:
        return [*self.thought.values(), *self.readings]

    def _choose_engine(self) -> None:
        self._read_engine()
        self.stand_left(self._left())
        if self.guess and not self.guess.given:
            self.guess.ask(self.named_prediction())
        self.refresh()


@cache
def _class_study() -> tuple[Study, MeasuringSystem]:
    """The kit's class, and what it measures with."""
    study = read_study(kit_data.path(STUDY))
    return study, analyse(study)


@cache
def _unit_read(unit: str) -> pint.Unit:
    """The unit that stands after a number, looked up once."""
    return read(f"1 {unit}").units


@cache
def in_unit(one: str, unit: str) -> float:
    """One of a unit in another."""
    return float(Quantity(1.0, one).m_as(unit))


_PARTS = (
    ("burette", "water"),
    ("pour scatter", "chamber"),
    ("rock", "deck"),
    ("chamber", "chamber"),
    ("fill", "chamber"),
    ("gasket", "gasket"),
    ("thickness", "gasket"),
    ("deck", "deck"),
    ("land", "crevice"),
    ("dish", "crown"),
    ("dome", "crown"),
    ("reliefs", "crown"),
    ("known depth", "crown"),
    ("poured", "crown"),
    ("bore", "swept"),
    ("stroke", "swept"),
    ("depth at", "swept"),
)


def _part_of(name: str) -> str:
    """The part that a reading belongs to, by its name."""
    return next((part for word, part in _PARTS if word in name), "metal")


def _dial(name: str, first: pint.Quantity) -> Dial:
    unit, step = ("cc", {"cc": 0.01}) if first.is_compatible_with("cc") else ("mm", _STEP)
    most = max(5 * float(first.m_as(unit)), 10 * step[unit])
    limit = Limit(f"standard uncertainty of {name}", unit, 0, 20 * most)
    return Dial(f"± {name}", _part_of(name), limit, step, whole=(0, most))


_STEP = {"mm": 0.002, "in": 0.0001}


def how_sure(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show which reading makes the ratio unsure, and how well the class measures.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> how_sure("heron-four")
    <panel: How sure — Heron Four>
    """
    return HowSure(engine, projector=projector, predict=predict)
