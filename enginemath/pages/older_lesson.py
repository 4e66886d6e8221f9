"""A lesson as the student began it, where the kit has a newer one by now."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from enginemath.classroom.editions import came_with_a_kit, edition_of
from enginemath.classroom.from_outside import read_text
from enginemath.pages.steps import Lesson, lesson_of_text
from enginemath.units import Refused

_LARGEST = 25_000_000


def older_lesson(folder: Path | None, name: str, edition: str) -> Lesson | None:
    """An older edition of a lesson from the work folder; None where it is not there.

    Its working runs, so it is taken only if it once came with a kit: nobody can put another in
    its place.

    Args:
        folder: the work folder.
        name: of the lesson.
        edition: that the student began.
    """
    if folder is None or not came_with_a_kit(name, edition):
        return None
    file = folder / f"{name}.ipynb"
    try:
        look = file.stat()
        return _cut(file, edition, look.st_mtime_ns, look.st_size)
    except (OSError, Refused):
        return None


@lru_cache(30)
def _cut(file: Path, edition: str, _time: int, _size: int) -> Lesson | None:
    text = read_text(file, _LARGEST)
    return lesson_of_text(text, file.stem) if edition_of(text) == edition else None


def put_newer(folder: Path | None, name: str) -> str:
    """Put the kit's newer notebook of a lesson into the work folder; the older stays beside it.

    Returns:
        Why it could not be put there; empty if it was.
    """
    if folder is None:
        return ""
    # A browser's own Python has no notebooks, and no part of the kit that delivers them.
    from enginemath.quiet_lab.workfolder import put_beside

    try:
        put_beside(folder, f"{name}.ipynb")
    except Refused as refusal:
        return str(refusal)
    return ""


def reached_in(newer: Lesson, older: Lesson, reached: int) -> int:
    """How far a student is in a newer edition: at the step of the same title, if it has one.

    Args:
        newer: the edition to go on with.
        older: the edition so far.
        reached: number of the step that was reached in it.
    """
    before = [step.title for step in older.steps[:reached]]
    while before:
        same = [step.number for step in newer.steps if step.title == before[-1]]
        which = before.count(before[-1])
        if which <= len(same):
            return same[which - 1]
        before.pop()
    return 1
