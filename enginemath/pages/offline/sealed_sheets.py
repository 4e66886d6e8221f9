"""A class's sheets in the pages: each sealed by its student's id and the words on their slip.

What is sealed is the student's worksheet notebook: what was read, and no answer. Key and answers
stay with the instructor; here nobody looks for them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from enginemath.classroom.from_outside import read_text
from enginemath.classroom.sets.roster import Student, read_roster
from enginemath.classroom.sets.slips import FOLDER, slips_for
from enginemath.pages.class_sheet import sheet_of
from enginemath.pages.offline.programs import run
from enginemath.pages.offline.python_for_browsers import node
from enginemath.units import Refused

ROUNDS = 600_000
"""Of PBKDF2 with SHA-256 for one try at an id's words.

Source: OWASP, Password Storage Cheat Sheet, section on PBKDF2.
"""
_LARGEST = 5_000_000


@dataclass
class _Theirs:
    """What a student is given: their notebooks by name."""

    student: Student
    files: dict[str, str] = field(default_factory=dict)


def seal_sheets(sets: Path, out: Path) -> tuple[str, int]:
    """Seal the sheets of class sets, and keep the slips that open them beside the sets.

    Args:
        sets: folder that `class-set` made, or one that holds several such.
        out: folder of the pages, where no slip may come to lie.

    Returns:
        What goes into the pages, as JSON, and for how many students.

    Raises:
        Refused: no class set there, two folders in each other, or a file that cannot be read.
    """
    apart = sets.resolve(), out.resolve()
    if apart[0].is_relative_to(apart[1]) or apart[1].is_relative_to(apart[0]):
        raise Refused(f"{out}: the pages need a folder apart from the class sets in {sets}")
    students = [each for folder in _sets_in(sets) for each in _students_of(folder)]
    theirs: dict[str, _Theirs] = {}
    for each in students:
        theirs.setdefault(each.student.id.casefold(), each).files.update(each.files)
    slips = slips_for((each.student for each in theirs.values()), sets / FOLDER)
    words = {slip.student.id.casefold(): slip.words for slip in slips}
    given = [
        {"id": one.student.id, "name": one.student.name, "words": words[key], "files": one.files}
        for key, one in theirs.items()
    ]
    return _sealed(given), len(given)


def _sets_in(folder: Path) -> list[Path]:
    inside = sorted(folder.iterdir()) if folder.is_dir() else []
    found = [each for each in (folder, *inside) if (each / "students").is_dir()]
    if not found:
        raise Refused(f"{folder}: no class set; name the folder that class-set made")
    return found


def _students_of(folder: Path) -> list[_Theirs]:
    """The notebooks of one class set, with the names that its instructor's list gives."""
    named = folder / "instructor" / "typed-answers.csv"
    names = {each.id: each for each in read_roster(named)} if named.is_file() else {}
    found = []
    for file in sorted((folder / "students").glob("*.ipynb")):
        try:
            text = read_text(file, _LARGEST)
        except Refused as refusal:
            raise Refused(f"{file}: {refusal}") from None
        sheet = sheet_of(text)
        if sheet is None:
            raise Refused(f"{file}: not a sheet of a class set")
        student = names.get(sheet.student, Student(sheet.student, sheet.student))
        found.append(_Theirs(student, {f"{sheet.name}.ipynb": text}))
    if not found:
        raise Refused(f"{folder / 'students'}: no notebook of a class set")
    return found


def _sealed(given: Sequence[Mapping[str, object]]) -> str:
    """By Node.js, in a browser's own words."""
    script = Path(__file__).parent / "seal_sheets.mjs"
    told = json.dumps({"rounds": ROUNDS, "given": given})
    return run([node(), script], "Node.js could not seal the sheets", given=told)
