"""How hard a class set is: what is on the engine, and what is asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from enginemath.classroom.sets.questions import QUESTIONS, WorksheetQuestion
from enginemath.units import Refused

Crown = Literal["flat", "dish", "known depth", "dish or dome"]


@dataclass(frozen=True)
class Level:
    """One level of difficulty.

    Args:
        name: as it is given on the command line.
        says: what it trains, for the instructor.
        units: in which the lengths are; one is drawn.
        crown: of the piston.
        names: of the questions, in the order of the work.
        depth_at_bdc: the depth at bottom dead centre is given in place of the stroke.
        crevice: the ring land is given.
        target: a target ratio is given.
        cam: rod length and intake closing are given.
    """

    name: str
    says: str
    units: tuple[str, ...]
    crown: Crown
    names: tuple[str, ...]
    depth_at_bdc: bool = False
    crevice: bool = False
    target: bool = False
    cam: bool = False

    @property
    def questions(self) -> tuple[WorksheetQuestion, ...]:
        """Its questions, in the order of the work."""
        return tuple(QUESTIONS[name] for name in self.names)


_VOLUMES = ("swept_volume", "gasket_volume", "deck_volume")
_SUM = ("clearance_volume", "compression_ratio")
_WITH_CROWN = (*_VOLUMES, "crown_volume", *_SUM)
_FULL = ("swept_volume", "displacement", *_WITH_CROWN[1:])

LEVELS = {
    level.name: level
    for level in (
        Level("flat", "a flat piston, millimetres", ("mm",), "flat", (*_VOLUMES, *_SUM)),
        Level("dish", "a dish and valve reliefs, millimetres", ("mm",), "dish", _WITH_CROWN),
        Level(
            "dome",
            "a dome, measured by known depth, millimetres",
            ("mm",),
            "known depth",
            _WITH_CROWN,
        ),
        Level(
            "inch",
            "a dish and valve reliefs; lengths in inches or in millimetres, volumes in cc",
            ("in", "in", "mm"),
            "dish",
            _WITH_CROWN,
        ),
        Level(
            "full",
            "the whole stack with the ring-land crevice, inch or millimetre, the stroke from the "
            "depth at bottom dead centre",
            ("mm", "in"),
            "dish or dome",
            _FULL,
            depth_at_bdc=True,
            crevice=True,
        ),
        Level(
            "plan",
            "the whole stack, then the gasket that reaches a target ratio, millimetres",
            ("mm",),
            "dish or dome",
            (
                *_WITH_CROWN,
                "wanted_clearance",
                "volume_change",
                "gasket_thickness",
                "squish_clearance",
            ),
            crevice=True,
            target=True,
        ),
        Level(
            "cam",
            "the whole stack, then the effective ratio by rod length and intake closing, "
            "millimetres",
            ("mm",),
            "dish",
            (*_WITH_CROWN, "piston_drop", "trapped_volume", "effective_ratio"),
            crevice=True,
            cam=True,
        ),
    )
}


def level_named(name: str) -> Level:
    """The level of a name.

    Raises:
        Refused: there is none; the message names those that there are.

    >>> level_named("domed")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: level "domed": there is none; write one of flat, dish, dome, inch, \
full, plan, cam
    """
    level = LEVELS.get(name)
    if level is None:
        raise Refused(f'level "{name}": there is none; write one of {", ".join(LEVELS)}')
    return level
