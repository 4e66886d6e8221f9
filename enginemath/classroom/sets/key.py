"""The instructor's key: who has which engine, sealed with the class secret.

It holds what the students' own pages hold, and no answer: answers are worked out when a class is
marked. The seal shows a wrong secret and a changed key.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from enginemath.classroom.from_outside import json_of, read_plain
from enginemath.classroom.sets.assignment import AnswerKey, Assignment
from enginemath.classroom.sets.bay.assignment import BayAssignment, bay_from, bay_level
from enginemath.classroom.sets.levels import Level, level_named
from enginemath.classroom.sets.roster import Student, told_apart
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.classroom.sets.variants import assign
from enginemath.sheets import Sheet
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import Refused

FILE = "key.json"
FOLDER, STUDENTS = "instructor", "students"
"""Within the folder of a class set: what stays with the instructor, and what is handed out."""
FORMAT, BAY_FORMAT = 1, 2
"""Of a set with drawn engines, and of one about engines in the bay."""
_LARGEST = 50_000_000
TAG_LENGTH = 16


@dataclass(frozen=True)
class Entry:
    """One student, this student's engine, and the tag of the sheet that was handed out.

    Args:
        written: the engine's build sheet; empty where it stands in the bay.
        target: ratio to reach, or None.
        bay: the cylinder that the student reads; None where the engine was drawn.
    """

    student: Student
    level: Level
    written: Mapping[str, Any]
    target: float | None
    tag: str
    bay: BayAssignment | None = None

    @cached_property
    def assignment(self) -> AnswerKey:
        """The engine and the questions; read when they are asked for."""
        return self.bay or Assignment(self.level, Sheet(self.written), self.target)

    @property
    def engine(self) -> str:
        """What the student's engine is called, with its cylinder where it stands in the bay."""
        return self.bay.place if self.bay else str(self.written["name"]).rpartition(" ")[2]


@dataclass(frozen=True)
class Key:
    """A class set as it was handed out."""

    title: str
    level: Level
    entries: tuple[Entry, ...]

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        """Entries by the student's id, capitals or not."""
        return {entry.student.id.casefold(): entry for entry in self.entries}

    @cached_property
    def names(self) -> frozenset[str]:
        """Under which something is written: of every question, and of every box for a reading."""
        boxes = {box.name for e in self.entries if e.bay for box in e.bay.record.boxes}
        return frozenset({question.name for question in self.level.questions} | boxes)

    @property
    def is_of_bay(self) -> bool:
        """Whether students read the engines themselves."""
        return any(entry.bay for entry in self.entries)

    @cached_property
    def files(self) -> dict[str, Entry]:
        """Entries by the name of the student's files, without an ending."""
        return {entry.student.file: entry for entry in self.entries}


def make_entry(secret: ClassSecret, student: Student, level: Level) -> Entry:
    """Draw a student's engine, and the tag that its sheet carries."""
    drawn = assign(secret, student.id, level)
    given = json.dumps([drawn.sheet.written, drawn.target], sort_keys=True)
    tag = secret.tag("sheet", level.name, student.id, given, length=TAG_LENGTH)
    return Entry(student, level, drawn.sheet.written, drawn.target, tag)


def key_text(key: Key, secret: ClassSecret) -> str:
    """The key as a file's text, sealed."""
    content: dict[str, Any] = {
        "format": BAY_FORMAT if key.is_of_bay else FORMAT,
        "title": key.title,
        "level": key.level.name,
        "students": [_entry_text(entry) for entry in key.entries],
    }
    if secret.salt:
        content["salt"] = secret.salt
    # Whether the secret is the right one is told apart from whether the key was changed.
    sealed = content | {
        "secret": secret.tag("secret", length=TAG_LENGTH),
        "seal": secret.seal(content),
    }
    return json.dumps(sealed, indent=1, ensure_ascii=False) + "\n"


def _entry_text(entry: Entry) -> dict[str, Any]:
    student = entry.student
    who = {"id": student.id, "name": student.name, "period": student.period}
    if entry.bay:
        return {**who, "bay": entry.bay.as_dict(), "tag": entry.tag}
    return {**who, "sheet": entry.written, "target": entry.target, "tag": entry.tag}


def find_key(returned: Path, given: str | os.PathLike[str] | None = None) -> Path:
    """The key of a class set.

    Args:
        returned: folder of what came back. No key that came back is taken, for a student may have
            laid it there; the class set's own folder, marked as it stands, holds its own.
        given: the key, or the folder of the class set, where it is said.

    Raises:
        Refused: none is there.
    """
    if given is not None:
        places = [Path(given), Path(given) / FILE, Path(given) / FOLDER / FILE]
    else:
        near = list(Path(os.path.realpath(returned)).parents)[:2]
        places = [folder / within for folder in near for within in (FILE, f"{FOLDER}/{FILE}")]
        if (returned / STUDENTS).is_dir():
            places.insert(0, returned / FOLDER / FILE)
    for place in places:
        if os.path.isfile(place):
            return place
    where = f"in {given}" if given is not None else f"beside {returned}"
    raise Refused(f"no key {where}; say where the class set is with --key FOLDER")


def read_key(path: str | os.PathLike[str], secret: ClassSecret) -> Key:
    """Read a key and prove it with the class secret.

    Raises:
        SheetRefused: no key, a wrong secret, or a key that was changed; names the file.
    """
    file = str(path)
    try:
        content = json_of(read_plain(path, _LARGEST).decode("utf-8-sig"))
        json.dumps(content, ensure_ascii=False).encode()  # half a letter cannot be written again
        students, tag, seal = content["students"], content.pop("secret"), content.pop("seal")
        newer = content["format"] > BAY_FORMAT
        secret = secret.salted(str(content["salt"])) if "salt" in content else secret
    except Refused as refusal:
        raise SheetRefused(str(refusal), file=file) from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise SheetRefused("not the key of a class set, or broken", file=file) from None
    if newer:
        raise SheetRefused("from a newer kit", file=file)
    if not secret.fits(str(tag), "secret"):
        raise SheetRefused(
            "the class secret is not the one that this class set was made with; nothing was marked",
            file=file,
        )
    if secret.seal(content) != seal:
        raise SheetRefused("changed since it was made; make the class set again", file=file)
    if content["format"] == BAY_FORMAT:
        return Key(content["title"], *_bay_entries(students))
    level = level_named(content["level"])
    return Key(content["title"], level, _entries(students, level))


def salt_in(path: str | os.PathLike[str], secret: ClassSecret) -> str | None:
    """The salt that a class set was made with, if this is its secret.

    Returns:
        Empty where it was made without one; None where there is no key, or another secret's.
    """
    try:
        content = json_of(read_plain(path, _LARGEST).decode("utf-8-sig"))
        salt, tag = str(content.get("salt", "")), str(content["secret"])
        fits = (secret.salted(salt) if salt else secret).fits(tag, "secret")
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    return salt if fits else None


def _entries(written: Iterable[Mapping[str, Any]], level: Level) -> tuple[Entry, ...]:
    each_as_written = list(written)
    students = told_apart(
        Student(each["id"], each["name"], each["period"]) for each in each_as_written
    )
    return tuple(
        Entry(student, level, each["sheet"], each["target"], each["tag"])
        for student, each in zip(students, each_as_written, strict=True)
    )


def _bay_entries(written: Iterable[Mapping[str, Any]]) -> tuple[Level, tuple[Entry, ...]]:
    each_as_written = list(written)
    found = [bay_from(each["bay"]) for each in each_as_written]
    level = bay_level([bay.record for bay in found])
    students = told_apart(
        Student(each["id"], each["name"], each["period"], group=bay.bench.group)
        for each, bay in zip(each_as_written, found, strict=True)
    )
    return level, tuple(
        Entry(student, level, {}, None, each["tag"], bay)
        for student, each, bay in zip(students, each_as_written, found, strict=True)
    )
