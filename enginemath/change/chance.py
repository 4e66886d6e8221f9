"""How likely every cylinder's true ratio lies in the band."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from statistics import NormalDist
from typing import Any

from uncertainties import Variable

from enginemath.bench.how_sure.distributions import coverage_factor, t_tail
from enginemath.bench.how_sure.error_budget import welch_satterthwaite
from enginemath.bench.how_sure.labels import Label
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
_APART, _MOST_APART = 0.1, 3
"""A source that is not normal is followed by itself from this share of a limit's variance on, and
of such sources so many, the largest first; the others are taken as normal."""
_FEW_DEGREES = 30.0
_THINNER = 0.03
"""That a limit may be missed less often than with normal sources alone."""
_STANDARD = NormalDist()


def in_band_probability(engine: Engine, low: float, high: float) -> float | None:
    """Chance that the true ratios of all cylinders lie in a band.

    The ratios are taken to first order in the readings, each source with its own distribution, see
    `chance_within`. Readings that cylinders share move them together. Good to about 0.001 where
    all are normal; the same engine always has the same chance.

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
    """Chance that every limit holds in every cylinder, within 0.02 of simulated work.

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
    """No less than the chance that every limit holds: that of the one that breaks most easily.

    What a tool may be off has ends, so its tails are thinner than those counted with here.
    """
    most = 0.0
    for limit in limits:
        miss = _miss(*limit)
        if miss > most:
            flat = any(map(_is_flat, getattr(limit[0], "derivatives", ())))
            most = max(most, miss - (_THINNER if flat else 0.0))
    return 1 - most


def _miss(number: Number, low: float, high: float) -> float:
    best, spread = nominal(number), deviation(number)
    if not spread:
        return float(not low - TOUCH <= best <= high + TOUCH)
    return NormalDist(best, spread).cdf(low) + NormalDist(-best, spread).cdf(-high)


def chance_within(
    limits: Iterable[Bounded], points: int = _POINTS, never: float = 0.0
) -> float | None:
    """Chance that each of some numbers lies between its ends.

    What a tool may be off lies anywhere within its limits, and the scatter of a few repeats has
    Student's t: where one of them is a good part of a number's ±, it is followed as such. All the
    rest is taken as normal.

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
    apart = _apart(kinds)
    misses = [_miss_of(kind) for kind in kinds]
    # At least one is out with a chance between the greatest of these and their sum.
    certain = sum(misses) - (0 if apart else max(misses)) < _SURE
    if certain and (len(kinds) > 1 or apart):
        return 1 - (sum(misses) + max(misses)) / 2
    known, causes = _causes(kinds, apart)
    wide = len(apart) + len(causes)
    count = points if apart or wide > 1 else 1
    shares = (
        _inside(known, causes, [_value(source, p) for source, p in zip(apart, point, strict=False)],
                point[len(apart):])
        for point in _spread(count, wide)
    )  # fmt: skip
    return math.fsum(shares) / count


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
    spread = math.hypot(*moves.values())
    degrees = welch_satterthwaite((move, _degrees(reading)) for reading, move in moves.items())
    if degrees > _FEW_DEGREES:
        around = NormalDist(0.0, spread)
        return around.cdf(least) + around.cdf(-most)
    return _t_below(least / spread, degrees) + _t_below(-most / spread, degrees)


def _t_below(t: float, degrees: float) -> float:
    if math.isinf(t):
        return 0.0 if t < 0 else 1.0
    return t_tail(-t, degrees) if t < 0 else 1 - t_tail(t, degrees)


def _degrees(reading: Variable) -> float:
    return reading.tag.degrees_of_freedom if isinstance(reading.tag, Label) else math.inf


def _is_flat(reading: Variable) -> bool:
    return isinstance(reading.tag, Label) and reading.tag.rectangular


def _apart(kinds: Sequence[Kind]) -> list[Variable]:
    """The sources that are not normal and a good part of what a number may be off."""
    shares: dict[Variable, float] = {}
    for _, _, moves in kinds:
        variance = _covariance(moves, moves)
        for reading, move in moves.items():
            share = move * move / variance
            if share >= _APART and (_is_flat(reading) or _degrees(reading) < _FEW_DEGREES):
                shares[reading] = max(share, shares.get(reading, 0.0))
    return sorted(shares, key=lambda reading: -shares[reading])[:_MOST_APART]


def _value(source: Variable, share: float) -> float:
    """What a source followed by itself is off at a share of all cases, in standard deviations."""
    if _is_flat(source):
        return math.sqrt(3) * (2 * share - 1)
    return _t_at(share, _degrees(source))


def _widened(degrees: float) -> float:
    """How much wider Student's t spreads than its standard uncertainty; at most as with four.

    Many scatters together are near a normal distribution of that spread.
    """
    return 1.0 if math.isinf(degrees) else math.sqrt(max(degrees, 4.0) / (max(degrees, 4.0) - 2))


@lru_cache(10_000)
def _t_at(share: float, degrees: float) -> float:
    coverage = abs(2 * share - 1)
    if not coverage:
        return 0.0
    return math.copysign(coverage_factor(coverage, degrees), share - 0.5)


Row = tuple[float, float, list[float], list[float]]
"""Least and most that may be added to a number, how far each source that is followed by itself
moves it, and how far each of the causes."""


def _causes(kinds: Sequence[Kind], apart: Sequence[Variable]) -> tuple[list[Row], list[list[Row]]]:
    """Independent causes of the same spread and covariances, with the ratios that each decides.

    A ratio is decided by the last cause that moves it: each row of Cholesky's triangle either
    brings a new cause, or is moved by the ones before it alone. Those that the sources apart
    decide alone come first.
    """
    rows: list[list[float]] = []
    brings: list[int] = []
    """The ratio that brought each cause."""
    known: list[Row] = []
    causes: list[list[Row]] = []
    rests = [
        {r: move * _widened(_degrees(r)) for r, move in moves.items() if r not in apart}
        for _, _, moves in kinds
    ]
    for at, (least, most, moves) in enumerate(kinds):
        row: list[float] = []
        for cause, first in enumerate(brings):
            together = _covariance(rests[at], rests[first])
            row.append((together - _product(row, rows[first])) / rows[first][cause])
        variance, rest = _covariance(moves, moves), _covariance(rests[at], rests[at])
        left = rest - _product(row, row)
        if left > _NOTHING * variance:
            row.append(math.sqrt(left))
            brings.append(at)
            causes.append([])
        rows.append(row)
        moved = [moves.get(source, 0.0) for source in apart]
        decided_by = [n for n, slope in enumerate(row) if slope * slope > _NOTHING * variance]
        if decided_by:
            causes[decided_by[-1]].append((least, most, moved, row[: decided_by[-1] + 1]))
        else:
            known.append((least, most, moved, []))
    return known, causes


def _covariance(a: dict[Variable, float], b: dict[Variable, float]) -> float:
    return math.fsum(move * b.get(reading, 0.0) for reading, move in a.items())


def _product(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=False))


def _inside(
    known: Sequence[Row],
    causes: Sequence[Sequence[Row]],
    values: Sequence[float],
    point: Sequence[float],
) -> float:
    """Chance that all lie between their ends, given the values of the sources that are followed.

    Args:
        known: what those decide alone.
        causes: see `_causes`.
        values: of the sources that are followed.
        point: where in its allowed range each cause but the last lies.
    """
    for least, most, moved, _ in known:
        if not least - TOUCH <= _product(moved, values) <= most + TOUCH:
            return 0.0
    chance = 1.0
    drawn: list[float] = []
    for decided, share in zip(causes, point, strict=True):
        from_, to = -math.inf, math.inf
        for least, most, apart, slopes in decided:
            *before, own = slopes
            at = _product(before, drawn) + _product(apart, values)
            ends = (least - at) / own, (most - at) / own
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
