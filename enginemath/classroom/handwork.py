"""The hand calculation: from a sheet's readings to each answer, step by step, as on the blackboard.

Each step can be made wrong by a slip, and rounded as some students round.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from enginemath.classroom.quantities import asked_for
from enginemath.classroom.readings import Readings
from enginemath.classroom.slips import Slip, change
from enginemath.classroom.volumes import (
    EXACT,
    Habit,
    Volumes,
    remaining_stroke,
    rounded,
    volumes_of,
)
from enginemath.stack import mean
from enginemath.units import Refused


def _ratio_over(swept: float, v: Volumes) -> float:
    clearances, decimals = v.clearances(), v.habit.sums
    if decimals is not None:
        swept = rounded(swept, decimals)
        clearances = [rounded(clearance, decimals) for clearance in clearances]
    return mean([v.ratio(swept, clearance) for clearance in clearances])


def _compression_ratio(v: Volumes) -> float:
    return _ratio_over(v.cylinders * v.swept, v)


def _effective_ratio(v: Volumes) -> float:
    if v.scaled:
        return v.remaining * _compression_ratio(v)
    return _ratio_over(v.cylinders * rounded(v.remaining * v.swept, v.habit.parts), v)


def _crown_volume(v: Volumes) -> float:
    return v.crown + v.reliefs + (mean(v.decks_poured) if v.decks_poured else 0.0)


_LAST_STEP: dict[str, Callable[[Volumes], float]] = {
    "compression_ratio": _compression_ratio,
    "effective_ratio": _effective_ratio,
    "clearance_volume": lambda v: mean(v.clearances()),
    "swept_volume": lambda v: v.cylinders * v.swept,
    "displacement": lambda v: v.count * v.swept,
    "gasket_volume": lambda v: v.gasket,
    "deck_volume": lambda v: mean(v.decks),
    "crown_volume": _crown_volume,
}


class HandCalculation:
    """One quantity worked by hand from one sheet's readings, as often as there are ways.

    >>> from enginemath.buildsheet import EXAMPLE, parse
    >>> from enginemath.classroom.readings import readings_of
    >>> by_hand = HandCalculation("compression_ratio", readings_of(parse(EXAMPLE)))
    >>> round(by_hand.answer(), 3)
    9.896
    """

    def __init__(self, quantity: str, readings: Readings):
        asked = asked_for(quantity)
        self.readings = readings
        self._last_step = _LAST_STEP[quantity]
        self._effective = quantity == "effective_ratio"
        self._worked: dict[tuple[object, ...], Volumes] = {}
        if self._effective:
            _require(asked.words, "cam.intake_closes", readings.crank_at_closing)
            _require(asked.words, "cylinder.rod_length", readings.rod_length)

    def answer(self, slips: Sequence[Slip] = (), habit: Habit = EXACT) -> float | None:
        """The answer, in cc or bare.

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
            answer = self._last_step(v)
        except (ZeroDivisionError, OverflowError):
            return None
        return answer if isinstance(answer, float) and math.isfinite(answer) else None

    def _volumes(self, misreadings: Sequence[Slip], habit: Habit) -> Volumes:
        """A fresh copy of the volumes that these misreadings give."""
        key = (habit.name, *map(id, misreadings))
        worked = self._worked.get(key)
        if worked is None:
            readings = _copy(self.readings)
            for slip in misreadings:
                change(readings, slip.readings)
            worked = self._worked[key] = volumes_of(readings, habit)
            if self._effective:
                worked.remaining = remaining_stroke(readings)
        return _copy(worked)


def _require(words: str, reading: str, value: float | None) -> None:
    if value is None:
        raise Refused(f"{words}: the sheet has no {reading}, which it takes")


def _copy(state: Any) -> Any:
    new = object.__new__(type(state))
    new.__dict__.update(state.__dict__)
    return new
