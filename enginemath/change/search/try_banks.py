"""Every combination of an engine with several banks, without multiplying the banks out.

Parts are shared, cuts are each bank's own, and every limit is a cylinder's own. So for each
combination of parts each bank has its list of setups that keep to all limits, and any setup of one
bank goes with any of the other: the counts multiply. Price, distance from the aim and metal add up,
so the best plans and the front are found by looking, for each setup of the first bank, only at
those of the other that bring the mean near enough to the aim.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from enginemath.change.job import Job
from enginemath.change.search.arrays import Array, ArrayGrid, arrays_of, chosen
from enginemath.change.search.best import Best, Ranked
from enginemath.change.search.front import Unbeaten, front_of, setup_depths, setup_prices
from enginemath.change.search.grid import grids_of
from enginemath.change.search.limits import Bounds
from enginemath.change.search.result import TIE, Listed, Numbers, SearchResult
from enginemath.formulas.compression import compression_ratio
from enginemath.units import Refused

MOST_SETUPS = 100_000
"""Of one bank, with one combination of parts."""
_MOST_PLACES = 4e18
"""What a whole number of eight bytes can count."""
_WORTH = 200_000
"""Setups of a bank that are worth working at once."""
_PAIRS = 131_072
_APART = 1024.0
"""Wider than any difference of ratios: keeps combinations of parts apart on one line."""
_MANY = 256
"""Setups from which on it pays to look at those with little metal first."""


@dataclass(frozen=True)
class Setups:
    """Cuts of a bank, or of several, each with some parts, that keep to all limits."""

    parts: Array
    """Number of the combination of parts, counted from the first of its block."""
    share: Array
    """Share of the mean ratio."""
    price: Array
    metal: Array
    place: Array
    """Number among all setups."""

    def __len__(self) -> int:
        return len(self.parts)

    def __getitem__(self, which: Array | slice) -> Setups:
        return Setups(*(column[which] for column in vars(self).values()))


def search_banks(job: Job, top: int) -> SearchResult:
    """Try every combination; an interrupt keeps what was found so far.

    Args:
        job: the engine and what can be done to it.
        top: number of plans, and of nearest misses, to keep.

    Raises:
        Refused: more setups of a bank than can be held at once.
    """
    grids = [arrays_of(grid) for grid in grids_of(job)]
    setups = [len(grid.deck.steps) * len(grid.head.steps) for grid in grids]
    first, *others = setups
    places = math.prod(grid.deck.count * grid.head.count for grid in grids)
    if max(first, math.prod(others)) > MOST_SETUPS or places * grids[0].parts_count > _MOST_PLACES:
        raise Refused(
            f"{max(setups):.2g} setups of one bank are too many where banks are combined "
            f"(at most {MOST_SETUPS:.0e}): make the steps of the cuts coarser"
        )
    pairs = _Pairs(job, grids, top)
    tried = 0
    try:
        for block in _blocks(grids[0].parts_count, max(first, math.prod(others))):
            pairs.visit(block)
            tried += len(block) * math.prod(setups)
    except KeyboardInterrupt:
        return SearchResult(tried, False, pairs.count, pairs.numbers(pairs.best.kept.number))
    if not pairs.count:
        nearest = _nearest_misses(job, grids, top)
        return SearchResult(tried, True, 0, [], Listed([], 0), nearest)
    best = pairs.numbers(pairs.best.kept.number)
    return SearchResult(
        tried, True, pairs.count, best, front_of(pairs.front.unbeaten, pairs.numbers)
    )


def _blocks(parts: int, setups: int) -> Iterator[range]:
    size = max(1, _WORTH // setups)
    for start in range(0, parts, size):
        yield range(start, min(start + size, parts))


class _Pairs:
    """Counts what keeps to all limits, ranks it, and keeps its front."""

    def __init__(self, job: Job, grids: Sequence[ArrayGrid], top: int):
        self.count = 0
        self.best = Best(top)
        first = grids[0]
        parts = [first.gasket_prices, first.piston_prices, first.bottom_prices]
        prices = parts + [price for grid in grids for price in setup_prices(grid)]
        self.front = Unbeaten(prices, [depth for grid in grids for depth in setup_depths(grid)])
        self._grids, self._bounds = grids, Bounds.of(job.options)
        self._cranks = job.part_counts[-1]
        self._setups = [grid.deck.count * grid.head.count for grid in grids]
        self._others = math.prod(self._setups[1:])

    def visit(self, block: range) -> None:
        """Combine the banks of an engine with some combinations of parts."""
        first, *others = (self._kept(grid, block) for grid in self._grids)
        other = others[0]
        for number, more in enumerate(others[1:], start=2):
            other = _multiplied(other, more, self._setups[number], len(block))
        ours, theirs = (np.bincount(each.parts, minlength=len(block)) for each in (first, other))
        self.count += sum(int(a) * int(b) for a, b in zip(ours, theirs, strict=True))
        both = (ours > 0) & (theirs > 0)
        first, other = first[both[first.parts]], other[both[other.parts]]
        if len(first):
            self._combine(first, other, block.start)

    def _kept(self, grid: ArrayGrid, block: range) -> Setups:
        """The setups of one bank that keep to all limits."""
        gasket, piston, bottom = np.unravel_index(
            np.arange(block.start, block.stop), grid.parts_shape
        )
        column = np.s_[:, np.newaxis]
        row = grid.row(gasket[column], piston[column], bottom[column], grid.deck.steps)
        shape = len(block), len(grid.deck.steps)
        mask = self._bounds.can_be_assembled(row) & self._bounds.lengths_fit(row)
        mask = np.broadcast_to(mask, shape)
        rows = chosen(row, mask)
        part = np.broadcast_to(np.arange(len(block))[column], shape)[mask]
        steps = grid.head.steps[grid.leaves_a_chamber(grid.head.steps)]
        added = grid.head.added(steps)
        fits = (added >= rows.least[column]) & (added <= rows.most[column])
        at, cut = np.nonzero(fits)
        *kept, _ = grid.numbers(rows.place)
        volumes = [(swept[at], volume[at]) for swept, volume in grid.volumes(*kept)]
        return Setups(
            parts=part[at],
            share=grid.ratio_share(volumes, added[cut]),
            price=(rows.price[at] + grid.head.paid(steps[cut])).astype(float),
            metal=rows.metal[at] + grid.head.depth(steps[cut]),
            place=kept[-1][at] * grid.head.count + steps[cut],
        )

    def _combine(self, first: Setups, other: Setups, start: int) -> None:
        """Offer what may be among the best or on the front, the cheapest setups first."""
        for theirs in _groups(other):
            line = theirs.parts * _APART + theirs.share
            for price in np.unique(first.price - _least_price(first)):
                ours = first[first.price - _least_price(first) == price]
                aimed = ours.parts * _APART + self._bounds.aim - ours.share
                at = np.searchsorted(line, aimed)
                self._offer(
                    ours, theirs, np.maximum(at - 1, 0), np.minimum(at + 1, len(line)), start
                )
                self.front.refresh()
                far = self._worth_looking(ours, theirs)
                low = np.searchsorted(line, aimed - far)
                high = np.searchsorted(line, aimed + far, "right")
                self._offer(ours, theirs, low, high, start)

    def _worth_looking(self, ours: Setups, theirs: Setups) -> Array:
        """How far from the aim a pair may be to be among the best, or on the front."""
        price = ours.price + theirs.price.min()
        dearest, furthest = self.best.worst
        to_rank = np.where(price < dearest, np.inf, np.where(price == dearest, furthest, -np.inf))
        to_front = self.front.known(price, ours.metal + theirs.metal.min())
        far = np.maximum(to_rank, to_front) + 2 * TIE
        return np.minimum(far, _APART / 4)

    def _offer(self, ours: Setups, theirs: Setups, low: Array, high: Array, start: int) -> None:
        """Offer each of ours with some of theirs, from a lowest number to before a highest."""
        counts = np.maximum(high - low, 0)
        ends = np.cumsum(counts)
        begin = 0
        while begin < len(counts):
            done = ends[begin - 1] if begin else 0
            end = max(begin + 1, int(np.searchsorted(ends, done + _PAIRS, "right")))
            count = counts[begin:end]
            mine = np.repeat(np.arange(begin, end), count)
            within = np.arange(len(mine)) - np.repeat(np.cumsum(count) - count, count)
            self._offer_pairs(ours[mine], theirs[low[mine] + within], start)
            begin = end

    def _offer_pairs(self, ours: Setups, theirs: Setups, start: int) -> None:
        same = ours.parts == theirs.parts
        price = ours.price + theirs.price
        distance = np.abs(ours.share + theirs.share - self._bounds.aim)
        metal = ours.metal + theirs.metal
        dearest, furthest = self.best.worst
        wanted = (price < dearest) | ((price == dearest) & (distance <= furthest + TIE))
        wanted = same & (wanted | (distance <= self.front.known(price, metal)))
        hits = np.flatnonzero(wanted)
        if not len(hits):
            return
        setups = ours.place[hits] * self._others + theirs.place[hits]
        parts = ours.parts[hits] + start
        ranked = Ranked(
            price[hits],
            distance[hits],
            metal[hits],
            parts * (self._setups[0] * self._others) + setups,
        )
        self.best.offer(ranked)
        self.front.offer(ranked)

    def numbers(self, places: Array) -> list[Numbers]:
        """The numbers of combinations, for their places."""
        return [self._numbers(int(place)) for place in places]

    def _numbers(self, place: int) -> Numbers:
        cuts: list[int] = []
        for grid in reversed(self._grids):
            place, head = divmod(place, grid.head.count)
            place, deck = divmod(place, grid.deck.count)
            cuts[:0] = deck, head
        return (*_parts(self._grids[0], place, self._cranks), *cuts)


def _parts(grid: ArrayGrid, place: int, cranks: int) -> tuple[int, ...]:
    gasket, piston, bottom = (int(n) for n in np.unravel_index(place, grid.parts_shape))
    return (gasket, piston, *divmod(bottom, cranks))


def _least_price(setups: Setups) -> Array:
    """For each setup the least price with its parts."""
    least = np.full(int(setups.parts.max()) + 1, np.inf)
    np.minimum.at(least, setups.parts, setups.price)
    return least[setups.parts]


def _groups(setups: Setups) -> Iterator[Setups]:
    """Setups of one price, those with little metal first, each group in order of its ratios."""
    for price in np.unique(setups.price):
        level = setups[setups.price == price]
        # Each band is as large as all below it: what these give narrows the look at the next.
        halvings = max(0, int(math.log2(len(level) / _MANY)))
        ends = np.quantile(level.metal, 0.5 ** np.arange(halvings, 0, -1))
        band = np.searchsorted(ends, level.metal)
        for number in range(halvings + 1):
            group = level[band == number]
            if len(group):
                yield group[np.argsort(group.parts * _APART + group.share)]


def _multiplied(one: Setups, other: Setups, setups: int, parts: int) -> Setups:
    """The setups of two banks together: every one with every other of the same parts."""
    found = []
    for part in range(parts):
        a, b = one[one.parts == part], other[other.parts == part]
        found.append(
            (
                np.full(len(a) * len(b), part),
                np.add.outer(a.share, b.share).ravel(),
                np.add.outer(a.price, b.price).ravel(),
                np.add.outer(a.metal, b.metal).ravel(),
                np.add.outer(a.place * setups, b.place).ravel(),
            )
        )
    return Setups(*(np.concatenate(column) for column in zip(*found, strict=True)))


def _nearest_misses(job: Job, grids: Sequence[ArrayGrid], top: int) -> list[Numbers]:
    """What misses least, all banks taken together; a bank's nearest are enough of it."""
    bounds, cranks = Bounds.of(job.options), job.part_counts[-1]
    nearest: list[tuple[float, float, float, Numbers]] = []
    for number in range(grids[0].parts_count):
        gasket, piston, bottom = np.unravel_index(number, grids[0].parts_shape)
        parts = int(gasket), int(piston), int(bottom)
        setups = [_misses(grid, bounds, parts, top) for grid in grids]
        found = (
            (
                round(sum(miss for miss, *_ in pair), 9),
                sum(price for _, price, *_ in pair),
                sum(metal for _, _, metal, _ in pair),
                (*_parts(grids[0], number, cranks), *itertools.chain(*(s for *_, s in pair))),
            )
            for pair in itertools.product(*setups)
        )
        nearest = heapq.nsmallest(top, itertools.chain(nearest, found))
    return [numbers for *_, numbers in nearest]


def _misses(
    grid: ArrayGrid, bounds: Bounds, parts: tuple[int, int, int], top: int
) -> list[tuple[float, float, float, tuple[int, int]]]:
    """The setups of one bank that miss the limits least."""
    row = grid.row(*parts, grid.deck.steps)
    mask = np.broadcast_to(bounds.can_be_assembled(row), len(grid.deck.steps))
    rows, deck_steps = chosen(row, mask), grid.deck.steps[mask]
    steps = grid.head.steps[grid.leaves_a_chamber(grid.head.steps)]
    added, column = grid.head.added(steps), np.s_[:, np.newaxis]
    lowest, highest, room = np.inf, -np.inf, True
    for swept, volume in grid.volumes(*parts, deck_steps):
        clearance = np.add.outer(volume, added)
        room = room & (clearance > 0)
        with np.errstate(divide="ignore"):
            ratio = compression_ratio(swept, clearance)
        lowest, highest = np.minimum(lowest, ratio), np.maximum(highest, ratio)
    miss = np.broadcast_to(bounds.lengths_miss(rows), len(rows))[column]
    miss = miss + bounds.band_misses(lowest, highest)
    at, cut = np.nonzero(np.broadcast_to(room, miss.shape))
    best = Best(top)
    best.offer(
        Ranked(
            np.round(miss[at, cut], 9),
            rows.price[at] + grid.head.paid(steps[cut]),
            rows.metal[at] + grid.head.depth(steps[cut]),
            at * len(steps) + cut,
        )
    )
    kept = best.kept
    return [
        (
            float(kept.first[n]),
            float(kept.second[n]),
            round(float(kept.third[n]) / TIE),
            (int(deck_steps[place // len(steps)]), int(steps[place % len(steps)])),
        )
        for n, place in enumerate(kept.number.tolist())
    ]
