"""How well a combined standard uncertainty is known itself."""

from __future__ import annotations

import math
from collections.abc import Iterable

from enginemath.bench.how_sure.distributions import coverage_factor


def welch_satterthwaite(contributions: Iterable[tuple[float, float]]) -> float:
    """Effective degrees of freedom of a combined standard uncertainty.

    Args:
        contributions: pairs of a contribution (sensitivity times standard uncertainty, all in
            one unit) and its degrees of freedom, which may be infinite.

    Returns:
        A bare number, infinite where every uncertainty is taken as certain.

    Source: u⁴ / Σ uᵢ⁴/νᵢ; JCGM 100:2008, G.4.1.

    >>> welch_satterthwaite([(1.0, 4), (1.0, 4)])
    8.0
    """
    pairs = [(u * u, degrees) for u, degrees in contributions]
    variance = math.fsum(square for square, _ in pairs)
    doubt = math.fsum(square * square / degrees for square, degrees in pairs)
    return variance * variance / doubt if doubt else math.inf


def welch(contributions: Iterable[tuple[float, float]], coverage: float = 0.95) -> float:
    """Degrees of freedom with which Student's t holds its share of a sum of few repeats.

        1/ν = a − 2·(b − a²) + c₂·(c − a²),
        a = Σ wᵢ²/νᵢ, b = Σ wᵢ²/νᵢ², c = Σ wᵢ³/νᵢ², wᵢ = uᵢ²/Σ u²,
        c₂ = 4·(3 + 5·ξ² + ξ⁴)/(3·(1 + ξ²)), ξ the normal quantile

    `welch_satterthwaite` has 1/ν = a, the first order alone: what it takes for 95 % is 92 to 98 %
    where a source has one to three degrees of freedom.

    Args:
        contributions: as `welch_satterthwaite` takes them.
        coverage: between 0 and 1.

    Returns:
        A bare number, not below that of the source with the fewest; infinite where every
        uncertainty is taken as certain.

    Source: B. L. Welch, Biometrika 34 (1947) 28-35 (from memory), the series to its second order,
    written as degrees of freedom.

    >>> round(welch([(1.0, 4)]), 9), round(welch([(1.0, 4), (1.0, 4)]), 2)
    (4.0, 10.67)
    """
    pairs = [(u * u, 1 / degrees) for u, degrees in contributions if u]
    variance = math.fsum(square for square, _ in pairs)
    weighed = [(square / variance, inverse) for square, inverse in pairs]
    if not any(inverse for _, inverse in weighed):
        return math.inf
    a = math.fsum(w * w * inverse for w, inverse in weighed)
    b = math.fsum((w * inverse) ** 2 for w, inverse in weighed)
    c = math.fsum(w * (w * inverse) ** 2 for w, inverse in weighed)
    square = coverage_factor(coverage) ** 2
    second = 4 * (3 + 5 * square + square * square) / (3 * (1 + square))
    inverse = a - 2 * (b - a * a) + second * (c - a * a)
    inverse = min(max(inverse, 0.0), max(inverse for _, inverse in weighed))
    return 1 / inverse if inverse else math.inf
