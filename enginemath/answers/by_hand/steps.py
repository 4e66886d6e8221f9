"""The steps of a hand calculation, as on the blackboard, and how one is worked from another."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass

from enginemath.answers.by_hand.slip import Slip, misfigured
from enginemath.answers.by_hand.volumes import Volumes, rounded
from enginemath.answers.quantities import QUANTITIES, Asked, known
from enginemath.answers.written_answer import Answer
from enginemath.engine.stack import mean


@dataclass(frozen=True)
class Step(Asked):
    """One step.

    Args:
        work: what it comes to, from the volumes.
        needs: the steps that it is put together from.
        put: puts a number that was written for it in its place.
        at_closing: whether it takes where the piston stands when the intake closes.
        to_target: whether it takes a target ratio.
        by_gasket: whether it takes the gasket's bore and thickness.
        place: part of the drawing where it lies, see `verdict.PLACES`; empty where it is none.
    """

    work: Callable[[Volumes], float]
    needs: tuple[str, ...] = ()
    put: Callable[[float], Slip] = lambda _: Slip()
    at_closing: bool = False
    to_target: bool = False
    by_gasket: bool = False
    place: str = ""

    @property
    def is_searched(self) -> bool:
        """Whether the catalogue is searched for what gives a wrong answer to it."""
        return self.name in QUANTITIES or self.to_target

    def rests_on(self, written: Container[str]) -> Iterator[str]:
        """The steps written before that it is worked from: each need, or what that rests on."""
        for need in self.needs:
            if need in written:
                yield need
            else:
                yield from STEPS[need].rests_on(written)


def _swept(v: Volumes) -> float:
    return v.cylinders * v.swept


def _crown(v: Volumes) -> float:
    return v.crown + v.reliefs + (mean(v.decks_poured) if v.decks_poured else 0.0)


def _ratio_over(swept: float, v: Volumes) -> float:
    clearances, decimals = v.clearances(), v.habit.sums
    if decimals is not None:
        swept = rounded(swept, decimals)
        clearances = [rounded(clearance, decimals) for clearance in clearances]
    return mean([v.ratio(swept, clearance) for clearance in clearances])


def _compression_ratio(v: Volumes) -> float:
    return _ratio_over(_swept(v), v)


def _trapped(v: Volumes) -> float:
    return v.cylinders * rounded(v.remaining * v.swept, v.habit.parts)


def _effective_ratio(v: Volumes) -> float:
    if v.scaled:
        return v.remaining * _compression_ratio(v)
    return _ratio_over(_trapped(v), v)


def _about(volumes: Sequence[float], middle: float) -> list[float]:
    """Volumes as far apart as they were, about another mean."""
    return [volume + middle - mean(volumes) for volume in volumes]


def _put_clearance(written: float) -> Slip:
    """All of it in the chambers: nothing can be left out of a sum that is written."""
    return misfigured(
        chambers=lambda v: _about(v.clearances(), written),
        gasket=0.0,
        decks=lambda v: [0.0] * len(v.decks),
        crown=0.0,
        reliefs=0.0,
        crevice=0.0,
    )


_PARTS = ("chamber_volume", "gasket_volume", "deck_volume", "crown_volume", "crevice_volume")
_TWO_VOLUMES = ("swept_volume", "clearance_volume")

STEPS: Mapping[str, Step] = {
    step.name: step
    for step in (
        Step(
            "chamber_volume",
            "cc",
            lambda v: mean(v.chambers),
            place="chamber",
            put=lambda written: misfigured(chambers=lambda v: _about(v.chambers, written)),
        ),
        Step("swept_volume", "cc", _swept, put=lambda written: misfigured(swept=written)),
        Step("displacement", "cc", lambda v: v.count * v.swept, ("swept_volume",)),
        Step(
            "gasket_volume",
            "cc",
            lambda v: v.gasket,
            place="gasket",
            put=lambda written: misfigured(gasket=written),
        ),
        Step(
            "deck_volume",
            "cc",
            lambda v: mean(v.decks),
            place="deck",
            put=lambda written: misfigured(decks=lambda v: _about(v.decks, written)),
        ),
        Step(
            "crown_volume",
            "cc",
            _crown,
            place="crown",
            put=lambda written: misfigured(crown=lambda v: written - v.reliefs),
        ),
        Step(
            "crevice_volume",
            "cc",
            lambda v: v.crevice,
            place="crevice",
            put=lambda written: misfigured(crevice=written),
        ),
        Step(
            "clearance_volume",
            "cc",
            lambda v: mean(v.clearances()),
            _PARTS,
            _put_clearance,
        ),
        Step("compression_ratio", "", _compression_ratio, _TWO_VOLUMES),
        Step(
            "piston_drop",
            "mm",
            lambda v: v.remaining * v.stroke,
            place="crank",
            put=lambda written: misfigured(remaining=lambda v: written / v.stroke),
            at_closing=True,
        ),
        Step(
            "trapped_volume",
            "cc",
            _trapped,
            ("swept_volume", "piston_drop"),
            lambda written: misfigured(remaining=lambda v: written / v.swept),
            at_closing=True,
        ),
        Step(
            "effective_ratio",
            "",
            _effective_ratio,
            ("trapped_volume", "clearance_volume"),
            at_closing=True,
        ),
        Step(
            "wanted_clearance",
            "cc",
            lambda v: v.wanted_clearance(),
            ("swept_volume",),
            lambda written: misfigured(wanted=written),
            to_target=True,
        ),
        Step(
            "volume_change",
            "cc",
            lambda v: v.volume_change(),
            ("wanted_clearance", "clearance_volume"),
            lambda written: misfigured(change=written),
            to_target=True,
        ),
        Step(
            "gasket_thickness",
            "mm",
            lambda v: v.gasket_thickness(),
            ("volume_change",),
            lambda written: misfigured(new_thickness=written),
            to_target=True,
            by_gasket=True,
            place="gasket",
        ),
        Step(
            "squish_clearance",
            "mm",
            lambda v: v.deck_clearance + v.gasket_thickness(),
            ("gasket_thickness",),
            to_target=True,
            by_gasket=True,
            place="gasket",
        ),
    )
}
"""In the order of the blackboard."""


def step_of(name: str) -> Step:
    """The step of a name.

    Raises:
        Refused: no such step; the message names those that there are.

    >>> list(step_of("compression_ratio").rests_on({"swept_volume", "gasket_volume"}))
    ['swept_volume', 'gasket_volume']
    """
    return known("step", name, STEPS)


Work = Callable[[Mapping[str, float]], float | None]
"""What a step comes to with numbers written for others; None where it cannot be finished."""


def reach(work: Work, numbers: Mapping[str, Answer], worked: float) -> float:
    """How far the rounding of the numbers that it was worked from may move a number."""
    values = {name: number.value for name, number in numbers.items()}
    moved = (
        work(values | {name: number.value + number.half_width}) for name, number in numbers.items()
    )
    return sum(abs(each - worked) for each in moved if each is not None)
