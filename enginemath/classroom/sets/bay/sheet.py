"""A student's sheet about the engine in the bay: boxes for readings, then the questions."""

from __future__ import annotations

import json
from collections.abc import Iterator

from enginemath.answers.own_readings.boxes import ToRead
from enginemath.answers.own_readings.taking import blank
from enginemath.classroom.sets.bay.assignment import BayAssignment
from enginemath.classroom.sets.bay.figure import bay_figure
from enginemath.classroom.sets.notebook import (
    SIGNED,
    TOOLS,
    Cell,
    code_cell,
    notebook_text,
    picture_cell,
    plain,
    question_cells,
    text_cell,
)
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.worksheet import CAUTIONS, HOW_TO_ANSWER, formulas
from enginemath.sheets.html_page import fill

READ_FIRST = (
    "Read the engine yourself and write down what the tool shows, with its unit, before you work "
    "anything out. Your answers are judged from your own readings."
)
_HOW = (
    "Write each reading and each answer between the quotes: a length or a volume with its unit, "
    '`"0.12 cc"`, a ratio as a plain number. Your code is not run when this is marked, so write '
    "the number itself."
)
_ADVICE = {
    "bore": "Across the thrust side, half way down.",
    "depth at bdc": "From the deck to the piston's edge.",
    "deck clearance": (
        "Piston at top dead centre, + below the deck. The deck clearance is the mean of both sides."
    ),
    "chamber": "Plug and valves in, the burette read at the bottom of the meniscus.",
    "gasket bore": "Across the opening of the gasket.",
    "compressed thickness": "Of the gasket after it was bolted down.",
    "free thickness": "Of the new gasket, not yet bolted down.",
    "known depth": "Lower the piston by a known depth below the deck, grease in the gap, and pour.",
    "land height": "From the piston's edge to its top ring.",
    "land diameter": "Of the piston above its top ring.",
}
_SPARE = "Leave the last fill empty where you did not need it."


def advice(thing: ToRead) -> str:
    """How a thing is read, in a sentence or two."""
    said = [_ADVICE.get(thing.what, "")]
    if thing.tool:
        said.insert(0, f"With the {thing.tool}.")
    if thing.fills > 1:
        said.append(_SPARE)
    return " ".join(filter(None, said))


def bay_notebook(
    student: Student, assignment: BayAssignment, title: str, tag: str, hints: bool = False
) -> str:
    """The notebook of one student as text; it holds no reading that is on record.

    Args:
        tag: shows later that this sheet is of this class set.
        hints: whether a last cell tells right from wrong, from the student's own readings.
    """
    drawing = "Cylinder in section: where each reading is taken"
    cells = [
        text_cell(_heading(student, assignment, title)),
        picture_cell({"section.svg": (drawing, bay_figure(assignment.record))}),
        text_cell(_HOW),
        code_cell(f"{SIGNED} = {student.id!r}"),
        code_cell(TOOLS),
        *_reading_cells(assignment),
        *question_cells(assignment),
        *(_check_cells(assignment) if hints else ()),
        text_cell(f"*{CAUTIONS}*"),
    ]
    return notebook_text(cells, student, tag)


def _reading_cells(assignment: BayAssignment) -> Iterator[Cell]:
    for thing in assignment.record.to_read:
        yield text_cell(f"**Read: {plain(thing.words)}.** {plain(advice(thing))}")
        yield code_cell("\n".join(f'{box.name} = ""  # {box.unit}' for box in thing.boxes))


def _check_cells(assignment: BayAssignment) -> Iterator[Cell]:
    """A cell that judges the answers from the readings in the boxes, and knows no other."""
    bench = json.dumps(blank(assignment.record).as_dict())
    names = [box.name for box in assignment.record.boxes]
    names += [question.name for question in assignment.questions]
    written = "".join(f"    {name}={name},\n" for name in names)
    yield text_cell("**Check.** Run this cell as often as you like: it gives hints, not answers.")
    yield code_cell(
        f"from enginemath import check_own_readings\n\nbench = {bench!r}\n"
        f"check_own_readings(\n    bench,\n{written})"
    )


def _heading(student: Student, assignment: BayAssignment, title: str) -> str:
    who = " · ".join(
        [f"**{plain(student.name)}**", *(plain(each) for each in whose(student, assignment)[1:])]
    )
    rows = "\n".join(f"| {plain(what)} | {plain(value)} |" for what, value in told(assignment))
    return (
        f"# {plain(title)}\n\n{who}\n\n{READ_FIRST}\n\n{HOW_TO_ANSWER}\n\n"
        f"| what is told | |\n|:--|--:|\n{rows}"
    )


def whose(student: Student, assignment: BayAssignment) -> list[str]:
    """Who works where: name, id, period, the engine with its cylinder, the group."""
    found = [student.name, f"id {student.id}"]
    group = assignment.bench.group
    if student.period and student.period != group:
        found.append(f"period {student.period}")
    found.append(assignment.place)
    if group:
        found.append(f"group {group}")
    return found


def told(assignment: BayAssignment) -> list[tuple[str, str]]:
    """What the sheet tells: the cylinder, and what is not read again."""
    return [
        ("engine", assignment.name),
        ("your cylinder", f"{assignment.bench.cylinder}"),
        *assignment.record.told,
    ]


def bay_worksheet(student: Student, assignment: BayAssignment, title: str) -> str:
    """The page of one student to print: ruled boxes for the readings, and room to work."""
    return fill(
        "classroom/sets/bay/worksheet.html",
        title=title,
        student=student,
        whose=whose(student, assignment),
        read_first=READ_FIRST,
        how_to_answer=HOW_TO_ANSWER,
        told=assignment.record.told,
        to_read=[(thing, advice(thing)) for thing in assignment.record.to_read],
        drawing=bay_figure(assignment.record),
        questions=formulas(assignment),
        cautions=CAUTIONS,
    )
