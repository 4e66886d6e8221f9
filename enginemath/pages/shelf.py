"""What a student may open: the lessons, each in the edition that was begun, and own sheets."""

from __future__ import annotations

from pathlib import Path

from enginemath.classroom.work_file import Data, new_lesson
from enginemath.pages.class_sheet import ClassSheet, sheets_in
from enginemath.pages.older_lesson import older_lesson
from enginemath.pages.steps import Lesson, lesson_named, lesson_names
from enginemath.pages.work import Work


class Shelf:
    """The lessons and sheets of one student.

    Args:
        folder: the work folder.
        work: the student's.
        projector: for a class: the newest lessons, and nobody's sheets.
    """

    def __init__(self, folder: Path | None, work: Work, *, projector: bool = False):
        self._folder, self._work, self._projector = folder, work, projector

    def lessons(self) -> list[Lesson]:
        """Every lesson, in its order."""
        return [self._older(name) or lesson_named(name) for name in lesson_names()]

    def sheets(self) -> list[ClassSheet]:
        """Sheets of class sets that lie in the work folder."""
        if self._projector:
            return []
        return sheets_in(self._folder, self._work.data["student"]["id"])

    def find(self, name: str) -> Lesson:
        """A lesson or a sheet.

        Raises:
            Refused: there is none of that name.
        """
        sheet = next((each for each in self.sheets() if each.name == name), None)
        return sheet or self._older(name) or lesson_named(name)

    def newer_of(self, lesson: Lesson) -> Lesson | None:
        """The kit's newer edition of a lesson, where an older one is shown."""
        if isinstance(lesson, ClassSheet) or self._projector:
            return None
        newest = lesson_named(lesson.name)
        return newest if lesson.edition != newest.edition else None

    def edition_told(self, lesson: Lesson) -> str:
        """Whether the student works in an older edition, or in a newer one than was begun."""
        if isinstance(lesson, ClassSheet) or self._projector:
            return ""
        if self.newer_of(lesson):
            return "older"
        begun = self._begun_edition(lesson.name)
        return "newer" if begun and begun != lesson.edition else ""

    def kept_of(self, lesson: Lesson) -> Data:
        """A lesson's or a sheet's part of the work file."""
        if isinstance(lesson, ClassSheet):
            found: Data = self._work.data["sets"].get(lesson.mark) or new_lesson()
            return found
        return self._work.lesson(lesson.name)

    def told(self, lesson: Lesson) -> Data:
        """What the map says of a lesson or of a sheet."""
        kept = self.kept_of(lesson)
        reached = min(kept["reached"], len(lesson.steps))
        state = "new" if reached == 1 and not kept["guesses"] else "begun"
        if reached == len(lesson.steps):
            state = "done"
        return {
            "name": lesson.name,
            "number": number_of(lesson),
            "title": lesson.title,
            "about": lesson.about,
            "state": state,
            "reached": reached,
            "steps": len(lesson.steps),
        }

    def _older(self, name: str) -> Lesson | None:
        """The edition of a lesson that the student began, where the kit has a newer one by now."""
        begun = self._begun_edition(name)
        if self._projector or not begun or begun == lesson_named(name).edition:
            return None
        return older_lesson(self._folder, name, begun)

    def _begun_edition(self, name: str) -> str:
        edition: str = self._work.lesson(name).get("edition", "")
        return edition


def number_of(lesson: Lesson) -> int | None:
    """A lesson's number; a sheet has none."""
    return None if isinstance(lesson, ClassSheet) else lesson.number
