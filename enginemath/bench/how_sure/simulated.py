"""A ratio's interval by Monte Carlo, for a ± so large that clearance may be nothing.

NumPy draws where it is there; without it the same is done, with fewer draws, in plain Python.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from uncertainties import Variable

from enginemath.bench.how_sure.labels import by_estimate, label_of
from enginemath.bench.how_sure.ratio_of_readings import RatioModel
from enginemath.units import Refused

DRAWS, PLAIN_DRAWS = 200_000, 20_000
"""Draws with NumPy, and without."""


@dataclass(frozen=True)
class Simulated:
    """Ratios of the draws that leave a clearance.

    Args:
        u: standard deviation of the ratio.
        interval_95: limits with as many ratios below as above.
        refused: share of the draws that left no clearance and were not counted.
        draws: how many there were.
    """

    u: float
    interval_95: tuple[float, float]
    refused: float
    draws: int

    @property
    def note(self) -> str:
        """One sentence for the reader."""
        said = f"a Monte Carlo of {self.draws:,} draws is used".replace(",", " ")
        if not self.refused:
            return said
        share = f"{100 * self.refused:.2g} %"
        return (
            f"{said}; {share} of them leave no clearance above the piston, cannot be, and are "
            "not in the interval: measure again"
        )


def simulated(model: RatioModel, which: int | None = None, seed: int = 1) -> Simulated:
    """The interval of a cylinder's ratio, or of the mean, from draws of all its sources.

    A draw in which a cylinder has no clearance cannot be and is refused.

    Args:
        model: of the engine's ratio.
        which: cylinder, from 0; None for the mean of all.
        seed: the same seed gives the same draws.

    Raises:
        Refused: fewer than half of the draws leave a clearance.

    Source: JCGM 101:2008, 6.4 for the shapes, 7 for the draws.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> unsure = parse(EXAMPLE.replace('"6.0 cc"', '"6.0 ± 20 cc"')).engine
    >>> found = simulated(RatioModel(unsure))
    >>> found.refused > 0.0001, "cannot be" in found.note
    (True, True)
    """
    try:
        import numpy
    except ImportError:
        return _plainly(model, which, seed)
    generator = numpy.random.default_rng(seed)
    bunches = by_estimate(model.readings)
    drawn = {r: values for bunch in bunches for r, values in _many(bunch, generator, DRAWS)}
    values = [drawn[reading] for reading in model.readings]
    volumes = [tuple(numpy.broadcast_to(v, DRAWS) for v in pair) for pair in model.volumes(*values)]
    can_be = numpy.all([clearance > 0 for _, clearance in volumes], axis=0)
    _refuse_most(float(can_be.mean()))
    chosen = volumes if which is None else [volumes[which]]
    ratios = numpy.mean([1 + swept[can_be] / clearance[can_be] for swept, clearance in chosen], 0)
    low, high = numpy.quantile(ratios, (0.025, 0.975))
    refused = 1 - float(can_be.mean())
    return Simulated(float(ratios.std(ddof=1)), (float(low), float(high)), refused, DRAWS)


def _many(bunch: Sequence[Variable], generator: Any, count: int) -> Iterator[tuple[Variable, Any]]:
    label = label_of(bunch[0])
    degrees = label.degrees_of_freedom
    wider = 1.0 if math.isinf(degrees) else (degrees / generator.chisquare(degrees, count)) ** 0.5
    for reading in bunch:
        if label.rectangular:
            thrown = 3**0.5 * generator.uniform(-1, 1, count)
        else:
            thrown = wider * generator.standard_normal(count)
        yield reading, reading.nominal_value + reading.std_dev * thrown


def _plainly(model: RatioModel, which: int | None, seed: int) -> Simulated:
    chance = random.Random(seed)
    bunches = by_estimate(model.readings)
    ratios = []
    for _ in range(PLAIN_DRAWS):
        drawn = {r: value for bunch in bunches for r, value in _one(bunch, chance)}
        volumes = model.volumes(*(drawn[reading] for reading in model.readings))
        if all(clearance > 0 for _, clearance in volumes):
            chosen = volumes if which is None else [volumes[which]]
            ratios.append(math.fsum(1 + swept / left for swept, left in chosen) / len(chosen))
    _refuse_most(len(ratios) / PLAIN_DRAWS)
    ratios.sort()
    middle = math.fsum(ratios) / len(ratios)
    variance = math.fsum((ratio - middle) ** 2 for ratio in ratios) / (len(ratios) - 1)
    limits = _at(ratios, 0.025), _at(ratios, 0.975)
    return Simulated(variance**0.5, limits, 1 - len(ratios) / PLAIN_DRAWS, PLAIN_DRAWS)


def _at(ordered: Sequence[float], share: float) -> float:
    return ordered[min(len(ordered) - 1, round(share * (len(ordered) - 1)))]


def _one(bunch: Sequence[Variable], chance: random.Random) -> Iterator[tuple[Variable, float]]:
    label = label_of(bunch[0])
    degrees = label.degrees_of_freedom
    wider = 1.0
    if math.isfinite(degrees):
        wider = (chance.gammavariate(degrees / 2, 2) / degrees) ** -0.5
    for reading in bunch:
        thrown = 3**0.5 * chance.uniform(-1, 1) if label.rectangular else wider * chance.gauss()
        yield reading, reading.nominal_value + reading.std_dev * thrown


def _refuse_most(share: float) -> None:
    if share < 0.5:
        raise Refused(
            "the readings are so unsure that most of what they may be leaves no clearance above "
            "the piston: an uncertainty is too wide, or a reading is wrong"
        )
