"""A student's feedback: what is right, and a hint where it is not; never the answer."""

from __future__ import annotations

from enginemath.classroom.marking.judging import SAID, Judged
from enginemath.classroom.marking.mark_class import Marked
from enginemath.classroom.pages import page, text

_MARKS = {"right": "✓", "carried": "✓", "nearly": "½"}
_CLOSING = {
    True: "Every step is right. Could you explain the sign of the deck volume to somebody else?",
    False: "Start with the first step that is not ticked: what comes after it may mend itself.",
}


def feedback(marked: Marked, title: str) -> str:
    """The page of one student."""
    student = marked.student
    done = all(judged.verdict == "right" for judged in marked.judged)
    who = f"{text(student.name)} · id {text(student.id)}"
    if student.period:
        who += f" · period {text(student.period)}"
    steps = [_step(place, judged) for place, judged in enumerate(marked.judged, start=1)]
    return page(
        f"{title}: {student.name}",
        [
            f"<h1>{text(title)}</h1>",
            f'<div class="who"><span>{who}</span>'
            f'<span class="score">{marked.score:g} of {len(marked.judged)}</span></div>',
            f"<p>{_CLOSING[done]}</p>",
            f'<ol class="steps">{"".join(steps)}</ol>',
            '<p class="quiet">✓ right, or right from your own earlier number; ½ the method is '
            "right, the digits are not.</p>",
        ],
    )


def _step(place: int, judged: Judged) -> str:
    mark = _MARKS.get(judged.verdict, "✗" if judged.written else "–")
    wrote = (
        f'You wrote <strong class="wrote">{text(judged.written, 60)}</strong>.'
        if judged.written
        else ""
    )
    hint = "" if judged.verdict == "right" else text(_sentence(judged))
    return (
        f'<li class="step {judged.verdict}"><span class="mark">{mark}</span><div>'
        f"<p><strong>{place}. {text(judged.question.title)}</strong> "
        f'<span class="verdict">{SAID[judged.verdict]}</span></p>'
        f"<p>{wrote} {hint}</p></div></li>\n"
    )


def _sentence(judged: Judged) -> str:
    hint = judged.hint
    for start in ("not yet. ", "nearly. ", "not yet, and "):
        hint = hint.removeprefix(start)
    hint = hint[:1].upper() + hint[1:]
    return hint if hint.endswith((".", "?", "!")) else f"{hint}."
