"""One student's engine and questions, with what each answer comes to, right or wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from enginemath.answers.by_hand.calculation import HandCalculation
from enginemath.answers.by_hand.readings import Readings, readings_of
from enginemath.answers.mistakes import SELDOM
from enginemath.answers.own_readings.judging import OwnPaper
from enginemath.answers.paper import judge_paper
from enginemath.answers.suspects import Search
from enginemath.classroom.sets.levels import Level
from enginemath.classroom.sets.questions import WorksheetQuestion
from enginemath.sheets import Sheet


@dataclass(frozen=True)
class AnswerKey:
    """The questions of a worksheet, and what each answer comes to, right or wrong.

    Args:
        level: says what is asked.
    """

    level: Level

    @property
    def questions(self) -> tuple[WorksheetQuestion, ...]:
        """In the order of the work."""
        return self.level.questions

    @property
    def readings(self) -> Readings:
        """The readings as plain numbers."""
        raise NotImplementedError

    def judge(self, texts: Mapping[str, str]) -> OwnPaper:
        """Judge what a student wrote.

        Args:
            texts: by question; and by box for readings of the student's own.
        """
        raise NotImplementedError

    @cached_property
    def right(self) -> Mapping[str, float]:
        """The right answer to every question, in its unit."""
        return {question.name: self.worked(question.name) for question in self.questions}

    def worked(self, name: str) -> float:
        """Any step of the hand calculation, in cc, mm or bare, asked for or not."""
        answer = HandCalculation(name, self.readings).answer()
        assert answer is not None
        return answer

    def written(self, name: str) -> str:
        """The right answer to a question as it should be written, without its unit."""
        question = next(each for each in self.questions if each.name == name)
        return question.written(self.right[name])

    def tempting(self, name: str) -> dict[str, float]:
        """What each likely mistake gives, made in its usual way."""
        found: dict[str, float] = {}
        for suspect in Search(name, self.readings).alone:
            if suspect.mistakes[0].commonness >= SELDOM:
                found.setdefault(suspect.mistakes[0].id, suspect.predicted)
        return found


@dataclass(frozen=True)
class Assignment(AnswerKey):
    """What one student has to do.

    Args:
        level: see `AnswerKey`.
        sheet: the engine's raw readings.
        target: ratio to reach; None where the level has none.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> mine = Assignment(LEVELS["dish"], parse(EXAMPLE))
    >>> {name: mine.written(name) for name in ("swept_volume", "compression_ratio")}
    {'swept_volume': '588.31', 'compression_ratio': '9.896'}
    """

    sheet: Sheet
    target: float | None = None

    @cached_property
    def readings(self) -> Readings:
        """The readings as plain numbers."""
        return readings_of(self.sheet, self.target)

    def judge(self, texts: Mapping[str, str]) -> OwnPaper:
        """Judge what was written; the readings were given."""
        asked = {question.name: texts.get(question.name, "") for question in self.questions}
        return OwnPaper((), judge_paper(self.readings, asked), {})
