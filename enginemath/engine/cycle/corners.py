"""The cycle corner by corner, with a gas whose heat capacity may grow as it warms."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from enginemath.engine import limits
from enginemath.formulas.gas import DRY_AIR, Gas
from enginemath.units import Number, Refused, nominal
from enginemath.units.any_number import bare, lies_within, with_unit


@dataclass(frozen=True)
class State:
    """One corner of the cycle."""

    pressure: Number
    """The absolute pressure; bare in kPa."""
    temperature: Number
    """The temperature; bare in kelvin."""
    volume: Number
    """The volume of a kilogram; bare in m³/kg."""


@dataclass(frozen=True)
class Cycle:
    """Corners of an air-standard cycle, and what it yields for a kilogram of air.

    Args:
        gas: what is compressed.
        states: before compression, after it, after heat at constant volume, in a dual cycle
            after heat at constant pressure, and after expansion.
    """

    gas: Gas
    states: tuple[State, ...]

    @property
    def heat_in(self) -> Number:
        """Heat added.

            q₁ = (u₃ − u₂) + (h₄ − h₃)

        The second bracket is the heat at constant pressure; only the dual cycle has it.

        Returns:
            Heat of a kilogram; bare in kJ/kg.

        Source: first law; Heywood (1988) §5.4 (from memory).

        >>> round(otto(8, 100.0, 290.0, 800.0).heat_in, 6)
        800.0
        >>> round(dual(10, 100.0, 300.0, 900.0, 900.0).heat_in, 6)
        1800.0
        """
        _, compressed, burnt, *rest = self.states
        heat = self.gas.energy(burnt.temperature) - self.gas.energy(compressed.temperature)
        if len(rest) > 1:
            content = self.gas.enthalpy
            heat = heat + (content(rest[0].temperature) - content(burnt.temperature))
        return heat

    @property
    def heat_out(self) -> Number:
        """Heat given off at constant volume, when the exhaust valve opens.

            q₂ = u(end) − u(start)

        Returns:
            Heat of a kilogram, positive; bare in kJ/kg.

        Source: first law; Heywood (1988) §5.4 (from memory).

        >>> round(otto(8, 100.0, 290.0, 800.0).heat_out, 1)
        381.5
        """
        start, end = self.states[0], self.states[-1]
        return self.gas.energy(end.temperature) - self.gas.energy(start.temperature)

    @property
    def work(self) -> Number:
        """Work gained.

            w = q₁ − q₂

        Returns:
            Work of a kilogram; bare in kJ/kg.

        Source: first law.

        >>> round(otto(8, 100.0, 290.0, 800.0).work, 1)
        418.5
        """
        return self.heat_in - self.heat_out

    @property
    def efficiency(self) -> Number:
        """Share of the heat that becomes work.

            η = w/q₁

        Returns:
            A bare number between 0 and 1.

        Source: the definition of thermal efficiency.

        >>> round(otto(8, 100.0, 290.0, 800.0).efficiency, 3)
        0.523
        """
        return bare(self.work / self.heat_in, "")

    @property
    def mean_effective_pressure(self) -> Number:
        """Work over swept volume.

            pm = w/(v₁ − v₂)

        Returns:
            Pressure; bare in kPa.

        Source: the definition of mean effective pressure; Heywood (1988) §2.7 (from memory).

        >>> round(otto(8, 100.0, 290.0, 800.0).mean_effective_pressure, 1)
        574.5
        """
        swept = self.states[0].volume - self.states[1].volume
        pressure = self.work / swept
        return with_unit(bare(pressure, "kPa"), "kPa", like=pressure)

    def points(self, curve: int = 40) -> list[tuple[float, float]]:
        """The closed loop to draw.

            p = R·T/v, with v = v₁·ρ(T₁)/ρ(T)

        Args:
            curve: points along the compression, and again along the expansion.

        Returns:
            Pairs of volume in m³/kg and absolute pressure in kPa; the last is the first again.

        Source: ideal gas; a curve without heat loss is walked in equal steps of temperature, with ρ
        the gas's `relative_density`.

        >>> loop = otto(8, 100.0, 300.0, 1200.0).points()
        >>> loop[0] == loop[-1], len(loop)
        (True, 83)
        """
        start, compressed, *burnt, end = (_plain(state) for state in self.states)
        loop = [*self._curve(start, compressed, curve)]
        loop += [(state.volume, state.pressure) for state in burnt[:-1]]
        loop += self._curve(burnt[-1], end, curve)
        return [*loop, loop[0]]

    def _curve(self, first: State, last: State, count: int) -> list[tuple[float, float]]:
        density = self.gas.relative_density
        inner = []
        for step in range(1, count):
            kelvin = first.temperature + (last.temperature - first.temperature) * step / count
            volume = first.volume * density(first.temperature) / density(kelvin)
            inner.append((volume, self.gas.gas_constant * kelvin / volume))
        return [(first.volume, first.pressure), *inner, (last.volume, last.pressure)]


def otto(
    ratio: Number, pressure: Number, temperature: Number, heat: Number, gas: Gas = DRY_AIR
) -> Cycle:
    """The cycle that burns at constant volume: the spark-ignition engine's ideal.

    Args:
        ratio: compression ratio, above 1.
        pressure: absolute, before compression; bare in kPa.
        temperature: before compression; bare in kelvin.
        heat: added to a kilogram; bare in kJ/kg.
        gas: `DRY_AIR`, whose heat capacity grows as it warms, or `TEXTBOOK_AIR`.

    Returns:
        Its four states and what they yield.

    Raises:
        Refused: a ratio, pressure, temperature or heat that cannot be.

    Source: Heywood (1988) §5.4 (from memory); gas properties as `enginemath.formulas.gas` says.

    >>> cycle = otto(8, 100.0, 290.0, 800.0)
    >>> round(cycle.efficiency, 3), round(cycle.states[2].temperature)
    (0.523, 1577)
    """
    return _cycle(gas, ratio, pressure, temperature, heat, None)


def dual(
    ratio: Number,
    pressure: Number,
    temperature: Number,
    heat: Number,
    heat_at_pressure: Number,
    gas: Gas = DRY_AIR,
) -> Cycle:
    """The cycle that burns first at constant volume, then at constant pressure.

    Args:
        ratio: compression ratio, above 1.
        pressure: absolute, before compression; bare in kPa.
        temperature: before compression; bare in kelvin.
        heat: added at constant volume; bare in kJ/kg; 0 gives the diesel cycle.
        heat_at_pressure: added at constant pressure; bare in kJ/kg.
        gas: see `otto`.

    Returns:
        Its five states and what they yield.

    Raises:
        Refused: as `otto`, and heat that pushes the piston past bottom dead centre.

    Source: Heywood (1988) §5.4 (from memory).

    >>> all_at_once, in_two = otto(10, 100.0, 300.0, 1800.0), dual(10, 100.0, 300.0, 900.0, 900.0)
    >>> all_at_once.efficiency > in_two.efficiency
    True
    >>> all_at_once.states[2].pressure > in_two.states[2].pressure
    True
    """
    return _cycle(gas, ratio, pressure, temperature, heat, heat_at_pressure)


def _cycle(
    gas: Gas,
    ratio: Number,
    pressure: Number,
    temperature: Number,
    heat: Number,
    heat_at_pressure: Number | None,
) -> Cycle:
    ratio = bare(ratio, "")
    kelvin, kilopascal = bare(temperature, "kelvin"), bare(pressure, "kPa")
    kilojoule, later = bare(heat, "kJ/kg"), bare(heat_at_pressure, "kJ/kg")
    _require(ratio, math.nextafter(1, 2), limits.HIGHEST_RATIO, "compression ratio")
    _require(kilopascal, 1, 10_000, "pressure before compression, in kPa absolute,")
    _require(kelvin, gas.coldest, 1000, "temperature before compression, in kelvin (°C + 273.15),")

    large = gas.gas_constant * kelvin / kilopascal
    small = large / ratio
    compressed = gas.compressed(kelvin, ratio)
    _require_heat(gas, gas.energy, compressed, kilojoule)
    burnt = gas.heated(compressed, kilojoule)
    corners = [(kelvin, large), (compressed, small), (burnt, small)]
    if later is not None:
        _require_heat(gas, gas.enthalpy, burnt, later)
        last = gas.heated(burnt, later, at_pressure=True)
        corners.append((last, small * last / burnt))
        if not lies_within(ratio - last / burnt, 0, limits.HIGHEST_RATIO):
            raise Refused(
                f"heat at constant pressure {later} kJ/kg: the piston would pass bottom dead "
                f"centre before it is in (ratio {ratio}); add less"
            )
    hot, volume = corners[-1]
    corners.append((gas.compressed(hot, volume / large), large))
    return Cycle(gas, tuple(_state(gas, *corner, like=pressure) for corner in corners))


def _state(gas: Gas, kelvin: Number, volume: Number, like: Number) -> State:
    return State(
        pressure=with_unit(gas.gas_constant * kelvin / volume, "kPa", like),
        temperature=with_unit(kelvin, "kelvin", like),
        volume=with_unit(volume, "m**3/kg", like),
    )


def _plain(state: State) -> State:
    return State(
        nominal(bare(state.pressure, "kPa")),
        nominal(bare(state.temperature, "kelvin")),
        nominal(bare(state.volume, "m**3/kg")),
    )


def _require(number: Number, low: float, high: float, what: str) -> None:
    if not lies_within(number, low, high):
        raise Refused(f"{what} {number}: must lie between {low:g} and {high:g}")


def _require_heat(
    gas: Gas, content: Callable[[Number], Number], kelvin: Number, heat: Number
) -> None:
    room = content(gas.hottest) - content(kelvin) - heat
    if not (lies_within(heat, 0, math.inf) and lies_within(room, 0, math.inf)):
        raise Refused(
            f"heat {heat} kJ/kg: must not be negative, nor warm the air above {gas.hottest:g} K"
        )
