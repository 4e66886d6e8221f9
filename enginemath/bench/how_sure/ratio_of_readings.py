"""The mean ratio of an engine as one formula of its uncertain readings."""

from __future__ import annotations

from collections.abc import Sequence
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
        cylinder, gasket, land = engine.cylinder, engine.gasket, engine.ring_land
        self._bore = _Linear(cylinder.bore, "mm")
        self._stroke = _Linear(cylinder.stroke, "mm")
        self._chambers = [_Linear(chamber.volume, "mm**3") for chamber in engine.chambers]
        self._clearances = [_Linear(deck.clearance, "mm") for deck in engine.decks]
        self._crown = _Linear(engine.piston.crown, "mm**3")
        self._gasket = (
            [_Linear(gasket.poured, "mm**3")]
            if gasket.poured is not None
            else [_Linear(gasket.bore, "mm"), _Linear(gasket.compressed_thickness, "mm")]
        )
        self._land = [_Linear(land.height, "mm"), _Linear(land.clearance, "mm")] if land else []
        self.readings: tuple[Variable, ...] = tuple(
            dict.fromkeys(reading for linear in self._inputs() for reading in linear.slopes)
        )

    def _inputs(self) -> list[_Linear]:
        return [
            *(self._bore, self._stroke, *self._chambers, *self._clearances, self._crown),
            *(*self._gasket, *self._land),
        ]

    def __call__(self, *values: Number) -> Number:
        """The mean ratio for other values of the readings, floats or arrays, in their order."""
        at = dict(zip(self.readings, values, strict=True))
        bore = self._bore(at)
        opening = [linear(at) for linear in self._gasket]
        gasket = disc(*opening) if len(opening) == 2 else opening[0]
        crevice: Number = 0
        if self._land:
            height, clearance = (linear(at) for linear in self._land)
            crevice = annulus(bore, bore - clearance, height)
        swept, crown = disc(bore, self._stroke(at)), self._crown(at)
        ratios: Sequence[Number] = [
            compression_ratio(
                swept,
                clearance_volume(chamber(at), gasket, disc(bore, deck(at)), crown, crevice),
            )
            for chamber, deck in zip(self._chambers, self._clearances, strict=True)
        ]
        return mean(ratios)


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
