"""A student's work file, format 1: what a student hands in, read whoever wrote it."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from enginemath.classroom.from_outside import json_of, no_surrogates
from enginemath.units import Refused

FORMAT = 1
MOST_BYTES = 5_000_000
_MOST_ENTRIES = 5_000
"""Lessons, or sheets of class sets, in one file."""
_LONGEST_EDITION = 64
_HANDED_IN = "-handed-in"
_PARTS: dict[str, type] = {"guesses": dict, "answers": dict, "readings": dict, "panels": dict}

Data = dict[str, Any]


class Unfit(Exception):
    """A file that is no student's work, or not this student's; says why."""


def new_work() -> Data:
    """Nothing done yet."""
    return {
        "format": FORMAT,
        "kit": kit_version(),
        "student": {"name": "", "id": ""},
        "lessons": {},
        "sets": {},
    }


def new_lesson() -> Data:
    """A lesson that nobody has begun."""
    return {"reached": 1, "done": [], **{part: {} for part in _PARTS}}


@cache
def kit_version() -> str:
    """The version of the kit that is installed."""
    try:
        return version("enginemath")
    except PackageNotFoundError:
        return ""


def work_text(data: Data) -> str:
    """A work file's text: a line for each lesson and for each sheet of a class set.

    >>> print(work_text({"format": 1, "lessons": {"07-add-it-up": {"reached": 2}}, "sets": {}}))
    {
    "format": 1,
    "lessons": {
     "07-add-it-up": {"reached": 2}
    },
    "sets": {}
    }
    """
    parts = [
        f"{_as_json(name)}: {_line_by_line(part) if name in _LONG else _as_json(part)}"
        for name, part in data.items()
    ]
    return "{\n" + ",\n".join(parts) + "\n}"


_LONG = ("lessons", "sets")


def _line_by_line(entries: Data) -> str:
    lines = [f" {_as_json(name)}: {_as_json(entry)}" for name, entry in entries.items()]
    return "{\n" + ",\n".join(lines) + "\n}" if lines else "{}"


def _as_json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def read_work(text: str) -> Data:
    """A student's work from its text.

    Raises:
        Unfit: cut off, not JSON, of a newer format, or something else; says so in a sentence.
    """
    try:
        data = json_of(text.removeprefix("\ufeff"))  # of an editor that saved it again
        if "\\ud" in text.casefold():  # half a letter cannot be written again
            data = json.loads(no_surrogates(json.dumps(data, ensure_ascii=False)))
    except Refused:
        raise Unfit("holds more than a student's work can") from None
    except ValueError:
        cut_off = text.lstrip().startswith("{") and not text.rstrip().endswith("}")
        raise Unfit("is cut off" if cut_off else "is not a student's work") from None
    except RecursionError:
        raise Unfit("is not a student's work") from None
    if not isinstance(data, dict) or type(data.get("format")) is not int:
        raise Unfit("is not a student's work")
    if data["format"] > FORMAT:
        newer = str(data["format"])[:20]
        raise Unfit(f"is of a newer format ({newer}); bring the kit up to date")
    return _checked({**new_work(), **data})


def _checked(data: Data) -> Data:
    student, lessons = data["student"], data["lessons"]
    fine = isinstance(student, dict) and isinstance(lessons, dict)
    fine = fine and isinstance(data["sets"], dict)
    fine = fine and all(isinstance(student.get(each, ""), str) for each in ("name", "id"))
    fine = fine and all(isinstance(lesson, dict) for lesson in lessons.values())
    fine = fine and all(isinstance(sheet, dict) for sheet in data["sets"].values())
    if not fine:
        raise Unfit("is not a student's work")
    if max(len(lessons), len(data["sets"])) > _MOST_ENTRIES:
        raise Unfit("holds more than a student's work can")
    data["student"] = {"name": student.get("name", ""), "id": student.get("id", "")}
    data["lessons"] = {name: _lesson(lesson) for name, lesson in lessons.items()}
    data["sets"] = {name: _sheet(sheet) for name, sheet in data["sets"].items()}
    return data


def new_sheet(student: str, mark: str) -> Data:
    """A sheet of a class set on which nothing is written.

    Args:
        student: id of whom it was handed out to.
        mark: of the sheet, by which it is known again.
    """
    return {**new_lesson(), "student": student, "sheet": mark}


def _sheet(found: Data) -> Data:
    whose = (found.get(name) for name in ("student", "sheet"))
    marks = [each if isinstance(each, str) else "" for each in whose]
    return {**_lesson(found), "student": marks[0], "sheet": marks[1]}


def _lesson(found: Data) -> Data:
    """A lesson's part of the file; what is not of its kind is left out."""
    lesson = new_lesson() | {
        part: found[part] for part, kind in _PARTS.items() if isinstance(found.get(part), kind)
    }
    if type(found.get("reached")) is int and found["reached"] >= 1:
        lesson["reached"] = found["reached"]
    if isinstance(found.get("edition"), str):
        lesson["edition"] = found["edition"][:_LONGEST_EDITION]
    if isinstance(found.get("done"), list):
        lesson["done"] = [step for step in found["done"] if type(step) is int]
    for part in ("guesses", "answers"):
        lesson[part] = {
            key: entry for key, entry in lesson[part].items()
            if isinstance(entry, dict) and isinstance(entry.get("text"), str)
        }  # fmt: skip
    lesson["readings"] = {k: v for k, v in lesson["readings"].items() if isinstance(v, str)}
    lesson["panels"] = {
        step: [tuple(each) for each in kept if isinstance(each, list) and len(each) == 2]
        for step, kept in lesson["panels"].items() if isinstance(kept, list)
    }  # fmt: skip
    return lesson


def handed_in_name(student: str) -> str:
    """Name of the file that a student hands in.

    >>> handed_in_name("T-07")
    'T-07-handed-in.json'
    """
    return f"{slug(student)}{_HANDED_IN}.json"


def handed_in_by(stem: str) -> str:
    """The `slug` of the student who handed in a file, by its name; empty for another file.

    >>> handed_in_by("T-07-handed-in (2)"), handed_in_by("notes")
    ('T-07', '')
    """
    name, found, _ = stem.partition(_HANDED_IN)
    return name if found else ""


def slug(student: str) -> str:
    """An id as a part of a file name.

    >>> slug("T-07"), slug("../né <b>")
    ('T-07', 'n-b')
    """
    plain = re.sub(r"[^A-Za-z0-9]+", "-", student).strip("-")[:40]
    return plain or f"id{sum(map(ord, student))}"
