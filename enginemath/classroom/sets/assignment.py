"""One student's engine and questions, with what each answer comes to, right or wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import Readings, readings_of
from enginemath.answers.by_hand.target_steps import STEPS, Values, values
from enginemath.answers.diagnosis import predictions
from enginemath.answers.mistakes import CATALOGUE, SELDOM
from enginemath.classroom.sets.levels import Level
from enginemath.classroom.sets.questions import Question
from enginemath.sheets import Sheet


@dataclass(frozen=True)
class Assignment:
    """What one student has to do.

    Args:
        level: says what is asked.
        sheet: the engine's raw readings.
        target: ratio to reach; None where the level has none.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> mine = Assignment(LEVELS["dish"], parse(EXAMPLE))
    >>> {name: mine.written(name) for name in ("swept_volume", "compression_ratio")}
    {'swept_volume': '588.31', 'compression_ratio': '9.896'}
    """

    level: Level
    sheet: Sheet
    target: float | None = None

    @property
    def questions(self) -> tuple[Question, ...]:
        """In the order of the work."""
        return self.level.questions

    @cached_property
    def readings(self) -> Readings:
        """The readings as plain numbers."""
        return readings_of(self.sheet)

    @cached_property
    def right(self) -> Mapping[str, float]:
        """The right answer to every question, in its unit."""
        found = {}
        for question in self.questions:
            step = STEPS.get(question.name)
            found[question.name] = step.work(self.steps) if step else self.worked(question.name)
        return found

    def worked(self, name: str) -> float:
        """Any quantity of the stack, in cc, mm or bare, asked for or not."""
        answer = HandCalculation(name, self.readings).answer()
        assert answer is not None
        return answer

    @cached_property
    def steps(self) -> Values:
        """What the steps to the target take."""
        assert self.target is not None
        swept, clearance = self.worked("swept_volume"), self.worked("clearance_volume")
        return values(self.readings, self.target, swept, clearance)

    def written(self, name: str) -> str:
        """The right answer to a question as it should be written, without its unit."""
        question = next(each for each in self.questions if each.name == name)
        return question.written(self.right[name])

    def tempting(self, name: str) -> dict[str, float]:
        """What each likely mistake gives, made in its usual way."""
        if name in STEPS:
            return {slip.id: slip.work(self.steps) for slip in STEPS[name].slips}
        return {
            id: ways[0]
            for id, ways in predictions(self.sheet, name).items()
            if CATALOGUE[id].commonness >= SELDOM
        }
