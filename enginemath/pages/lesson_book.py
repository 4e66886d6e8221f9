"""The kit's lessons as marking wants them; nothing is loaded before a lesson is asked for."""

from __future__ import annotations

from collections.abc import Mapping

from enginemath.classroom.marking.lesson_answers import Answered, LessonAsks


class Book:
    """The kit's own lessons; see `LessonBook`.

    >>> asks = Book().lesson("07-add-it-up")
    >>> asks.title, asks.asked[-1].label
    ('Add it up', 'All that is left: compression ratio')
    """

    def lesson(self, name: str, edition: str = "") -> LessonAsks | None:
        """What a lesson asks; None where the kit has no lesson of that name."""
        from enginemath.pages import judged_lessons

        return judged_lessons.asks(name, edition)

    def judge(self, name: str, texts: Mapping[str, str], edition: str = "") -> tuple[Answered, ...]:
        """Judge the answers of a lesson."""
        from enginemath.pages import judged_lessons

        return judged_lessons.judge(name, texts, edition)
