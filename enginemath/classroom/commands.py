"""The two commands: make a class set, and mark what came back."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from enginemath.classroom.marking.lesson_answers import LessonBook
from enginemath.classroom.marking.mark_class import mark_class
from enginemath.classroom.marking.mark_lessons import mark_lessons
from enginemath.classroom.marking.marks import Report, write_lessons, write_marks
from enginemath.classroom.marking.returned import CameBack, collect
from enginemath.classroom.sets import key as keys
from enginemath.classroom.sets.bay.make_bay_set import TITLE as BAY_TITLE
from enginemath.classroom.sets.bay.make_bay_set import BaySet, make_bay_set
from enginemath.classroom.sets.key import find_key, read_key
from enginemath.classroom.sets.levels import level_named
from enginemath.classroom.sets.make_set import TITLE, ClassSet, make_class_set
from enginemath.classroom.sets.roster import read_roster
from enginemath.classroom.sets.secret import VARIABLE, find_secret
from enginemath.sheets import read_sheet
from enginemath.units import Refused

LEVEL = "full"


def class_set(
    roster: Path,
    out: Path,
    level: str = LEVEL,
    secret: str | None = None,
    secret_file: Path | None = None,
    title: str | None = None,
    hints: bool = False,
) -> ClassSet:
    """Make a class set from a roster; see `make_class_set`."""
    chosen = level_named(level)
    students = read_roster(roster)
    found = find_secret(secret, secret_file, out / keys.FOLDER)
    return make_class_set(students, out, chosen, found, title or TITLE, hints)


def bay_set(
    roster: Path,
    out: Path,
    engines: Sequence[Path],
    secret: str | None = None,
    secret_file: Path | None = None,
    title: str | None = None,
    hints: bool = False,
    by_bank: bool = False,
) -> BaySet:
    """Make a class set about the engines in the bay; see `make_bay_set`."""
    students = read_roster(roster)
    sheets = [read_sheet(engine) for engine in engines]
    found = find_secret(secret, secret_file, out / keys.FOLDER)
    title = title or BAY_TITLE
    return make_bay_set(students, out, sheets, found, title, hints=hints, by_bank=by_bank)


def mark(
    returned: Path,
    out: Path,
    secret: str | None = None,
    secret_file: Path | None = None,
    key: Path | None = None,
    book: LessonBook | None = None,
) -> Report:
    """Mark what came back and write it down; see `marking.mark_class`.

    Lessons need no key: without one, they alone are marked.

    Args:
        book: judges the lessons of work files; None: they are left.

    Raises:
        Refused: no such folder, no key where a class set is to be marked, no secret or a wrong
            one, or nowhere to write.
    """
    if not os.path.isdir(returned):
        raise Refused(f"{returned}: no such folder")
    if os.path.realpath(out) == os.path.realpath(returned):
        raise Refused(f"{out}: the marks need a folder of their own, apart from what came back")
    try:
        file = find_key(returned, key)
    except Refused:
        came = collect(returned, None, (out,)) if key is None and book else CameBack()
        if book is None or not came.works:
            raise
        return write_lessons(mark_lessons(came.works, book), came.faults, out)
    found = find_secret(secret, secret_file, file.parent)
    if found is None:
        raise Refused(
            f"no class secret: give --secret-file, or the variable {VARIABLE}; "
            f"none is kept beside {file}"
        )
    marks = mark_class(returned, read_key(file, found), (out, file.parent), book)
    return write_marks(marks, out)
