"""What the open pages of one work folder share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from enginemath.pages.messages import Reply
from enginemath.pages.recording import Recording
from enginemath.pages.steps import Lesson
from enginemath.pages.work import Work


class Window(Protocol):
    """An open page, as the others see it."""

    work: Work
    push: Callable[[Reply], None]
    recording: Recording | None

    @property
    def lesson(self) -> Lesson | None:
        """The lesson that is open in it."""


class Desk:
    """What the open pages of one work folder share: each student's work, and who looks at it.

    Args:
        folder: the work folder; None keeps nothing.
    """

    def __init__(self, folder: Path | None):
        self.folder = folder
        self._works: dict[str, Work] = {}
        self.sessions: list[Window] = []

    def work_of(self, student: str) -> Work:
        """A student's work, the same for all their windows."""
        if student not in self._works:
            self._works[student] = Work(self.folder, student)
        return self._works[student]

    def read_again(self) -> None:
        """Read every work file that was changed elsewhere, and go on with it."""
        for work in self._works.values():
            work.read_again()

    def tell_others(self, session: Window, step: int) -> None:
        """Tell the other windows on the same lesson that a step has changed."""
        for other in self.sessions:
            same_work = other.work.path is not None and other.work.path == session.work.path
            ours, theirs = session.lesson, other.lesson
            if other is not session and same_work and ours and theirs and theirs.name == ours.name:
                other.push({"show": "changed", "step": step})

    def tell_others_of_recording(self, session: Window) -> None:
        """Tell the other windows on the same engine that a reading has changed."""
        ours = session.recording
        for other in self.sessions:
            theirs = other.recording
            if other is not session and ours and theirs and theirs.is_of(ours):
                other.push({"show": "changed", "step": 0})
