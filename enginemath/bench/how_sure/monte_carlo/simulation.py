"""All the results of a simulation, and the limits that hold a share of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from enginemath.bench.how_sure.monte_carlo.known import Array

_SAMPLE = 4096
"""Results looked at first to see where the ends begin."""


@dataclass(frozen=True)
class Simulation:
    """All the results of a simulation, in the order they were drawn."""

    draws: Array
    unit: str = ""
    settled: bool = True
    """False where draws ran out before the wanted digit was sure."""

    @property
    def count(self) -> int:
        """Number of draws."""
        return len(self.draws)

    @cached_property
    def value(self) -> float:
        """Mean of the results."""
        return float(self.draws.mean())

    @cached_property
    def u(self) -> float:
        """Standard uncertainty: the standard deviation of the results."""
        return float(self.draws.std(ddof=1))

    def interval(self, coverage: float = 0.95) -> tuple[float, float]:
        """Limits with as many results below as above. JCGM 101:2008, 7.7.2.

        Args:
            coverage: between 0 and 1.
        """
        return _values_at(self.draws, *_ranks(self.count, coverage))

    def shortest_interval(self, coverage: float = 0.95) -> tuple[float, float]:
        """The closest pair of limits that hold the share. JCGM 101:2008, 7.7.4.

        Args:
            coverage: between 0 and 1.
        """
        low, high = _ranks(self.count, coverage)
        inside = high - low
        widths = self._in_order[inside:] - self._in_order[: self.count - inside]
        start = int(widths.argmin())
        return float(self._in_order[start]), float(self._in_order[start + inside])

    @cached_property
    def _in_order(self) -> Array:
        import numpy

        return numpy.sort(self.draws)


def _ranks(count: int, coverage: float) -> tuple[int, int]:
    """Places, counted from 0, of the limits among the ordered results. JCGM 101:2008, 7.7."""
    inside = min(count - 1, math.floor(coverage * count + 0.5))
    low = (count - inside) // 2
    return low, min(count - 1, low + inside)


def _values_at(values: Array, low: int, high: int) -> tuple[float, float]:
    """The values at a low and a high rank; only the two ends of the heap are put in order."""
    import numpy

    sample = numpy.sort(values[:: max(1, len(values) // _SAMPLE)])
    tail = max(low, len(values) - 1 - high) / len(values)
    spare = min(len(sample) - 1, int(1.2 * tail * len(sample)) + 20)
    below, above = values[values <= sample[spare]], values[values >= sample[-1 - spare]]
    from_top = len(values) - high
    if len(below) <= low or len(above) < from_top:
        below = above = values
    high_in_above = len(above) - from_top
    return (
        float(numpy.partition(below, low)[low]),
        float(numpy.partition(above, high_in_above)[high_in_above]),
    )
