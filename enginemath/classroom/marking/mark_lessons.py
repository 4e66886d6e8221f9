"""The lessons of a class marked: of each student and lesson what is done, right, and which slip."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

from enginemath.classroom.from_outside import clean
from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.marking.fenced import fenced
from enginemath.classroom.marking.handed_in import Guess, HandedIn, LessonWork
from enginemath.classroom.marking.lesson_answers import (
    Answered,
    Asked,
    LessonAsks,
    LessonBook,
    Slip,
)
from enginemath.classroom.sets.roster import Student, told_apart
from enginemath.units import Refused

_MOST_TOLD = 5
"""Things of one kind that are told of one student."""
_SHARED = 0.1
"""Share of those who began a lesson from which on a slip is worth teaching again; at least two."""


@dataclass(frozen=True)
class LessonMark:
    """One student's work in one lesson, judged."""

    asks: LessonAsks
    work: LessonWork
    answers: tuple[Answered, ...]
    file: str

    @property
    def reached(self) -> int:
        """The last step that was opened."""
        return min(self.work.reached, self.asks.steps)

    @property
    def is_finished(self) -> bool:
        """Whether the last step was opened."""
        return self.reached == self.asks.steps

    @property
    def guesses(self) -> tuple[Guess, ...]:
        """Those that were asked for, each beside what was found when the lesson is finished."""
        return tuple(
            replace(
                guess,
                asked=guess.asked or asked,
                answer=guess.answer or answer * self.is_finished,
            )
            for name, asked, answer in self.asks.guesses
            if (guess := self.work.guesses.get(name))
        )

    @cached_property
    def kinds(self) -> Counter[str]:
        """How many answers came to which verdict."""
        return Counter(answer.kind for answer in self.answers)

    @property
    def right(self) -> int:
        """Answers that are right, also from the student's own numbers."""
        return self.kinds["right"] + self.kinds["follows"]

    @property
    def nearly(self) -> int:
        """Answers of the right method with too few digits."""
        return self.kinds["nearly"]

    @property
    def written(self) -> int:
        """Answers in which anything is written."""
        return len(self.answers) - self.kinds["nothing_written"]

    @cached_property
    def not_judged(self) -> tuple[str, ...]:
        """The keys of what is written and what this edition of the lesson does not ask."""
        boxes = self.asks.boxes
        return tuple(k for k, t in self.work.answers.items() if t.strip() and k not in boxes)

    @property
    def worth(self) -> tuple[int, ...]:
        """By which the better of two pieces of work in one lesson is told."""
        done = len(self.guesses), self.work.readings
        return self.right, self.nearly, self.written, self.reached, *done


@dataclass(frozen=True)
class StudentLessons:
    """One student's lessons, in their order.

    Args:
        files: that came back and could be read.
        notes: what the instructor should know.
    """

    student: Student
    files: tuple[str, ...] = ()
    lessons: tuple[LessonMark, ...] = ()
    notes: tuple[str, ...] = ()

    def of(self, lesson: str) -> LessonMark | None:
        """The mark in a lesson by its name, in whichever edition; None where it was not begun."""
        return next((mark for mark in self.lessons if mark.asks.name == lesson), None)


@dataclass(frozen=True)
class SlipCount:
    """One slip at one thing asked, and who makes it."""

    lesson: LessonAsks
    asked: Asked
    slip: Slip
    students: tuple[Student, ...]
    began: int
    """How many students began the lesson."""


@dataclass(frozen=True)
class AskedCount:
    """How a class did at one thing asked: how many answers came to which verdict."""

    lesson: LessonAsks
    asked: Asked
    kinds: Counter[str]
    slip: SlipCount | None
    """The most common one."""


@dataclass(frozen=True)
class LessonMarks:
    """The lessons of a whole class."""

    students: tuple[StudentLessons, ...]

    @property
    def came(self) -> tuple[StudentLessons, ...]:
        """Those of whom a work file came back."""
        return tuple(one for one in self.students if one.files)

    @cached_property
    def lessons(self) -> tuple[LessonAsks, ...]:
        """Those that anybody began; an older edition of one is a lesson of its own."""
        found = dict.fromkeys(mark.asks for one in self.students for mark in one.lessons)
        return tuple(sorted(found, key=lambda lesson: (lesson.number, lesson.edition)))

    @cached_property
    def names(self) -> dict[str, str]:
        """The lessons that anybody began, in whichever edition: their names, and titles."""
        found: dict[str, str] = {}
        for each in self.lessons:
            found.setdefault(each.name, f"{each.number:02d} {each.title}")
        return found

    def marks_of(self, lesson: LessonAsks) -> list[LessonMark]:
        """The marks of all who began a lesson in this edition."""
        return [mark for one in self.students for mark in one.lessons if mark.asks == lesson]

    @cached_property
    def slips(self) -> tuple[SlipCount, ...]:
        """Every slip that was made, the most frequent first; each student counts once."""
        who: dict[tuple[LessonAsks, Asked, Slip], list[Student]] = {}
        for one in self.students:
            for mark in one.lessons:
                for answer in mark.answers:
                    for slip in dict.fromkeys(answer.slips):
                        who.setdefault((mark.asks, answer.asked, slip), []).append(one.student)
        began = {lesson: len(self.marks_of(lesson)) for lesson in self.lessons}
        counts = [SlipCount(*place, tuple(s), began[place[0]]) for place, s in who.items()]
        return tuple(
            sorted(counts, key=lambda c: (-len(c.students), c.lesson.number, c.asked.step))
        )

    @property
    def to_reteach(self) -> list[SlipCount]:
        """The slips that enough of those who began the lesson share."""
        return [c for c in self.slips if len(c.students) >= max(2.0, _SHARED * c.began)][:8]

    def by_asked(self, lesson: LessonAsks) -> list[AskedCount]:
        """How the class did at each thing that a lesson asks."""
        marks, found = self.marks_of(lesson), []
        for place, asked in enumerate(lesson.asked):
            kinds = Counter(mark.answers[place].kind for mark in marks)
            slips = [c for c in self.slips if c.lesson == lesson and c.asked == asked]
            found.append(AskedCount(lesson, asked, kinds, slips[0] if slips else None))
        return found


def mark_lessons(
    works: Sequence[HandedIn],
    book: LessonBook,
    roster: Iterable[Student] | None = None,
) -> LessonMarks:
    """Judge all answers in work files anew; the verdicts in the files are not looked at.

    Args:
        works: what came back; of one student any number.
        book: knows the lessons.
        roster: who is in the class; None: whoever handed in.
    """
    theirs: dict[str, list[HandedIn]] = {}
    for work in works:
        theirs.setdefault(folded(work.id), []).append(work)
    students = _who_came(theirs) if roster is None else tuple(roster)
    begun = {(n, lesson.edition) for work in works for n, lesson in work.lessons.items()}
    for name, edition in sorted(begun):
        book.lesson(name, edition)  # is got ready before hands and fences are put up
    marks: dict[str, list[tuple[HandedIn, _Marks]]] = {}
    for work, found in zip(works, for_each(partial(_marks_in, book), works), strict=True):
        marks.setdefault(folded(work.id), []).append((work, found))
    return LessonMarks(tuple(_of_student(one, marks.get(folded(one.id), ())) for one in students))


_Marks = tuple[list[LessonMark], list[str]]
"""What is made of a work file, and what cannot be marked in it."""


def _marks_in(book: LessonBook, work: HandedIn) -> _Marks:
    marks: list[LessonMark] = []
    notes: list[str] = []
    strange = [name for name in work.lessons if book.lesson(name) is None]
    if strange:
        told = ", ".join(clean(name, 60) for name in strange[:_MOST_TOLD])
        notes.append(f"{work.file}: this kit has no lesson {told}")
    for name, lesson in work.lessons.items():
        asks = book.lesson(name, lesson.edition)
        if asks is None or not _is_begun(lesson):
            continue
        try:
            answers = fenced(partial(book.judge, name, lesson.answers, lesson.edition))
        except Refused as refusal:
            notes.append(f"{work.file}: lesson {asks.number:02d} {refusal}")
        else:
            marks.append(LessonMark(asks, lesson, answers, work.file))
    return marks, notes


def _of_another_edition(mark: LessonMark) -> str:
    """What of a lesson's answers its edition does not ask, by name and number."""
    keys = mark.not_judged
    told = ", ".join(clean(key, 40) for key in keys[:_MOST_TOLD])
    more = f" and {len(keys) - _MOST_TOLD} more" if len(keys) > _MOST_TOLD else ""
    answers = "1 answer is" if len(keys) == 1 else f"{len(keys)} answers are"
    return (
        f"lesson {mark.asks.number:02d}: {answers} to questions of another edition, which this kit "
        f"has not, and not judged: {told}{more}"
    )


def _is_begun(lesson: LessonWork) -> bool:
    return lesson.reached > 1 or bool(lesson.guesses or lesson.answers or lesson.readings)


def _of_student(student: Student, came: Sequence[tuple[HandedIn, _Marks]]) -> StudentLessons:
    """Of each lesson the better work counts, and of two as good the last."""
    best: dict[str, LessonMark] = {}
    notes: list[str] = []
    for _, (marks, said) in came:
        notes += said
        for mark in marks:
            name = mark.asks.name
            if name not in best or mark.worth >= best[name].worth:
                best[name] = mark
    files = tuple(work.file for work, _ in came)
    if len(files) > 1:
        told = ", ".join(files[:_MOST_TOLD])
        notes.append(f"{len(files)} work files came back, of each lesson the better counts: {told}")
    strange = {work.name: work.file for work, _ in came if not _same_name(work.name, student.name)}
    for name, file in list(strange.items())[:_MOST_TOLD]:
        signed = f"the name {name}" if name else "no name"
        notes.append(f"{file} has this id and {signed}: ask whose it is")
    lessons = sorted(best.values(), key=lambda mark: mark.asks.number)
    notes += [_of_another_edition(mark) for mark in lessons if mark.not_judged]
    return StudentLessons(student, files, tuple(lessons), tuple(notes))


def _same_name(one: str, other: str) -> bool:
    """Whether two texts can be one name: Ana, Ana Silva, "Silva, Ana".

    >>> _same_name("Silva, Ana", "ana silva"), _same_name("Ana", "Ana Silva"), _same_name("", "A")
    (True, True, False)
    """
    words, others = (set(re.findall(r"\w+", folded(name))) for name in (one, other))
    if not words or not others:
        return folded(one) == folded(other)
    return words <= others or others <= words


def _who_came(theirs: Mapping[str, Sequence[HandedIn]]) -> tuple[Student, ...]:
    students = [
        Student(every[-1].id, next((w.name for w in reversed(every) if w.name), "no name"))
        for every in theirs.values()
    ]
    return told_apart(sorted(students, key=lambda one: (one.name.casefold(), one.id)))


def folded(text: str) -> str:
    """An id or a name as it is compared: capitals, and how its letters are put together, apart."""
    return unicodedata.normalize("NFC", text.strip()).casefold()
