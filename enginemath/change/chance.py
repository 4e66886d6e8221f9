"""How likely every cylinder's true ratio lies in the band."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from statistics import NormalDist
from typing import Any

from uncertainties import Variable

from enginemath.change.price_list import TOUCH
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks
from enginemath.units import Number, deviation, nominal

_POINTS = 2_000
_SURE = 1e-3
"""Where the least and the greatest chance there can be are nearer than this, the middle will do."""
_FEWER_POINTS = 500
_NEVER = 1e-5
"""What is missed so seldom is left out."""
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
    return chance_within([(stack.ratio, low, high) for stack in stacks(engine)])


Bounded = tuple[Number, float, float]
"""A number, and the least and the most that it may be."""


def kept_probability(limits: Iterable[Bounded]) -> float | None:
    """Chance that every limit holds in every cylinder, to about 0.005.

    Args:
        limits: a value with its uncertainties, and both its ends, for each limit and cylinder.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.

    Source: see `in_band_probability`.

    >>> from uncertainties import ufloat
    >>> round(kept_probability([(ufloat(0.90, 0.02), 0.90, 1.15), (9.2, 9.0, 9.5)]), 3)
    0.5
    """
    return chance_within(limits, _FEWER_POINTS, _NEVER)


def most_that_can_be_kept(limits: Iterable[Bounded]) -> float:
    """No less than the chance that every limit holds: that of the one that breaks most easily."""
    return 1 - max((_miss(*limit) for limit in limits), default=0.0)


def _miss(number: Number, low: float, high: float) -> float:
    best, spread = nominal(number), deviation(number)
    if not spread:
        return float(not low - TOUCH <= best <= high + TOUCH)
    return NormalDist(best, spread).cdf(low) + NormalDist(-best, spread).cdf(-high)


def chance_within(
    limits: Iterable[Bounded], points: int = _POINTS, never: float = 0.0
) -> float | None:
    """Chance that each of some numbers lies between its ends.

    Args:
        limits: numbers with their ends.
        points: at which what they have in common is looked at.
        never: what is missed with less of a chance is left out.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.
    """
    every = list(limits)
    unsure = [limit for limit in every if deviation(limit[0])]
    if not unsure:
        return None
    if any(_miss(*limit) for limit in every if not deviation(limit[0])):
        return 0.0
    kinds = [kind for kind in _kinds(unsure) if _miss_of(kind) >= never]
    if not kinds:
        return 1.0
    misses = [_miss_of(kind) for kind in kinds]
    # At least one is out with a chance between the greatest of these and their sum.
    if len(kinds) > 1 and sum(misses) - max(misses) < _SURE:
        return 1 - (sum(misses) + max(misses)) / 2
    causes = _causes(kinds)
    count = points if len(causes) > 1 else 1
    return math.fsum(_inside(causes, point) for point in _spread(count, len(causes))) / count


Kind = tuple[float, float, dict[Variable, float]]
"""Least and most that may be added to a best value, and how far each reading's ± moves it."""


def _kinds(limits: Sequence[Bounded]) -> list[Kind]:
    """Numbers that are alike in everything count once, within the narrowest of their ends."""
    kinds: dict[Any, Kind] = {}
    for number, low, high in limits:
        moves = {
            reading: slope * reading.std_dev
            for reading, slope in number.derivatives.items()
            if slope * reading.std_dev
        }
        least, most = low - nominal(number), high - nominal(number)
        key = frozenset(moves.items())
        if key in kinds:
            known_least, known_most, _ = kinds[key]
            least, most = max(least, known_least), min(most, known_most)
        kinds[key] = least, most, moves
    return list(kinds.values())


def _miss_of(kind: Kind) -> float:
    least, most, moves = kind
    around = NormalDist(0.0, math.hypot(*moves.values()))
    return around.cdf(least) + around.cdf(-most)


Row = tuple[float, float, list[float]]
"""Least and most that causes may add to a ratio, and how far each of them moves it."""


def _causes(kinds: Sequence[Kind]) -> list[list[Row]]:
    """Independent causes of the same spread and covariances, with the ratios that each decides.

    A ratio is decided by the last cause that moves it: each row of Cholesky's triangle either
    brings a new cause, or is moved by the ones before it alone.
    """
    rows: list[list[float]] = []
    brings: list[int] = []
    """The ratio that brought each cause."""
    causes: list[list[Row]] = []
    for at, (least, most, moves) in enumerate(kinds):
        row: list[float] = []
        for cause, first in enumerate(brings):
            together = _covariance(moves, kinds[first][2])
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
        causes[last].append((least, most, row[: last + 1]))
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
