"""The lessons on paper: their part of the class page, and a feedback page for each student."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

from enginemath.classroom.from_outside import clean
from enginemath.classroom.marking.handed_in import Guess
from enginemath.classroom.marking.lesson_answers import SAID, TOLD, WAITS, Answered, LessonAsks
from enginemath.classroom.marking.mark_lessons import (
    AskedCount,
    LessonMark,
    LessonMarks,
    SlipCount,
    StudentLessons,
)
from enginemath.classroom.marking.returned import Fault
from enginemath.sheets.html_page import fill

TITLE = "Lessons"
FEEDBACK = "feedback/lessons"
_LONGEST = 600
_COLUMNS = (
    ("right", ("right", "follows")),
    ("nearly", ("nearly",)),
    ("not yet", ("mistake", "unknown", WAITS)),
    ("not readable", ("unreadable",)),
    ("written", (TOLD,)),
    ("no answer", ("nothing_written",)),
)
_CLOSING = {
    True: "Every answer is right. Could you explain the hardest one to somebody else?",
    False: "Open the lesson again at the first answer that is not ticked: your work is there.",
}


def lessons_page(marks: LessonMarks, faults: Sequence[Fault]) -> str:
    """The class page where no class set was marked."""
    return fill(
        "classroom/marking/lessons_page.html",
        title=TITLE,
        faults=told_faults(faults),
        **lesson_parts(marks),
    )


def told_faults(faults: Sequence[Fault]) -> list[dict[str, str]]:
    """Faults as the pages show them."""
    return [
        {"file": clean(each.file, _LONGEST), "reason": clean(each.reason, _LONGEST)}
        for each in faults
    ]


def lesson_parts(marks: LessonMarks) -> dict[str, Any]:
    """What the lessons' part of the class page shows."""
    return {
        "lessons_came": len(marks.came),
        "lessons_of": len(marks.students),
        "lessons_again": [_again(count) for count in marks.to_reteach],
        "lesson_heads": [heading for heading, _ in _COLUMNS],
        "lessons": [_lesson(lesson, marks) for lesson in marks.lessons],
        "lesson_names": list(marks.names.values()),
        "lesson_students": [_row(one, marks) for one in marks.students],
        "lesson_feedback": FEEDBACK,
    }


def _again(count: SlipCount) -> dict[str, Any]:
    return {
        "students": len(count.students),
        "began": count.began,
        "tells": count.slip.tells or "make a slip here",
        "hint": count.slip.hint,
        "label": count.asked.label,
        "step": count.asked.step,
        "lesson": _called(count.lesson),
    }


def _called(lesson: LessonAsks) -> str:
    older = ", an older edition" if lesson.edition else ""
    return f"{lesson.number:02d} {lesson.title}{older}"


def _lesson(lesson: LessonAsks, marks: LessonMarks) -> dict[str, Any]:
    began = marks.marks_of(lesson)
    return {
        "called": _called(lesson),
        "began": len(began),
        "finished": sum(mark.is_finished for mark in began),
        "guessed": sum(len(mark.guesses) == len(lesson.guesses) for mark in began),
        "not_judged": sum(len(mark.not_judged) for mark in began),
        "asked": [_asked(count, len(began)) for count in marks.by_asked(lesson)],
    }


def _asked(count: AskedCount, began: int) -> dict[str, Any]:
    right = count.kinds["right"] + count.kinds["follows"]
    slip = count.slip
    return {
        "step": count.asked.step,
        "label": count.asked.label,
        "counts": [sum(count.kinds[kind] for kind in kinds) for _, kinds in _COLUMNS],
        "share": right / began,
        "slip": f"{len(slip.students)}: {slip.slip.tells or slip.slip.hint}" if slip else "",
    }


def _row(one: StudentLessons, marks: LessonMarks) -> dict[str, Any]:
    return {
        "student": one.student,
        "came": bool(one.files),
        "lessons": [_cell(one.of(lesson)) for lesson in marks.names],
        "notes": list(one.notes) if one.files else [*one.notes, "nothing came back"],
    }


def _cell(mark: LessonMark | None) -> dict[str, str]:
    if mark is None:
        return {"right": "·", "reached": ""}
    reached = "to the end" if mark.is_finished else f"step {mark.reached} of {mark.asks.steps}"
    return {"right": f"{mark.right} of {len(mark.answers)}", "reached": reached}


def lesson_feedback(one: StudentLessons) -> str:
    """The page of one student: of each lesson what is right, and a hint where it is not."""
    return fill(
        "classroom/marking/lesson_feedback.html",
        title=TITLE,
        student=one.student,
        lessons=[_of_lesson(mark) for mark in one.lessons],
    )


def _of_lesson(mark: LessonMark) -> dict[str, Any]:
    answers = [_answer(each) for each in mark.answers]
    return {
        "called": _called(mark.asks),
        "right": mark.right,
        "asked": len(mark.answers),
        "reached": mark.reached,
        "steps": mark.asks.steps,
        "guesses": [_clean_guess(guess) for guess in mark.guesses],
        "guesses_asked": len(mark.asks.guesses),
        "readings": mark.work.readings,
        "closing": _CLOSING[mark.right == len(mark.answers)],
        "not_judged": [clean(mark.work.answers[key], 60) for key in mark.not_judged],
        "answers": answers,
    }


def _clean_guess(guess: Guess) -> Guess:
    return Guess(*(clean(getattr(guess, each.name), 200) for each in fields(guess)))


def _answer(answer: Answered) -> dict[str, Any]:
    verdict = answer.verdict
    return {
        "step": answer.asked.step,
        "label": answer.asked.label[:1].upper() + answer.asked.label[1:],
        "kind": answer.kind,
        "said": SAID[answer.kind],
        "mark": {TOLD: "·", WAITS: "✗"}.get(answer.kind, verdict.sign),
        "wrote": ", ".join(clean(text, 60) for text in answer.written if text.strip()),
        "hint": _hint(answer),
    }


def _hint(answer: Answered) -> str:
    if answer.kind == WAITS:
        return "This one waits for the answer before it."
    if answer.is_blank or answer.kind == TOLD:
        return ""
    return as_sentence(answer.verdict.advice)


def as_sentence(advice: str) -> str:
    """Advice as a sentence of its own; empty where there is none."""
    stop = "" if advice.endswith((".", "?", "!")) or not advice else "."
    return f"{advice[:1].upper()}{advice[1:]}{stop}"
