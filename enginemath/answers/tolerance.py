"""How near an answer must come to count as right, and how finely it must be written.

One rule for each quantity, and nobody else has one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from enginemath.answers.written_answer import Answer

CLOSE = 4e-4
"""How far from the right answer, as a share of it, careful work may end."""
CAREFUL = 1e-3
"""The same for work that kept a tenth of a cc on the way."""
_EXACTLY = 1e-9


@dataclass(frozen=True)
class Tolerance:
    """The rule of one quantity, in the unit that is asked for.

    Args:
        share: of the right answer, that careful work may be off.
        slack: that careful work may be off besides.
        last_digits: how many halves of the last digit written come on top of the slack.
        coarsest: largest half of a last digit that is fine enough; None where a decimal, or a
            part in 500, is.
        coarsest_share: the same as a share of the right answer.
    """

    share: float = 0.0
    slack: float = 0.0
    last_digits: int = 0
    coarsest: float | None = None
    coarsest_share: float = math.inf

    def is_fine(self, answer: Answer, right: float) -> bool:
        """Whether an answer is written finely enough to tell right from wrong."""
        if self.coarsest is None and math.isinf(self.coarsest_share):
            return answer.sensible
        coarsest = math.inf if self.coarsest is None else self.coarsest
        return answer.half_width <= 1.001 * min(coarsest, self.coarsest_share * abs(right))

    def is_near(self, answer: Answer, right: float) -> bool:
        """Whether careful work may end there."""
        reach = self.share * abs(right) + self.slack + self.last_digits * answer.half_width
        return abs(answer.value - right) <= reach

    def grade(
        self, answer: Answer, right: float, slips: Iterable[float] = ()
    ) -> Literal["right", "nearly"] | None:
        """What an answer is worth beside the right one; None where it is wrong.

        An answer that misses by its last digits is right where careful work may end there, but
        not where a slip gives exactly what was written.

        Args:
            answer: as it was read.
            right: the right answer.
            slips: what the likely slips give.

        >>> rule = TOLERANCES["wanted_clearance"]
        >>> grades = [rule.grade(Answer(cc, 0.005, True), 40.67) for cc in (40.67, 40.68, 40.70)]
        >>> grades
        ['right', 'right', None]
        >>> rule.grade(Answer(41.0, 0.5, False), 40.67)
        'nearly'
        """
        if not self.is_fine(answer, right):
            if abs(answer.value - right) <= _EXACTLY:
                return "right"
            nearly = answer.holds(right) and answer.value and answer.half_width < abs(right)
            return "nearly" if nearly else None
        if answer.holds(right):
            return "right"
        return (
            "right" if self.is_near(answer, right) and not any(map(answer.holds, slips)) else None
        )


WORKED = Tolerance(share=CLOSE)
"""For what is worked out from readings by several steps."""

TOLERANCES = {
    **dict.fromkeys(
        (
            *("chamber_volume", "swept_volume", "displacement", "gasket_volume", "deck_volume"),
            *("crevice_volume", "clearance_volume", "compression_ratio"),
            *("piston_drop", "trapped_volume", "effective_ratio"),
        ),
        WORKED,
    ),
    "crown_volume": Tolerance(share=CLOSE, slack=0.003),
    "wanted_clearance": Tolerance(slack=0.012, last_digits=1),
    "volume_change": Tolerance(slack=0.022, last_digits=1),
    "gasket_thickness": Tolerance(slack=0.004, last_digits=1, coarsest=0.005),
    "squish_clearance": Tolerance(slack=0.004, last_digits=1, coarsest=0.005),
}
"""By step of the hand calculation. A crown and a step to the target are differences, and small:
rounding the two numbers that one is taken from moves it by more than a share of it."""

READ = {
    "cc": Tolerance(slack=0.006, coarsest=0.05),
    "mm": Tolerance(slack=0.0013, coarsest=0.005),
    "kPa": Tolerance(slack=0.6, coarsest=1.0),
    "%": Tolerance(coarsest=0.5),
}
"""By unit, for what a sum, a difference or a mean of readings gives: the last digit that a shop
writes, and a rounding."""

UNCERTAINTY = Tolerance(share=0.01, coarsest_share=0.1)
"""For a standard uncertainty: one digit is enough where it is not a 1.

Source: JCGM 100:2008, 7.2.6 (two digits at most).
"""


def of_a_scale(step: float) -> Tolerance:
    """The rule for a reading of a scale: half of the finest step either way.

    Args:
        step: the finest that can be read.
    """
    return Tolerance(slack=0.51 * step, coarsest=0.51 * step)
