"""The first few of very many, by three measures in turn, without keeping the rest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from enginemath.change.search.arrays import Array
from enginemath.change.search.result import TIE


@dataclass(frozen=True)
class Ranked:
    """Combinations with the measures by which they are ranked, the smallest first."""

    first: Array
    second: Array
    third: Array
    number: Array
    """Place in the grid; breaks a tie."""

    def __len__(self) -> int:
        return len(self.number)

    def __getitem__(self, which: Array | slice) -> Ranked:
        return Ranked(self.first[which], self.second[which], self.third[which], self.number[which])


class Best:
    """Keeps the best of all that it is offered.

    >>> best = Best(2)
    >>> best.offer(Ranked(*(np.array(row) for row in ([3, 1, 1], [0, 9, 2], [0, 0, 0], [0, 1, 2]))))
    >>> best.kept.number
    array([2, 1])
    """

    def __init__(self, count: int):
        self.count = count
        nothing = np.empty(0)
        self.kept = Ranked(nothing, nothing, nothing, nothing.astype(np.int64))

    @property
    def full(self) -> bool:
        """Whether a newcomer has to be better than the worst kept."""
        return len(self.kept) == self.count

    @property
    def worst(self) -> tuple[float, float]:
        """First and second measure that a newcomer must not exceed."""
        if not self.full:
            return np.inf, np.inf
        return self.kept.first[-1], self.kept.second[-1]

    def offer(self, ranked: Ranked) -> None:
        """Take in what is better than the worst kept."""
        first, second = self.worst
        better = (ranked.first < first) | (
            (ranked.first == first) & (ranked.second <= second + TIE)
        )
        newcomers = self._shortened(ranked[better])
        if len(newcomers):
            both = joined(self.kept, newcomers)
            order = np.lexsort(
                (both.number, np.round(both.third / TIE), np.round(both.second / TIE), both.first)
            )
            # What is offered twice stands side by side.
            once = np.diff(both.number[order], prepend=-1) != 0
            self.kept = both[order[once][: self.count]]

    def _shortened(self, ranked: Ranked) -> Ranked:
        """Drop most of what will not be kept, without sorting."""
        if len(ranked) <= self.count:
            return ranked
        last = np.partition(ranked.first, self.count - 1)[self.count - 1]
        ahead = ranked.first < last
        level = ranked.first == last
        room = self.count - np.count_nonzero(ahead)
        furthest = np.partition(ranked.second[level], room - 1)[room - 1]
        return ranked[ahead | (level & (ranked.second <= furthest + TIE))]


def joined(a: Ranked, b: Ranked) -> Ranked:
    return Ranked(
        *(
            np.concatenate((getattr(a, name), getattr(b, name)))
            for name in ("first", "second", "third", "number")
        )
    )
