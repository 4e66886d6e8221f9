"""A class set: a worksheet for every student on a roster, and the instructor's papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.sets import instructor_pages
from enginemath.classroom.sets import key as keys
from enginemath.classroom.sets.key import Entry, Key, key_text, make_entry
from enginemath.classroom.sets.levels import Level
from enginemath.classroom.sets.notebook import notebook
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.secret import FILE as SECRET_FILE
from enginemath.classroom.sets.secret import ClassSecret, make_secret
from enginemath.classroom.sets.worksheet import worksheet
from enginemath.sheets.text_file import write_atomically
from enginemath.units import Refused
from enginemath.units.words import count

TITLE = "Compression ratio: an engine of your own"


@dataclass(frozen=True)
class ClassSet:
    """What was made, and where."""

    key: Key
    folder: Path

    @property
    def students(self) -> Path:
        """The folder to hand out."""
        return self.folder / "students"

    @property
    def instructor(self) -> Path:
        """The folder to keep."""
        return self.folder / keys.FOLDER

    def __str__(self) -> str:
        kept = self.instructor / SECRET_FILE
        secret = f"; the class secret is in {kept}, keep it safe" if kept.exists() else ""
        return (
            f"{count(len(self.key.entries), 'engine')}, level {self.key.level.name}\n"
            f"hand out: {self.students}\n"
            f"keep:     {self.instructor}{secret}"
        )


def make_class_set(
    students: Sequence[Student],
    folder: Path,
    level: Level,
    secret: ClassSecret | None = None,
    title: str = TITLE,
    hints: bool = False,
) -> ClassSet:
    """Make the files of a class set.

    Args:
        students: see `roster.read_roster`.
        folder: the files go into `students` and `instructor` inside it.
        level: see `levels.LEVELS`.
        secret: None: one is drawn, and kept beside the key.
        title: of every sheet.
        hints: whether the notebooks can check answers.

    Raises:
        Refused: a student's file is there already and different - nothing is written then - or a
            file that cannot be written.
    """
    made = ClassSet(Key(title, level, ()), folder)
    for each in (made.students, made.instructor):
        try:
            each.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Refused(f"{each}: cannot be made ({error.strerror})") from None
    secret = secret or make_secret(made.instructor)
    drawn = for_each(partial(_one, secret, level, title, hints), students)
    made = ClassSet(Key(title, level, tuple(entry for entry, _, _ in drawn)), folder)
    for_students = {}
    for entry, for_screen, for_paper in drawn:
        for_students[made.students / f"{entry.student.file}.ipynb"] = for_screen
        for_students[made.students / f"{entry.student.file}.html"] = for_paper
    new = {path: content for path, content in for_students.items() if not _stands(path, content)}
    for path, content in new.items():
        write_atomically(path, content)
    own_secret = (made.instructor / SECRET_FILE).exists()
    for name, content in {
        "answers.html": instructor_pages.answer_sheet(made.key),
        "summary.html": instructor_pages.summary(made.key, own_secret),
        "typed-answers.csv": instructor_pages.blank_answers(made.key),
        keys.FILE: key_text(made.key, secret),
    }.items():
        write_atomically(made.instructor / name, content)
    return made


def _one(
    secret: ClassSecret, level: Level, title: str, hints: bool, student: Student
) -> tuple[Entry, str, str]:
    entry = make_entry(secret, student, level)
    given = student, entry.assignment, title
    return entry, notebook(*given, entry.tag, hints), worksheet(*given)


def _stands(path: Path, content: str) -> bool:
    """Whether a file is there already; refused where it differs: it may be a student's work."""
    try:
        found = path.read_bytes()
    except FileNotFoundError:
        return False
    except OSError as error:
        raise Refused(f"{path}: cannot be read ({error.strerror})") from None
    if found != content.encode():
        raise Refused(
            f"{path}: there already, and different (filled in, or of another secret, level or "
            "title); nothing was written: choose another folder"
        )
    return True
