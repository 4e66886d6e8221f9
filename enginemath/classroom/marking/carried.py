"""An error carried forward: an answer worked right from the student's own wrong numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.slip import Slip
from enginemath.answers.by_hand.steps import Work, reach, step_of
from enginemath.answers.by_hand.target_steps import STEPS as TO_TARGET
from enginemath.answers.by_hand.target_steps import TargetSlip
from enginemath.answers.written_answer import Answer
from enginemath.classroom.sets.assignment import Assignment

_DRIFT = 1.5e-4
"""How far careful rounding on the way may move an answer, as a share of it."""
_FAR = 0.1
"""Farther off than this, as a share, no rounding explains an answer."""

Way = Slip | TargetSlip
"""A mistake of method made in this step, besides what is carried."""


@dataclass(frozen=True)
class Carried:
    """An answer that follows from earlier ones.

    Args:
        sources: names of the student's own answers, not right themselves, that it rests on.
        predicted: what they lead to.
        reach: how far the digits that all earlier ones were written to leave it open.
    """

    sources: tuple[str, ...]
    predicted: float
    reach: float

    def gap(self, answer: Answer) -> float:
        """How far an answer lies from it."""
        return abs(answer.value - self.predicted)

    def explains(self, answer: Answer) -> bool:
        """Whether this, rounded carefully on the way, is what was written."""
        return self.gap(answer) <= answer.half_width * (1 + 1e-6) + self.reach + _DRIFT * abs(
            self.predicted
        )


def carried(
    assignment: Assignment,
    name: str,
    own: Mapping[str, Answer],
    written: Mapping[str, Answer],
    answer: Answer,
    way: Way | None = None,
) -> Iterator[Carried]:
    """What an answer comes to from the student's own earlier numbers, most of them first.

    Args:
        name: of the question.
        own: earlier answers that are not right.
        written: all earlier answers; those that are right are taken as they were rounded.
        answer: what was written; ways that end far from it are left out.
        way: None: this step is done right.
    """
    before = [step for step in _rests_on(name, written) if step in written]
    mine = [step for step in before if step in own]
    right = {step: written[step] for step in before if step not in own}
    work = _worker(assignment, name, way)
    for size in range(len(mine), 0, -1):
        for sources in combinations(mine, size):
            taken = right | {source: own[source] for source in sources}
            predicted = work({name: number.value for name, number in taken.items()})
            if predicted is None or abs(answer.value - predicted) > _FAR * abs(predicted):
                continue
            yield Carried(sources, predicted, reach(work, taken, predicted))


def _rests_on(name: str, written: Mapping[str, Answer]) -> Iterable[str]:
    if name in TO_TARGET:
        return TO_TARGET[name].needs
    return step_of(name).rests_on(written)


def _worker(assignment: Assignment, name: str, way: Way | None) -> Work:
    if name in TO_TARGET:
        work = way.work if isinstance(way, TargetSlip) else TO_TARGET[name].work
        return lambda values: work(replace(assignment.steps, **values))
    by_hand = HandCalculation(name, assignment.readings)
    also = [way] if isinstance(way, Slip) else []
    return lambda values: by_hand.from_written(values, also)
