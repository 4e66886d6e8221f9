"""How well a combined standard uncertainty is known itself."""

from __future__ import annotations

import math
from collections.abc import Iterable


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
