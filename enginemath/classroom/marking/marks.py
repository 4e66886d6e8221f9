"""The marks written down: feedback pages, the class page, and last the gradebook."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.classroom.from_outside import csv_text, no_surrogates
from enginemath.classroom.in_parallel import ENOUGH
from enginemath.classroom.marking import class_page as page
from enginemath.classroom.marking import lesson_pages
from enginemath.classroom.marking.at_the_bench import BENCH_COLUMNS, bench_cells
from enginemath.classroom.marking.feedback_page import feedback
from enginemath.classroom.marking.judging import SAID
from enginemath.classroom.marking.mark_class import ClassMarks
from enginemath.classroom.marking.mark_lessons import LessonMarks, StudentLessons
from enginemath.classroom.marking.returned import Fault
from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import clear_half_written, write_atomically
from enginemath.units import Refused

_MOST_TOLD = 20
_AT_ONCE = 8


@dataclass(frozen=True)
class Report:
    """What was written, and where.

    Args:
        marks: of the class set; None where lessons alone were marked.
        lessons: None where no work file came back.
    """

    marks: ClassMarks | None
    lessons: LessonMarks | None
    faults: tuple[Fault, ...]
    folder: Path

    def __str__(self) -> str:
        lines = [] if self.marks is None else [_papers(self.marks)]
        lines += [] if self.lessons is None else [_lessons(self.lessons)]
        lines += [
            f"gradebook: {self.folder / GRADEBOOK}",
            f"class:     {self.folder / page.FILE}",
            f"feedback:  {self.folder / page.FEEDBACK}",
        ]
        if self.faults:
            lines.append(f"not marked ({len(self.faults)}):")
            lines += [f"  {fault}" for fault in self.faults[:_MOST_TOLD]]
            if len(self.faults) > _MOST_TOLD:
                lines.append(f"  and {len(self.faults) - _MOST_TOLD} more, on the class page")
        return "\n".join(lines)


def _papers(marks: ClassMarks) -> str:
    mean = "" if marks.mean_percent is None else f", {marks.mean_percent:.0f} % on average"
    return f"{len(marks.returned)} of {len(marks.marked)} papers marked{mean}"


def _lessons(lessons: LessonMarks) -> str:
    numbers = ", ".join(dict.fromkeys(f"{each.number:02d}" for each in lessons.lessons))
    came = f"lessons of {len(lessons.came)} of {len(lessons.students)} students marked"
    left = sum(len(mark.not_judged) for one in lessons.students for mark in one.lessons)
    told = f"; {left} answers to questions of another edition not judged" if left else ""
    return f"{came}: {numbers}{told}" if numbers else came


def write_marks(marks: ClassMarks, folder: Path) -> Report:
    """Write all pages, then the gradebook; a file that would not change is left alone.

    Raises:
        Refused: files that could not be written, said once all others are.
    """
    _write_all(folder, _feedback(marks), _kept(marks), lessons=marks.lessons is not None)
    return Report(marks, marks.lessons, marks.faults, folder)


def write_lessons(lessons: LessonMarks, faults: Sequence[Fault], folder: Path) -> Report:
    """Write the marks where no class set was marked; see `write_marks`."""
    kept = (page.FILE, lesson_pages.lessons_page(lessons, faults)), _lesson_gradebook(lessons)
    _write_all(folder, _lesson_feedback(lessons), kept, lessons=True)
    return Report(None, lessons, tuple(faults), folder)


_Files = Iterable[tuple[str, str]]
"""Names within the folder of the marks, with what goes into the files."""


def _feedback(marks: ClassMarks) -> _Files:
    for one in marks.returned:
        yield f"{page.FEEDBACK}/{one.student.file}.html", feedback(one, marks.key.title)
    if marks.lessons:
        yield from _lesson_feedback(marks.lessons)


def _lesson_feedback(lessons: LessonMarks) -> _Files:
    for one in lessons.came:
        name = f"{lesson_pages.FEEDBACK}/{one.student.file}.html"
        yield name, lesson_pages.lesson_feedback(one)


def _kept(marks: ClassMarks) -> _Files:
    yield page.FILE, page.class_page(marks)
    yield GRADEBOOK, gradebook(marks)


def _write_all(folder: Path, feedback: _Files, kept: _Files, *, lessons: bool) -> None:
    pages = [folder / page.FEEDBACK, *([folder / lesson_pages.FEEDBACK] if lessons else [])]
    for each in pages:
        try:
            each.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Refused(f"{each}: cannot be made ({error.strerror})") from None
    for each in (folder, *pages):
        clear_half_written(each)
    failed: list[str] = []
    write = partial(_write, failed=failed)
    _write_feedback(write, folder, list(feedback))
    for name, content in kept:
        write(folder / name, content)
    if failed:
        others = f" (and {len(failed) - 1} more files)" if len(failed) > 1 else ""
        raise Refused(f"{failed[0]}{others}; what is there is whole: make room and mark again")


def _write_feedback(
    write: Callable[[Path, str], None], folder: Path, every: Sequence[tuple[str, str]]
) -> None:
    """Write all feedback; of many pages some at once, since the disk is what is waited for."""
    if len(every) < ENOUGH:
        for name, content in every:
            write(folder / name, content)
        return
    from concurrent.futures import ThreadPoolExecutor

    pool = ThreadPoolExecutor(_AT_ONCE)
    try:
        for done in [pool.submit(write, folder / name, content) for name, content in every]:
            done.result()
    finally:
        pool.shutdown(cancel_futures=True)


def _write(path: Path, content: str, failed: list[str]) -> None:
    wanted = no_surrogates(content).encode()
    try:
        with plain_file(path) as file:
            if file.read(len(wanted) + 1) == wanted:
                return
    except (OSError, Refused):
        pass
    try:
        write_atomically(path, wanted.decode())
    except Refused as refusal:
        failed.append(str(refusal))


GRADEBOOK = "gradebook.csv"


def gradebook(marks: ClassMarks) -> str:
    """The gradebook as CSV text; no cell begins a formula.

    Where no paper was marked, the points are left empty: what that is worth is not for us to say.
    """
    questions = marks.key.level.questions
    head = ["id", "name", "period", "score", "out_of", "percent"]
    for question in questions:
        head += [f"{question.name}_points", f"{question.name}_verdict"]
    lessons = marks.lessons
    columns = lesson_columns(lessons) if lessons else []
    bench = BENCH_COLUMNS if marks.key.is_of_bay else ()
    rows: list[list[object]] = [[*head, "mistakes", *bench, "notes", "file", *columns]]
    for place, one in enumerate(marks.marked):
        student = one.student
        row: list[object] = [student.id, student.name, student.period]
        came = bool(one.file)
        row += [one.score if came else "", len(one.judged), f"{one.percent:.1f}" if came else ""]
        for judged in one.judged:
            row += [judged.points, SAID[judged.kind]] if came else ["", ""]
        mistakes = dict.fromkeys(id for judged in one.judged for id in judged.mistakes)
        row += [
            " ".join(mistakes),
            *(bench_cells(one) if bench else ()),
            "; ".join(one.notes) or ("" if came else "nothing came back"),
            one.file,
        ]
        rows.append([*row, *(lesson_cells(lessons.students[place], lessons) if lessons else [])])
    return csv_text(rows)


def _lesson_gradebook(lessons: LessonMarks) -> tuple[str, str]:
    """The gradebook where no class set was marked."""
    rows: list[list[object]] = [["id", "name", "period", *lesson_columns(lessons)]]
    for one in lessons.students:
        student = one.student
        cells = lesson_cells(one, lessons)
        rows.append([student.id, student.name, student.period, *cells])
    return GRADEBOOK, csv_text(rows)


_OF_LESSON = ("step", "steps", "guesses", "readings", "right", "nearly", "written", "asked")


def lesson_columns(lessons: LessonMarks) -> list[str]:
    """The headings of the lessons' columns."""
    found = [f"{name}_{each}" for name in lessons.names for each in _OF_LESSON]
    return [*found, "lesson_mistakes", "lesson_notes", "work_files"]


def lesson_cells(one: StudentLessons, lessons: LessonMarks) -> list[object]:
    """A student's cells in the lessons' columns; empty where a lesson was not begun."""
    cells: list[object] = []
    for name in lessons.names:
        mark = one.of(name)
        if mark is None:
            cells += [""] * len(_OF_LESSON)
            continue
        cells += [mark.reached, mark.asks.steps, len(mark.guesses), mark.work.readings]
        cells += [mark.right, mark.nearly, mark.written, len(mark.answers)]
    answers = [answer for mark in one.lessons for answer in mark.answers]
    slips = dict.fromkeys(slip.id for answer in answers for slip in answer.slips if slip.id)
    came = "" if one.files else "nothing came back"
    return [*cells, " ".join(slips), "; ".join(one.notes) or came, " ".join(one.files)]
