"""One student's answers judged: what is right, what follows from an earlier slip, what is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from enginemath.answers.by_hand.target_steps import STEPS, TargetSlip
from enginemath.answers.diagnosis import explain, is_correct
from enginemath.answers.mistakes import SELDOM, Mistake
from enginemath.answers.suspects import Search
from enginemath.answers.wording import HINTS, for_instructor, for_student
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.classroom.marking.carried import Carried, Way, carried
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.questions import Question
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

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.classroom.sets.levels import LEVELS
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
    task = _Task(assignment, question, written.text, answer, own, before)
    return task.by_steps() if question.name in STEPS else task.by_stack()


@dataclass(frozen=True)
class _Task:
    """A question with the number written for it, and those written before.

    Args:
        own: earlier answers that are not right.
        before: all earlier answers.
    """

    assignment: Assignment
    question: Question
    text: str
    answer: Answer
    own: Mapping[str, Answer]
    before: Mapping[str, Answer]

    def by_stack(self) -> Judged:
        """Judge a volume or the ratio."""
        search = Search(self.question.name, self.assignment.readings)
        if is_correct(search, self.answer):
            return self.says("right")
        return self.follows() or self.on_top(search) or self.explained(search) or self.unknown()

    def by_steps(self) -> Judged:
        """Judge a step to the target."""
        right = self.assignment.right[self.question.name]
        if self.answer.holds(right) and not self.answer.sensible:
            return self.says("nearly", "rounded too far", for_student("rounded", HINTS["coarse"]))
        tempting = self.assignment.tempting(self.question.name)
        slack = STEPS[self.question.name].slack + self.answer.half_width
        if abs(self.answer.value - right) <= slack and not any(
            map(self.answer.holds, tempting.values())
        ):
            return self.says("right")
        return self.follows() or self.slipped(tempting, slack) or self.unknown()

    def carried(self, way: Way | None = None) -> Iterator[Carried]:
        """What the student's own earlier numbers lead to."""
        return carried(self.assignment, self.question.name, self.own, self.before, self.answer, way)

    def follows(self) -> Judged | None:
        """Right from the student's own numbers."""
        for found in self.carried():
            if found.explains(self.answer):
                said = _listed(found.sources)
                return self.says(
                    "carried",
                    f"follows from the student's own {said}",
                    f"Your method is right here. The number rests on your {said}: mend that first.",
                )
        return None

    def on_top(self, search: Search) -> Judged | None:
        """A likely mistake made in this step with the student's own numbers: the nearest one, or
        the commonest of those that round to the answer."""
        if not self.own or not self.answer.sensible:
            return None
        half_width = self.answer.half_width
        near = [
            (suspect, found)
            for suspect in search.alone
            if suspect.mistakes[0].commonness >= SELDOM
            for found in self.carried(suspect.slips[0])
            if found.gap(self.answer) <= half_width + found.reach
        ]
        if not near:
            return None
        suspect, found = min(
            near,
            key=lambda each: (max(each[1].gap(self.answer), half_width), -each[0].commonness),
        )
        return self.mistaken(suspect.mistakes[0], found)

    def slipped(self, tempting: Mapping[str, float], slack: float) -> Judged | None:
        """A likely mistake in a step to the target, with the right numbers or the student's own."""
        for slip in STEPS[self.question.name].slips:
            for found in (Carried((), tempting[slip.id], 0.0), *self.carried(slip)):
                if found.gap(self.answer) <= slack:
                    return self.mistaken(slip, found)
        return None

    def explained(self, search: Search) -> Judged | None:
        """The best explanation from the right numbers."""
        explanations = explain(search, self.answer, self.question.asked)
        if not explanations:
            return None
        best = explanations[0]
        verdict: Verdict = "mistake" if best.kind == "mistake" else "nearly"
        return self.says(verdict, best.says, for_student(best.kind, best.hint), best.mistakes)

    def mistaken(self, made: Mistake | TargetSlip, found: Carried) -> Judged:
        """This mistake, and what it rests on."""
        tells = for_instructor([made.tells], found.predicted, self.question.asked)
        if found.sources:
            tells += f" It rests on the student's own {_listed(found.sources)}."
        return self.says("mistake", tells, for_student("mistake", made.hint), (made.id,))

    def unknown(self) -> Judged:
        """Nothing explains it."""
        return self.says(
            "unknown",
            "no usual mistake gives this number: ask for the working",
            for_student("unknown", None),
        )

    def says(
        self, verdict: Verdict, tells: str = "", hint: str = "", mistakes: tuple[str, ...] = ()
    ) -> Judged:
        """The answer with what is made of it."""
        return Judged(self.question, self.text, verdict, mistakes, hint, tells, self.answer)


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join(name.replace("_", " ") for name in names)
