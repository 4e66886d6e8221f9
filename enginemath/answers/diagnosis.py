"""What an answer shows: right, rounded too early, a mistake of method, or nothing known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.by_hand.steps import step_of
from enginemath.answers.mistakes import SWEPT
from enginemath.answers.quantities import Asked, asked_for
from enginemath.answers.suspects import Search, Suspect, search_of
from enginemath.answers.verdict import RIGHT, UNKNOWN, Verdict
from enginemath.answers.wording import (
    ASK_FOR_WORKING,
    HINTS,
    NOTES,
    for_instructor,
    report,
)
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.sheets import Sheet
from enginemath.units import CC_PER_CUBIC_INCH

MOST_EXPLANATIONS = 5
DISCS = ("gasket_volume", "deck_volume")

Kind = Literal["rounded", "one cylinder", "mistake"]


@dataclass(frozen=True)
class Explanation:
    """One reason why the answer is what it is.

    Args:
        mistakes: ids of the mistakes of method, one or two; none where the method is right.
        predicted: what this reason gives, in cc, mm or bare.
        says: for the instructor.
        hint: for the student; never the answer.
        kind: what it makes of the answer: of the first two the method is right.
        place: part of the drawing to look at, see `verdict.PLACES`.
    """

    mistakes: tuple[str, ...]
    predicted: float
    says: str
    hint: str
    kind: Kind
    place: str = ""

    @property
    def verdict(self) -> Verdict:
        """What it makes of the answer."""
        kind: Literal["mistake", "nearly"] = "mistake" if self.kind == "mistake" else "nearly"
        return Verdict(kind, self.hint, self.place, self.mistakes, self.says)


@dataclass(frozen=True)
class Diagnosis:
    """What one answer to one question shows.

    Args:
        quantity: its name.
        unit: of the numbers here: ``"cc"``, ``"mm"``, or empty for a ratio.
        written: the answer as it was written.
        answer: the answer's number.
        expected: the right answer; a ratio or clearance is the mean over the cylinders.
        correct: within the precision of the answer and of careful work.
        explanations: best first; empty where the answer is right or nothing explains it.
        taken_as: see `Answer`.
    """

    quantity: str
    unit: str
    written: str
    answer: float
    expected: float
    correct: bool
    explanations: tuple[Explanation, ...]
    taken_as: str = ""

    @property
    def verdict(self) -> Verdict:
        """What it comes to; the simplest explanation is taken, though two slips may be likelier."""
        found = verdict_on(self.correct, self.explanations)
        if found.kind == "unknown":
            found = replace(found, place=step_of(self.quantity).place)
        return found.without_unit(self.taken_as)

    @property
    def says(self) -> str:
        """What to say to the student: a hint, never the answer."""
        return self.verdict.sentence

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers and texts, ready for JSON."""
        return {
            "quantity": self.quantity,
            "unit": self.unit,
            "expected": self.expected,
            "correct": self.correct,
            "explanations": [
                {
                    "mistakes": list(explanation.mistakes),
                    "predicted": explanation.predicted,
                    "says": explanation.says,
                }
                for explanation in self.explanations
            ],
        }

    def __str__(self) -> str:
        """For the instructor: it holds the answer."""
        return report(
            asked_for(self.quantity),
            self.written,
            self.expected,
            self.correct,
            [explanation.says for explanation in self.explanations],
        )


def diagnose(sheet: Sheet, quantity: str, written: str) -> Diagnosis:
    """Say which mistakes an answer shows.

    Args:
        sheet: the engine that the question is about.
        quantity: one of `QUANTITIES`.
        written: the answer as text: ``"9.83"``, ``"9.83:1"``, ``"588.3 cc"``, ``"35.9 cu in"``.
            A volume without a unit is taken to be in cc, and the student is asked for the unit.

    Raises:
        Refused: no such quantity, an answer that is not one plain number with a fitting unit,
            or a sheet that does not hold what the quantity takes.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> diagnosis = diagnose(parse(EXAMPLE), "compression_ratio", "8.90")
    >>> diagnosis.correct, diagnosis.explanations[0].mistakes
    (False, ('forgot-plus-one',))
    >>> print(diagnosis.says)
    not yet. At bottom dead centre, what is above the piston besides the swept volume?
    >>> diagnose(parse(EXAMPLE), "compression_ratio", "9.90").says
    'right'
    """
    asked = asked_for(quantity)
    answer = read_answer(written, asked)
    search = search_of(asked.name, readings_of(sheet))
    correct = search.grade(answer) == "right"
    explanations = () if correct else explain(search, answer, asked)
    return Diagnosis(
        quantity,
        asked.unit,
        written,
        answer.value,
        search.right,
        correct,
        explanations,
        answer.taken_as,
    )


def predictions(sheet: Sheet, quantity: str) -> dict[str, tuple[float, ...]]:
    """What each mistake that changes the answer would give, in cc, mm or bare, the usual way first.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> round(predictions(parse(EXAMPLE), "compression_ratio")["forgot-plus-one"][0], 3)
    8.896
    """
    found: dict[str, tuple[float, ...]] = {}
    for suspect in Search(asked_for(quantity).name, readings_of(sheet)).alone:
        (id,) = suspect.ids
        found[id] = (*found.get(id, ()), suspect.predicted)
    return found


def verdict_on(correct: bool, explanations: Sequence[Explanation]) -> Verdict:
    """The verdict on an answer to one question alone.

    Args:
        correct: whether it is right.
        explanations: of an answer that is not, best first.
    """
    if correct:
        return RIGHT
    simple = (each for each in explanations if len(each.mistakes) < 2)
    best = next(simple, explanations[0] if explanations else None)
    return best.verdict if best else UNKNOWN


def explain(search: Search, answer: Answer, asked: Asked) -> tuple[Explanation, ...]:
    """Why an answer that is not correct is what it is, the best explanation first.

    Early rounding reaches many numbers: it comes after a mistake that gives exactly this one.
    """
    if answer.holds(search.right):
        return (_note("coarse", search.right),)
    suspects = search.suspects(answer)
    found = [
        (likely, _accuse(suspect, asked, [other for _, other in suspects]))
        for likely, suspect in suspects[:MOST_EXPLANATIONS]
    ]
    early = search.early_rounding(answer)
    if early:
        likely, habit, rounded = early
        exactly = [
            likely
            for likely, suspect in suspects
            if len(suspect.ids) == 1 and answer.holds(suspect.predicted)
        ]
        likely = min(likely, max(exactly, default=likely))
        found.append((likely, _note("rounded", rounded, habit.name)))
    elif _from_rounded_inches(answer, search):
        found.append((0.02, _note("rounded", answer.value, "cubic inches to a few places")))
    elif _cut_off(answer, search.right):
        found.append((0.02, _note("cut off", search.right)))
    for number, alone in enumerate(search.of_each_cylinder, start=1):
        if answer.holds(alone):
            found.append((0.02, _note("one cylinder", alone, f"cylinder {number}")))
            break
    found.sort(key=lambda each: -each[0])
    return tuple(explanation for _, explanation in found[:MOST_EXPLANATIONS])


def _from_rounded_inches(answer: Answer, search: Search) -> bool:
    """Whether one disc was worked out in cubic inches, rounded there, and turned into cc."""
    if not search.readings.in_inches or search.quantity not in (*SWEPT, *DISCS):
        return False
    inches = search.right / CC_PER_CUBIC_INCH
    return any(answer.holds(round(inches, places) * CC_PER_CUBIC_INCH) for places in (4, 3, 2))


def _cut_off(answer: Answer, right: float) -> bool:
    """Whether the digits after the last one were dropped, not rounded."""
    return 0 < abs(right) - abs(answer.value) < 2 * answer.half_width and right * answer.value > 0


def _accuse(suspect: Suspect, asked: Asked, suspects: Sequence[Suspect]) -> Explanation:
    """Explain by mistakes, naming what explains the number as simply."""
    rivals = [
        " + ".join(other.ids)
        for other in suspects
        if other is not suspect and len(other.ids) <= len(suspect.ids)
    ]
    hints = [*suspect.hints, ASK_FOR_WORKING] if rivals else suspect.hints
    says = for_instructor(suspect.tells, suspect.predicted, asked, rivals)
    hint, place = " ".join(hints), suspect.mistakes[0].place
    return Explanation(suspect.ids, suspect.predicted, says, hint, "mistake", place)


def _note(what: str, predicted: float, detail: str = "") -> Explanation:
    kind: Kind = "one cylinder" if what == "one cylinder" else "rounded"
    return Explanation((), predicted, NOTES[what].format(detail), HINTS[what], kind)
