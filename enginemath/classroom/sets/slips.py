"""The slips of a class: by the words on theirs, a student opens their own sheet in the site."""

from __future__ import annotations

import contextlib
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from enginemath.classroom.from_outside import cell, csv_text
from enginemath.classroom.sets.roster import Student
from enginemath.sheets.csv_table import csv_rows
from enginemath.sheets.html_page import fill
from enginemath.sheets.text_file import from_file, write_atomically
from enginemath.units import Refused

FOLDER = "slips"
_LIST, _PAGE = "words.csv", "slips.html"
_HEADINGS = ["id", "name", "words"]
WORDS = 5
"""On a slip."""


@dataclass(frozen=True)
class Slip:
    """What a student is given to open their sheet with."""

    student: Student
    words: str


@cache
def word_list() -> tuple[str, ...]:
    """Short words that are easily told apart: no two begin with the same four letters.

    >>> len(word_list()) >= 512
    True
    """
    return tuple((Path(__file__).parent / "words.txt").read_text(encoding="utf-8").split())


def slips_for(students: Iterable[Student], folder: Path) -> list[Slip]:
    """The slips of a class, kept as a list and as a page to print.

    Words that were drawn before stay as they are, so that slips handed out go on to fit.

    Args:
        students: for each a slip.
        folder: where list and page are kept, for their owner alone.

    Raises:
        Refused: the list cannot be read or written, or words were changed to weaker ones.
    """
    kept = from_file(folder / _LIST, _read) if (folder / _LIST).exists() else {}
    for student in students:
        old = kept.get(_key(student.id))
        kept[_key(student.id)] = Slip(student, old.words if old else _draw())
    slips = sorted(kept.values(), key=lambda slip: (slip.student.name.casefold(), slip.student.id))
    rows = [[slip.student.id, slip.student.name, slip.words] for slip in slips]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"{folder}: cannot be made ({error.strerror})") from None
    with contextlib.suppress(OSError):  # somebody else's folder, who lets us write
        folder.chmod(0o700)
    for name, content in {
        _LIST: csv_text([_HEADINGS, *rows]),
        _PAGE: fill("classroom/sets/slips.html", slips=slips),
    }.items():
        write_atomically(folder / name, content, for_owner_alone=True)
    return slips


def _draw() -> str:
    return " ".join(secrets.choice(word_list()) for _ in range(WORDS))


def _key(id: str) -> str:
    return cell(id).casefold()  # as it stands in the list


def _read(text: str) -> dict[str, Slip]:
    rows = list(csv_rows(text))
    if not rows or rows[0][1] != _HEADINGS:
        raise Refused("not a list of slips")
    slips = {}
    for row, cells in rows[1:]:
        id, name, words = [*cells, "", ""][:3]
        drawn = words.split()
        if len(drawn) != WORDS or not set(drawn) <= set(word_list()):
            raise Refused(f"row {row}: not the words of a slip; take the row out to draw new ones")
        slips[_key(id)] = Slip(Student(id, name), words)
    return slips
