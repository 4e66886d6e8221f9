"""A lesson's answers, judged: what the pages above know of lessons, as marking wants it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from enginemath.answers.mistakes import CATALOGUE
from enginemath.answers.verdict import NOTHING_WRITTEN, Verdict

TOLD = "told"
"""Kind of an answer that the kit lays evidence beside, and does not judge."""
WAITS = "waits"
"""Kind of an answer that cannot be judged before one that it builds on."""
SAID = {
    "right": "right",
    "follows": "right",
    "nearly": "nearly",
    "mistake": "not yet",
    "unknown": "not yet",
    "unreadable": "not readable",
    "nothing_written": "no answer",
    TOLD: "written",
    WAITS: "not yet",
}
"""What the pages call it."""


@dataclass(frozen=True)
class Asked:
    """One thing that a lesson asks.

    Args:
        step: number of the step that it stands in.
        title: of that step.
        label: the quantity's trade name.
        boxes: keys of the answer boxes that it takes.
    """

    step: int
    title: str
    label: str
    boxes: tuple[str, ...]


@dataclass(frozen=True)
class LessonAsks:
    """A lesson, as far as a mark speaks of it.

    Args:
        name: of its notebook, without ending.
        steps: how many.
        guesses: of each the name under which it is kept, what was asked and what it is, in words.
        asked: in the order of the lesson.
        edition: of an older one, see `classroom.editions`; empty for the kit's own.
    """

    name: str
    number: int
    title: str
    steps: int
    guesses: tuple[tuple[str, str, str], ...]
    asked: tuple[Asked, ...]
    edition: str = ""

    @property
    def boxes(self) -> frozenset[str]:
        """Keys of every box that it judges."""
        return frozenset(key for asked in self.asked for key in asked.boxes)


@dataclass(frozen=True)
class Answered:
    """What a student wrote to one thing asked, judged anew.

    Args:
        written: as it was written, one text for each box.
        told: what was said of it where nothing is judged.
    """

    asked: Asked
    written: tuple[str, ...] = ()
    verdict: Verdict = NOTHING_WRITTEN
    told: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing is written in any box."""
        return not any(text.strip() for text in self.written)

    @property
    def kind(self) -> str:
        """The kind of its verdict, or `TOLD`, or `WAITS`."""
        if self.is_blank:
            return "nothing_written"
        if self.verdict.kind != "nothing_written":
            return self.verdict.kind
        return TOLD if self.told else WAITS

    @property
    def is_right(self) -> bool:
        """Whether it is right, also where it is so only from the student's own numbers."""
        return self.kind in ("right", "follows")

    @property
    def slips(self) -> tuple[Slip, ...]:
        """The mistakes that it shows."""
        if self.kind != "mistake":
            return ()
        if self.verdict.mistakes:
            return tuple(Slip(id, *_WORDS[id]) for id in self.verdict.mistakes if id in _WORDS)
        return (Slip("", self.verdict.tells, self.verdict.hint),)


@dataclass(frozen=True)
class Slip:
    """A mistake that an answer shows.

    Args:
        id: in the catalogue; empty for a slip of this one question.
        tells: what to say of it to the instructor; may be empty.
        hint: the question to ask the class.
    """

    id: str
    tells: str
    hint: str


_WORDS = {mistake.id: (mistake.tells, mistake.hint) for mistake in CATALOGUE.values()}


class LessonBook(Protocol):
    """Who knows the kit's lessons and judges what is answered in them.

    One stands in `enginemath.pages.lesson_book`; it can be sent to another process.
    """

    def lesson(self, name: str, edition: str = "") -> LessonAsks | None:
        """What a lesson asks; None where the kit has no lesson of that name.

        Args:
            name: of the lesson.
            edition: that the student worked in; where the kit has it no more, the kit's own counts.
        """

    def judge(self, name: str, texts: Mapping[str, str], edition: str = "") -> tuple[Answered, ...]:
        """Judge the answers of a lesson.

        Args:
            name: of a lesson that there is.
            texts: what is written, by the box's key.
            edition: see `lesson`.

        Returns:
            One for each thing asked, in that order.
        """
