"""The half-width that holds 95 % of a result whose sources are of different shapes.

A scatter that was estimated from a few repeats has Student's t; what a tool may be off is known
by its limits alone and is taken as rectangular. A sum of both is neither.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, NamedTuple

from uncertainties import Variable

from enginemath.bench.how_sure.degrees_of_freedom import welch, welch_satterthwaite
from enginemath.bench.how_sure.distributions import coverage_factor, t_density, t_tail
from enginemath.bench.how_sure.labels import Label, by_estimate, label_of
from enginemath.units import Number, nominal

COVERAGE = 0.95
LARGE = 1000.0
"""Degrees of freedom from which a standard uncertainty counts as known."""
_SHARES = 0.005
"""Step to which shares of the variance are rounded: the factor moves by less than half a percent
within one, and like cylinders share the work."""
_NODES = ((0.1834346425, 0.3626837834), (0.5255324099, 0.3137066459),
          (0.7966664774, 0.2223810345), (0.9602898565, 0.1012285363))  # fmt: skip
"""Of Gauss and Legendre with eight points, the positive half; Abramowitz & Stegun, table 25.4."""


class Source(NamedTuple):
    """What one source brings to a result.

    Args:
        name: in shop words: "the burette", "chamber scatter".
        contribution: sensitivity times standard uncertainty, positive, in the result's unit.
        degrees_of_freedom: of its standard uncertainty; infinite where it is known.
        rectangular: whether it lies anywhere within limits, all alike.
        label: of the readings that it came from.
    """

    name: str
    contribution: float
    degrees_of_freedom: float = math.inf
    rectangular: bool = False
    label: Label | None = None

    @property
    def variance(self) -> float:
        """Square of the contribution."""
        return self.contribution * self.contribution


def sources_of(result: Number) -> list[Source]:
    """The sources that went into a result, the largest first.

    Scatters that were pooled share one estimate, and so they are one source.

    Args:
        result: a number with uncertainty, or a quantity of one.

    >>> from uncertainties import ufloat
    >>> dial = ufloat(0.0, 0.006, Label("the dial", "mm", kind="tool"))
    >>> deck, depth = 0.35 - dial, 12.7 - dial
    >>> [round(source.contribution, 4) for source in sources_of(deck + depth)]
    [0.012]
    >>> sources_of(deck - depth)  # the dial's own error cancels
    []
    """
    magnitude: Any = getattr(result, "magnitude", result)
    parts: dict[Variable, float] = {
        reading: abs(slope) * reading.std_dev
        for reading, slope in getattr(magnitude, "derivatives", {}).items()
    }
    least = 1e-9 * math.hypot(*parts.values())
    found = [
        Source(
            label.name,
            math.hypot(*(parts[reading] for reading in together)),
            label.degrees_of_freedom,
            label.rectangular,
            label,
        )
        for together in by_estimate(reading for reading, part in parts.items() if part > least)
        for label in [label_of(together[0])]
    ]
    return sorted(found, key=lambda source: (-source.contribution, source.name))


def degrees_of_freedom(sources: Iterable[Source]) -> float:
    """Effective degrees of freedom of a result; infinite where every source is known.

    Source: Welch and Satterthwaite, JCGM 100:2008, G.4.1.
    """
    return welch_satterthwaite((one.contribution, one.degrees_of_freedom) for one in sources)


def half_width(sources: Iterable[Source], coverage: float = COVERAGE) -> float:
    """Half-width of the interval that holds a share of the values.

    The bell-shaped sources together are Student's t with the degrees of freedom of `welch`. The
    two largest rectangular ones are laid over it as they are; further ones, each smaller, make
    their sum a bell and are counted to it.

    Args:
        sources: independent, all in the result's unit.
        coverage: between 0 and 1.

    Returns:
        In the result's unit; 0 where there is no source.

    Source: JCGM 100:2008, G.4.1 for the bell, its degrees of freedom cut to a whole number by
    G.6.4; JCGM 101:2008, 5.2 for the sum of shapes.

    >>> tool = Source("burette", 1.0, rectangular=True)
    >>> round(half_width([tool]), 3), round(half_width([Source("known", 1.0)]), 3)
    (1.645, 1.96)
    >>> round(half_width([Source("three pours", 1.0, 2)]), 1)
    4.3
    """
    every = list(sources)
    u = math.hypot(*(source.contribution for source in every)) if every else 0.0
    if not u:
        return 0.0
    flat = sorted(((s.contribution / u) ** 2 for s in every if s.rectangular), reverse=True)
    bell = [
        (source.contribution / u, source.degrees_of_freedom)
        for source in every
        if not source.rectangular
    ]
    bell += [(share**0.5, math.inf) for share in flat[2:]]
    first, second = (_rounded(share, _SHARES) for share in (*flat[:2], 0.0, 0.0)[:2])
    return u * _factor(first, second, _whole(welch(bell, coverage), bell), coverage)


def _rounded(share: float, step: float) -> float:
    return step * round(share / step)


def _whole(degrees: float, bell: Iterable[tuple[float, float]]) -> float:
    """Cut to a whole number, but not below the fewest that a source has."""
    if degrees > LARGE:
        return math.inf
    return max(math.floor(degrees + 1e-9), min(own for _, own in bell))


@lru_cache(maxsize=100_000)
def _factor(first: float, second: float, degrees: float, coverage: float) -> float:
    """Half-width in standard uncertainties.

    Args:
        first, second: shares of the variance that the two largest rectangular sources have.
        degrees: of freedom, of the bell that has the rest.
        coverage: between 0 and 1.
    """
    bell = max(0.0, 1 - first - second) ** 0.5
    wide, narrow = (3 * first) ** 0.5, (3 * second) ** 0.5
    if not wide:
        return coverage_factor(coverage, degrees)
    if bell < 0.02:
        bell, degrees = 0.02, math.inf
    curved, z = coverage_factor(coverage, degrees), coverage_factor(coverage)
    low, high = 0.0, curved * bell + wide + narrow
    # Alone, the bell has its own factor and the largest rectangle coverage·√3; what is small
    # beside the rest adds like a bell.
    largest = z * z * (1 - first) + (coverage * wide) ** 2
    half = math.hypot(curved * bell, (first * largest) ** 0.5, z * second**0.5)
    for _ in range(60):
        off, slope, bend = _missed(half, bell, wide, narrow, degrees, coverage)
        low, high = (half, high) if off > 0 else (low, half)
        last, half = half, half + _step_to_nothing(off, slope, bend)
        if not low < half < high:
            half = (low + high) / 2
        elif abs(half - last) < _NEAR * half:
            break
    return half


_NEAR = 1e-4
"""Share of the half-width from which on one step more is exact: it leaves the third power."""


def _step_to_nothing(value: float, slope: float, bend: float) -> float:
    """Halley's step: from a value that is not 0 to where it is."""
    below = 2 * slope * slope - value * bend
    return -2 * value * slope / below if below else math.inf


def _missed(
    half: float, bell: float, wide: float, narrow: float, degrees: float, coverage: float
) -> tuple[float, float, float]:
    """Logarithm of the share beyond ± half, over what may be beyond; its slope and its bend."""
    nodes = _NODES if narrow else ((0.0, 1.0),)
    shares = [
        (weight, _of_bell_and_rectangle(half, narrow * node, bell, wide, degrees))
        for node, weight in nodes
    ]
    held, density, rise = (
        math.fsum(weight * share[which] for weight, share in shares) for which in range(3)
    )
    beyond = max(1 - held, 1e-12)
    slope = -density / beyond
    return math.log(beyond / (1 - coverage)), slope, -rise / beyond - slope * slope


def _of_bell_and_rectangle(
    half: float, moved: float, bell: float, wide: float, degrees: float
) -> tuple[float, float, float]:
    """Share within ± half of a bell plus a rectangle, both moved to one side; slope and bend."""
    ends = (half - moved + wide, half - moved - wide, -half - moved + wide, -half - moved - wide)
    bells = (_bell_up_to(end / bell, degrees) for end in ends)
    (area_a, a, at_a), (area_b, b, at_b), (area_c, c, at_c), (area_d, d, at_d) = bells
    return (
        ((area_a - area_b) - (area_c - area_d)) * bell / (2 * wide),
        ((a - b) + (c - d)) / (2 * wide),
        ((at_a - at_b) - (at_c - at_d)) / (2 * wide * bell),
    )


def _bell_up_to(z: float, degrees: float) -> tuple[float, float, float]:
    """Integral of the bell's distribution function up to z, that function, and the density."""
    if z < 0:
        area, above, density = _bell_up_to(-z, degrees)
        return z + area, 1 - above, density
    if math.isinf(degrees):
        below = 0.5 + 0.5 * math.erf(z / 2**0.5)
        density = math.exp(-z * z / 2) / (2 * math.pi) ** 0.5
        return z * below + density, below, density
    nu = max(degrees, 1.01)
    density = t_density(z, nu)
    beyond = (nu + z * z) / (nu - 1) * density
    # The integral of t·f(t) from z on: over z, it is more than the tail.
    below = 1.0 if beyond < _DUST * z else 1 - t_tail(z, nu)
    return z * below + beyond, below, density


_DUST = 5e-17
"""A share that leaves 1 as it is when it is taken away."""


def interval(result: Number, coverage: float = COVERAGE) -> tuple[float, float]:
    """Limits of a result that is a straight line of its sources, in the result's own unit.

    Args:
        result: a number with uncertainty, or a quantity of one.
        coverage: between 0 and 1.
    """
    half = half_width(sources_of(result), coverage)
    value = nominal(getattr(result, "magnitude", result))
    return value - half, value + half


def interval_of_ratio(ratio: Number, coverage: float = COVERAGE) -> tuple[float, float] | None:
    """Limits of a compression ratio.

    Clearance over swept volume is all but a straight line of the readings; the ratio is not,
    and its interval reaches further up than down. So the limits are found on the former.

    Args:
        ratio: a number with uncertainty.
        coverage: between 0 and 1.

    Returns:
        Low and high; None where clearance may be nothing within the interval.

    Source: r = 1 + 1/s.

    >>> from uncertainties import ufloat
    >>> low, high = interval_of_ratio(ufloat(9.83, 0.40))
    >>> round(low, 2), round(high, 2)
    (9.11, 10.69)
    """
    return limits_of_ratio(nominal(ratio), half_width(sources_of(ratio), coverage))


def limits_of_ratio(ratio: float, half_width: float) -> tuple[float, float] | None:
    """Limits of a compression ratio, see `interval_of_ratio`, whose half-width is known already.

    Args:
        ratio: its best value.
        half_width: of the ratio as a straight line of its sources.

    >>> low, high = limits_of_ratio(9.83, 0.784)
    >>> round(low, 2), round(high, 2)
    (9.11, 10.69)
    """
    share = 1 / (ratio - 1)
    half = half_width * share * share
    if half >= share:
        return None
    return 1 + 1 / (share + half), 1 + 1 / (share - half)
