"""How likely every cylinder's true ratio lies in the band."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from statistics import NormalDist

from uncertainties import Variable

from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks
from enginemath.units import Number, deviation, nominal

_POINTS = 2_000
_SURE = 1e-3
"""Where the least and the greatest chance there can be are nearer than this, the middle will do."""
_NOTHING = 1e-9
"""A share of the spread so small that it is rounding."""
_STANDARD = NormalDist()


def in_band_probability(engine: Engine, low: float, high: float) -> float | None:
    """Chance that the true ratios of all cylinders lie in a band.

    The ratios are taken as normal, to first order in the readings. Readings that cylinders share
    move them together. Good to about 0.001; the same engine always has the same chance.

    Args:
        engine: with the uncertainties of its readings and of the work done.
        low: lower end of the band.
        high: upper end of the band.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.

    Source: law of propagation with covariances, JCGM 102:2011, 6.2. The integral is A. Genz's
    (Numerical computation of multivariate normal probabilities, 1992): one independent cause after
    the other, at points spread evenly.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> sheet = parse(EXAMPLE.replace("0.35 mm", "0.35 ± 0.05 mm"))
    >>> in_band_probability(sheet.engine, 9.8, 9.9) is None
    False
    """
    of_all = [stack.ratio for stack in stacks(engine)]
    ratios = [ratio for ratio in of_all if deviation(ratio)]
    if not ratios:
        return None
    if any(not deviation(ratio) and not low <= nominal(ratio) <= high for ratio in of_all):
        return 0.0
    kinds = _kinds(ratios)
    misses = [
        NormalDist(best, spread).cdf(low) + NormalDist(-best, spread).cdf(-high)
        for best, spread in ((best, math.hypot(*moves.values())) for best, moves in kinds)
    ]
    # At least one is out with a chance between the greatest of these and their sum.
    if len(kinds) > 1 and sum(misses) - max(misses) < _SURE:
        return 1 - (sum(misses) + max(misses)) / 2
    causes = _causes(kinds, low, high)
    points = _POINTS if len(causes) > 1 else 1
    return math.fsum(_inside(causes, point) for point in _spread(points, len(causes))) / points


Kind = tuple[float, dict[Variable, float]]
"""A ratio's best value, and how far each reading's uncertainty moves it."""


def _kinds(ratios: Sequence[Number]) -> list[Kind]:
    """Cylinders that are alike in everything count once."""
    kinds = {}
    for ratio in ratios:
        moves = {
            reading: slope * reading.std_dev
            for reading, slope in ratio.derivatives.items()
            if slope * reading.std_dev
        }
        kinds[nominal(ratio), frozenset(moves.items())] = nominal(ratio), moves
    return list(kinds.values())


Row = tuple[float, float, list[float]]
"""Least and most that causes may add to a ratio, and how far each of them moves it."""


def _causes(kinds: Sequence[Kind], low: float, high: float) -> list[list[Row]]:
    """Independent causes of the same spread and covariances, with the ratios that each decides.

    A ratio is decided by the last cause that moves it: each row of Cholesky's triangle either
    brings a new cause, or is moved by the ones before it alone.
    """
    rows: list[list[float]] = []
    brings: list[int] = []
    """The ratio that brought each cause."""
    causes: list[list[Row]] = []
    for at, (best, moves) in enumerate(kinds):
        row: list[float] = []
        for cause, first in enumerate(brings):
            together = _covariance(moves, kinds[first][1])
            known = _product(row, rows[first])
            row.append((together - known) / rows[first][cause])
        variance = _covariance(moves, moves)
        left = variance - _product(row, row)
        if left > _NOTHING * variance:
            row.append(math.sqrt(left))
            brings.append(at)
            causes.append([])
        rows.append(row)
        last = max(n for n, slope in enumerate(row) if slope * slope > _NOTHING * variance)
        causes[last].append((low - best, high - best, row[: last + 1]))
    return causes


def _covariance(a: dict[Variable, float], b: dict[Variable, float]) -> float:
    return math.fsum(move * b.get(reading, 0.0) for reading, move in a.items())


def _product(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=False))


def _inside(causes: Sequence[Sequence[Row]], point: Sequence[float]) -> float:
    """Chance to be in the band, given where in its allowed range each cause but the last lies."""
    chance = 1.0
    drawn: list[float] = []
    for decided, share in zip(causes, point, strict=True):
        from_, to = -math.inf, math.inf
        for least, most, slopes in decided:
            *known, own = slopes
            moved = _product(known, drawn)
            ends = (least - moved) / own, (most - moved) / own
            from_, to = max(from_, min(ends)), min(to, max(ends))
        below, above = _STANDARD.cdf(from_), _STANDARD.cdf(to)
        if above <= below:
            return 0.0
        chance *= above - below
        at = below + share * (above - below)
        drawn.append(_STANDARD.inv_cdf(min(max(at, 1e-15), 1 - 1e-15)))
    return chance


def _spread(count: int, causes: int) -> Iterator[list[float]]:
    """Points spread evenly over the unit cube: multiples of roots of primes, folded at the middle.

    Source: Richtmyer's points, as in Genz (1992).
    """
    roots = [math.sqrt(prime) % 1 for prime in _primes(causes)]
    for number in range(count):
        yield [abs(2 * ((number + 0.5) * root % 1) - 1) for root in roots]


def _primes(count: int) -> list[int]:
    primes: list[int] = []
    number = 2
    while len(primes) < count:
        if all(number % prime for prime in primes):
            primes.append(number)
        number += 1
    return primes
