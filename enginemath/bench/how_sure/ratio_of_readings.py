"""The mean ratio of an engine as one formula of its uncertain readings."""

from __future__ import annotations

from collections.abc import Callable
from itertools import zip_longest
from typing import Any

import pint
from uncertainties import Variable

from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import annulus, disc
from enginemath.units import Number, nominal


class RatioModel:
    """The mean ratio as a function of the readings that carry an uncertainty.

    A reading that goes into several volumes, such as the bore, is one argument, so what it
    does to all of them is counted together.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> model = RatioModel(parse(EXAMPLE.replace("6.0 cc", "6.0 ± 0.3 cc")).engine)
    >>> [reading.tag.name for reading in model.readings]
    ['dish']
    >>> round(model(6.0), 3), round(model(6.3), 3)
    (9.896, 9.856)
    """

    def __init__(self, engine: Engine):
        known: dict[tuple[int, str], _Linear] = {}

        def linear(quantity: pint.Quantity, unit: str) -> _Linear:
            """One for each reading: what cylinders share is worked out once."""
            return known.setdefault((id(quantity), unit), _Linear(quantity, unit))

        self._cylinders = [_Parts(engine, n, linear) for n in range(engine.count)]
        columns = zip_longest(*(parts.inputs for parts in self._cylinders))
        inputs = dict.fromkeys(linear for column in columns for linear in column if linear)
        self.readings: tuple[Variable, ...] = tuple(
            dict.fromkeys(reading for linear in inputs for reading in linear.slopes)
        )

    def __call__(self, *values: Number) -> Number:
        """The mean ratio for other values of the readings, floats or arrays, in their order."""
        return mean([compression_ratio(*volumes) for volumes in self.volumes(*values)])

    def volumes(self, *values: Number) -> list[tuple[Number, Number]]:
        """Swept and clearance volume of every cylinder, for other values of the readings."""
        at = dict(zip(self.readings, values, strict=True))
        known: dict[_Linear, Number] = {}

        def value(linear: _Linear) -> Number:
            if linear not in known:
                known[linear] = linear(at) if linear.slopes else linear.value
            return known[linear]

        return [parts.volumes(value) for parts in self._cylinders]


class _Parts:
    """What one cylinder's volumes are worked out from."""

    def __init__(self, engine: Engine, n: int, linear: Callable[[pint.Quantity, str], _Linear]):
        cylinder, gasket = engine.cylinders[n], engine.gaskets[n]
        land = engine.ring_lands[n]
        self._bore = linear(cylinder.bore, "mm")
        self._stroke = linear(cylinder.stroke, "mm")
        self._chamber = linear(engine.chambers[n].volume, "mm**3")
        self._deck = linear(engine.decks[n].clearance, "mm")
        self._crown = linear(engine.pistons[n].crown, "mm**3")
        self._gasket = (
            [linear(gasket.poured, "mm**3")]
            if gasket.poured is not None
            else [linear(gasket.bore, "mm"), linear(gasket.compressed_thickness, "mm")]
        )
        self._land = [linear(land.height, "mm"), linear(land.clearance, "mm")] if land else []

    @property
    def inputs(self) -> list[_Linear]:
        return [
            *(self._bore, self._stroke, self._chamber, self._deck, self._crown),
            *(*self._gasket, *self._land),
        ]

    def volumes(self, value: Callable[[_Linear], Number]) -> tuple[Number, Number]:
        bore = value(self._bore)
        opening = [value(linear) for linear in self._gasket]
        gasket = disc(*opening) if len(opening) == 2 else opening[0]
        crevice: Number = 0
        if self._land:
            height, clearance = (value(linear) for linear in self._land)
            crevice = annulus(bore, bore - clearance, height)
        swept, deck = disc(bore, value(self._stroke)), disc(bore, value(self._deck))
        return swept, clearance_volume(
            value(self._chamber), gasket, deck, value(self._crown), crevice
        )


class _Linear:
    """A magnitude as its best value plus slopes in the readings that it was worked out from."""

    def __init__(self, quantity: pint.Quantity, unit: str):
        magnitude: Any = quantity.m_as(unit)
        self.value = nominal(magnitude)
        self.slopes: dict[Variable, float] = {
            reading: slope
            for reading, slope in getattr(magnitude, "derivatives", {}).items()
            if reading.std_dev
        }

    def __call__(self, at: dict[Variable, Number]) -> Number:
        value: Number = self.value
        for reading, slope in self.slopes.items():
            value = value + slope * (at[reading] - reading.nominal_value)
        return value
