"""What the lessons ask, and every answer judged anew by the checks of the lesson itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from enginemath.classroom.editions import text_of_edition
from enginemath.classroom.marking.lesson_answers import Answered, Asked, LessonAsks
from enginemath.pages.steps import (
    PREDICTED,
    Lesson,
    Step,
    lesson_named,
    lesson_names,
    lesson_of_text,
)
from enginemath.pages.working import Judged, Working, labels


def asks(name: str, edition: str = "") -> LessonAsks | None:
    """What a lesson asks; None where the kit has no lesson of that name.

    Args:
        name: of the lesson.
        edition: that the student worked in; the kit's own counts where it has no other.
    """
    return _ready_for(name, edition).asks if name in _names() else None


@cache
def _names() -> frozenset[str]:
    return frozenset(lesson_names())


def judge(name: str, texts: Mapping[str, str], edition: str = "") -> tuple[Answered, ...]:
    """Judge the answers of a lesson; nothing of one student's is left for the next.

    Args:
        name: of the lesson.
        texts: what is written, by the box's key.
        edition: see `asks`.

    >>> found = judge("07-add-it-up", {"my_swept": "7.6 cc", "my_deck": "1,2 cc"})
    >>> [(each.asked.label, each.kind) for each in found][:2]
    [('What the piston sweeps: swept volume', 'unknown'), \
('Two thin discs: gasket volume', 'nothing_written')]
    """
    ready = _ready_for(name, edition)
    edition = ready.asks.edition
    found: dict[int, tuple[Judged, ...]] = {}
    for step in ready.lesson.steps:
        written = tuple(texts.get(box.key, "") for box in step.boxes)
        if any(text.strip() for text in written):
            found[step.number] = _judged(name, edition, step.number, written)
    return tuple(_answered(asked, texts, found) for asked in ready.asks.asked)


@dataclass(frozen=True)
class _Ready:
    """A lesson whose working has run once, with nothing answered."""

    lesson: Lesson
    asks: LessonAsks
    names: Mapping[str, Any]


@lru_cache(256)
def _ready_for(name: str, edition: str) -> _Ready:
    """A lesson in the edition that was worked in, as far as the kit has it and it still runs."""
    if edition and edition != lesson_named(name).edition and text_of_edition(name, edition):
        try:
            return _ready(name, edition)
        except Exception:
            return _ready(name)
    return _ready(name)


@cache
def _ready(name: str, edition: str = "") -> _Ready:
    lesson, working = lesson_named(name), Working()
    if edition:
        lesson = lesson_of_text(text_of_edition(name, edition), name)
    asked: list[Asked] = []
    guesses: dict[str, tuple[str, str]] = {}
    for step in lesson.steps:
        for box in step.boxes:
            working.names[box.name] = ""
        panels = [working.run(cell)[1] for cell in step.cells if cell.kind != "check"]
        if step.predicts or any(panel and panel.guess for panel in panels):
            guesses[step.guess] = ("", "")
        asked += _asked(working, step)
    for row in lesson.steps[-1].predicted:
        guesses[PREDICTED] = (row.asked, row.found)
    asks = LessonAsks(
        *(lesson.name, lesson.number, lesson.title, len(lesson.steps)),
        *(tuple((name, *told) for name, told in guesses.items()), tuple(asked), edition),
    )
    return _Ready(lesson, asks, working.names)


def _asked(working: Working, step: Step) -> list[Asked]:
    found = []
    for cell in step.cells:
        if cell.kind == "check":
            judged = working.judge(cell, step.boxes, {})
            names = labels(cell, step.boxes, judged)
            for each in judged:
                if each.boxes:
                    label = each.label or ", ".join(names[key] for key in each.boxes)
                    label = _of_part(step, cell.part, label)
                    found.append(Asked(step.number, step.title, label, each.boxes))
    return found


def _of_part(step: Step, part: int, label: str) -> str:
    """A quantity after the part of the step that asks for it: several parts may ask for one."""
    task = step.parts[part - 1].title.rpartition(" · ")[2] if part else ""
    return label if task.casefold() in ("", label.casefold()) else f"{task}: {label}"


@lru_cache(4096)
def _judged(name: str, edition: str, number: int, written: tuple[str, ...]) -> tuple[Judged, ...]:
    """The verdicts on what is written in a step; half of a class writes the same."""
    ready, working = _ready(name, edition), Working()
    working.names = dict(ready.names)
    step = ready.lesson.step(number)
    texts = {box.key: text for box, text in zip(step.boxes, written, strict=True)}
    checks = [cell for cell in step.cells if cell.kind == "check"]
    return tuple(each for cell in checks for each in working.judge(cell, step.boxes, texts))


def _answered(
    asked: Asked, texts: Mapping[str, str], found: Mapping[int, tuple[Judged, ...]]
) -> Answered:
    written = tuple(texts.get(key, "") for key in asked.boxes)
    for judged in found.get(asked.step, ()):
        if asked.boxes[-1] in judged.boxes:
            if judged.verdict is None:
                return Answered(asked, written, told=judged.says)
            return Answered(asked, written, judged.verdict)
    return Answered(asked, written)
