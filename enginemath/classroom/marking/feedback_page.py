"""A student's feedback: what is right, and a hint where it is not; never the answer."""

from __future__ import annotations

from enginemath.classroom.from_outside import clean
from enginemath.classroom.marking.judging import SAID, Judged
from enginemath.classroom.marking.lesson_pages import as_sentence
from enginemath.classroom.marking.mark_class import Marked
from enginemath.sheets.html_page import fill

_CLOSING = {
    True: "Every step is right. Could you explain the sign of the deck volume to somebody else?",
    False: "Start with the first step that is not ticked: what comes after it may mend itself.",
}


def feedback(marked: Marked, title: str) -> str:
    """The page of one student."""
    done = all(judged.verdict.is_right for judged in marked.judged)
    return fill(
        "classroom/marking/feedback.html",
        title=title,
        student=marked.student,
        score=f"{marked.score:g}",
        closing=_CLOSING[done],
        steps=[_step(judged) for judged in marked.judged],
    )


def _step(judged: Judged) -> dict[str, str]:
    return {
        "title": judged.question.title,
        "verdict": judged.kind,
        "said": SAID[judged.kind],
        "mark": judged.verdict.sign,
        "wrote": clean(judged.written, 60),
        "hint": as_sentence(judged.verdict.advice),
    }
