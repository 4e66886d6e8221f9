"""The hand calculation: from a sheet's readings to each answer, step by step, as on the blackboard.

Each step can be made wrong by a slip, and rounded as some students round.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.slip import Slip, change
from enginemath.answers.by_hand.steps import STEPS, step_of
from enginemath.answers.by_hand.volumes import EXACT, Habit, Volumes, remaining_stroke, volumes_of
from enginemath.units import Refused


class HandCalculation:
    """One step worked by hand from one sheet's readings, as often as there are ways.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.answers.by_hand.readings import readings_of
    >>> by_hand = HandCalculation("compression_ratio", readings_of(parse(EXAMPLE)))
    >>> round(by_hand.answer(), 3)
    9.896
    """

    def __init__(self, name: str, readings: Readings):
        self.step = step_of(name)
        self.readings = readings
        self._worked: dict[tuple[object, ...], Volumes] = {}
        if self.step.at_closing:
            _require(self.step.words, "cam.intake_closes", readings.crank_at_closing)
            _require(self.step.words, "cylinder.rod_length", readings.rod_length)
        if self.step.to_target:
            _require_target(self.step.words, readings.target)
        if self.step.by_gasket:
            _require(self.step.words, "gasket.bore", readings.gasket_bore)
            _require(self.step.words, "gasket.compressed_thickness", readings.thickness)

    def answer(self, slips: Sequence[Slip] = (), habit: Habit = EXACT) -> float | None:
        """The answer, in cc, mm or bare.

        Args:
            slips: made on the way, in this order.
            habit: how the volumes are rounded on the way.

        Returns:
            A number; None where a calculation with these slips cannot be finished.
        """
        try:
            v = self._volumes([slip for slip in slips if slip.readings], habit)
            for slip in slips:
                if slip.volumes:
                    change(v, slip.volumes)
                if slip.ratio:
                    v.ratio = slip.ratio(v.ratio)
            v.round_parts()
            answer = self.step.work(v)
        except (ZeroDivisionError, OverflowError):
            return None
        return answer if isinstance(answer, float) and math.isfinite(answer) else None

    def from_written(
        self, written: Mapping[str, float], slips: Sequence[Slip] = ()
    ) -> float | None:
        """The answer with the numbers written for earlier steps in their places."""
        put = [STEPS[name].put(number) for name, number in written.items()]
        return self.answer([*put, *slips])

    def _volumes(self, misreadings: Sequence[Slip], habit: Habit) -> Volumes:
        """A fresh copy of the volumes that these misreadings give."""
        key = (habit.name, *map(id, misreadings))
        worked = self._worked.get(key)
        if worked is None:
            readings = _copy(self.readings)
            for slip in misreadings:
                change(readings, slip.readings)
            worked = self._worked[key] = volumes_of(readings, habit)
            if self.step.at_closing:
                worked.remaining = remaining_stroke(readings)
        return _copy(worked)


def _require(words: str, reading: str, value: float | None) -> None:
    if value is None:
        raise Refused(f"{words}: the sheet has no {reading}, which it takes")


def _require_target(words: str, target: float | None) -> None:
    if target is None:
        raise Refused(f"{words}: no target ratio is given, which it takes")
    if not 1 < target < math.inf:
        raise Refused(f"target ratio {target:g}: a ratio is more than 1")


def _copy(state: Any) -> Any:
    new = object.__new__(type(state))
    new.__dict__.update(state.__dict__)
    return new
