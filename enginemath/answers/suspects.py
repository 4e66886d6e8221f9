"""Which calculations, right or wrong, give the number that a student wrote."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import combinations
from typing import Literal

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.slip import Slip
from enginemath.answers.by_hand.steps import step_of
from enginemath.answers.by_hand.volumes import EXACT, Habit
from enginemath.answers.mistakes import CATALOGUE, Mistake
from enginemath.answers.tolerance import CAREFUL, TOLERANCES
from enginemath.answers.written_answer import Answer
from enginemath.engine.stack import mean

TO_HUNDREDTHS = Habit("every volume to 0.01 cc", parts=2)
TO_TENTHS = Habit("every volume to 0.1 cc", parts=1)
SUMS_TO_TENTHS = Habit("swept and clearance volume to 0.1 cc", sums=1)
SHORT_PI = Habit("π = 3.14", π=3.14)

# How those who make a mistake of method round on the way: a guess, no source.
HABITS = {EXACT: 0.82, TO_HUNDREDTHS: 0.06, TO_TENTHS: 0.04, SUMS_TO_TENTHS: 0.04, SHORT_PI: 0.01}
ANY_OTHER_HABIT = 0.03
DRIFT = 1.5e-4
"""How far any other habit moves an answer, as a share of it."""

EARLY_ROUNDING = {
    TO_HUNDREDTHS: 0.03,
    TO_TENTHS: 0.03,
    SUMS_TO_TENTHS: 0.03,
    SHORT_PI: 0.03,
    Habit("every volume to 0.1 cc, π = 3.14", parts=1, π=3.14): 0.01,
    Habit("swept and clearance volume to 0.1 cc, π = 3.14", sums=1, π=3.14): 0.01,
    Habit("whole cc", sums=0): 0.03,
    Habit("whole cc, π = 3.14", sums=0, π=3.14): 0.03,
    Habit("every volume in whole cc", parts=0): 0.01,
    Habit("every volume in whole cc, π = 3.14", parts=0, π=3.14): 0.01,
}
"""How those round too early whose method is right, and how common that is: a guess, no source."""

USUAL = 0.5
"""Two mistakes are tried together in the ways that this share of their makers goes."""
DOUBT_ALONE, DOUBT_TOGETHER = 0.012, 0.0003
"""How much likelier than an accident a mistake, or two together, must be: the more there are to
try, the more often one fits by accident. Set so that the rates in the tests are kept."""


@dataclass(frozen=True)
class Suspect:
    """One or two mistakes, made in one way, what that gives, and how common it is."""

    mistakes: tuple[Mistake, ...]
    slips: tuple[Slip, ...]
    predicted: float
    commonness: float

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of the mistakes."""
        return tuple(mistake.id for mistake in self.mistakes)

    @property
    def tells(self) -> list[str]:
        """What was done, for the instructor."""
        made = zip(self.mistakes, self.slips, strict=True)
        return [slip.tells or mistake.tells for mistake, slip in made]

    @property
    def hints(self) -> list[str]:
        """What to ask the student."""
        made = zip(self.mistakes, self.slips, strict=True)
        return [slip.hint or mistake.hint for mistake, slip in made]


class Search:
    """All that can go wrong with one step of one sheet's hand calculation.

    Raises:
        Refused: no such step, or the sheet does not hold what it takes.
    """

    def __init__(self, quantity: str, readings: Readings):
        self.asked, self.quantity, self.readings = step_of(quantity), quantity, readings
        self.tolerance = TOLERANCES[quantity]
        self.by_hand = HandCalculation(quantity, readings)
        right = self.by_hand.answer()
        assert right is not None
        self.right = right

    @cached_property
    def alone(self) -> list[Suspect]:
        """Every mistake, in every way, that changes the answer."""
        suspects = []
        for mistake in CATALOGUE.values():
            seen = [self.right]
            for slip in mistake.slips:
                predicted = self._with(slip)
                if predicted is None or any(_same(predicted, other) for other in seen):
                    continue
                seen.append(predicted)
                commonness = mistake.commonness * slip.share
                suspects.append(Suspect((mistake,), (slip,), predicted, commonness))
        return suspects

    def _with(self, slip: Slip) -> float | None:
        if not slip.touches(self.quantity) or (slip.applies and not slip.applies(self.readings)):
            return None
        return self.by_hand.answer((slip,))

    @cached_property
    def together(self) -> list[Suspect]:
        """Every two mistakes, in their usual ways, of which neither undoes the other."""
        return list(self._pairs())

    def _pairs(self) -> Iterator[Suspect]:
        usual = [suspect for suspect in self.alone if suspect.slips[0].share >= USUAL]
        for one, other in combinations(usual, 2):
            if one.mistakes == other.mistakes:
                continue
            slips = one.slips + other.slips
            predicted = self.by_hand.answer(slips)
            undone = (self.right, one.predicted, other.predicted)
            if predicted is None or any(_same(predicted, each) for each in undone):
                continue
            commonness = one.commonness * other.commonness
            yield Suspect(one.mistakes + other.mistakes, slips, predicted, commonness)

    def suspects(self, answer: Answer) -> list[tuple[float, Suspect]]:
        """Those whose number this could be, with how likely each is, the likeliest first."""
        accident = _accident(answer, self.right) * (1 if answer.sensible else 3)
        found: dict[tuple[str, ...], tuple[float, Suspect]] = {}
        for group, doubt in ((self.alone, DOUBT_ALONE), (self.together, DOUBT_TOGETHER)):
            threshold = doubt * len(group) * accident
            for suspect in group:
                likely = suspect.commonness * self._fit(answer, suspect)
                if likely > threshold and likely > found.get(suspect.ids, (0.0,))[0]:
                    found[suspect.ids] = (likely, suspect)
        return sorted(found.values(), key=lambda each: -each[0])

    def _fit(self, answer: Answer, suspect: Suspect) -> float:
        """How likely somebody who made these mistakes wrote this answer, from 0 to 1."""
        predicted = suspect.predicted
        if abs(answer.value - predicted) > answer.half_width * 1.01 + self._reach(predicted):
            return 0.0
        drift = max(DRIFT * abs(predicted), self.tolerance.slack)
        likely = ANY_OTHER_HABIT * _overlap(answer, predicted, drift)
        for habit, share in HABITS.items():
            rounded = predicted if habit is EXACT else self.by_hand.answer(suspect.slips, habit)
            if rounded is not None and answer.holds(rounded):
                likely += share
        return likely

    def _reach(self, predicted: float) -> float:
        """How far rounding on the way can move an answer."""
        if self.asked.is_ratio:
            return abs(predicted) * (1e-3 + 0.3 / self._clearance)
        return abs(predicted) * 1e-3 + 0.3 + 0.06 * self.readings.count

    @cached_property
    def _clearance(self) -> float:
        return HandCalculation("clearance_volume", self.readings).answer() or 1.0

    def early_rounding(self, answer: Answer) -> tuple[float, Habit, float] | None:
        """The likeliest habit of rounding by which the right method gives this answer.

        Returns:
            How likely, the habit, and what it gives; None where there is none.
        """
        found = [
            (share, habit, rounded)
            for habit, share in EARLY_ROUNDING.items()
            if (rounded := self.by_hand.answer(habit=habit)) is not None and answer.holds(rounded)
        ]
        return max(found, key=lambda each: each[0], default=None)

    def grade(self, answer: Answer) -> Literal["right", "nearly"] | None:
        """What an answer is worth beside the right one; None where it is wrong.

        Careful rounding on the way is followed as well: it may end farther off than the quantity's
        rule allows, but not where one mistake gives exactly what was written.
        """
        if self.tolerance.is_fine(answer, self.right) and answer.holds(self.of_mean_cylinder):
            return "right"
        grade = self.tolerance.grade(answer, self.right, self._given_by_slips())
        if grade or not self.tolerance.is_fine(answer, self.right):
            return grade
        careful = abs(answer.value - self.right) <= CAREFUL * abs(self.right)
        if careful and any(answer.holds(number) for number in self.careful()):
            return None if any(map(answer.holds, self._given_by_slips())) else "right"
        return None

    def _given_by_slips(self) -> Iterator[float]:
        for suspect in self.alone:
            yield suspect.predicted

    def careful(self) -> Iterable[float]:
        """The right answer to those who keep a tenth of a cc or better on the way."""
        for habit in (TO_HUNDREDTHS, TO_TENTHS, SUMS_TO_TENTHS):
            rounded = self.by_hand.answer(habit=habit)
            if rounded is not None:
                yield rounded

    @cached_property
    def of_mean_cylinder(self) -> float:
        """The answer from the mean chamber and the mean deck clearance."""
        return self._of_cylinder(mean(self.readings.chambers), mean(self.readings.decks))

    @cached_property
    def of_each_cylinder(self) -> list[float]:
        """The answer from each cylinder alone; empty where the cylinders are alike."""
        if len(self.readings.chambers) == 1:
            return []
        cylinders = zip(self.readings.chambers, self.readings.decks, strict=True)
        return [self._of_cylinder(chamber, deck) for chamber, deck in cylinders]

    def _of_cylinder(self, chamber: float, deck: float) -> float:
        one = replace(self.readings, chambers=(chamber,), decks=(deck,))
        return HandCalculation(self.quantity, one).answer() or self.right


@lru_cache(maxsize=16)
def search_of(quantity: str, readings: Readings) -> Search:
    """All that can go wrong with a step: worked once while the same sheet is asked about.

    Args:
        quantity: a step of the hand calculation.
        readings: of the sheet.

    Raises:
        Refused: no such step, or the sheet does not hold what it takes.
    """
    return Search(quantity, readings)


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-9 * max(abs(one), abs(other), 1e-3)


def _overlap(answer: Answer, predicted: float, drift: float) -> float:
    """Share of predicted ± drift that rounds to the answer."""
    low = max(answer.value - answer.half_width, predicted - drift)
    high = min(answer.value + answer.half_width, predicted + drift)
    return max(0.0, high - low) / (2 * drift) if drift else 0.0


def _accident(answer: Answer, right: float) -> float:
    """How likely a number of this size, written for no reason, rounds to this one."""
    size = max(abs(answer.value), abs(right))
    return min(1.0, 2 * answer.half_width / size) if size else 1.0
