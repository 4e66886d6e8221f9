"""A class set: a worksheet for every student on a roster, and the instructor's papers."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.sets import instructor_pages
from enginemath.classroom.sets import key as keys
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
        return self.folder / "students"

    @property
    def instructor(self) -> Path:
        """The folder to keep."""
        return self.folder / keys.FOLDER

    def __str__(self) -> str:
        kept, salt = self.instructor / SECRET_FILE, self.instructor / SALT_FILE
        secret = f"; the class secret is in {kept}, keep it safe" if kept.exists() else ""
        if not secret and salt.exists():
            secret = f"; the secret could be guessed, so a salt is in {salt}: keep it safe too"
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
    with _whole_or_nothing() as new:
        for each in (folder, made.students, made.instructor):
            _make_folder(each, new)
        for each in (made.students, made.instructor):
            clear_half_written(each)
        secret = _secret_of(made.instructor, secret, new)
        drawn = for_each(partial(_one, secret, level, title, hints), told_apart(students))
        made = ClassSet(Key(title, level, tuple(entry for entry, _, _ in drawn)), folder)
        pages = {}
        for entry, for_screen, for_paper in drawn:
            pages[made.students / f"{entry.student.file}.ipynb"] = for_screen
            pages[made.students / f"{entry.student.file}.html"] = for_paper
        for path, content in [page for page in pages.items() if not _stands(*page)]:
            new.append(path)
            write_atomically(path, content)
        own_secret = (made.instructor / SECRET_FILE).exists()
        for name, content in {
            "answers.html": instructor_pages.answer_sheet(made.key),
            "summary.html": instructor_pages.summary(made.key, own_secret),
            "typed-answers.csv": instructor_pages.blank_answers(made.key),
            keys.FILE: key_text(made.key, secret),
        }.items():
            path = made.instructor / name
            if not os.path.lexists(path):
                new.append(path)
            write_atomically(path, content, for_owner_alone=True)
    return made


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
) -> tuple[Entry, str, str]:
    entry = make_entry(secret, student, level)
    given = student, entry.assignment, title
    return entry, notebook(*given, entry.tag, hints), worksheet(*given)


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
