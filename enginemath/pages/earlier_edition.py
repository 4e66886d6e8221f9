"""What a student wrote in an earlier edition of a lesson: found again, and nothing of it lost.

A text that is written into a table is kept under its step's title, its row and its column. Where a
newer edition has the same row under another title, the text stands there; what has no place any
more is listed at the lesson's end.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from enginemath.pages.steps import PREDICTED, Lesson, Step
from enginemath.pages.text import reading_names


@dataclass(frozen=True)
class LeftOver:
    """A text whose place is gone.

    Args:
        where: it was written.
        text: as it was written.
    """

    where: str
    text: str


def places(step: Step) -> dict[str, str]:
    """The places to write in of a step: the name of each, and under which it is kept."""
    return {name: f"{step.title}: {name}" for name in reading_names(step.whole_text)}


def moved(lesson: Lesson, kept: Mapping[str, str]) -> dict[str, str]:
    """Under which older key the text of a place is kept, where the place has none of its own.

    Args:
        lesson: as it is open.
        kept: the student's texts by their keys.

    Returns:
        The older key by the key of the place.
    """
    if not kept:
        return {}
    now = {key: name for step in lesson.steps for name, key in places(step).items()}
    found: dict[str, str] = {}
    for old in kept:
        same = [key for key, name in now.items() if old.endswith(f": {name}")]
        if old not in now and len(same) == 1 and same[0] not in kept:
            found.setdefault(same[0], old)
    return found


def left_over(lesson: Lesson, kept: Mapping[str, Any]) -> list[LeftOver]:
    """All that a student wrote in a lesson and that has no place in it any more.

    Args:
        lesson: as it is open.
        kept: the lesson's part of the work file.
    """
    readings = kept["readings"]
    shown = {key for step in lesson.steps for key in places(step).values()}
    shown |= set(moved(lesson, readings).values())
    boxes = {box.key for step in lesson.steps for box in step.boxes}
    guesses = {PREDICTED, *(step.panel for step in lesson.steps)}
    texts = [
        *((key, text) for key, text in readings.items() if key not in shown),
        *((_plain(key), each["text"]) for key, each in kept["answers"].items() if key not in boxes),
        *(("guess", each["text"]) for key, each in kept["guesses"].items() if key not in guesses),
    ]
    return [LeftOver(where, text) for where, text in texts if text.strip()]


def _plain(key: str) -> str:
    """The name of a box in words."""
    return key.removeprefix("my_").replace("_", " ").replace("-", ", ")
