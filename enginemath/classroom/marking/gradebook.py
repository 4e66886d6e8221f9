"""The gradebook: one row for each student, in the order of the roster."""

from __future__ import annotations

from enginemath.classroom.marking.judging import SAID
from enginemath.classroom.marking.mark_class import ClassMarks
from enginemath.classroom.plaintext import csv_text

FILE = "gradebook.csv"


def gradebook(marks: ClassMarks) -> str:
    """The gradebook as CSV text; no cell begins a formula.

    Where no paper was marked, the points are left empty: what that is worth is not for us to say.
    """
    questions = marks.key.level.questions
    head = ["id", "name", "period", "score", "out_of", "percent"]
    for question in questions:
        head += [f"{question.name}_points", f"{question.name}_verdict"]
    rows: list[list[object]] = [[*head, "mistakes", "notes", "file"]]
    for one in marks.marked:
        student = one.student
        row: list[object] = [student.id, student.name, student.period]
        came = bool(one.file)
        row += [one.score if came else "", len(one.judged), f"{one.percent:.1f}" if came else ""]
        for judged in one.judged:
            row += [judged.points, SAID[judged.verdict]] if came else ["", ""]
        mistakes = dict.fromkeys(id for judged in one.judged for id in judged.mistakes)
        row += [
            " ".join(mistakes),
            "; ".join(one.notes) or ("" if came else "nothing came back"),
            one.file,
        ]
        rows.append(row)
    return csv_text(rows)
