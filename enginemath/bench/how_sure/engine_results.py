"""How sure an engine's ratio, squish, effective ratio and cranking pressure are, by cylinder."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import pint
from uncertainties import ufloat

from enginemath.bench.how_sure.interval import (
    LARGE,
    Source,
    degrees_of_freedom,
    half_width,
    limits_of_ratio,
    sources_of,
)
from enginemath.bench.how_sure.labels import Label
from enginemath.bench.how_sure.ratio_of_readings import RatioModel
from enginemath.bench.tools import rectangular
from enginemath.engine.matching import to_match
from enginemath.engine.parts import Engine
from enginemath.engine.running import POLYTROPIC_EXPONENT, Cranking, cranking
from enginemath.engine.stack import mean, stacks
from enginemath.units import MM, Number, best_in, deviation, magnitude_in, nominal, unit_of
from enginemath.units.any_number import settled

if TYPE_CHECKING:
    from enginemath.bench.how_sure.propagation import Spread

KPA = unit_of("kPa")
EXPONENT_RANGE = 0.05
"""Half-width of the polytropic exponent at cranking speed, 1.20 to 1.30; common practice, no
source."""
STRAIGHT = 0.3
"""Half-width of clearance over swept volume, as a share of it, up to which a straight line is
good; beyond, and where a bore is that unsure, draws are made."""
BORE_STRAIGHT = 0.005


class Result(NamedTuple):
    """A value with its ± and its 95 %.

    Args:
        value: the best value.
        u: one standard uncertainty; None where nothing that went in carries one.
        interval_95: limits that hold the truth in 95 of 100; None as `u`.
        degrees_of_freedom: effective; infinite where every source is known.
        note: how the interval was found, where there is something to say.
    """

    value: float
    u: float | None
    interval_95: tuple[float, float] | None
    degrees_of_freedom: float = math.inf
    note: str = ""

    @property
    def whole_degrees(self) -> float | None:
        """Degrees of freedom to one decimal; None where there are so many that it is no matter."""
        return None if self.degrees_of_freedom > LARGE else round(self.degrees_of_freedom, 1)


class EngineResults:
    """All results of an engine.

    Args:
        engine: as it was read or written down.
        as_written: whether its sheet holds results with a ± (format 1): then the mean ratio's
            interval is that of `propagation.propagate`, as ever.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> engine = parse(EXAMPLE.replace('"6.0 cc"', '"6.0 ± 0.3 cc"')).engine
    >>> low, high = EngineResults(engine).ratio(0).interval_95
    >>> round(low, 2), round(high, 2)
    (9.82, 9.98)
    """

    def __init__(self, engine: Engine, as_written: bool = False):
        self.engine, self._as_written = engine, as_written

    @cached_property
    def model(self) -> RatioModel:
        """The mean ratio as a formula of its readings."""
        return RatioModel(self.engine)

    @cached_property
    def _ratios(self) -> list[Number]:
        found = stacks(self.engine)
        if not self._as_written:
            for stack in found:
                settled(stack.swept), settled(stack.clearance), settled(stack.ratio)
        return [stack.ratio for stack in found]

    @cached_property
    def mean_of_ratios(self) -> Number:
        """The mean compression ratio, a plain or uncertain number."""
        return settled(mean(self._ratios))

    @cached_property
    def sources(self) -> list[Source]:
        """Of the mean ratio."""
        return sources_of(self.mean_of_ratios)

    def ratio(self, number: int) -> Result:
        """The ratio of a cylinder, counted from 0."""
        return self._of_ratio(self._ratios[number], number)

    @cached_property
    def mean_ratio(self) -> Result:
        """The mean ratio of the cylinders."""
        spread = self._propagated if self._as_written else None
        if spread is None:
            return self._of_ratio(self.mean_of_ratios, None)
        return Result(spread.value, spread.u, spread.interval_95, note=spread.note)

    @cached_property
    def _propagated(self) -> Spread | None:
        """As format 1 has it; None where a draw may be without clearance, or nothing is unsure."""
        if not self.model.readings or self._may_be_without_clearance(self.mean_of_ratios):
            return None
        from enginemath.bench.how_sure.propagation import propagate

        return propagate(self.model, self.model.readings)

    def _may_be_without_clearance(self, ratio: Number) -> bool:
        """Whether five standard uncertainties reach down to no clearance at all."""
        return any(5 * deviation(one) >= nominal(one) - 1 for one in (*self._ratios, ratio))

    def _of_ratio(self, ratio: Number, which: int | None) -> Result:
        value, u = float(nominal(ratio)), deviation(ratio)
        if not u:
            return Result(value, None, None)
        sources = sources_of(ratio)
        degrees = degrees_of_freedom(sources)
        half = half_width(sources)
        straight = self._as_written and self._propagated is not None
        if straight and self._propagated and self._propagated.method == "first order":
            return Result(value, u, (value - half, value + half), degrees)
        limits = limits_of_ratio(value, half)
        if limits is None or not self._is_straight(ratio, limits):
            from enginemath.bench.how_sure.simulated import simulated

            drawn = simulated(self.model, which)
            return Result(value, drawn.u, drawn.interval_95, degrees, drawn.note)
        return Result(value, u, limits, degrees)

    def _is_straight(self, ratio: Number, limits: tuple[float, float]) -> bool:
        share = 1 / (nominal(ratio) - 1)
        wide = share - 1 / (limits[1] - 1) > STRAIGHT * share
        return not (wide or self._a_bore_is_unsure or self._may_be_without_clearance(ratio))

    @cached_property
    def _a_bore_is_unsure(self) -> bool:
        bores = [
            *(cylinder.bore for cylinder in self.engine.cylinders),
            *(gasket.bore for gasket in self.engine.gaskets if gasket.bore is not None),
        ]
        lengths = (magnitude_in(MM, bore) for bore in bores)
        return any(deviation(one) > BORE_STRAIGHT * nominal(one) for one in lengths)

    def squish(self, number: int) -> Result | None:
        """Squish clearance of a cylinder in mm; None where the gasket was poured."""
        squish = self.engine.squish(number)
        return None if squish is None else result_of(magnitude_in(MM, squish))

    @cached_property
    def to_match(self) -> list[Result]:
        """What each chamber has to grow by to be as large as the largest, in cc."""
        return [result_of(volume.m_as("cc")) for volume in to_match(self.engine)]

    @cached_property
    def runs(self) -> bool:
        """Whether rod and closing are known, so that something runs to be worked out."""
        return self.engine.traps_at is not None and all(
            cylinder.rod_length is not None for cylinder in self.engine.cylinders
        )

    @cached_property
    def on_the_starter(self) -> list[Cranking]:
        """Every cylinder on the starter, with the range of the polytropic exponent."""
        label = Label("polytropic exponent", kind="range")
        exponent = ufloat(POLYTROPIC_EXPONENT, rectangular(EXPONENT_RANGE), label)
        return [cranking(self.engine, n, exponent) for n in range(self.engine.count)]

    def effective_ratio(self, number: int | None = None) -> Result:
        """Effective ratio of a cylinder, from 0, or the mean of all."""
        ratios = [each.effective_ratio for each in self._each(number)]
        return result_of(settled(mean(ratios)), is_ratio=True)

    def pressure(self, number: int | None = None) -> float:
        """Absolute cranking pressure in kPa of a cylinder, from 0, or the mean of all; as sure
        as the gauge pressure."""
        return mean([best_in(KPA, each.pressure) for each in self._each(number)])

    def gauge_pressure(self, number: int | None = None) -> Result:
        """Gauge pressure at cranking in kPa of a cylinder, from 0, or the mean of all."""
        return result_of(_in_kpa([each.gauge for each in self._each(number)]))

    def _each(self, number: int | None) -> list[Cranking]:
        return self.on_the_starter if number is None else [self.on_the_starter[number]]

    @cached_property
    def taken_as_exact(self) -> list[str]:
        """Names of what went in without any ±."""
        return list(dict.fromkeys(_without_spread(self.engine, self.runs)))


def result_of(number: Number, is_ratio: bool = False) -> Result:
    """A number with its ± and its 95 %, as a straight line of its sources.

    >>> low, high = result_of(ufloat(1.5, 0.1)).interval_95
    >>> round(low, 3), round(high, 3)
    (1.304, 1.696)
    """
    value, u = float(nominal(number)), deviation(number)
    if not u:
        return Result(value, None, None)
    sources = sources_of(number)
    half = half_width(sources)
    limits = limits_of_ratio(value, half) if is_ratio else None
    return Result(value, u, limits or (value - half, value + half), degrees_of_freedom(sources))


def _in_kpa(pressures: Sequence[pint.Quantity]) -> Number:
    return settled(mean([magnitude_in(KPA, each) for each in pressures]))


def _without_spread(engine: Engine, runs: bool) -> Iterator[str]:
    """In the order of the bench; what only some cylinders have exact, with their numbers."""
    for name, values in _inputs(engine, runs):
        exact = [
            number
            for number, value in enumerate(values, start=1)
            if value is not None and not deviation(value.magnitude)
        ]
        if not exact:
            continue
        given = sum(value is not None for value in values)
        if len(exact) == given:
            yield name
        else:
            yield from (f"{name}, cylinder {number}" for number in exact)


def _inputs(engine: Engine, runs: bool) -> Iterator[tuple[str, list[pint.Quantity | None]]]:
    cylinders, gaskets = engine.cylinders, engine.gaskets
    pistons, lands = engine.pistons, engine.ring_lands
    yield "bore", [each.bore for each in cylinders]
    yield "stroke", [each.stroke for each in cylinders]
    if runs:
        yield "rod length", [each.rod_length for each in cylinders]
        yield f"{'exhaust' if engine.is_two_stroke else 'intake'} closing", [engine.traps_at]
    yield "deck clearance", [each.clearance for each in engine.decks]
    yield "chamber volume", [each.volume for each in engine.chambers]
    yield "gasket bore", [each.bore for each in gaskets]
    yield (
        "gasket thickness",
        [None if each.poured is not None else each.compressed_thickness for each in gaskets],
    )
    yield "gasket volume", [each.poured for each in gaskets]
    yield "known depth", [each.known_depth and each.known_depth[0] for each in pistons]
    yield "poured volume", [each.known_depth and each.known_depth[1] for each in pistons]
    for name, word in (("dish", "dish"), ("dome", "dome"), ("reliefs", "valve reliefs")):
        volumes = [None if each.known_depth else getattr(each, name) for each in pistons]
        yield (
            word,
            [volume if volume is not None and volume.magnitude else None for volume in volumes],
        )
    yield "ring land height", [each and each.height for each in lands]
    yield "ring land clearance", [each and each.clearance for each in lands]
