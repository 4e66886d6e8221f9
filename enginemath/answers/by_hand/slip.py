"""One way in which a step of a hand calculation goes wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from enginemath.answers.quantities import TO_TARGET

Change = Any
"""A new value, or a function of the readings or volumes as they were that gives one."""
Ratio = Callable[[float, float], float]


@dataclass(frozen=True)
class Slip:
    """What one slip makes of the readings, of the volumes, or of the ratio's formula.

    Args:
        readings: new values of readings by name.
        volumes: new values of volumes by name.
        ratio: a new formula for the ratio, from the formula as it was.
        quantities: those it is looked for in.
        share: of the students who make the mistake, those who make it this way.
        applies: whether the readings allow it.
        tells: what was done, for the instructor, where it is other than the mistake's own words.
        hint: for the student, likewise.
    """

    readings: Mapping[str, Change] = field(default_factory=dict)
    volumes: Mapping[str, Change] = field(default_factory=dict)
    ratio: Callable[[Ratio], Ratio] | None = None
    quantities: frozenset[str] | None = None
    share: float = 1.0
    applies: Callable[[Any], object] | None = None
    tells: str = ""
    hint: str = ""

    def on(self, *quantities: str) -> Slip:
        """The same slip, looked for in some quantities alone."""
        return replace(self, quantities=frozenset(quantities))

    def seldom(self, share: float) -> Slip:
        """The same slip as a less usual way to make the mistake."""
        return replace(self, share=share)

    def where(self, applies: Callable[[Any], object]) -> Slip:
        """The same slip, where the readings allow it."""
        return replace(self, applies=applies)

    def said(self, tells: str, hint: str) -> Slip:
        """The same slip with words of its own, in a step where the mistake's would not do."""
        return replace(self, tells=tells, hint=hint)

    def touches(self, quantity: str) -> bool:
        """Whether it is looked for in a quantity: in a step to a target, only where it is named."""
        if self.quantities is None:
            return quantity not in TO_TARGET
        return quantity in self.quantities


def misread(**readings: Change) -> Slip:
    """A slip in a reading, made before anything is worked out."""
    return Slip(readings=readings)


def misfigured(**volumes: Change) -> Slip:
    """A slip in a volume."""
    return Slip(volumes=volumes)


def misdivided(ratio: Callable[[Ratio], Ratio]) -> Slip:
    """A slip in the last step, the ratio."""
    return Slip(ratio=ratio)


def change(state: Any, changes: Mapping[str, Change]) -> None:
    """Make one slip's changes in `state`."""
    state.__dict__.update(
        {name: new(state) if callable(new) else new for name, new in changes.items()}
    )
