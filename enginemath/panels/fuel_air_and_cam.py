"""Lesson 10: the crank turned until the intake traps; altitude, fuel and cranking pressure."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import Any

import pint

from enginemath.drawing.charts.pressure_volume import Curve
from enginemath.drawing.charts.volume_angle import VolumeView
from enginemath.drawing.cylinder.trapping import Hill, trapping
from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.large_line import Said, said_of
from enginemath.drawing.paper.number_line import ratio_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine import dimensions
from enginemath.engine.cycle import compressed_pressure, otto_efficiency
from enginemath.engine.fuel import fuel_advice
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.rules_of_thumb import EFFECTIVE_RATIO, fuel_rule
from enginemath.engine.running import POLYTROPIC_EXPONENT, cranking
from enginemath.engine.stack import Stack, stack_of
from enginemath.formulas import atmosphere
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import PartDial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, band_of, engine_of
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import CRANK, ONCE_ROUND, Turn, grip_of
from enginemath.panels.frame.setting import Choice
from enginemath.units import (
    Number,
    Quantity,
    Refused,
    in_cc,
    magnitude_in,
    nominal,
    show,
    show_ratio,
    unit_of,
)

INTAKE = PartDial(
    "intake closes, after BDC", "metal", {"deg": 1.0}, whole=(0, 100),
    dimension=dimensions.INTAKE_CLOSES,
)  # fmt: skip
ALTITUDE = PartDial(
    "altitude", "metal", {"m": 20.0, "ft": 50.0}, whole=(0, 4000), dimension=dimensions.ALTITUDE
)
FUELS = (87, 89, 91, 93)
HEADS = ("iron", "aluminium")
_POINTS = 30
PRESSURE, TURN = "the pressure", "the crank"
TOP = Quantity(0.0, "degree")


def fuel_air_and_cam_numbers(engine: EngineOrName = "heron-four") -> dict[str, Number]:
    """The numbers of the panel `fuel_air_and_cam`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine; its cylinder 1 counts.

    Returns:
        Static and effective ratio and the air-standard efficiency as bare numbers, cranking
        pressure absolute and gauge as quantities, by name.

    Raises:
        Refused: no rod length or no intake closing on the sheet.

    >>> numbers = fuel_air_and_cam_numbers("heron-four")
    >>> show_ratio(numbers["effective_ratio"]), show(numbers["gauge"], "kPa")
    ('7.57', '1085 kPa')
    """
    one = one_cylinder(plain(engine_of(engine)), 0)
    return _numbers(one, stack_of(one))


def _numbers(engine: Engine, volumes: Stack) -> dict[str, Number]:
    on_the_starter, ratio = cranking(engine), volumes.ratio
    return {
        "ratio": ratio,
        "effective_ratio": on_the_starter.effective_ratio,
        "ambient": on_the_starter.ambient,
        "pressure": on_the_starter.pressure,
        "gauge": on_the_starter.gauge,
        "efficiency": otto_efficiency(ratio),
    }


class FuelAirAndCam(EnginePanel):
    title = "Fuel, air and cam"
    large = True
    pictures = (TURN, PRESSURE)
    dials = (INTAKE, ALTITUDE, dial.ROD, dial.CHAMBER, dial.THICKNESS)
    moved = ("engine", "turn")

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        fuels = [(str(index), index) for index in FUELS]
        self.fuels = Choice("fuel, (R+M)/2", "metal", fuels, self.refresh)
        self.heads = Choice("head", "metal", [(name, name) for name in HEADS], self.refresh)
        self.crank = Control(CRANK, TOP, "mm", self.move)
        super().__init__(
            engine,
            predict=predict,
            projector=projector,
            extra=[self.fuels, self.heads],
            below=[self.crank],
        )

    def prediction(self) -> Prediction:
        text = (
            f"The ratio is {show_ratio(stack_of(self.engine).ratio)}. The intake closes "
            f"{show(self.engine.intake_closes, 'deg')} after bottom dead centre. Your guess for "
            "the effective ratio:"
        )
        return Prediction(
            text, lambda: cranking(self.engine).effective_ratio, asks="the effective ratio"
        )

    def start_from(self, engine: Engine) -> None:
        if engine.intake_closes is None:
            raise Refused("intake closing: needed for the effective ratio, and not given")
        super().start_from(engine)
        index = self.whole.antiknock_index
        self.fuels.put(index if index in FUELS else FUELS[0])
        self.heads.restart()
        self.turn = Turn()
        self.crank.restart(TOP)
        vars(self).pop("_as_found", None)

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control is self.crank:
            self.turn = self.turn.to(float(magnitude_in(unit_of("deg"), value)))
        else:
            super().change(control, value)

    def hidden(self) -> list[Control]:
        here = self.controls_by_dial[ALTITUDE] if self._turns else self.crank
        return [*super().hidden(), here]

    def free(self) -> list[Control]:
        return [self.crank] if self._turns else []

    def waits(self) -> str:
        return "" if not self._turns or self.turn.once_round else ONCE_ROUND

    @property
    def _turns(self) -> bool:
        return bool(self.shows.chosen == TURN)

    def work_out(self) -> None:
        super().work_out()
        self.numbers = _numbers(self.engine, self.stack)

    def picture(self, style: Style) -> Picture:
        if self._turns:
            return self._turning(style, in_cc(self.stack.clearance))
        return self._pressure(style)

    def _pressure(self, style: Style) -> Picture:
        numbers, turn = self.numbers, self._turn()
        effective = nominal(numbers["effective_ratio"])
        line = ratio_line(effective, band_of(EFFECTIVE_RATIO), low=4.0, high=12.0)
        line = replace(line, name="effective ratio")
        fuel = ratio_line(
            nominal(numbers["ratio"]), band_of(fuel_rule(self.fuels.chosen, self.heads.chosen))
        )
        gauge = show(Quantity(nominal(numbers["gauge"].m_as("kPa")), "kPa"), "kPa")
        said = [
            said_of(fuel, "ratio", drawn=False),
            said_of(line, "effective"),
            Said(f"gauge {gauge}"),
        ]
        control = self.controls_by_dial[INTAKE]
        closes = Quantity(self._closes, "degree")
        may = control.shown and not control.locked
        found = self._as_found
        given = self.guess.guessed if self.guess else None
        return trapping(
            section_view(self.engine, turn.angle),
            turn.volume(turn.angle) - turn.clearance,
            self._on_the_starter(turn),
            said,
            line,
            closes=grip_of(control, closes, "closes") if may else None,
            hill=self._hill(),
            guess=None if given is None else float(nominal(given)),
            before=None if abs(found - effective) < 0.005 else found,
            key=self.key,
            style=style,
        )

    @cached_property
    def _as_found(self) -> float:
        """The effective ratio of the engine before anything was changed."""
        return float(nominal(cranking(one_cylinder(self.whole, self.number)).effective_ratio))

    def _hill(self) -> Hill | None:
        altitude = self._altitude()
        if altitude is None:
            return None
        control = self.controls_by_dial[ALTITUDE]
        unit = ALTITUDE.unit(self.unit)
        may = control.shown and not control.locked
        at = float(magnitude_in(unit_of(unit), altitude))
        share = min(max((at - control.low) / (control.high - control.low), 0.0), 1.0)
        air = show(self.numbers["ambient"], "kPa")
        told = f"{show(altitude, unit)} high, the air has {air}"
        return Hill(share, told, grip_of(control, altitude, "altitude") if may else None)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._turning(style, None)

    def _turning(self, style: Style, clearance: float | None) -> Picture:
        """The crank in the hand; the intake valve closes and traps what is in."""
        return turning(
            section_view(self.engine, self.turn.angle),
            self.turn.turned,
            clearance=clearance,
            closes=self._closes,
            grip=grip_of(self.crank, Quantity(self.turn.angle, "degree")) if self._turns else None,
            hint=not self.turn.once_round,
            unit=self.unit,
            key=self.key,
            style=style,
        )

    @property
    def _closes(self) -> float:
        """Degrees after bottom dead centre."""
        return float(magnitude_in(unit_of("deg"), self.engine.intake_closes))

    def words(self) -> str:
        numbers = self.numbers
        told = [
            f"Effective ratio {show_ratio(numbers['effective_ratio'])}; cranking pressure "
            f"{show(numbers['pressure'], 'kPa')} absolute, {show(numbers['gauge'], 'kPa')} "
            f"({show(numbers['gauge'], 'psi')}) on the gauge.",
            f"Air-standard efficiency {100 * nominal(numbers['efficiency']):.1f} %.",
            *fuel_advice(
                numbers["ratio"], self.fuels.chosen, self.heads.chosen,
                numbers["effective_ratio"], self._altitude(),
            ),
            "A computed ratio is not permission to run.",
        ]  # fmt: skip
        return "\n".join(told)

    def _altitude(self) -> pint.Quantity | None:
        """The altitude in metres or feet, as lengths are shown."""
        altitude = self.engine.altitude
        return None if altitude is None else altitude.to(unit_of(ALTITUDE.unit(self.unit)))

    def _turn(self) -> VolumeView:
        view = section_view(self.engine)
        closes = self._closes
        return VolumeView(
            view.bore,
            view.stroke,
            view.rod_length or 0.0,
            in_cc(self.stack.clearance),
            180.0 + closes,
            closes,
            view.pin_offset,
        )

    def _on_the_starter(self, turn: VolumeView) -> list[Curve]:
        """Compression from intake closing on, here and at sea level."""
        trapped = turn.volume(turn.angle)
        # Each step by the same share: close together where the pressure rises steeply.
        share = turn.clearance / trapped
        volumes = [trapped * share ** (step / _POINTS) for step in range(_POINTS + 1)]
        places = {"sea level": atmosphere.pressure(0.0)}
        altitude = self._altitude()
        if altitude is not None and altitude.magnitude:
            here = float(magnitude_in(unit_of("kPa"), self.numbers["ambient"]))
            places = {show(altitude, ALTITUDE.unit(self.unit)): here, **places}
        return [
            Curve(name, volumes, [
                compressed_pressure(ambient, trapped / volume, POLYTROPIC_EXPONENT)
                for volume in volumes
            ])
            for name, ambient in places.items()
        ]  # fmt: skip


def fuel_air_and_cam(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show what intake closing, altitude and fuel make of the ratio.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    Raises:
        Refused: no rod length or no intake closing on the sheet.

    >>> fuel_air_and_cam("heron-four")
    <panel: Fuel, air and cam — Heron Four>
    """
    fuel_air_and_cam_numbers(engine)
    return FuelAirAndCam(engine, projector=projector, predict=predict)
