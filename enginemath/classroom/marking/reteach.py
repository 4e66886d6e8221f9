"""What a class's marks say: which mistakes how often, what to teach again, who needs a word."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from enginemath.answers.mistakes import CATALOGUE
from enginemath.classroom.marking.mark_class import ClassMarks, Marked
from enginemath.classroom.sets.questions import WorksheetQuestion

_WEAK = 40.0
"""Percent of the points below which a student needs a word."""
_SHARED = 0.1
"""Share of the class from which on a mistake is worth teaching again, and at least two students."""

TOLD = {mistake.id: (mistake.tells, mistake.hint) for mistake in CATALOGUE.values()}
"""What to say of each mistake: to the instructor, and to the class."""


@dataclass(frozen=True)
class MistakeCount:
    """One mistake in a class.

    Args:
        students: who make it.
        questions: where it is first made, the most frequent first.
    """

    id: str
    students: tuple[Marked, ...]
    questions: tuple[WorksheetQuestion, ...]


@dataclass(frozen=True)
class QuestionCount:
    """How a class did at one question: how many answers came to which verdict."""

    question: WorksheetQuestion
    verdicts: Counter[str]
    share: float
    """Of the points of those who returned a paper."""


def mistakes_made(marks: ClassMarks) -> list[MistakeCount]:
    """Every mistake that was made, the most frequent first; each counts once for a student."""
    students: dict[str, list[Marked]] = {}
    questions: dict[str, Counter[WorksheetQuestion]] = {}
    for one in marks.returned:
        seen: set[str] = set()
        for judged in one.judged:
            for id in judged.mistakes:
                if id not in seen:
                    seen.add(id)
                    students.setdefault(id, []).append(one)
                    questions.setdefault(id, Counter())[judged.question] += 1
    counts = [
        MistakeCount(id, tuple(who), tuple(q for q, _ in questions[id].most_common()))
        for id, who in students.items()
    ]
    return sorted(counts, key=lambda count: (-len(count.students), count.id))


def by_question(marks: ClassMarks) -> list[QuestionCount]:
    """How the class did at each question, in the order of the work."""
    found = []
    for place, question in enumerate(marks.key.level.questions):
        answers = [one.judged[place] for one in marks.returned]
        verdicts: Counter[str] = Counter(answer.kind for answer in answers)
        share = sum(answer.points for answer in answers) / len(answers) if answers else 0.0
        found.append(QuestionCount(question, verdicts, share))
    return found


def to_reteach(marks: ClassMarks) -> list[MistakeCount]:
    """The mistakes that enough of the class share."""
    enough = max(2.0, _SHARED * len(marks.returned))
    return [count for count in mistakes_made(marks) if len(count.students) >= enough][:4]


def needs_a_word(marks: ClassMarks) -> list[tuple[Marked, list[str]]]:
    """Who needs a word, and why."""
    found = []
    for one in marks.marked:
        reasons = list(one.notes)
        if not one.file:
            reasons = reasons or ["nothing came back"]
        else:
            unreadable = [j.question.words for j in one.judged if j.kind == "unreadable"]
            if unreadable:
                reasons.append(f"not readable: {', '.join(unreadable)}")
            unknown = [j.question.words for j in one.judged if j.kind == "unknown"]
            if unknown:
                reasons.append(f"ask for the working: {', '.join(unknown)}")
            if one.percent < _WEAK:
                reasons.append(f"{one.score:g} of {len(one.judged)} points")
        if reasons:
            found.append((one, reasons))
    return found
