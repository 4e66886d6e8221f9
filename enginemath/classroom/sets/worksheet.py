"""A student's worksheet as a page to print: givens, drawing, questions, room to work."""

from __future__ import annotations

from enginemath.classroom.pages import page, table, text
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.figure import crank_figure, figure, pour_figure
from enginemath.classroom.sets.givens import givens
from enginemath.classroom.sets.questions import Question
from enginemath.classroom.sets.roster import Student

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
    pour = pour_figure(assignment)
    questions = [_question(number, *each) for number, each in enumerate(formulas(assignment), 1)]
    close = len(questions) > _ROOMY
    room = "close" if close else "roomy"
    cautions = f'<p class="box quiet">{CAUTIONS}</p>'
    return page(
        f"{title}: {student.name}",
        [
            f"<h1>{text(title)}</h1>",
            who(student, assignment),
            f"<p>{HOW_TO_ANSWER}</p>",
            f'<div class="pair {room}"><div><h2>What was read</h2>',
            table([], [(text(what), text(read)) for what, read in givens(assignment)], [1]),
            "</div><figure>",
            figure(assignment),
            pour or "",
            "<figcaption>Bore and stroke to scale; gaps drawn wider than they are, chamber and "
            "crown as plain shapes.</figcaption>",
            crank_figure(assignment) or "",
            cautions if close else "",
            "</figure></div>",
            "<h2>Questions</h2>",
            f'<div class="{room}">',
            *questions,
            "</div>",
            "" if close else cautions,
        ],
    )


def who(student: Student, assignment: Assignment) -> str:
    """One line with name, id, period and engine."""
    parts = [
        f"<span>Name <strong>{text(student.name)}</strong></span>",
        f"<span>Id <strong>{text(student.id)}</strong></span>",
    ]
    if student.period:
        parts.append(f"<span>Period <strong>{text(student.period)}</strong></span>")
    parts.append(f"<span>{text(assignment.sheet.name)}</span>")
    return f'<div class="who">{"".join(parts)}</div>'


def formulas(assignment: Assignment) -> list[tuple[Question, str]]:
    """Every question with its formulas in symbols."""
    found = []
    for question in assignment.questions:
        formula = f"{question.title} = {question.formula}"
        if question.name == "clearance_volume" and assignment.level.crevice:
            formula += f"; {CREVICE}"
        found.append((question, formula))
    return found


def _question(number: int, question: Question, formula: str) -> str:
    return (
        f'<section class="question"><p><strong>{number}. {text(question.ask)}</strong></p>'
        f'<p class="quiet">{text(formula)}</p>'
        '<div class="work"></div><div class="answer">'
        f'<span class="quiet">{text(question.title)}, {text(question.precision)}:</span>'
        f'<span class="line"></span><span>{text(question.unit)}</span></div></section>'
    )
