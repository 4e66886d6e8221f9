"""A class set: a worksheet for every student on a roster, and the instructor's papers."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.sets import instructor_pages
from enginemath.classroom.sets import key as keys
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.key import Entry, Key, key_text, make_entry, salt_in
from enginemath.classroom.sets.levels import Level
from enginemath.classroom.sets.notebook import notebook
from enginemath.classroom.sets.roster import Student, told_apart
from enginemath.classroom.sets.secret import FILE as SECRET_FILE
from enginemath.classroom.sets.secret import (
    SALT_FILE,
    ClassSecret,
    kept_salt,
    make_salt,
    make_secret,
)
from enginemath.classroom.sets.worksheet import worksheet
from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import clear_half_written, write_atomically
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
        return self.folder / keys.STUDENTS

    @property
    def instructor(self) -> Path:
        """The folder to keep."""
        return self.folder / keys.FOLDER

    @property
    def _counted(self) -> str:
        entries = len(self.key.entries)
        if self.key.is_of_bay:
            return count(entries, "sheet")
        return f"{count(entries, 'engine')}, level {self.key.level.name}"

    def __str__(self) -> str:
        kept, salt = self.instructor / SECRET_FILE, self.instructor / SALT_FILE
        secret = f"; the class secret is in {kept}, keep it safe" if kept.exists() else ""
        if not secret and salt.exists():
            secret = f"; the secret could be guessed, so a salt is in {salt}: keep it safe too"
        return f"{self._counted}\nhand out: {self.students}\nkeep:     {self.instructor}{secret}"


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

    def make(found: ClassSecret) -> tuple[Key, list[Pages]]:
        drawn = for_each(partial(_one, found, level, title, hints), told_apart(students))
        return Key(title, level, tuple(entry for entry, _ in drawn)), [pages for _, pages in drawn]

    return write_set(folder, make, secret)


Pages = tuple[str, str]
"""A student's notebook and page to print, as texts."""


def write_set(
    folder: Path,
    make: Callable[[ClassSecret], tuple[Key, Sequence[Pages]]],
    secret: ClassSecret | None,
) -> ClassSet:
    """Write the files of a class set, all or none.

    Args:
        folder: see `make_class_set`.
        make: the key, and the pages of each of its entries, by the secret.
        secret: see `make_class_set`.

    Raises:
        Refused: see `make_class_set`.
    """
    students, instructor = folder / keys.STUDENTS, folder / keys.FOLDER
    with _whole_or_nothing() as new:
        for each in (folder, students, instructor):
            _make_folder(each, new)
        for each in (students, instructor):
            clear_half_written(each)
        secret = _secret_of(instructor, secret, new)
        key, drawn = make(secret)
        pages = {}
        for entry, (on_screen, on_paper) in zip(key.entries, drawn, strict=True):
            pages[students / f"{entry.student.file}.ipynb"] = on_screen
            pages[students / f"{entry.student.file}.html"] = on_paper
        for path, content in [page for page in pages.items() if not _stands(*page)]:
            new.append(path)
            write_atomically(path, content)
        own_secret = (instructor / SECRET_FILE).exists()
        for name, content in {
            "answers.html": instructor_pages.answer_sheet(key),
            "summary.html": instructor_pages.summary(key, own_secret),
            "typed-answers.csv": instructor_pages.blank_answers(key),
            keys.FILE: key_text(key, secret),
        }.items():
            path = instructor / name
            if not os.path.lexists(path):
                new.append(path)
            write_atomically(path, content, for_owner_alone=True)
    return ClassSet(key, folder)


@contextlib.contextmanager
def _whole_or_nothing() -> Iterator[list[Path]]:
    """Take back the files and folders that are new where the set does not come to its end."""
    new: list[Path] = []
    try:
        yield new
    except BaseException:
        for path in reversed(new):
            with contextlib.suppress(OSError):
                path.rmdir() if path.is_dir() else path.unlink()
        raise


def _make_folder(folder: Path, new: list[Path]) -> None:
    try:
        missing = [each for each in (folder, *folder.parents) if not os.path.lexists(each)]
        new += reversed(missing)
        folder.mkdir(parents=True, exist_ok=True)
        if folder.name == keys.FOLDER:
            with contextlib.suppress(OSError):  # somebody else's folder, who lets us write
                folder.chmod(0o700)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise Refused(f"{folder}: cannot be made ({reason})") from None


def _secret_of(folder: Path, secret: ClassSecret | None, new: list[Path]) -> ClassSecret:
    """The secret of the set: as given, with a salt if it could be guessed, or drawn."""
    if secret is None:
        made = make_secret(folder)
        new.append(folder / SECRET_FILE)
        return made
    if not secret.is_guessable:
        return secret
    salt = kept_salt(folder) or salt_in(folder / keys.FILE, secret)
    if salt is None:
        salt = make_salt(folder)
        new.append(folder / SALT_FILE)
    return secret.salted(salt) if salt else secret


def _one(
    secret: ClassSecret, level: Level, title: str, hints: bool, student: Student
) -> tuple[Entry, Pages]:
    entry = make_entry(secret, student, level)
    assignment = entry.assignment
    assert isinstance(assignment, Assignment)
    given = student, assignment, title
    return entry, (notebook(*given, entry.tag, hints), worksheet(*given))


def _stands(path: Path, content: str) -> bool:
    """Whether a file is there already; refused where it differs: it may be a student's work."""
    wanted = content.encode()
    try:
        with plain_file(path) as file:
            found = file.read(len(wanted) + 1)
    except FileNotFoundError:
        return False
    except (OSError, Refused) as error:
        reason = getattr(error, "strerror", None) or error
        raise Refused(f"{path}: cannot be read ({reason})") from None
    if found != wanted:
        raise Refused(
            f"{path}: there already, and different (filled in, or of another secret, level or "
            "title); nothing was written: choose another folder"
        )
    return True
