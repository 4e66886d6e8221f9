"""One student's answers judged: what is right, what follows from an earlier slip, what is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from enginemath.classroom.answers import Answer, read_answer
from enginemath.classroom.assignment import Assignment
from enginemath.classroom.carried import Carried, carried
from enginemath.classroom.diagnosis import explain, is_correct
from enginemath.classroom.mistakes import SELDOM, Mistake
from enginemath.classroom.questions import Question
from enginemath.classroom.search import Search
from enginemath.classroom.target import STEPS
from enginemath.classroom.wording import HINTS, for_instructor, for_student
from enginemath.classroom.written import Written
from enginemath.units import Refused

Verdict = Literal["right", "carried", "nearly", "mistake", "unknown", "unreadable", "missing"]
POINTS: Mapping[Verdict, float] = {"right": 1.0, "carried": 1.0, "nearly": 0.5}
SAID: Mapping[Verdict, str] = {
    "right": "right",
    "carried": "carried forward",
    "nearly": "nearly",
    "mistake": "not yet",
    "unknown": "not yet",
    "unreadable": "not readable",
    "missing": "no answer",
}


@dataclass(frozen=True)
class Judged:
    """One answer, judged.

    Args:
        written: as it was written.
        mistakes: ids of the mistakes of method made in this step.
        hint: for the student; never the answer.
        tells: for the instructor.
        value: the answer's number, where it has one.
    """

    question: Question
    written: str
    verdict: Verdict
    mistakes: tuple[str, ...] = ()
    hint: str = ""
    tells: str = ""
    value: Answer | None = None

    @property
    def points(self) -> float:
        """Out of one."""
        return POINTS.get(self.verdict, 0.0)


def judge(assignment: Assignment, answers: Mapping[str, Written]) -> tuple[Judged, ...]:
    """Judge a student's answers in the order of the work.

    >>> from enginemath.buildsheet import EXAMPLE, parse
    >>> from enginemath.classroom.levels import LEVELS
    >>> wrong = {"swept_volume": "588.31", "gasket_volume": "9.21", "deck_volume": "2.33",
    ...          "crown_volume": "8.8", "clearance_volume": "67.84", "compression_ratio": "9.672"}
    >>> answers = {name: Written(text) for name, text in wrong.items()}
    >>> [each.verdict for each in judge(Assignment(LEVELS["dish"], parse(EXAMPLE)), answers)]
    ['right', 'mistake', 'right', 'right', 'carried', 'carried']
    """
    judged: list[Judged] = []
    own: dict[str, Answer] = {}
    written: dict[str, Answer] = {}
    for question in assignment.questions:
        one = _judge_one(assignment, question, answers.get(question.name, Written()), own, written)
        judged.append(one)
        if one.value is not None:
            written[question.name] = one.value
            if one.verdict != "right":
                own[question.name] = one.value
    return tuple(judged)


def _judge_one(
    assignment: Assignment,
    question: Question,
    written: Written,
    own: Mapping[str, Answer],
    before: Mapping[str, Answer],
) -> Judged:
    if written.is_blank:
        return Judged(question, "", "missing", hint="Nothing is written here.")
    if written.doubt:
        return Judged(question, "", "unreadable", hint=written.doubt, tells=written.doubt)
    try:
        answer = read_answer(written.text, question.asked)
    except Refused as refusal:
        return Judged(question, written.text, "unreadable", hint=str(refusal), tells=str(refusal))
    judged = _by_steps if question.name in STEPS else _by_stack
    return judged(assignment, question, written.text, answer, own, before)


def _by_stack(
    assignment: Assignment,
    question: Question,
    text: str,
    answer: Answer,
    own: Mapping[str, Answer],
    before: Mapping[str, Answer],
) -> Judged:
    search = Search(question.name, assignment.readings)
    if is_correct(search, answer):
        return Judged(question, text, "right", value=answer)
    for found in carried(assignment, question.name, own, before, answer):
        if found.explains(answer):
            return _carried(question, text, answer, found.sources)
    on_top = _on_top(assignment, search, question, answer, own, before) if own else None
    if on_top:
        found, mistake = on_top
        return _mistaken(
            question, text, answer, (mistake.id,), mistake.tells, mistake.hint,
            found.predicted, found.sources,
        )  # fmt: skip
    explanations = explain(search, answer, question.asked)
    if not explanations:
        return _unknown(question, text, answer)
    best = explanations[0]
    if best.kind == "mistake":
        hint = for_student("mistake", best.hint)
        return Judged(question, text, "mistake", best.mistakes, hint, best.says, answer)
    return Judged(
        question, text, "nearly", (), for_student(best.kind, best.hint), best.says, answer
    )


def _on_top(
    assignment: Assignment,
    search: Search,
    question: Question,
    answer: Answer,
    own: Mapping[str, Answer],
    before: Mapping[str, Answer],
) -> tuple[Carried, Mistake] | None:
    """A likely mistake made in this step with the student's own numbers: the nearest one, or the
    commonest of those that round to the answer."""
    near = [
        ((max(found.gap(answer), answer.half_width), -suspect.commonness), found, mistake)
        for suspect in search.alone
        for mistake, way in zip(suspect.mistakes, suspect.slips, strict=True)
        if mistake.commonness >= SELDOM and answer.sensible
        for found in carried(assignment, question.name, own, before, answer, way)
        if found.gap(answer) <= answer.half_width + found.reach
    ]
    if not near:
        return None
    _, found, mistake = min(near, key=lambda each: each[0])
    return found, mistake


def _by_steps(
    assignment: Assignment,
    question: Question,
    text: str,
    answer: Answer,
    own: Mapping[str, Answer],
    before: Mapping[str, Answer],
) -> Judged:
    step, right = STEPS[question.name], assignment.right[question.name]
    slack = step.slack + answer.half_width
    if answer.holds(right) and not answer.sensible:
        hint = for_student("rounded", HINTS["coarse"])
        return Judged(question, text, "nearly", (), hint, "rounded too far", answer)
    tempting = assignment.tempting(question.name)
    if abs(answer.value - right) <= slack and not any(map(answer.holds, tempting.values())):
        return Judged(question, text, "right", value=answer)
    for found in carried(assignment, question.name, own, before, answer):
        if found.explains(answer):
            return _carried(question, text, answer, found.sources)
    for slip in step.slips:
        ways = [(tempting[slip.id], ())] + [
            (found.predicted, found.sources)
            for found in carried(assignment, question.name, own, before, answer, slip)
        ]
        for predicted, sources in ways:
            if abs(answer.value - predicted) <= slack:
                return _mistaken(
                    question, text, answer, (slip.id,), slip.tells, slip.hint, predicted, sources
                )
    return _unknown(question, text, answer)


def _carried(question: Question, text: str, answer: Answer, sources: tuple[str, ...]) -> Judged:
    said = _listed(sources)
    return Judged(
        question,
        text,
        "carried",
        hint=f"Your method is right here. The number rests on your {said}: mend that first.",
        tells=f"follows from the student's own {said}",
        value=answer,
    )


def _mistaken(
    question: Question,
    text: str,
    answer: Answer,
    ids: tuple[str, ...],
    tells: str,
    hint: str,
    predicted: float,
    sources: tuple[str, ...],
) -> Judged:
    says = for_instructor([tells], predicted, question.asked)
    if sources:
        says += f" It rests on the student's own {_listed(sources)}."
    return Judged(question, text, "mistake", ids, for_student("mistake", hint), says, answer)


def _unknown(question: Question, text: str, answer: Answer) -> Judged:
    return Judged(
        question,
        text,
        "unknown",
        hint=for_student("unknown", None),
        tells="no usual mistake gives this number: ask for the working",
        value=answer,
    )


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join(name.replace("_", " ") for name in names)
