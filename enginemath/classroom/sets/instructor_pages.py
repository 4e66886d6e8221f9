"""What the instructor prints: the answers, and one page about the class set."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from enginemath.classroom.from_outside import csv_text
from enginemath.classroom.pages import bullets, page, table, text
from enginemath.classroom.sets.key import Key
from enginemath.classroom.sets.worksheet import CAUTIONS
from enginemath.units import show_ratio, true_minus


def answer_sheet(key: Key) -> str:
    """The right answer to every question, a row for each student; keep it from the class."""
    questions = key.level.questions
    headings = ["Name", "Id", "Engine", *(text(q.title) for q in questions)]
    rows = [
        [
            text(entry.student.name),
            text(entry.student.id),
            text(str(entry.written["name"]).rpartition(" ")[2]),
            *(true_minus(entry.assignment.written(q.name)) for q in questions),
        ]
        for entry in key.entries
    ]
    in_mm = any(question.unit == "mm" for question in questions)
    lengths = " lengths in mm to three decimals," if in_mm else ""
    return page(
        f"Answers: {key.title}",
        [
            f"<h1>Answers: {text(key.title)}</h1>",
            f'<p class="quiet">For the instructor alone. Level {key.level.name}: '
            f"{text(key.level.says)}. Volumes in cc to two decimals,{lengths} ratios to "
            "three.</p>",
            f'<div class="dense">{table(headings, rows, range(3, len(headings)))}</div>',
        ],
    )


def summary(key: Key, made_secret: bool) -> str:
    """One page: what was handed out, how to collect it, how to mark it.

    Args:
        made_secret: whether the secret was drawn and kept beside the key.
    """
    level = key.level
    ratios = [
        (f"{question.words}s", _range([e.assignment.right[question.name] for e in key.entries]))
        for question in level.questions
        if not question.unit
    ]
    periods = Counter(entry.student.period or "none given" for entry in key.entries)
    counts = Counter(int(entry.written["cylinder"]["count"]) for entry in key.entries)
    inches = sum(entry.assignment.readings.in_inches for entry in key.entries)
    engines = ", ".join(
        f"{number} with {count} cylinders" for count, number in sorted(counts.items())
    )
    questions = [
        (str(place), text(q.ask), text(q.precision), f"{q.lesson:02d}")
        for place, q in enumerate(level.questions, start=1)
    ]
    headings = ["", "Question", "To be written", "Lesson"]
    secret = (
        "It was drawn for this set and is kept in class-secret.txt beside the key: copy it to a "
        "safe place."
        if made_secret
        else "It is the one that you gave; it is written down nowhere here."
    )
    return page(
        f"Class set: {key.title}",
        [
            f"<h1>Class set: {text(key.title)}</h1>",
            f"<p>Level <strong>{level.name}</strong>: {text(level.says)}.</p>",
            table(
                [],
                [
                    ("students", str(len(key.entries))),
                    ("by period", text(", ".join(f"{p}: {n}" for p, n in sorted(periods.items())))),
                    ("engines", text(engines)),
                    ("lengths in inches", f"{inches} of {len(key.entries)}"),
                    *ratios,
                ],
            ),
            "<h2>Questions</h2>",
            f'<div class="list">{table(headings, questions)}</div>',
            "<h2>Hand out, collect, mark</h2>",
            bullets(
                [
                    "Hand out the folder <code>students</code>: each gets the page or the notebook "
                    "with their id. Keep the folder <code>instructor</code>.",
                    "Let the notebooks come back in one folder, in folders inside it, under any "
                    "name. Paper: type the answers into <code>typed-answers.csv</code> and put it "
                    "into the same folder.",
                    "Mark: <code>enginemath mark RETURNED --out MARKS --key THIS-FOLDER</code>. "
                    "Nothing that came back is run, or written to. Marking again gives the same.",
                    f"The class secret makes the engines and seals the key. {secret}",
                    "One point a question; half a point where the method is right and the rounding "
                    "is not. What is wrong only by an earlier answer gets its point.",
                ]
            ),
            f'<p class="box quiet">{CAUTIONS}</p>',
        ],
    )


def _range(ratios: Sequence[float]) -> str:
    return f"{show_ratio(min(ratios))} to {show_ratio(max(ratios))}"


def blank_answers(key: Key) -> str:
    """A table to type answers from paper into: a row for each student."""
    names = [question.name for question in key.level.questions]
    rows = [[entry.student.id, entry.student.name, *("" for _ in names)] for entry in key.entries]
    return csv_text([["id", "name", *names], *rows])
