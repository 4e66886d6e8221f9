"""A student's worksheet as a page to print: givens, drawing, questions, room to work."""

from __future__ import annotations

from enginemath.classroom.sets.assignment import AnswerKey, Assignment
from enginemath.classroom.sets.figure import crank_figure, figure, pour_figure
from enginemath.classroom.sets.givens import givens
from enginemath.classroom.sets.questions import WorksheetQuestion
from enginemath.classroom.sets.roster import Student
from enginemath.sheets.html_page import fill

CAUTIONS = (
    "On a real engine: eye protection and gloves, gasket faces and fresh cuts are sharp; fingers "
    "out of the bore while the crank turns. A computed ratio is not permission to run: the maker's "
    "limits, a qualified machine shop and local codes come first."
)
HOW_TO_ANSWER = (
    "Keep every digit on the way and round once, at the end. Write as many decimals as are asked "
    "for, also where the readings hardly deserve them: they show how you worked."
)

_ROOMY = 8
"""So many questions have all the room to work that the page gives; more stand closer."""

CREVICE = "crevice = π/4 · (bore² − land diameter²) · height"


def worksheet(student: Student, assignment: Assignment, title: str) -> str:
    """The page of one student; it holds what was read and nothing that follows from it."""
    questions = formulas(assignment)
    return fill(
        "classroom/sets/worksheet.html",
        title=title,
        student=student,
        engine=assignment.sheet.name,
        how_to_answer=HOW_TO_ANSWER,
        givens=givens(assignment),
        drawing=figure(assignment),
        pour=pour_figure(assignment),
        crank=crank_figure(assignment),
        questions=questions,
        close=len(questions) > _ROOMY,
        cautions=CAUTIONS,
    )


def formulas(assignment: AnswerKey) -> list[tuple[WorksheetQuestion, str]]:
    """Every question with its formulas in symbols."""
    found = []
    for question in assignment.questions:
        formula = f"{question.title} = {question.formula}"
        if question.name == "clearance_volume" and assignment.level.crevice:
            formula += f"; {CREVICE}"
        found.append((question, formula))
    return found
