"""An error carried forward: an answer worked right from the student's own wrong numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from enginemath.classroom.answers import Answer
from enginemath.classroom.assignment import Assignment
from enginemath.classroom.handwork import HandCalculation
from enginemath.classroom.slips import Slip, misfigured
from enginemath.classroom.target import STEPS, TargetSlip

_PARTS = ("gasket_volume", "deck_volume", "crown_volume")
_NEEDS = {
    "displacement": ("swept_volume",),
    "clearance_volume": _PARTS,
    "compression_ratio": ("swept_volume", "clearance_volume"),
}
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
    needs = _needs(name, written)
    mine = [need for need in needs if need in own]
    right = {need: written[need] for need in needs if need in written and need not in own}
    work = _worker(assignment, name, way)
    for size in range(len(mine), 0, -1):
        for sources in combinations(mine, size):
            taken = right | {source: own[source] for source in sources}
            values = {name: number.value for name, number in taken.items()}
            predicted = work(values)
            if predicted is None or abs(answer.value - predicted) > _FAR * abs(predicted):
                continue
            reach = 0.0
            for name, number in taken.items():
                moved = work(values | {name: number.value + number.half_width})
                reach += abs(moved - predicted) if moved is not None else 0.0
            yield Carried(sources, predicted, reach)


def _needs(name: str, written: Mapping[str, Answer]) -> tuple[str, ...]:
    if name in STEPS:
        return STEPS[name].needs
    needs = _NEEDS.get(name, ())
    if name == "compression_ratio" and "clearance_volume" not in written:
        return ("swept_volume", *_PARTS)
    return needs


def _worker(
    assignment: Assignment, name: str, way: Way | None
) -> Callable[[Mapping[str, float]], float | None]:
    if name in STEPS:
        work = way.work if isinstance(way, TargetSlip) else STEPS[name].work
        return lambda values: work(replace(assignment.steps, **values))
    by_hand = HandCalculation(name, assignment.readings)
    also = [way] if isinstance(way, Slip) else []
    return lambda values: by_hand.answer([_taken_over(values), *also])


def _taken_over(values: Mapping[str, float]) -> Slip:
    """The student's own volumes in place of the right ones."""
    volumes: dict[str, object] = {}
    if "swept_volume" in values:
        volumes["swept"] = values["swept_volume"]
    if "gasket_volume" in values:
        volumes["gasket"] = values["gasket_volume"]
    if "deck_volume" in values:
        volumes["decks"] = lambda v: [values["deck_volume"]] * len(v.decks)
    if "crown_volume" in values:
        volumes["crown"] = lambda v: values["crown_volume"] - v.reliefs
    if "clearance_volume" in values:
        volumes["chambers"] = lambda v: [values["clearance_volume"]] * len(v.chambers)
        volumes |= {"gasket": 0.0, "crown": 0.0, "reliefs": 0.0, "crevice": 0.0}
        volumes["decks"] = lambda v: [0.0] * len(v.decks)
    return misfigured(**volumes)
