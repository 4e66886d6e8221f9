"""The marks written down: feedback pages, the class page, and last the gradebook."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.classroom.from_outside import csv_text, no_surrogates
from enginemath.classroom.in_parallel import ENOUGH
from enginemath.classroom.marking import class_page as page
from enginemath.classroom.marking.feedback_page import feedback
from enginemath.classroom.marking.judging import SAID
from enginemath.classroom.marking.mark_class import ClassMarks
from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import clear_half_written, write_atomically
from enginemath.units import Refused

_MOST_TOLD = 20
_AT_ONCE = 8


@dataclass(frozen=True)
class Report:
    """What was written, and where."""

    marks: ClassMarks
    folder: Path

    def __str__(self) -> str:
        marks = self.marks
        mean = "" if marks.mean_percent is None else f", {marks.mean_percent:.0f} % on average"
        lines = [
            f"{len(marks.returned)} of {len(marks.marked)} papers marked{mean}",
            f"gradebook: {self.folder / GRADEBOOK}",
            f"class:     {self.folder / page.FILE}",
            f"feedback:  {self.folder / page.FEEDBACK}",
        ]
        if marks.faults:
            lines.append(f"not marked ({len(marks.faults)}):")
            lines += [f"  {fault}" for fault in marks.faults[:_MOST_TOLD]]
            if len(marks.faults) > _MOST_TOLD:
                lines.append(f"  and {len(marks.faults) - _MOST_TOLD} more, on the class page")
        return "\n".join(lines)


def write_marks(marks: ClassMarks, folder: Path) -> Report:
    """Write all pages, then the gradebook; a file that would not change is left alone.

    Raises:
        Refused: files that could not be written, said once all others are.
    """
    failed: list[str] = []
    pages = folder / page.FEEDBACK
    try:
        pages.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"{pages}: cannot be made ({error.strerror})") from None
    for each in (folder, pages):
        clear_half_written(each)
    write = partial(_write, failed=failed)
    _each_page(write, pages, marks)
    write(folder / page.FILE, page.class_page(marks))
    write(folder / GRADEBOOK, gradebook(marks))
    if failed:
        others = f" (and {len(failed) - 1} more files)" if len(failed) > 1 else ""
        raise Refused(f"{failed[0]}{others}; what is there is whole: make room and mark again")
    return Report(marks, folder)


def _each_page(write: Callable[[Path, str], None], pages: Path, marks: ClassMarks) -> None:
    """Write all feedback; of many pages some at once, since the disk is what is waited for."""
    every = (
        (pages / f"{one.student.file}.html", feedback(one, marks.key.title))
        for one in marks.returned
    )
    if len(marks.returned) < ENOUGH:
        for path, content in every:
            write(path, content)
        return
    from concurrent.futures import ThreadPoolExecutor

    pool = ThreadPoolExecutor(_AT_ONCE)
    try:
        for done in [pool.submit(write, path, content) for path, content in every]:
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
    rows: list[list[object]] = [[*head, "mistakes", "notes", "file"]]
    for one in marks.marked:
        student = one.student
        row: list[object] = [student.id, student.name, student.period]
        came = bool(one.file)
        row += [one.score if came else "", len(one.judged), f"{one.percent:.1f}" if came else ""]
        for judged in one.judged:
            row += [judged.points, SAID[judged.kind]] if came else ["", ""]
        mistakes = dict.fromkeys(id for judged in one.judged for id in judged.mistakes)
        row += [
            " ".join(mistakes),
            "; ".join(one.notes) or ("" if came else "nothing came back"),
            one.file,
        ]
        rows.append(row)
    return csv_text(rows)
