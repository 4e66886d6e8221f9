"""The roster: who is in the class."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from enginemath.classroom.from_outside import clean, file_stem
from enginemath.sheets.csv_table import csv_rows
from enginemath.sheets.text_file import SheetRefused, from_file

MOST_STUDENTS = 5000
_LONGEST_NAME, _LONGEST_ID = 120, 60
_ALSO_CALLED = {
    "student": "name",
    "student name": "name",
    "student id": "id",
    "student_id": "id",
    "number": "id",
    "class": "period",
    "section": "period",
}


@dataclass(frozen=True)
class Student:
    """One student; the id tells two students of one name apart.

    Args:
        shares_letters: whether a student before this one would have files of the same name.
        group: that works at one bench; it stands for the period where the roster has none.
    """

    id: str
    name: str
    period: str = ""
    shares_letters: bool = False
    group: str = ""

    @property
    def file(self) -> str:
        """Name of this student's files, without an ending.

        >>> Student("1042", "Ana Silva").file
        'ana-silva-1042'
        """
        return file_stem(self.name, self.id, self.shares_letters)


def told_apart(students: Iterable[Student]) -> tuple[Student, ...]:
    """Students of whom no two have files of one name.

    >>> [one.file for one in told_apart([Student("2-14", "Li"), Student("14", "Li 2")])]
    ['li-2-14', 'li-2-14-8527a8']
    """
    apart, taken = [], set()
    for student in students:
        if student.file in taken:
            student = replace(student, shares_letters=True)
        taken.add(student.file)
        apart.append(student)
    return tuple(apart)


def read_roster(path: str | os.PathLike[str]) -> tuple[Student, ...]:
    """Read a roster from a CSV file.

    Args:
        path: a file with the columns name and id, and period and group if there are such, in any
            order.

    Raises:
        SheetRefused: a file that cannot be read, a missing column, name or id, or an id that is
            there twice. The message names file and row; the headings are row 1.
    """
    return from_file(path, roster_of)


def roster_of(text: str) -> tuple[Student, ...]:
    """A roster from a CSV text; see `read_roster`.

    >>> roster_of('name,id\\n"Silva, Ana",7\\nAna Silva,8\\n')[0].name
    'Silva, Ana'
    >>> roster_of("name,id\\nAna Silva,7\\nBen Okafor,7\\n")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: row 3: id 7 is in row 2 already (Ana Silva)
    """
    rows = list(csv_rows(text))
    if not rows:
        raise SheetRefused("empty; write the headings name,id and a row for each student")
    columns = _columns(rows[0][1])
    students: list[Student] = []
    row_of: dict[str, int] = {}
    name_of: dict[str, str] = {}
    for row, cells in rows[1:]:
        student = _student(cells, columns, row)
        key = student.id.casefold()
        if key in row_of:
            other = name_of[key]
            raise SheetRefused(
                f"row {row}: id {student.id} is in row {row_of[key]} already ({other})"
            )
        row_of[key], name_of[key] = row, student.name
        students.append(student)
    if not students:
        raise SheetRefused("no student; write a row for each below the headings")
    if len(students) > MOST_STUDENTS:
        raise SheetRefused(f"{len(students)} students; at most {MOST_STUDENTS} at a time")
    return told_apart(students)


def _columns(headings: Sequence[str]) -> dict[str, int]:
    words = [heading.casefold() for heading in headings]
    names = [_ALSO_CALLED.get(word, word) for word in words]
    for name in ("name", "id"):
        if name not in names:
            raise SheetRefused(
                f"row 1: no column {name}; write the headings name,id or name,id,period"
            )
        if names.count(name) > 1:
            raise SheetRefused(f"row 1: two columns {name}")
    columns: dict[str, int] = {
        name: names.index(name) for name in ("name", "id", "period", "group") if name in names
    }
    if "group" in columns:
        columns.setdefault("period", columns["group"])
    return columns


def _student(cells: Sequence[str], columns: Mapping[str, int], row: int) -> Student:
    found = {
        name: unicodedata.normalize("NFC", cells[place]) if place < len(cells) else ""
        for name, place in columns.items()
    }
    for name, longest in (("name", _LONGEST_NAME), ("id", _LONGEST_ID)):
        if not found[name]:
            raise SheetRefused(f"row {row}: no {name}")
        if len(found[name]) > longest:
            raise SheetRefused(f"row {row}: {name} of more than {longest} letters")
    if clean(found["id"]) != found["id"]:
        raise SheetRefused(f"row {row}: id {clean(found['id'])}: use letters and digits")
    period, group = (clean(found.get(column, "")) for column in ("period", "group"))
    return Student(found["id"], clean(found["name"]), period, group=group)
