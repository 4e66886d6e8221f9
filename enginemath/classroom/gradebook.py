"""The gradebook: one row for each student, in the order of the roster."""

from __future__ import annotations

from enginemath.classroom.judging import SAID
from enginemath.classroom.marking import ClassMarks
from enginemath.classroom.plaintext import csv_text

FILE = "gradebook.csv"


def gradebook(marks: ClassMarks) -> str:
    """The gradebook as CSV text; no cell begins a formula."""
    questions = marks.key.level.questions
    head = ["id", "name", "period", "score", "out_of", "percent"]
    for question in questions:
        head += [f"{question.name}_points", f"{question.name}_verdict"]
    rows: list[list[object]] = [[*head, "mistakes", "notes", "file"]]
    for one in marks.marked:
        student = one.student
        row: list[object] = [student.id, student.name, student.period]
        row += [one.score, len(one.judged), f"{one.percent:.1f}"]
        for judged in one.judged:
            row += [judged.points, SAID[judged.verdict]]
        mistakes = dict.fromkeys(id for judged in one.judged for id in judged.mistakes)
        row += [" ".join(mistakes), "; ".join(one.notes), one.file or "nothing came back"]
        rows.append(row)
    return csv_text(rows)
