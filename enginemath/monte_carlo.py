"""Monte Carlo: draw the readings many times, work each draw through the formula, look at all.

JCGM 101:2008. The formula is the library's own; it gets arrays where it usually gets numbers.
NumPy is needed, and is imported only when draws are made.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol, TypeAlias

import pint
from uncertainties import UFloat

from enginemath.units import Number, Quantity, Refused, deviation, nominal

Array = Any
"""A NumPy array of floats."""

_BLOCK = 16_384
"""Draws worked through the formula at once: they and the steps between stay in the cache."""
_LEAST_ROUNDS = 10
"""Of the adaptive procedure: two or three rounds can agree by chance."""
_SAMPLE = 4096
"""Results looked at first to see where the ends begin."""


class Distribution(Protocol):
    """What is known about one reading: it can fill an array with possible values."""

    @property
    def value(self) -> float:
        """The best value."""

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws from a NumPy generator."""


@dataclass(frozen=True)
class Normal:
    """A best value and its standard uncertainty. JCGM 101:2008, 6.4.7."""

    value: float
    u: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.standard_normal(out=out)
        out *= self.u
        out += self.value


@dataclass(frozen=True)
class Rectangular:
    """Anywhere within limits, all alike. JCGM 101:2008, 6.4.2."""

    value: float
    half_width: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.random(out=out)
        out *= 2 * self.half_width
        out += self.value - self.half_width


@dataclass(frozen=True)
class Triangular:
    """Within limits, more likely near the middle. JCGM 101:2008, 6.4.5."""

    value: float
    half_width: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.random(out=out)
        out -= generator.random(out.size)
        out *= self.half_width
        out += self.value


@dataclass(frozen=True)
class StudentT:
    """The mean of a few repeats, `u` = s/√n. JCGM 101:2008, 6.4.9."""

    value: float
    u: float
    degrees_of_freedom: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        out[:] = generator.standard_t(self.degrees_of_freedom, out.size)
        out *= self.u
        out += self.value


@dataclass(frozen=True)
class Simulation:
    """All the results of a simulation, in the order they were drawn."""

    draws: Array
    unit: str = ""
    settled: bool = True
    """False where draws ran out before the wanted digit was sure."""

    @property
    def count(self) -> int:
        """Number of draws."""
        return len(self.draws)

    @cached_property
    def value(self) -> float:
        """Mean of the results."""
        return float(self.draws.mean())

    @cached_property
    def u(self) -> float:
        """Standard uncertainty: the standard deviation of the results."""
        return float(self.draws.std(ddof=1))

    def interval(self, coverage: float = 0.95) -> tuple[float, float]:
        """Limits with as many results below as above. JCGM 101:2008, 7.7.2.

        Args:
            coverage: between 0 and 1.
        """
        return _values_at(self.draws, *_ranks(self.count, coverage))

    def shortest_interval(self, coverage: float = 0.95) -> tuple[float, float]:
        """The closest pair of limits that hold the share. JCGM 101:2008, 7.7.4.

        Args:
            coverage: between 0 and 1.
        """
        low, high = _ranks(self.count, coverage)
        held = high - low
        widths = self._in_order[held:] - self._in_order[: self.count - held]
        start = int(widths.argmin())
        return float(self._in_order[start]), float(self._in_order[start + held])

    @cached_property
    def _in_order(self) -> Array:
        import numpy

        return numpy.sort(self.draws)


Input: TypeAlias = float | UFloat | Distribution | pint.Quantity
"""What a formula's argument can be: plain, uncertain (taken as normal), a distribution, or a
quantity of a plain or uncertain number."""


def simulate(
    formula: Callable[..., Number],
    inputs: Sequence[Input],
    *,
    draws: int = 1_000_000,
    seed: int = 1,
) -> Simulation:
    """Work a number of draws of independent inputs through a formula.

    Args:
        formula: takes one argument an input, numbers or arrays; plain operators only. An input
            that is needed at several places is drawn once.
        inputs: plain numbers stay as they are; numbers with uncertainty are drawn as normal.
        draws: how many, at least 2.
        seed: the same seed gives the same draws.

    Returns:
        The simulation, in the unit of the formula's result.

    Raises:
        Refused: inputs that share a reading, or draws for which the formula has no value.

    Source: JCGM 101:2008, 7.

    >>> from enginemath.geometry import disc
    >>> gasket = simulate(disc, [Normal(93.2, 0.05), Rectangular(1.10, 0.02)], draws=100_000)
    >>> round(gasket.value, -1), round(gasket.u)  # mm³
    (7500.0, 79)
    """
    import numpy

    model = _Model(formula, inputs)
    simulation = Simulation(model.draw(numpy.random.default_rng(seed), draws), model.unit)
    _refuse_no_value(simulation)
    return simulation


def simulate_to_digits(
    formula: Callable[..., Number],
    inputs: Sequence[Input],
    *,
    digits: int = 2,
    coverage: float = 0.95,
    seed: int = 1,
    most: int = 10_000_000,
) -> Simulation:
    """Draw until value, standard uncertainty and both limits are sure to a digit.

    Args:
        formula: see `simulate`.
        inputs: see `simulate`.
        digits: significant digits of the standard uncertainty that must stand, 1 or more.
        coverage: of the interval that must stand.
        seed: the same seed gives the same draws.
        most: draws to give up at, 100 000 or more; the simulation then says it has not settled.

    Returns:
        The simulation, over all draws.

    Source: the adaptive procedure of JCGM 101:2008, 7.9, with ten rounds at least.

    >>> from enginemath.geometry import disc
    >>> gasket = simulate_to_digits(disc, [Normal(93.2, 0.05), Rectangular(1.10, 0.02)], digits=1)
    >>> gasket.settled, gasket.count
    (True, 100000)
    """
    import numpy

    model = _Model(formula, inputs)
    generator = numpy.random.default_rng(seed)
    per_round = max(10_000, math.ceil(100 / (1 - coverage)))
    rounds: list[Simulation] = []
    results: list[tuple[float, ...]] = []
    settled = False
    while not settled and (len(rounds) + 1) * per_round <= most:
        fresh = Simulation(model.draw(generator, per_round))
        _refuse_no_value(fresh)
        rounds.append(fresh)
        results.append((fresh.value, fresh.u, *fresh.interval(coverage)))
        settled = len(rounds) >= _LEAST_ROUNDS and _has_settled(numpy.array(results), digits)
    return Simulation(numpy.concatenate([one.draws for one in rounds]), model.unit, settled)


def _has_settled(results: Array, digits: int) -> bool:
    """Whether twice the standard error of every mean result is within the tolerance (7.9.4)."""
    standard_errors = results.std(axis=0, ddof=1) / len(results) ** 0.5
    return bool((2 * standard_errors <= numerical_tolerance(results[:, 1].mean(), digits)).all())


def numerical_tolerance(u: float, digits: int) -> float:
    """Half a unit of the last of some significant digits. JCGM 101:2008, 7.9.2.

    >>> numerical_tolerance(0.0834, 2), numerical_tolerance(32.0, 1)
    (0.0005, 5.0)
    """
    if not u > 0:
        return 0.0
    written = f"{u:.{digits - 1}e}"
    return 0.5 * 10.0 ** (int(written.partition("e")[2]) - digits + 1)


class _Model:
    """A formula with its inputs, ready to fill arrays with results."""

    def __init__(self, formula: Callable[..., Number], inputs: Sequence[Input]) -> None:
        refuse_shared_readings(inputs)
        self._formula = formula
        self._inputs = [_split(value) for value in inputs]
        trial = formula(*(wrap(known.value) for known, wrap in self._inputs))
        self._unit = getattr(trial, "units", None)
        self.unit = "" if self._unit is None else f"{self._unit:~}"

    def draw(self, generator: Any, count: int) -> Array:
        """Results of fresh draws of the inputs, block by block."""
        import numpy

        out = numpy.empty(count)
        rows = numpy.empty((len(self._inputs), min(_BLOCK, count)))
        for start in range(0, count, _BLOCK):
            block = out[start : start + _BLOCK]
            arguments = []
            for row, (known, wrap) in zip(rows[:, : len(block)], self._inputs, strict=True):
                if isinstance(known, _Exact):
                    arguments.append(wrap(known.value))
                    continue
                known.fill(generator, row)
                arguments.append(wrap(row))
            result = self._formula(*arguments)
            block[:] = result if self._unit is None else result.m_as(self._unit)
        return out


@dataclass(frozen=True)
class _Exact:
    value: float

    def fill(self, _generator: Any, out: Array) -> None:
        out[:] = self.value


def _split(value: Input) -> tuple[Distribution, Callable[[Number], Number]]:
    """What is known about an input, and how its draws are handed to the formula."""
    if isinstance(value, Quantity):
        unit = value.units
        return _known(value.magnitude), lambda number: Quantity(number, unit)
    return _known(value), _as_it_is


def _known(value: Any) -> Distribution:
    if hasattr(value, "fill"):
        return value
    u = deviation(value)
    return Normal(nominal(value), u) if u else _Exact(nominal(value))


def _as_it_is(number: Number) -> Number:
    return number


def refuse_shared_readings(inputs: Sequence[Input]) -> None:
    """Refuse inputs that were worked out from the same reading: they are not independent."""
    seen: set[Any] = set()
    for value in inputs:
        readings = getattr(getattr(value, "magnitude", value), "derivatives", {}).keys()
        if seen & readings:
            raise Refused(
                "two inputs depend on the same reading: give the formula that reading itself, once"
            )
        seen |= readings


def _refuse_no_value(simulation: Simulation) -> None:
    if not math.isfinite(simulation.value):
        raise Refused(
            "the formula has no value for some of the draws: "
            "an uncertainty is too wide for it, or a reading is wrong"
        )


def _ranks(count: int, coverage: float) -> tuple[int, int]:
    """Places, counted from 0, of the limits among the ordered results. JCGM 101:2008, 7.7."""
    held = min(count - 1, math.floor(coverage * count + 0.5))
    low = (count - held) // 2
    return low, min(count - 1, low + held)


def _values_at(values: Array, low: int, high: int) -> tuple[float, float]:
    """The values at a low and a high rank; only the two ends of the heap are put in order."""
    import numpy

    sample = numpy.sort(values[:: max(1, len(values) // _SAMPLE)])
    tail = max(low, len(values) - 1 - high) / len(values)
    spare = min(len(sample) - 1, int(1.2 * tail * len(sample)) + 20)
    below, above = values[values <= sample[spare]], values[values >= sample[-1 - spare]]
    from_top = len(values) - high
    if len(below) <= low or len(above) < from_top:
        below = above = values
    high_in_above = len(above) - from_top
    return (
        float(numpy.partition(below, low)[low]),
        float(numpy.partition(above, high_in_above)[high_in_above]),
    )
