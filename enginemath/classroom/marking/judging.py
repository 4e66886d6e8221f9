"""One student's paper judged, and the points that it gets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from enginemath.answers.paper import OnPaper, judge_paper
from enginemath.answers.verdict import NOTHING_WRITTEN, Kind, Verdict, unreadable
from enginemath.answers.written_answer import Answer
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
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
    """

    question: WorksheetQuestion
    written: str = ""
    verdict: Verdict = NOTHING_WRITTEN
    value: Answer | None = None

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


def judge(assignment: Assignment, answers: Mapping[str, Written]) -> tuple[Judged, ...]:
    """Judge a student's answers in the order of the work.

    Args:
        assignment: the student's engine and questions.
        answers: as they were written, by question.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> wrong = {"swept_volume": "588.31", "gasket_volume": "9.21", "deck_volume": "2.33",
    ...          "crown_volume": "8.8", "clearance_volume": "67.84", "compression_ratio": "9.672"}
    >>> answers = {name: Written(text) for name, text in wrong.items()}
    >>> [each.kind for each in judge(Assignment(LEVELS["dish"], parse(EXAMPLE)), answers)]
    ['right', 'mistake', 'right', 'right', 'follows', 'follows']
    """
    written = {question: answers.get(question.name, Written()) for question in assignment.questions}
    texts = {question.name: each.text for question, each in written.items()}
    paper = judge_paper(assignment.readings, texts)
    return tuple(_judged(question, each, paper) for question, each in written.items())


def _judged(question: WorksheetQuestion, written: Written, paper: Mapping[str, OnPaper]) -> Judged:
    if written.doubt:
        return Judged(question, written.text, unreadable(written.doubt))
    found = paper[question.name]
    verdict = found.verdict.without_unit("") if written.typed else found.verdict
    return Judged(question, written.text, verdict, found.answer)
