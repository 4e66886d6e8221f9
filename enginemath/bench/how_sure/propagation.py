"""Whether the simple rule for uncertainties is good enough, and what to use where it is not.

The simple rule (first order) takes the formula as a straight line over the readings' spread.
Pure Python but for the Monte Carlo, which is used where NumPy is present.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

from uncertainties import UFloat

from enginemath.bench.how_sure.distributions import coverage_factor
from enginemath.bench.how_sure.monte_carlo.model import refuse_shared_readings
from enginemath.bench.how_sure.monte_carlo.simulating import simulate
from enginemath.units import Number, Refused, deviation, nominal

GOOD_ENOUGH = 0.02
"""Share of the half-width by which first order may be off at either limit of the interval."""
COVERAGE = 0.95
_STEP = 0.5
"""The step of the finite differences, in standard uncertainties."""


@dataclass(frozen=True)
class Spread:
    """A value, its standard uncertainty, and how they were found."""

    value: float
    u: float
    interval_95: tuple[float, float]
    method: str
    """"first order", "Monte Carlo", or "second order" where NumPy is missing."""
    note: str
    """One sentence for the reader."""


@dataclass(frozen=True)
class Curvature:
    """A formula near its inputs' best values, seen in units of their standard uncertainties."""

    value: float
    u_first_order: float
    u_second_order: float
    """Source: JCGM 100:2008, 5.1.2, note (normal inputs)."""
    shift: float
    """How far the mean lies from the value at the best inputs."""
    skewness: float

    def interval(self, coverage: float = COVERAGE) -> tuple[float, float]:
        """Limits to second order.

            y + shift + u·(k² − 1)·g/6 ± k·u

        g is the skewness, k the coverage factor of the normal distribution, u to second order.

        Args:
            coverage: share of the values that the interval shall hold, between 0 and 1.

        Returns:
            Lower and upper limit, in the unit of the formula.

        Raises:
            Refused: a coverage outside 0 to 1.

        Source: first terms of the Cornish-Fisher expansion; Abramowitz & Stegun 26.2.49 (from
        memory).

        >>> from uncertainties import ufloat
        >>> low, high = curvature_of(lambda x: x * x, [ufloat(10.0, 1.0)]).interval()
        >>> round(low, 1), round(high, 1)  # exactly 64.6 and 143.0, by noncentral chi-squared
        (64.5, 143.1)
        """
        k = coverage_factor(coverage)
        middle = self.value + self.shift + self.u_second_order * (k * k - 1) * self.skewness / 6
        return middle - k * self.u_second_order, middle + k * self.u_second_order

    def error_of_first_order(self, coverage: float = COVERAGE) -> float:
        """Largest error of u and of both limits, as a share of what first order gives.

            error = largest of u/u₁ − 1 and (limit − limit₁)/(k·u₁), without their signs

        u₁ and limit₁ = y ± k·u₁ are of first order, u and limit of second.

        Args:
            coverage: share of the values that the interval shall hold, between 0 and 1.

        Returns:
            A bare number; infinite where first order sees no uncertainty and second order does.

        Raises:
            Refused: a coverage outside 0 to 1.

        Source: the test of JCGM 101:2008, 8, with second order in place of the Monte Carlo.

        >>> from uncertainties import ufloat
        >>> square = curvature_of(lambda x: x * x, [ufloat(10.0, 1.0)])
        >>> round(square.error_of_first_order(), 3)
        0.1
        """
        if not self.u_first_order:
            return math.inf if self.u_second_order else 0.0
        half_width = coverage_factor(coverage) * self.u_first_order
        low, high = self.interval(coverage)
        return max(
            abs(self.u_second_order / self.u_first_order - 1),
            abs(low - (self.value - half_width)) / half_width,
            abs(high - (self.value + half_width)) / half_width,
        )


def propagate(
    formula: Callable[..., Number],
    inputs: Sequence[float | UFloat],
    *,
    draws: int = 1_000_000,
    seed: int = 1,
) -> Spread:
    """The uncertainty of a formula's result: first order where it is good within 2 %.

        u²(y) = Σ(∂f/∂xᵢ·u(xᵢ))², and the interval y ± 1.96·u(y)

    Args:
        formula: f, takes one argument an input, floats or arrays; plain operators only.
        inputs: xᵢ, independent, each plain or with a standard uncertainty, taken as normal.
        draws: of the Monte Carlo, should it be needed.
        seed: of the Monte Carlo.

    Returns:
        Value, standard uncertainty and 95 % interval in the unit of the formula, the method
        that was used and a sentence about it.

    Raises:
        Refused: inputs that share a reading, or a formula with no value near its inputs.

    Source: first order JCGM 100:2008, 5.1; the test after JCGM 101:2008, 8; Monte Carlo
    JCGM 101:2008, 7.

    >>> from uncertainties import ufloat
    >>> from enginemath.formulas.geometry import disc
    >>> gasket = propagate(disc, [ufloat(93.2, 0.05), ufloat(1.10, 0.02)])
    >>> gasket.method, round(gasket.u, 1)
    ('first order', 136.7)
    >>> propagate(lambda chamber: 1 / chamber, [ufloat(47.5, 4.0)]).method
    'Monte Carlo'
    """
    curvature = curvature_of(formula, inputs)
    error = curvature.error_of_first_order()
    if error <= GOOD_ENOUGH:
        half_width = coverage_factor(COVERAGE) * curvature.u_first_order
        return Spread(
            curvature.value,
            curvature.u_first_order,
            (curvature.value - half_width, curvature.value + half_width),
            "first order",
            f"first order is good here: off by about {_percent(error)}",
        )
    off = f"first order is off by about {_percent(error)} here"
    if not _has_numpy():
        note = f"{off}, so second order is used; a Monte Carlo would be surer (it needs NumPy)"
        spread = curvature.u_second_order, curvature.interval()
        return Spread(curvature.value, *spread, "second order", note)
    simulation = simulate(formula, inputs, draws=draws, seed=seed)
    count = f"{draws:,}".replace(",", " ")
    note = f"{off}, so a Monte Carlo of {count} draws is used"
    return Spread(curvature.value, simulation.u, simulation.interval(), "Monte Carlo", note)


def curvature_of(formula: Callable[..., Number], inputs: Sequence[float | UFloat]) -> Curvature:
    """Slopes and bends of a formula over its inputs' spread, by finite differences.

        u₁² = Σgᵢ²

        u² = u₁² + ½·Σbᵢⱼ² + Σgᵢ·cᵢⱼⱼ

        shift = ½·Σbᵢᵢ

        skewness = (3·Σgᵢ·bᵢⱼ·gⱼ + Σbᵢⱼ·bⱼₖ·bₖᵢ)/u³

    g, b and c are the first, second and third derivatives, each in steps of one standard
    uncertainty of its inputs.

    Args:
        formula: takes one float an input.
        inputs: independent, each plain or with a standard uncertainty.

    Returns:
        Value, u to first and to second order and shift of the mean, in the unit of the formula;
        skewness, a bare number.

    Raises:
        Refused: inputs that share a reading, or no finite value near the inputs.

    Source: JCGM 100:2008, 5.1.2, note; central differences with half a standard uncertainty as
    the step.

    >>> from uncertainties import ufloat
    >>> square = curvature_of(lambda x: x * x, [ufloat(0, 1)])
    >>> round(square.u_first_order, 9), round(square.u_second_order**2, 9), round(square.shift, 9)
    (0.0, 2.0, 1.0)
    """
    refuse_shared_readings(inputs)
    at = _stepped(formula, inputs)
    here = at({})
    uncertain = [i for i, value in enumerate(inputs) if deviation(value)]
    near = {(i, n): at({i: n}) for i in uncertain for n in (-2, -1, 1, 2)}
    slope: dict[int, float] = {}
    variance = 0.0
    bend: dict[tuple[int, int], float] = {}
    for i in uncertain:
        below2, below, above, above2 = (near[i, n] for n in (-2, -1, 1, 2))
        slope[i] = (8 * (above - below) - (above2 - below2)) / 12 / _STEP
        bend[i, i] = (16 * (above + below) - (above2 + below2) - 30 * here) / 12 / _STEP**2
        change_of_bend = (above2 - 2 * above + 2 * below - below2) / 2 / _STEP**3
        variance += slope[i] * change_of_bend
    for i, j in combinations(uncertain, 2):
        corner = {(m, n): at({i: m, j: n}) for m in (-1, 1) for n in (-1, 1)}
        both = corner[1, 1] - corner[1, -1] - corner[-1, 1] + corner[-1, -1]
        bend[i, j] = bend[j, i] = both / 4 / _STEP**2
        for x, side in ((i, 0), (j, 1)):
            tilt = sum(sides[side] * value for sides, value in corner.items()) / 2
            variance += slope[x] * (tilt - (near[x, 1] - near[x, -1])) / _STEP**3
    straight = math.fsum(g * g for g in slope.values())
    shift = sum(bend[i, i] for i in uncertain) / 2
    variance += straight + sum(b * b for b in bend.values()) / 2
    u = max(variance, 0.0) ** 0.5
    return Curvature(here, straight**0.5, u, shift, _third_moment(slope, bend) / u**3 if u else 0.0)


def _stepped(
    formula: Callable[..., Number], inputs: Sequence[float | UFloat]
) -> Callable[[dict[int, int]], float]:
    middle = [nominal(value) for value in inputs]
    spreads = [deviation(value) for value in inputs]

    def at(steps: dict[int, int]) -> float:
        values = middle.copy()
        for i, count in steps.items():
            values[i] = middle[i] + count * _STEP * spreads[i]
        try:
            result = formula(*values)
        except ArithmeticError:
            result = math.nan
        if isinstance(result, complex) or not math.isfinite(result):
            raise Refused(
                "the formula has no value within one standard uncertainty of the readings: "
                "an uncertainty is too wide for it, or a reading is wrong"
            )
        return float(result)

    return at


def _third_moment(slope: dict[int, float], bend: dict[tuple[int, int], float]) -> float:
    """Third central moment of g·z + ½·z·H·z for normal z: 3·g·H·g + trace H³."""
    bent = 3 * sum(slope[i] * b * slope[j] for (i, j), b in bend.items())
    return bent + sum(b * bend[j, k] * bend[k, i] for (i, j), b in bend.items() for k in slope)


def _has_numpy() -> bool:
    try:
        import numpy  # noqa: F401
    except ImportError:
        return False
    return True


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"
