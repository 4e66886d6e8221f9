"""The work file that the lesson pages hand in, read by whoever marks: texts, and no verdict."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from enginemath.classroom.from_outside import clean
from enginemath.classroom.marking.literals import Written
from enginemath.classroom.marking.papers import Paper
from enginemath.classroom.work_file import Unfit, read_work
from enginemath.units import Refused

_LONGEST_ANSWER = 200
_LONGEST_GUESS = 2_000
_LONGEST_ID = 100
_MOST_SHEETS = 50


@dataclass(frozen=True)
class Guess:
    """A guess that a student made.

    Args:
        text: as it was written.
        asked: in a few words; empty where the file does not say.
        answer: what was found then; likewise.
        off: how far off it was, in words; likewise.
    """

    text: str
    asked: str = ""
    answer: str = ""
    off: str = ""


@dataclass(frozen=True)
class LessonWork:
    """What a student did in one lesson.

    Args:
        reached: the last step that was opened.
        guesses: as they were written, by the name under which they are kept.
        answers: as they were written, by the key of their box.
        readings: how many were written down on the bench.
        edition: of the lesson, see `classroom.editions`; empty where the file does not say.
    """

    reached: int
    guesses: Mapping[str, Guess] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    readings: int = 0
    edition: str = ""


@dataclass(frozen=True)
class HandedIn:
    """One work file.

    Args:
        file: where it was.
        id: of the student, as the file says.
        name: of the student, as the file says.
        lessons: by name, also those that the kit does not know.
        sheets: of class sets, each as a paper.
    """

    file: str
    id: str
    name: str
    lessons: Mapping[str, LessonWork]
    sheets: tuple[Paper, ...] = ()


def read_handed_in(text: str, file: str) -> HandedIn:
    """Read a work file.

    Raises:
        Refused: says in a sentence why it is no student's work.

    >>> read_handed_in('{"format": 1, "lessons": {', "a.json")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: is cut off
    """
    try:
        work = read_work(text)
    except Unfit as why:
        raise Refused(str(why)) from None
    student = work["student"]
    id = clean(student["id"], _LONGEST_ID)
    if not id:
        raise Refused("no id in it: the student says who they are on the page and hands in again")
    name = clean(student["name"])
    lessons = {
        each: LessonWork(
            found["reached"],
            {
                name: _guess(entry)
                for name, entry in found["guesses"].items()
                if entry["text"].strip()
            },
            _texts(found),
            sum(bool(reading.strip()) for reading in found["readings"].values()),
            found.get("edition", ""),
        )
        for each, found in work["lessons"].items()
    }
    sheets = [_paper(id, found) for found in list(work["sets"].values())[:_MOST_SHEETS]]
    return HandedIn(file, id, name, lessons, tuple(sheets))


def _guess(entry: Mapping[str, Any]) -> Guess:
    told = (entry.get(name) for name in ("text", "asked", "is", "off"))
    return Guess(*(each[:_LONGEST_GUESS] if isinstance(each, str) else "" for each in told))


def _texts(found: Mapping[str, Any]) -> dict[str, str]:
    return {key: entry["text"][:_LONGEST_ANSWER] for key, entry in found["answers"].items()}


def _paper(id: str, found: Mapping[str, Any]) -> Paper:
    """A class set's sheet as a paper; a number on a page stands in its box's unit."""
    answers = {name: Written(text, typed=True) for name, text in _texts(found).items()}
    return Paper(id, (found["student"][:_LONGEST_ID], found["sheet"][:_LONGEST_ID]), answers)


def only(paper: Paper, names: Collection[str]) -> Paper:
    """A paper with the answers to these questions alone."""
    answers = {name: each for name, each in paper.answers.items() if name in names}
    return Paper(paper.signed, paper.issued, answers, list(paper.notes))
