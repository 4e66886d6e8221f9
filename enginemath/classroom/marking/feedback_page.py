"""A student's feedback: what is right, and a hint where it is not; never the answer."""

from __future__ import annotations

from enginemath.classroom.from_outside import clean
from enginemath.classroom.marking.at_the_bench import AGAIN, blunders_of, feedback_parts
from enginemath.classroom.marking.judging import SAID, Judged
from enginemath.classroom.marking.lesson_pages import as_sentence
from enginemath.classroom.marking.mark_class import Marked
from enginemath.sheets.html_page import fill

_CLOSING = {
    True: "Every step is right. Could you explain the sign of the deck volume to somebody else?",
    False: "Start with the first step that is not ticked: what comes after it may mend itself.",
}
_AT_THE_BENCH = (
    "On paper every step is right from your own readings. At the bench one or more of them went "
    "wrong: read again what is marked {sign}, then work it once more."
)
_BOTH = (
    "At the bench read again what is marked {sign}. On paper start with the first step that is "
    "not ticked. These are two different things: your steps are judged from your own readings."
)


def feedback(marked: Marked, title: str) -> str:
    """The page of one student."""
    done = all(judged.verdict.is_right for judged in marked.judged)
    closing = _CLOSING[done]
    if blunders_of(marked):
        closing = (_AT_THE_BENCH if done else _BOTH).format(sign=AGAIN)
    return fill(
        "classroom/marking/feedback.html",
        title=title,
        student=marked.student,
        score=f"{marked.score:g}",
        closing=closing,
        place=marked.place,
        **feedback_parts(marked),
        steps=[_step(judged) for judged in marked.judged],
    )


def _step(judged: Judged) -> dict[str, str]:
    again = " and ".join(judged.rests_on)
    rests = f"It rests on a reading to take again: {again}." if again and judged.written else ""
    return {
        "title": judged.question.title,
        "verdict": judged.kind,
        "said": SAID[judged.kind],
        "mark": judged.verdict.sign,
        "wrote": clean(judged.written, 60),
        "hint": " ".join(filter(None, (as_sentence(judged.verdict.advice), rests))),
    }
