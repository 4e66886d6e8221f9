"""The air-standard cycle: the most that a compression ratio can be worth.

The gas is air throughout, combustion is heat from outside, nothing leaks and no heat is lost.
A real engine gives clearly less, but the direction holds. Bare numbers are in kPa (absolute),
kelvin, kJ/kg and m³/kg; inputs with units answer with units.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from enginemath.anynumber import bare, lies_within, with_unit
from enginemath.gas import DRY_AIR, Gas
from enginemath.units import Number, Refused, nominal

GAMMA = 1.4
"""Ratio of the heat capacities of cold air."""

HIGHEST_RATIO = 40
"""Well above any piston engine."""


def otto_efficiency(ratio: Number, gamma: Number = GAMMA) -> Number:
    """Share of the heat that the constant-volume cycle turns into work.

    Args:
        ratio: compression ratio, above 1.
        gamma: ratio of the heat capacities, above 1.

    Returns:
        A bare number between 0 and 1.

    Source: 1 − 1/r^(γ−1); Heywood (1988) §5.4 (from memory).

    >>> round(otto_efficiency(8), 4), round(otto_efficiency(9.827), 4)
    (0.5647, 0.5991)
    """
    return 1 - ratio ** (1 - gamma)


def efficiency_gain(ratio: Number, raised_by: Number = 1, gamma: Number = GAMMA) -> Number:
    """What raising the ratio is worth: work gained from the same heat, as a share.

    Args:
        ratio: compression ratio now, above 1.
        raised_by: points of ratio; 8 raised by 1 is 9.
        gamma: ratio of the heat capacities.

    Returns:
        A bare number; 0.035 means 3.5 % more work. Each further point is worth less.

    Source: `otto_efficiency` after over before, less 1.

    >>> round(efficiency_gain(8), 3), round(efficiency_gain(10), 3)
    (0.035, 0.025)
    """
    return otto_efficiency(ratio + raised_by, gamma) / otto_efficiency(ratio, gamma) - 1


def compressed_pressure(pressure: Number, ratio: Number, exponent: Number = GAMMA) -> Number:
    """Absolute pressure after compression along p·Vⁿ = constant.

    Args:
        pressure: absolute, before; any unit.
        ratio: volume before / volume after.
        exponent: n; γ where no heat is lost.

    Returns:
        Absolute pressure, in the unit of `pressure`.

    Source: p·rⁿ.

    >>> round(compressed_pressure(14.7, 7), 2)  # psi absolute
    224.11
    """
    return pressure * ratio**exponent


def compressed_temperature(temperature: Number, ratio: Number, exponent: Number = GAMMA) -> Number:
    """Temperature after compression along p·Vⁿ = constant.

    Args:
        temperature: before; bare in kelvin.
        ratio: volume before / volume after.
        exponent: n; γ where no heat is lost.

    Returns:
        A temperature; bare in kelvin.

    Source: T·r^(n−1), ideal gas.

    >>> round(compressed_temperature(293.0, 6))
    600
    """
    kelvin = bare(temperature, "kelvin") * ratio ** (exponent - 1)
    return with_unit(kelvin, "kelvin", like=temperature)


def compression_work(
    pressure: Number, volume: Number, ratio: Number, exponent: Number = GAMMA
) -> Number:
    """Work that compression along p·Vⁿ = constant puts into the gas.

    Args:
        pressure: absolute, before.
        volume: before.
        ratio: volume before / volume after.
        exponent: n, not 1.

    Returns:
        Pressure times volume: joules from kPa and litres, or from Pa and m³.

    Source: p·V·(r^(n−1) − 1)/(n − 1), the integral of p·dV.

    >>> round(compression_work(100.0, 0.240, 6), 1)
    62.9
    """
    return pressure * volume * (ratio ** (exponent - 1) - 1) / (exponent - 1)


def otto_mean_effective_pressure(
    pressure: Number, ratio: Number, pressure_rise: Number, gamma: Number = GAMMA
) -> Number:
    """Work of a cycle over the swept volume, for the constant-volume cycle.

    Args:
        pressure: absolute, before compression; any unit.
        ratio: compression ratio, above 1.
        pressure_rise: pressure after combustion / pressure before it.
        gamma: ratio of the heat capacities.

    Returns:
        Pressure, in the unit of `pressure`.

    Source: p·r·(r^(γ−1) − 1)·(α − 1)/((γ − 1)·(r − 1)) with α the pressure rise.

    >>> round(otto_mean_effective_pressure(1.0, 8, 25 / 8**1.4), 2)
    1.34
    """
    per_ratio = ratio * (ratio ** (gamma - 1) - 1) / ((gamma - 1) * (ratio - 1))
    return pressure * per_ratio * (pressure_rise - 1)


def charge_heat(heating_value: Number, air_fuel_ratio: Number) -> Number:
    """Heat that a kilogram of charge, air and fuel together, gets from its fuel.

    Args:
        heating_value: of the fuel; bare in kJ/kg.
        air_fuel_ratio: mass of air / mass of fuel.

    Returns:
        Heat, in the unit of `heating_value`.

    Source: mass balance.

    >>> charge_heat(44_000, 15)
    2750.0
    """
    return heating_value / (1 + air_fuel_ratio)


@dataclass(frozen=True)
class State:
    """One corner of the cycle."""

    pressure: Number
    """Absolute; bare in kPa."""
    temperature: Number
    """Bare in kelvin."""
    volume: Number
    """Of a kilogram; bare in m³/kg."""


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
        """Heat added; bare in kJ/kg."""
        _, compressed, burnt, *rest = self.states
        heat = self.gas.energy(burnt.temperature) - self.gas.energy(compressed.temperature)
        if len(rest) > 1:
            content = self.gas.enthalpy
            heat = heat + (content(rest[0].temperature) - content(burnt.temperature))
        return heat

    @property
    def heat_out(self) -> Number:
        """Heat given off at constant volume; bare in kJ/kg."""
        start, end = self.states[0], self.states[-1]
        return self.gas.energy(end.temperature) - self.gas.energy(start.temperature)

    @property
    def work(self) -> Number:
        """Work gained; bare in kJ/kg."""
        return self.heat_in - self.heat_out

    @property
    def efficiency(self) -> Number:
        """Share of the heat that becomes work, a bare number."""
        return bare(self.work / self.heat_in, "")

    @property
    def mean_effective_pressure(self) -> Number:
        """Work over swept volume; bare in kPa."""
        swept = self.states[0].volume - self.states[1].volume
        pressure = self.work / swept
        return with_unit(bare(pressure, "kPa"), "kPa", like=pressure)

    def points(self, curve: int = 40) -> list[tuple[float, float]]:
        """The closed loop to draw: volume in m³/kg, absolute pressure in kPa.

        Args:
            curve: points along the compression, and again along the expansion.

        Source: a curve without heat loss is walked in equal steps of temperature.

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

    Source: Heywood (1988) §5.4 (from memory); gas properties as `enginemath.gas` says.

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
    _require(ratio, math.nextafter(1, 2), HIGHEST_RATIO, "compression ratio")
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
        if not lies_within(ratio - last / burnt, 0, HIGHEST_RATIO):
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
