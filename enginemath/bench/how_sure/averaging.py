"""From repeated readings of one thing, cylinder by cylinder, to its best value with every source.

The mean of repeats hides their scatter, and does nothing against what the tool itself is off.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from statistics import fmean
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from uncertainties import ufloat

from enginemath.bench.how_sure.distributions import f_tail, t_tail
from enginemath.bench.how_sure.labels import Label
from enginemath.bench.tools import rectangular
from enginemath.units import Number

Key = TypeVar("Key", bound=Hashable)

UNLIKE = 0.01
"""Chance below which one cylinder's scatter is taken as another than that of the others."""
APART = 0.05
"""Chance below which groups, or places of a bore, are taken to differ and not only to scatter."""
BLUNDER = 0.001
"""Chance below which a reading is taken as a blunder, shared among all that were looked at."""
UNEVEN = 0.1
"""Share of a piston's rock that is left in the mean of both sides: by eye, two places are equally
far from the pin to a tenth. Common practice, no source."""


class Reading(NamedTuple):
    """One reading, in the shop's unit of its kind: mm, cc or degrees.

    Args:
        value: as read.
        tools: how many times each tool's own error is in it: once for a length, once a fill.
        floor: standard uncertainty of reading the scale, of this one reading.
        rock: half the difference of both sides of the pin, or 0; of one side read alone, how far
            the piston may lean there. With the sign of the side.
        one_sided: whether it was read on one side of the pin alone.
        given: standard uncertainty that was written with it, or 0.
        group: who read it.
        place: where it was read.
        rows: of the table, from which it was taken.
    """

    value: float
    tools: Mapping[str, float] = MappingProxyType({})
    floor: float = 0.0
    rock: float = 0.0
    one_sided: bool = False
    given: float = 0.0
    group: str = ""
    place: str = ""
    rows: tuple[int, ...] = ()


class Scatter(NamedTuple):
    """Standard deviation of one reading, and how many degrees of freedom it was found with."""

    s: float
    degrees_of_freedom: int
    pooled: bool


class Odd(NamedTuple):
    """A reading that is further from the others than chance allows."""

    key: Hashable
    reading: Reading
    others: float
    """Mean of the others."""
    allowed: float
    """How far from them chance may put it."""


Cell = tuple[str, int]
"""What was read, and on which cylinder; 0 for what all cylinders share."""


def averages(
    cells: Mapping[Cell, Sequence[Reading]],
    own_errors: Mapping[str, Number],
    unit: str,
    poured: bool = False,
) -> dict[Cell, Number]:
    """The mean of the readings in each cell, with its sources.

    All cells are one kind of reading by one hand: the same thing on every cylinder, or all that
    was poured from one burette. So their scatter is pooled where it is alike.

    Args:
        cells: readings by what was read and on which cylinder.
        own_errors: of each tool, one number with uncertainty, 0 ± u, the same wherever it is used.
        unit: of the readings.
        poured: whether the scale is read afresh at other marks each time, as a burette's is;
            then what it cannot show averages out, and else it does not.

    Returns:
        By cell, numbers with uncertainty; plain where nothing is known about a ±.

    Source: s/√n with n − 1 degrees of freedom, pooled, JCGM 100:2008, 4.2 and 4.2.4; half a
    division, rectangular, as the floor, F.2.2.1; one error common to several readings, 5.2.4.

    >>> burette = ufloat(0.0, 0.0577, Label("burette", "cc", kind="tool"))
    >>> pours = [Reading(cc, {"burette": 2}) for cc in (47.4, 47.6, 47.5)]
    >>> print(f"{averages({('chamber', 1): pours}, {'burette': burette}, 'cc')['chamber', 1]:.2u}")
    47.50+/-0.13
    """
    by_means = {cell: _as_means(readings) for cell, readings in _levels(cells).items()}
    scatters = scatter_of({k: [reading.value for reading in v] for k, v in by_means.items()})
    alike = "pour scatter" if poured else f"{next(iter(cells))[0]} scatter"
    return {
        cell: _mean(alike, cell, readings, scatters.get(cell), own_errors, unit, poured)
        for cell, readings in by_means.items()
    }


def _mean(
    alike: str,
    cell: Cell,
    readings: Sequence[Reading],
    scatter: Scatter | None,
    own_errors: Mapping[str, Number],
    unit: str,
    poured: bool,
) -> Number:
    name, key = cell
    count = len(readings)
    of_cylinder = f"{name}, cylinder {key}" if key else name
    mean: Number = fmean(reading.value for reading in readings)
    floor = fmean([reading.floor**2 for reading in readings]) ** 0.5
    if poured:
        floor /= count**0.5
    of_scatter = scatter.s / count**0.5 if scatter else 0.0
    if scatter and of_scatter > floor:
        whose = alike if scatter.pooled or not key else f"{name} scatter, cylinder {key}"
        pool = scatter.s if scatter.pooled else None
        label = Label(whose, unit, scatter.degrees_of_freedom, "scatter", count, pool)
        mean = mean + ufloat(0.0, of_scatter, label)
    elif floor:
        mean = mean + ufloat(
            0.0, floor, Label(f"{name}: reading the scale", unit, kind="division", count=count)
        )
    rock = rectangular(_left_of_rock(readings, seen_in_scatter=scatter is not None))
    if rock:
        label = Label("rock of the piston", unit, kind="rock", count=count)
        mean = mean + ufloat(0.0, rock, label)
    given = math.hypot(*(reading.given for reading in readings)) / count
    if given:
        mean = mean + ufloat(0.0, given, Label(of_cylinder, unit))
    for tool in dict.fromkeys(tool for reading in readings for tool in reading.tools):
        share = math.fsum(reading.tools.get(tool, 0.0) for reading in readings) / count
        mean = mean - share * own_errors[tool]
    return mean


def _left_of_rock(readings: Sequence[Reading], seen_in_scatter: bool) -> float:
    """How far the rock of the piston may put the mean off, either way.

    The mean of both sides takes out a lean that is the same in both. Does the piston move between
    them, the means scatter from stance to stance; where none was read again, half of the
    difference stands for that. One side read alone has the whole of it.
    """
    left = UNEVEN if seen_in_scatter else 1.0
    of_one, of_both = (
        abs(math.fsum(reading.rock for reading in readings if reading.one_sided is one))
        for one in (True, False)
    )
    return (of_one + left * of_both) / len(readings)


def scatter_of(cells: Mapping[Key, Sequence[float]]) -> dict[Key, Scatter]:
    """Scatter of one reading in every cell, pooled over all whose scatter is alike.

    A cell with one reading takes the scatter of the others, if they have one.

    >>> pools = scatter_of({1: [47.4, 47.6, 47.5], 2: [46.9, 47.1], 3: [47.3]})
    >>> round(pools[3].s, 3), pools[3].degrees_of_freedom
    (0.115, 3)
    """
    sums = {key: (_squares(values), len(values) - 1) for key, values in cells.items()}
    repeated = {key: pair for key, pair in sums.items() if pair[1]}
    apart = set()
    for key, (squares, degrees) in repeated.items():
        rest = [pair for other, pair in repeated.items() if other != key]
        if not rest:
            continue
        of_rest, degrees_of_rest = (math.fsum(column) for column in zip(*rest, strict=True))
        ratio = _over(squares / degrees, of_rest / degrees_of_rest)
        if f_tail(ratio, degrees, degrees_of_rest) * len(repeated) < UNLIKE:
            apart.add(key)
    alike = [pair for key, pair in repeated.items() if key not in apart]
    found: dict[Key, Scatter] = {}
    if alike:
        squares, degrees = math.fsum(a for a, _ in alike), sum(b for _, b in alike)
        pooled = Scatter((squares / degrees) ** 0.5, degrees, len(cells) > 1)
        found = {key: pooled for key in cells if key not in apart}
    for key in apart:
        squares, degrees = repeated[key]
        found[key] = Scatter((squares / degrees) ** 0.5, degrees, False)
    return found


def _over(above: float, below: float) -> float:
    if below:
        return above / below
    return math.inf if above else 0.0


def _squares(values: Sequence[float]) -> float:
    middle = fmean(values)
    return math.fsum((value - middle) ** 2 for value in values)


def _levels(cells: Mapping[Cell, Sequence[Reading]]) -> dict[Cell, list[list[Reading]]]:
    """Readings in bunches that count as one each.

    Where places or groups differ by more than their own repeats scatter, repeats at one place
    say little: then each place's mean counts once. Source: analysis of variance, one factor
    within each cylinder (JCGM 100:2008, H.5).
    """
    for factor in (_place, _group):
        bunched = {key: _bunches(readings, factor) for key, readings in cells.items()}
        if _differ(bunched.values()):
            return bunched
    return {key: [[reading] for reading in readings] for key, readings in cells.items()}


def _place(reading: Reading) -> str:
    return reading.place


def _group(reading: Reading) -> str:
    return reading.group


def _bunches(readings: Sequence[Reading], factor: Callable[[Reading], str]) -> list[list[Reading]]:
    bunches: dict[str, list[Reading]] = defaultdict(list)
    for reading in readings:
        bunches[factor(reading)].append(reading)
    return list(bunches.values())


def _differ(cells: Iterable[list[list[Reading]]]) -> bool:
    between = within = 0.0
    degrees_between = degrees_within = 0
    for bunches in cells:
        values = [[reading.value for reading in bunch] for bunch in bunches]
        middle = fmean([value for bunch in values for value in bunch])
        between += math.fsum(len(bunch) * (fmean(bunch) - middle) ** 2 for bunch in values)
        within += math.fsum(map(_squares, values))
        degrees_between += len(values) - 1
        degrees_within += sum(len(bunch) - 1 for bunch in values)
    if not degrees_between or not degrees_within:
        return False
    ratio = _over(between / degrees_between, within / degrees_within)
    return f_tail(ratio, degrees_between, degrees_within) < APART


def _as_means(bunches: list[list[Reading]]) -> list[Reading]:
    return [bunch[0] if len(bunch) == 1 else _one_of(bunch) for bunch in bunches]


def _one_of(bunch: list[Reading]) -> Reading:
    count = len(bunch)
    tools: dict[str, float] = defaultdict(float)
    for reading in bunch:
        for tool, times in reading.tools.items():
            tools[tool] += times / count
    return bunch[0]._replace(
        value=fmean(reading.value for reading in bunch),
        tools=dict(tools),
        floor=fmean([reading.floor**2 for reading in bunch]) ** 0.5,
        rock=fmean(reading.rock for reading in bunch),
        one_sided=any(reading.one_sided for reading in bunch),
        given=math.hypot(*(reading.given for reading in bunch)) / count,
        rows=tuple(row for reading in bunch for row in reading.rows),
    )


def odd_ones(cells: Mapping[Key, Sequence[Reading]]) -> list[Odd]:
    """Readings that lie further from their repeats than chance allows: blunders, to be looked at.

    Each reading is set against the mean of the others of its cylinder; how far they may be apart
    is told by the scatter of all others. Two readings that disagree do not say which is wrong.

    Source: Student's t of one reading left out; common practice, after JCGM 100:2008, 3.4.7
    (a blunder is not an uncertainty).

    >>> pours = [Reading(cc) for cc in (47.4, 47.6, 47.5, 51.9)]
    >>> [odd.reading.value for odd in odd_ones({1: pours, 2: [Reading(46.9), Reading(47.0)]})]
    [51.9]
    """
    looked_at = sum(len(readings) for readings in cells.values() if len(readings) > 2)
    sums = {k: (_squares([r.value for r in v]), len(v) - 1) for k, v in cells.items()}
    squares, degrees = (math.fsum(column) for column in zip(*sums.values(), strict=True))
    found: list[Odd] = []
    for key, readings in cells.items():
        if len(readings) < 3:
            continue
        middle = fmean([reading.value for reading in readings])
        worst = max(readings, key=lambda reading: abs(reading.value - middle))
        others = [reading.value for reading in readings if reading is not worst]
        left = squares - sums[key][0] + _squares(others)
        degrees_left = degrees - 1
        floor = max(reading.floor for reading in readings)
        s = max((left / degrees_left) ** 0.5, floor)
        of_gap = s * (1 + 1 / len(others)) ** 0.5
        gap = abs(worst.value - fmean(others))
        if of_gap and 2 * t_tail(gap / of_gap, degrees_left) * looked_at < BLUNDER:
            found.append(Odd(key, worst, fmean(others), 3 * of_gap))
    return found
