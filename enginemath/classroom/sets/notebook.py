"""A student's worksheet as a notebook: givens, drawing, and a cell for each answer."""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

from enginemath.classroom.from_outside import clean
from enginemath.classroom.sets.assignment import AnswerKey, Assignment
from enginemath.classroom.sets.figure import crank_figure, figure, pour_figure
from enginemath.classroom.sets.givens import givens
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.worksheet import CAUTIONS, HOW_TO_ANSWER, formulas

SIGNED = "student_id"
"""The name under which a notebook says whose it is."""
METADATA = "enginemath"

HOW = (
    'Write each answer between the quotes: a volume or a length with its unit, `"0.12 cc"`, '
    "a ratio as a plain number. Work where you like: add cells, or use paper. Your code is not run "
    "when this is marked, so write the number itself."
)
TOOLS = """\
from enginemath import annulus, disc  # volume of a disc, and of a ring
from enginemath import read, show  # read("… mm"), show(volume, "cc")"""
_TURNING = "from enginemath import cos, sin  # of an angle in degrees"


def notebook(
    student: Student, assignment: Assignment, title: str, tag: str, hints: bool = False
) -> str:
    """The notebook of one student as text; it holds what was read and nothing that follows.

    Args:
        tag: shows later that this sheet is of this class set.
        hints: whether a last cell tells right from wrong and which slip a number shows.
    """
    cells = [text_cell(_heading(student, assignment, title)), _pictures(assignment), text_cell(HOW)]
    tools = [TOOLS, _TURNING] if assignment.level.cam else [TOOLS]
    cells += [code_cell(f"{SIGNED} = {student.id!r}"), code_cell("\n".join(tools))]
    cells += question_cells(assignment)
    if hints:
        cells += [
            text_cell(
                "**Check.** Run this cell as often as you like: it gives hints, not answers."
            ),
            code_cell(check_cell(assignment)),
        ]
    cells.append(text_cell(f"*{CAUTIONS}*"))
    return notebook_text(cells, student, tag)


def question_cells(assignment: AnswerKey) -> list[Cell]:
    """Each question with its formula, and a cell for the answer."""
    cells = []
    for number, (question, formula) in enumerate(formulas(assignment), start=1):
        cells.append(
            text_cell(
                f"**{number}. {plain(question.ask)}** {question.precision.capitalize()}.\n\n"
                f"{plain(formula)}"
            )
        )
        cells.append(code_cell(f'{question.name} = ""'))
    return cells


def notebook_text(cells: Sequence[Cell], student: Student, tag: str) -> str:
    """A notebook's text from its cells, with the mark by which it is known again."""
    # As JSON: to import nbformat takes longer than to make a class set; the tests compare the two.
    content = {
        "cells": [{"id": f"cell-{place}", **cell} for place, cell in enumerate(cells)],
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
            METADATA: {"student": student.id, "sheet": tag},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


Cell = dict[str, Any]


def text_cell(source: str) -> Cell:
    """A cell of text."""
    return {"cell_type": "markdown", "metadata": {}, "source": source.splitlines(keepends=True)}


def code_cell(source: str) -> Cell:
    """A cell of code that was not run."""
    return {
        "cell_type": "code",
        "execution_count": None,
        "metadata": {},
        "outputs": [],
        "source": source.splitlines(keepends=True),
    }


def plain(said: str) -> str:
    """Text in which Markdown finds nothing to format, and no tag.

    >>> plain("*a* <b> | c")
    '\\\\*a\\\\* &lt;b> \\\\| c'
    """
    escaped = re.sub(r"([\\`*_{}\[\]()#!|~$])", r"\\\1", clean(said, 400))
    return escaped.replace("&", "&amp;").replace("<", "&lt;")


def _heading(student: Student, assignment: Assignment, title: str) -> str:
    who = [f"**{plain(student.name)}**", f"id {plain(student.id)}"]
    who += [f"period {plain(student.period)}"] if student.period else []
    rows = "\n".join(f"| {plain(what)} | {plain(read)} |" for what, read in givens(assignment))
    return (
        f"# {plain(title)}\n\n{' · '.join(who)} · {plain(assignment.sheet.name)}\n\n"
        f"{HOW_TO_ANSWER}\n\n| what was read | reading |\n|:--|--:|\n{rows}"
    )


def _pictures(assignment: Assignment) -> Cell:
    drawings = {"section.svg": figure(assignment)}
    pour, crank = pour_figure(assignment), crank_figure(assignment)
    if pour:
        drawings["pour.svg"] = pour
    if crank:
        drawings["crank.svg"] = crank
    shown = {
        "section.svg": "Cylinder in section with its readings; they are in the table above",
        "pour.svg": "The pour at the known depth; its readings are in the table above",
        "crank.svg": "Degree wheel on the crank as the intake closes; see the table above",
    }
    return picture_cell({name: (shown[name], svg) for name, svg in drawings.items()})


def picture_cell(pictures: Mapping[str, tuple[str, str]]) -> Cell:
    """A cell with drawings: by file name, what each shows in words, and its SVG."""
    links = (f"![{says}](attachment:{name})" for name, (says, _) in pictures.items())
    cell = text_cell("\n\n".join(links))
    cell["attachments"] = {name: _attached(svg) for name, (_, svg) in pictures.items()}
    return cell


def _attached(svg: str) -> Mapping[str, str]:
    # A picture that stands alone takes its size in px from its own width.
    sized = re.sub(r' width="\d+" height="\d+"', ' width="560"', svg, count=1)
    return {"image/svg+xml": base64.b64encode(sized.encode()).decode()}


def check_cell(assignment: Assignment) -> str:
    """The code of the last cell, which checks every question of the sheet."""
    import tomli_w

    sheet = tomli_w.dumps(dict(assignment.sheet.written)).strip()
    target = "" if assignment.target is None else f"    target={assignment.target},\n"
    answers = "".join(f"    {each.name}={each.name},\n" for each in assignment.questions)
    return (
        f'from enginemath import check_sheet\n\nsheet = """\n{sheet}\n"""\n'
        f"check_sheet(\n    sheet,\n{target}{answers})"
    )
