"""Student's t, Fisher's F and chi-squared, so that no printed table and no SciPy is needed.

Plain floats only: these are not formulas of the bench.
"""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import NormalDist

from enginemath.units import Refused

_LARGE = 1e6
_TINY = 1e-300


def coverage_factor(coverage: float = 0.95, degrees_of_freedom: float = math.inf) -> float:
    """How many standard uncertainties each way hold a share of the values.

        P(−k < t < k) = coverage, with t Student's t of ν degrees of freedom

    Args:
        coverage: a share between 0 and 1, like 0.95.
        degrees_of_freedom: ν, above 0; infinite for a well-known uncertainty.

    Returns:
        k, a bare number.

    Raises:
        Refused: a coverage outside 0 to 1, or no degrees of freedom.

    Source: quantile of Student's t, JCGM 100:2008, G.3.

    >>> round(coverage_factor(), 3), round(coverage_factor(0.99, 16), 2)
    (1.96, 2.92)
    """
    if not 0 < coverage < 1:
        raise Refused(f"coverage {coverage:g}: a share between 0 and 1, like 0.95")
    if not degrees_of_freedom > 0:
        raise Refused("degrees of freedom: one reading alone shows no spread; take another")
    tail = (1 - coverage) / 2
    z = -NormalDist().inv_cdf(tail)
    if degrees_of_freedom > _LARGE:
        return z + (z**3 + z) / (4 * degrees_of_freedom)
    return _t_with_tail(tail, degrees_of_freedom, start=z)


def t_tail(t: float, degrees_of_freedom: float) -> float:
    """Chance that Student's t lies above a value that is not negative.

        P(above t) = ½·I_x(ν/2, ½), with x = ν/(ν + t²)

    I_x is the regularised incomplete beta function.

    Args:
        t: the value, a bare number, not negative.
        degrees_of_freedom: ν, above 0, finite.

    Returns:
        A chance, a bare number from 0 to ½.

    Source: Abramowitz & Stegun 26.7.1.

    >>> round(t_tail(2.920782, 16), 6)
    0.005
    """
    whole = degrees_of_freedom + t * t
    return 0.5 * _beta(degrees_of_freedom / 2, 0.5, degrees_of_freedom / whole, t * t / whole)


def f_tail(f: float, upper_degrees: float, lower_degrees: float) -> float:
    """Chance that Fisher's F lies above a value: the p-value of a variance ratio.

        P(above F) = I_x(ν₂/2, ν₁/2), with x = ν₂/(ν₂ + ν₁·F)

    I_x is the regularised incomplete beta function.

    Args:
        f: F, variance above over variance below, not negative; infinite where nothing is below.
        upper_degrees: ν₁, degrees of freedom of the variance above.
        lower_degrees: ν₂, degrees of freedom of the variance below.

    Returns:
        A chance, a bare number from 0 to 1.

    Source: Abramowitz & Stegun 26.6.2.

    >>> round(f_tail(3.88, 2, 12), 2)
    0.05
    """
    if math.isinf(f):
        return 0.0
    whole = lower_degrees + upper_degrees * f
    return _beta(
        lower_degrees / 2, upper_degrees / 2, lower_degrees / whole, upper_degrees * f / whole
    )


def chi_squared_below(x: float, degrees_of_freedom: float) -> float:
    """Chance that the sum of ν squares of standard normals lies below a value.

        P(below x) = (x/2)^(ν/2)·e^(−x/2)/Γ(ν/2 + 1)·Σ xⁿ/((ν + 2)·(ν + 4)·…·(ν + 2·n))

    Args:
        x: a bare number, not negative.
        degrees_of_freedom: ν, above 0.

    Returns:
        A chance, a bare number from 0 to 1.

    Source: Abramowitz & Stegun 26.4.6 (from memory).

    >>> round(chi_squared_below(9.487729, 4), 6)
    0.95
    """
    if x <= 0:
        return 0.0
    half, steps = degrees_of_freedom / 2, 0
    term = total = 1.0
    while term > 1e-16 * total:
        steps += 1
        term *= x / (degrees_of_freedom + 2 * steps)
        total += term
    return total * math.exp(half * math.log(x / 2) - x / 2 - math.lgamma(half + 1))


@lru_cache(maxsize=10_000)
def chi_squared_at(share: float, degrees_of_freedom: float) -> float:
    """The value below which the sum of ν squares of standard normals lies in a share of all cases.

        P(below x) = share

    Args:
        share: between 0 and 1.
        degrees_of_freedom: ν, above 0.

    Returns:
        A bare number, good to one in a million.

    Source: `chi_squared_below`, halved until it stands.

    >>> round(chi_squared_at(0.95, 4), 4)
    9.4877
    """
    low, high = -700.0, math.log(degrees_of_freedom + 50 * (1 + degrees_of_freedom**0.5))
    while high - low > 1e-6:
        middle = (low + high) / 2
        if chi_squared_below(math.exp(middle), degrees_of_freedom) < share:
            low = middle
        else:
            high = middle
    return math.exp(high)


def _t_with_tail(tail: float, degrees_of_freedom: float, start: float) -> float:
    # The tail is convex and the normal quantile lies below: Newton only ever climbs.
    t = start
    while True:
        density = t_density(t, degrees_of_freedom)
        step = (t_tail(t, degrees_of_freedom) - tail) / density
        t += step
        if step <= 1e-14 * t:
            return t


def t_density(t: float, nu: float) -> float:
    """Density of Student's t.

        f(t) = Γ((ν + 1)/2)/(Γ(ν/2)·√(ν·π))·(1 + t²/ν)^(−(ν + 1)/2)

    Args:
        t: a bare number of either sign.
        nu: ν, degrees of freedom, above 0, finite.

    Returns:
        Chance for a step of t, a bare number.

    Source: Abramowitz & Stegun 26.7 (from memory).

    >>> round(t_density(0.0, 1), 6)  # 1/π
    0.31831
    """
    return math.exp(_log_height(nu) - (nu + 1) / 2 * math.log1p(t * t / nu))


@lru_cache(maxsize=10_000)
def _log_height(nu: float) -> float:
    return math.lgamma((nu + 1) / 2) - math.lgamma(nu / 2) - math.log(nu * math.pi) / 2


def _beta(a: float, b: float, x: float, rest: float) -> float:
    """Regularised incomplete beta function I_x(a, b), with `rest` = 1 − x kept exact."""
    if x <= 0 or rest <= 0:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_below(b, a, rest, x)
    return _beta_below(a, b, x, rest)


def _beta_below(a: float, b: float, x: float, rest: float) -> float:
    """I_x(a, b) for an x below (a + 1)/(a + b + 2), or a rounding above it."""
    log_front = _log_complete_beta(a, b) + a * math.log(x) + b * math.log(rest)
    return math.exp(log_front) * _beta_fraction(a, b, x) / a


@lru_cache(maxsize=10_000)
def _log_complete_beta(a: float, b: float) -> float:
    """Logarithm of 1/B(a, b)."""
    return math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)


def _beta_fraction(a: float, b: float, x: float) -> float:
    """1/(1 + d₁/(1 + d₂/(1 + …))) of DLMF 8.17.22, by Lentz's method."""
    denominator, above, below = 1.0, 1.0, 0.0
    for m in range(10_000):
        at = a + 2 * m
        odd = -(a + m) * (a + b + m) * x / (at * (at + 1))
        below = 1 / (1 + odd * below or _TINY)
        above = 1 + odd / above or _TINY
        denominator *= above * below
        even = (m + 1) * (b - m - 1) * x / ((at + 1) * (at + 2))
        below = 1 / (1 + even * below or _TINY)
        above = 1 + even / above or _TINY
        step = above * below
        denominator *= step
        if -1e-15 < step - 1 < 1e-15:
            break
    return 1 / denominator
