"""From the present ratio to a target: what each step gives, and what each slip on the way gives.

Plain numbers: volumes in cc, lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.volumes import MM3
from enginemath.engine.stack import mean
from enginemath.formulas.compression import clearance_for, height_of


@dataclass(frozen=True)
class Values:
    """What the steps take: the readings that matter, and the answers to the steps before."""

    target: float
    swept_volume: float
    clearance_volume: float
    gasket_bore: float
    bore: float
    thickness: float
    free_thickness: float
    deck: float
    wanted_clearance: float = 0.0
    volume_change: float = 0.0
    gasket_thickness: float = 0.0


Work = Callable[[Values], float]


@dataclass(frozen=True)
class TargetSlip:
    """A mistake of method in one of these steps; see `mistakes.Mistake`."""

    id: str
    tells: str
    hint: str
    work: Work


@dataclass(frozen=True)
class Step:
    """One step.

    Args:
        needs: the earlier answers that it takes.
        work: the step done right.
        slack: how far careful rounding on the way may move its answer.
        slips: the likely mistakes.
    """

    needs: tuple[str, ...]
    work: Work
    slack: float
    slips: tuple[TargetSlip, ...]


def _thicker(v: Values, across: float) -> float:
    return height_of(v.volume_change / MM3, across)


STEPS: Mapping[str, Step] = {
    "wanted_clearance": Step(
        ("swept_volume",),
        lambda v: clearance_for(v.target, v.swept_volume),
        0.012,
        (
            TargetSlip(
                "forgot-plus-one",
                "divided the swept volume by the target ratio and did not take one off it",
                "The ratio counts the clearance volume too. What is left of it for the swept "
                "volume alone?",
                lambda v: v.swept_volume / v.target,
            ),
            TargetSlip(
                "present-for-wanted",
                "gave the clearance volume that there is now",
                "That room is there now. How much would give the target ratio?",
                lambda v: v.clearance_volume,
            ),
        ),
    ),
    "volume_change": Step(
        ("wanted_clearance", "clearance_volume"),
        lambda v: v.wanted_clearance - v.clearance_volume,
        0.022,
        (
            TargetSlip(
                "change-sign-turned",
                "turned the sign of the change",
                "Does a higher ratio take more room above the piston, or less?",
                lambda v: v.clearance_volume - v.wanted_clearance,
            ),
            TargetSlip(
                "wanted-for-change",
                "gave the wanted clearance volume for the change",
                "That is what should be there. By how much does it differ from what is there?",
                lambda v: v.wanted_clearance,
            ),
        ),
    ),
    "gasket_thickness": Step(
        ("volume_change",),
        lambda v: v.thickness + _thicker(v, v.gasket_bore),
        0.004,
        (
            TargetSlip(
                "cylinder-bore-for-gasket-bore",
                "spread the change over the cylinder bore, not over the gasket's own bore",
                "Over which opening is the change spread: the cylinder's or the gasket's?",
                lambda v: v.thickness + _thicker(v, v.bore),
            ),
            TargetSlip(
                "radius-for-diameter",
                "put the whole bore where the radius belongs: an opening four times too large",
                "Is your formula for a radius or for a diameter? Which one did you measure?",
                lambda v: v.thickness + _thicker(v, v.gasket_bore) / 4,
            ),
            TargetSlip(
                "change-sign-turned",
                "turned the sign of the change",
                "To lose room, must the gasket be thicker or thinner?",
                lambda v: v.thickness - _thicker(v, v.gasket_bore),
            ),
            TargetSlip(
                "change-for-thickness",
                "gave the change of the thickness, not the thickness",
                "That is how much thicker or thinner. From which thickness do you start?",
                lambda v: _thicker(v, v.gasket_bore),
            ),
            TargetSlip(
                "gasket-uncompressed",
                "started from the gasket's free thickness, not the compressed one",
                "How thick is the present gasket once the head is bolted down?",
                lambda v: v.free_thickness + _thicker(v, v.gasket_bore),
            ),
        ),
    ),
    "squish_clearance": Step(
        ("gasket_thickness",),
        lambda v: v.deck + v.gasket_thickness,
        0.004,
        (
            TargetSlip(
                "deck-forgotten",
                "left the deck clearance out of the squish clearance",
                "Does the piston come up level with the deck?",
                lambda v: v.gasket_thickness,
            ),
            TargetSlip(
                "deck-sign",
                "turned the sign of the deck clearance",
                "Below the deck, is there more room than the gasket alone gives, or less?",
                lambda v: v.gasket_thickness - v.deck,
            ),
            TargetSlip(
                "present-gasket",
                "took the present gasket for the squish clearance, not the new one",
                "Which gasket is bolted down when the target is reached?",
                lambda v: v.deck + v.thickness,
            ),
        ),
    ),
}


def values(readings: Readings, target: float, swept: float, clearance: float) -> Values:
    """What the steps take, each worked right.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.answers.by_hand.readings import readings_of
    >>> v = values(readings_of(parse(EXAMPLE)), 10.4, 588.31, 66.13)
    >>> round(v.wanted_clearance, 2), round(v.gasket_thickness, 3)
    (62.59, 0.581)
    """
    assert readings.gasket_bore is not None
    assert readings.thickness is not None
    found = Values(
        target=target,
        swept_volume=swept,
        clearance_volume=clearance,
        gasket_bore=readings.gasket_bore,
        bore=readings.bore,
        thickness=readings.thickness,
        free_thickness=readings.free_thickness or readings.thickness,
        deck=mean(readings.decks),
    )
    for name in ("wanted_clearance", "volume_change", "gasket_thickness"):
        found = replace(found, **{name: STEPS[name].work(found)})
    return found
