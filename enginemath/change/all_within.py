"""How likely several numbers lie between their ends at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import count, islice
from operator import mul
from statistics import NormalDist
from typing import Any, NamedTuple

from uncertainties import Variable

from enginemath.bench.how_sure.degrees_of_freedom import welch_satterthwaite
from enginemath.bench.how_sure.distributions import chi_squared_at, coverage_factor, t_tail
from enginemath.bench.how_sure.labels import by_estimate, label_of
from enginemath.change.price_list import TOUCH
from enginemath.units import Number, deviation, nominal

_POINTS = 2_000
_SURE = 1e-3
"""Where the least and the greatest chance there can be are nearer than this, the middle will do."""
_NOTHING = 1e-9
"""A share of the spread so small that it is rounding."""
_APART, _MOST_APART = 0.1, 3
"""A source that is not normal is followed by itself from this share of a limit's variance on, and
of such sources so many, the largest first; the others are taken as normal."""
_WIDTHS, _MOST_POOLS = 32, 3
"""At so many widths the scatter of a pool is looked at, and so many pools are followed."""
_FEW_DEGREES, _HEAVY = 30.0, 4.0
"""Degrees of freedom from which Student's t is as good as normal; below which it is far from it."""
_STANDARD = NormalDist()

Bounded = tuple[Number, float, float]
"""A number, and the least and the most that it may be."""


def miss(number: Number, low: float, high: float) -> tuple[float, bool]:
    """Chance that one number lies beyond its ends, and whether it is only close.

    It is only close where a source is not normal.
    """
    if not deviation(number):
        return float(not low - TOUCH <= nominal(number) <= high + TOUCH), False
    ((least, most, moves),) = _kinds([(number, low, high)])
    normal = all(not _is_flat(r) and _degrees(r) > _FEW_DEGREES for r in moves)
    return _miss_of((least, most, moves)), not normal


def chance_within(
    limits: Iterable[Bounded], points: int = _POINTS, never: float = 0.0
) -> float | None:
    """Chance that each of some numbers lies between its ends.

    What a tool may be off lies anywhere within its limits, and the scatter of a few repeats has
    Student's t: where one of them is a good part of a number's ±, it is followed as such. Scatters
    of one pool are too narrow together, or too wide: so their common width is followed. All the
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
    if any(miss(*limit)[0] for limit in every if not deviation(limit[0])):
        return 0.0
    missed = [(chance, kind) for kind in _kinds(unsure) if (chance := _miss_of(kind)) >= never]
    if not missed:
        return 1.0
    # What is missed most comes first: Genz's order, with which few points see most.
    misses, kinds = zip(*sorted(missed, key=lambda each: -each[0]), strict=True)
    followed = _followed(kinds)
    # At least one is out with a chance between the greatest of these and their sum.
    certain = sum(misses) - (0 if any(followed) else max(misses)) < _SURE
    if certain and (len(kinds) > 1 or any(followed)):
        return 1 - (sum(misses) + max(misses)) / 2
    return _held(kinds, followed, points)


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
    degrees = welch_satterthwaite(
        (math.hypot(*(moves[reading] for reading in bunch)), _degrees(bunch[0]))
        for bunch in by_estimate(moves)
    )
    if degrees > _FEW_DEGREES:
        around = NormalDist(0.0, spread)
        return around.cdf(least) + around.cdf(-most)
    return _t_below(least / spread, degrees) + _t_below(-most / spread, degrees)


def _t_below(t: float, degrees: float) -> float:
    if math.isinf(t):
        return 0.0 if t < 0 else 1.0
    return t_tail(-t, degrees) if t < 0 else 1 - t_tail(t, degrees)


def _degrees(reading: Variable) -> float:
    return label_of(reading).degrees_of_freedom


def _is_flat(reading: Variable) -> bool:
    return label_of(reading).rectangular


class _Followed(NamedTuple):
    """What is not normal and a good part of what a number may be off, the largest first.

    Args:
        alone: sources that are followed by what they are off.
        pools: scatters of one estimate each, that are followed by its width.
    """

    alone: list[Variable]
    pools: list[list[Variable]]


def _followed(kinds: Sequence[Kind]) -> _Followed:
    every = by_estimate(dict.fromkeys(reading for *_, moves in kinds for reading in moves))
    shares = [(_greatest_share(bunch, kinds), bunch) for bunch in every]
    shares = [
        (share, bunch)
        for share, bunch in sorted(shares, key=lambda each: -each[0])
        if share >= _APART and (_is_flat(bunch[0]) or _degrees(bunch[0]) < _FEW_DEGREES)
    ]
    alone = [bunch[0] for _, bunch in shares if len(bunch) == 1]
    pools = [bunch for _, bunch in shares if len(bunch) > 1]
    return _Followed(alone[:_MOST_APART], pools[:_MOST_POOLS])


def _greatest_share(bunch: Sequence[Variable], kinds: Sequence[Kind]) -> float:
    """Of any number's variance; a heavy tail counts for more than its share."""
    share = max(
        math.fsum(moves.get(reading, 0.0) ** 2 for reading in bunch) / _covariance(moves, moves)
        for *_, moves in kinds
    )
    return share / min(_degrees(bunch[0]) / _HEAVY, 1.0) ** 2


def _held(kinds: Sequence[Kind], followed: _Followed, points: int) -> float:
    """Chance that all hold, by the points of a cube: one side for all that is followed or drawn."""
    alone, pools = followed
    moved = [[moves.get(source, 0.0) for source in alone] for *_, moves in kinds]
    of_pools = [_covariances(kinds, bunch) for bunch in pools]
    in_pools = {reading for bunch in pools for reading in bunch}
    apart = in_pools.union(alone)
    others = dict.fromkeys(r for *_, moves in kinds for r in moves if r not in apart)
    of_rest = _covariances(kinds, others, {r: _widened(_degrees(r)) for r in others})
    widths = list(_widths([_degrees(bunch[0]) for bunch in pools]))
    total = 0.0
    for number, squares in enumerate(widths):
        known, causes = _causes(kinds, moved, _sum(of_rest, of_pools, squares))
        wide = len(alone) + len(causes)
        each = points // len(widths) if alone or wide > 1 else 1
        shares = (
            _inside(known, causes, [_value(s, p) for s, p in zip(alone, point, strict=False)],
                    point[len(alone):])
            for point in islice(_spread(wide), number * each, (number + 1) * each)
        )  # fmt: skip
        total += math.fsum(shares) / each
    return total / len(widths)


Matrix = list[list[float]]
"""A triangle: each row up to its diagonal."""


def _covariances(
    kinds: Sequence[Kind], readings: Iterable[Variable], wider: Mapping[Variable, float] = {}
) -> Matrix:
    parts = [
        {r: moves[r] * wider.get(r, 1.0) for r in readings if r in moves} for *_, moves in kinds
    ]
    return [[_covariance(a, b) for b in parts[: n + 1]] for n, a in enumerate(parts)]


def _sum(rest: Matrix, pools: Sequence[Matrix], squares: Sequence[float]) -> Matrix:
    return [
        [
            own + _product(squares, [pool[row][column] for pool in pools])
            for column, own in enumerate(line)
        ]
        for row, line in enumerate(rest)
    ]


def _widths(degrees: Sequence[float]) -> Iterator[tuple[float, ...]]:
    """Squares of how much wider pools scatter than their few repeats showed, evenly likely.

    Source: ν/χ² of ν degrees of freedom, JCGM 100:2008, G.3.
    """
    if not degrees:
        yield ()
        return
    for number, point in enumerate(islice(_spread(len(degrees) - 1), _WIDTHS)):
        shares = (number + 0.5) / _WIDTHS, *point
        yield tuple(nu / chi_squared_at(p, nu) for nu, p in zip(degrees, shares, strict=True))


def _value(source: Variable, share: float) -> float:
    """What a source followed by itself is off at a share of all cases, in standard deviations."""
    if _is_flat(source):
        return math.sqrt(3) * (2 * share - 1)
    return _t_at(share, _degrees(source))


def _widened(degrees: float) -> float:
    """How much wider Student's t spreads than its standard uncertainty; at most as with four.

    Many scatters together are near a normal distribution of that spread.
    """
    at_least = max(degrees, _HEAVY)
    return 1.0 if math.isinf(degrees) else math.sqrt(at_least / (at_least - 2))


@lru_cache(10_000)
def _t_at(share: float, degrees: float) -> float:
    coverage = abs(2 * share - 1)
    if not coverage:
        return 0.0
    return math.copysign(coverage_factor(coverage, degrees), share - 0.5)


Row = tuple[float, float, list[float], list[float]]
"""Least and most that may be added to a number, how far each source that is followed by itself
moves it, and how far each of the causes."""


def _causes(
    kinds: Sequence[Kind], moved: Sequence[list[float]], covariances: Matrix
) -> tuple[list[Row], list[list[Row]]]:
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
    for at, (least, most, _) in enumerate(kinds):
        row: list[float] = []
        for cause, first in enumerate(brings):
            row.append((covariances[at][first] - _product(row, rows[first])) / rows[first][cause])
        rest = covariances[at][at]
        least_seen = _NOTHING * (rest + _product(moved[at], moved[at]))
        left = rest - _product(row, row)
        if left > least_seen:
            row.append(math.sqrt(left))
            brings.append(at)
            causes.append([])
        rows.append(row)
        decided_by = [n for n, slope in enumerate(row) if slope * slope > least_seen]
        if decided_by:
            causes[decided_by[-1]].append((least, most, moved[at], row[: decided_by[-1] + 1]))
        else:
            known.append((least, most, moved[at], []))
    return known, causes


def _covariance(a: dict[Variable, float], b: dict[Variable, float]) -> float:
    return math.fsum(move * b.get(reading, 0.0) for reading, move in a.items())


def _product(a: Sequence[float], b: Sequence[float]) -> float:
    """Of as many as both have."""
    return sum(map(mul, a, b))


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
    last = len(causes) - 1
    for decided, share in zip(causes, point, strict=True):
        from_, to = -math.inf, math.inf
        for least, most, apart, slopes in decided:
            at = _product(slopes, drawn) + _product(apart, values)  # its own is not drawn yet
            own = slopes[-1]
            ends = (least - at) / own, (most - at) / own
            low, high = ends if own > 0 else ends[::-1]
            from_, to = max(from_, low), min(to, high)
        below, above = _STANDARD.cdf(from_), _STANDARD.cdf(to)
        if above <= below:
            return 0.0
        chance *= above - below
        if len(drawn) < last:
            at = below + share * (above - below)
            drawn.append(_STANDARD.inv_cdf(min(max(at, 1e-15), 1 - 1e-15)))
    return chance


def _spread(causes: int) -> Iterator[list[float]]:
    """Points spread evenly over the unit cube: multiples of roots of primes, folded at the middle.

    Source: Richtmyer's points, as in Genz (1992).
    """
    roots = [math.sqrt(prime) % 1 for prime in _primes(causes)]
    for number in count():
        yield [abs(2 * ((number + 0.5) * root % 1) - 1) for root in roots]


def _primes(count: int) -> list[int]:
    primes: list[int] = []
    number = 2
    while len(primes) < count:
        if all(number % prime for prime in primes):
            primes.append(number)
        number += 1
    return primes
