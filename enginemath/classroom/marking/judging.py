"""One student's paper judged, and the points that it gets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from enginemath.answers.own_readings.judging import JudgedReading, OwnPaper
from enginemath.answers.paper import OnPaper
from enginemath.answers.verdict import NOTHING_WRITTEN, Kind, Verdict, unreadable
from enginemath.answers.written_answer import Answer
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import AnswerKey
from enginemath.classroom.sets.questions import WorksheetQuestion

POINTS: Mapping[Kind, float] = {"right": 1.0, "follows": 1.0, "nearly": 0.5}
SAID: Mapping[Kind, str] = {
    "right": "right",
    "follows": "carried forward",
    "nearly": "nearly",
    "mistake": "not yet",
    "unknown": "not yet",
    "unreadable": "not readable",
    "nothing_written": "no answer",
}
"""What the gradebook and the pages call a verdict."""


@dataclass(frozen=True)
class Judged:
    """One answer, judged.

    Args:
        question: of the worksheet.
        written: as it was written.
        verdict: what is made of it.
        value: the answer's number, where it has one.
        rests_on: blunders at the bench that it was worked from, in words.
    """

    question: WorksheetQuestion
    written: str = ""
    verdict: Verdict = NOTHING_WRITTEN
    value: Answer | None = None
    rests_on: tuple[str, ...] = ()

    @property
    def kind(self) -> Kind:
        """The kind of its verdict."""
        return self.verdict.kind

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Ids of the mistakes of method made in this step."""
        return self.verdict.mistakes

    @property
    def points(self) -> float:
        """Points, out of one."""
        return POINTS.get(self.kind, 0.0)


def judge(assignment: AnswerKey, answers: Mapping[str, Written]) -> tuple[Judged, ...]:
    """Judge a student's answers in the order of the work.

    Args:
        assignment: the student's engine and questions.
        answers: as they were written, by question.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.classroom.sets.assignment import Assignment
    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> wrong = {"swept_volume": "588.31", "gasket_volume": "9.21", "deck_volume": "2.33",
    ...          "crown_volume": "8.8", "clearance_volume": "67.84", "compression_ratio": "9.672"}
    >>> answers = {name: Written(text) for name, text in wrong.items()}
    >>> [each.kind for each in judge(Assignment(LEVELS["dish"], parse(EXAMPLE)), answers)]
    ['right', 'mistake', 'right', 'right', 'follows', 'follows']
    """
    return judge_all(assignment, answers).answers


@dataclass(frozen=True)
class JudgedPaper:
    """A student's paper.

    Args:
        answers: in the order of the work.
        readings: of the student's own, in the order of the bench; none where they were given.
    """

    answers: tuple[Judged, ...]
    readings: tuple[JudgedReading, ...] = ()


def judge_all(assignment: AnswerKey, answers: Mapping[str, Written]) -> JudgedPaper:
    """Judge a student's answers, and the readings that they were worked from.

    Args:
        assignment: see `judge`.
        answers: as they were written, by question, and by box for readings.
    """
    paper = assignment.judge({name: each.text for name, each in answers.items()})
    every = tuple(
        _judged(question, answers.get(question.name, Written()), paper)
        for question in assignment.questions
    )
    return JudgedPaper(every, tuple(_read(each, answers) for each in paper.readings))


def _judged(question: WorksheetQuestion, written: Written, paper: OwnPaper) -> Judged:
    if written.doubt:
        return Judged(question, written.text, unreadable(written.doubt))
    found: OnPaper = paper.steps[question.name]
    verdict = found.verdict.without_unit("") if written.typed else found.verdict
    rests_on = tuple(thing.words for thing in paper.rests_on.get(question.name, ()))
    return Judged(question, written.text, verdict, found.answer, rests_on)


def _read(reading: JudgedReading, answers: Mapping[str, Written]) -> JudgedReading:
    """A reading as it was written: in a cell that is code it cannot be read."""
    boxes = [answers.get(box.name, Written()) for box in reading.asked.boxes]
    doubt = next((each.doubt for each in boxes if each.doubt), "")
    if doubt:
        return replace(reading, verdict=unreadable(doubt), is_blunder=False)
    if any(each.typed for each in boxes):
        return replace(reading, verdict=reading.verdict.without_unit(""))
    return reading
