"""A formula with its inputs, ready to be worked through with draws."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import pint
from uncertainties import UFloat

from enginemath.bench.how_sure.monte_carlo.known import Array, Distribution, Normal
from enginemath.units import Number, Quantity, Refused, deviation, nominal

_BLOCK = 16_384
"""Draws worked through the formula at once: they and the steps between stay in the cache."""

Input: TypeAlias = float | UFloat | Distribution | pint.Quantity
"""What a formula's argument can be: plain, uncertain (taken as normal), a distribution, or a
quantity of a plain or uncertain number."""


class Model:
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
                else:
                    known.fill(generator, row)
                    arguments.append(wrap(row))
            result = self._formula(*arguments)
            block[:] = result if self._unit is None else result.m_as(self._unit)
        return out


@dataclass(frozen=True)
class _Exact:
    """A number that is not drawn."""

    value: float


def _split(value: Input) -> tuple[Distribution | _Exact, Callable[[Number], Number]]:
    """What is known about an input, and how its draws are handed to the formula."""
    if isinstance(value, Quantity):
        unit = value.units
        return _known(value.magnitude), lambda number: Quantity(number, unit)
    return _known(value), _as_it_is


def _known(value: Any) -> Distribution | _Exact:
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
