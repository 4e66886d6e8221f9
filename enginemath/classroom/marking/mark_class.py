"""A class marked: every student's paper found, judged, and compared with the others."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from enginemath.answers.own_readings.judging import JudgedReading
from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.marking.fenced import fenced
from enginemath.classroom.marking.handed_in import HandedIn
from enginemath.classroom.marking.judging import Judged, JudgedPaper, judge_all
from enginemath.classroom.marking.lesson_answers import LessonBook
from enginemath.classroom.marking.mark_lessons import LessonMarks, folded, mark_lessons
from enginemath.classroom.marking.returned import Fault, Found, collect
from enginemath.classroom.sets.key import Entry, Key
from enginemath.classroom.sets.roster import Student
from enginemath.units import Refused

_MOST_TOLD = 20
"""Papers of one student."""
_SAME_ENGINE = 3
"""Wrong answers that are right for another student's engine, from which on it is told."""


@dataclass(frozen=True)
class Marked:
    """One student's marks.

    Args:
        file: where the paper was; empty where none came back.
        judged: every question in the order of the work.
        notes: what the instructor should know about the paper.
        readings: of the student's own, in the order of the bench; none where they were given.
        place: the engine in the bay and the cylinder; empty where the engine was drawn.
    """

    student: Student
    file: str
    judged: tuple[Judged, ...]
    notes: tuple[str, ...] = ()
    readings: tuple[JudgedReading, ...] = ()
    place: str = ""

    @property
    def score(self) -> float:
        """Points, of as many as there are questions."""
        return sum(each.points for each in self.judged)

    @property
    def percent(self) -> float:
        """Score in percent."""
        return 100 * self.score / len(self.judged)


@dataclass(frozen=True)
class ClassMarks:
    """A whole class's marks, in the order of the roster."""

    key: Key
    marked: tuple[Marked, ...]
    faults: tuple[Fault, ...]
    lessons: LessonMarks | None = None
    """None where no work file came back."""

    @property
    def returned(self) -> tuple[Marked, ...]:
        """Those of whom a paper came back."""
        return tuple(each for each in self.marked if each.file)

    @property
    def mean_percent(self) -> float | None:
        """Mean over the papers that came back."""
        scores = [each.percent for each in self.returned]
        return sum(scores) / len(scores) if scores else None


def mark_class(
    folder: Path, key: Key, beside: Collection[Path] = (), book: LessonBook | None = None
) -> ClassMarks:
    """Mark what came back; nothing in the folder is run or written to.

    Args:
        folder: of what came back.
        key: of the class set.
        beside: folders in it to leave out.
        book: judges the lessons of work files; None: they are left.

    Raises:
        Refused: no such folder.
    """
    came = collect(folder, key, beside)
    found, faults = came.papers, came.faults
    lessons = None
    if came.works and book:
        lessons = mark_lessons(came.works, book, [e.student for e in key.entries])
    papers = _to_judge(found)
    results = for_each(_judge, papers)
    judged: list[_Judged] = []
    for paper, result in zip(papers, results, strict=True):
        if isinstance(result, str):
            faults.append(Fault(paper.file, result, (paper.entry.student.id,)))
        else:
            judged.append((paper, result))
    kept = _one_each(judged, found)
    # In the bay engines are alike, and so are answers: nothing is told by them.
    drawn = kept and not key.is_of_bay
    strangers = _other_engines(kept, _engines(key, kept), key) if drawn else {}
    marked = []
    for entry in key.entries:
        id, student = entry.student.id, entry.student
        if id not in kept:
            broken = [f"not marked: {fault}" for fault in faults if id in fault.students]
            broken += _of_another_set(came.works, student)
            marked.append(Marked(student, "", _nothing(entry), tuple(broken), place=_place(entry)))
            continue
        paper, (found_on, _) = kept[id]
        notes = [*paper.paper.notes, *strangers.get(id, ())]
        judged_paper = found_on.answers, tuple(notes), found_on.readings
        marked.append(Marked(student, paper.file, *judged_paper, place=_place(entry)))
    return ClassMarks(key, tuple(marked), tuple(faults), lessons)


def _of_another_set(works: Sequence[HandedIn], student: Student) -> list[str]:
    """A note on each of a student's work files with sheets; none of these is of this class set."""
    theirs = [work for work in works if work.sheets and folded(work.id) == folded(student.id)]
    return [f"{work.file} holds sheets of another class set alone" for work in theirs[:_MOST_TOLD]]


def _place(entry: Entry) -> str:
    return entry.bay.place if entry.bay else ""


_Result = tuple[JudgedPaper, Mapping[str, float]]
_Judged = tuple[Found, _Result]


def _judge(found: Found) -> _Result | str:
    """A paper's marks and the engine's right answers, or why it cannot be marked."""
    assignment = found.entry.assignment
    try:
        return fenced(lambda: (judge_all(assignment, found.paper.answers), dict(assignment.right)))
    except Refused as refusal:
        return str(refusal)


def _right(entry: Entry) -> Mapping[str, float]:
    try:
        return fenced(lambda: dict(entry.assignment.right))
    except Refused:
        return {}


def _engines(key: Key, kept: Mapping[str, _Judged]) -> dict[str, Mapping[str, float]]:
    """The right answers for every engine of the set, also those of which no paper came back."""
    known = {id: right for id, (_, (_, right)) in kept.items()}
    others = [entry for entry in key.entries if entry.student.id not in known]
    worked = for_each(_right, others)
    return known | {e.student.id: right for e, right in zip(others, worked, strict=True)}


def _nothing(entry: Entry) -> tuple[Judged, ...]:
    return tuple(Judged(question) for question in entry.level.questions)


def _to_judge(found: Sequence[Found]) -> list[Found]:
    """Of each student the papers that may count: a filled one with the sheet's mark outranks all
    without, and a filled one a blank one. Of those with the same answers the last."""
    rank_of: dict[str, tuple[bool, bool]] = {}
    for one in found:
        id = one.entry.student.id
        rank_of[id] = max(rank_of.get(id, (False, False)), _rank(one))
    chosen: dict[tuple[str, str], Found] = {}
    for one in found:
        id = one.entry.student.id
        if _rank(one) == rank_of[id]:
            same = (id, repr(sorted(one.paper.answers.items())) if one.filled else "")
            chosen.pop(same, None)
            chosen[same] = one
    return list(chosen.values())


def _rank(found: Found) -> tuple[bool, bool]:
    return found.filled > 0, found.genuine


def _one_each(judged: Sequence[_Judged], found: Sequence[Found]) -> dict[str, _Judged]:
    """One paper of each student, with a note on every other: the one with the most points, of
    equals the fullest, of equally full ones the last."""
    best: dict[str, _Judged] = {}
    for one in judged:
        id = one[0].entry.student.id
        if id not in best or _worth(one) >= _worth(best[id]):
            best[id] = one
    others: dict[str, list[Found]] = {}
    for each in found:
        id = each.entry.student.id
        if id in best and each is not best[id][0]:
            others.setdefault(id, []).append(each)
    return {
        id: (_with_notes(one, others.get(id, ())), result) for id, (one, result) in best.items()
    }


def _worth(judged: _Judged) -> tuple[float, int]:
    found, (paper, _) = judged
    return sum(each.points for each in paper.answers), found.filled


def _with_notes(kept: Found, others: Sequence[Found]) -> Found:
    notes: list[str] = []
    for left in others:
        notes += left.paper.notes
    notes += kept.paper.notes
    elsewhere = [left for left in others if left.file != kept.file]
    for left in elsewhere[:_MOST_TOLD]:
        same = left.paper.answers == kept.paper.answers
        said = f"two papers came back: {kept.file} counts; {left.file} " + (
            "holds the same answers" if same else "holds other answers"
        )
        if kept.genuine and not left.genuine and not same:
            said += " and has no mark of the sheet: ask whose it is"
        notes.append(said)
    if len(elsewhere) > _MOST_TOLD:
        notes.append(f"and {len(elsewhere) - _MOST_TOLD} more papers")
    paper = replace(kept.paper, notes=list(dict.fromkeys(notes)))
    return replace(kept, paper=paper)


def _other_engines(
    kept: Mapping[str, _Judged], engines: Mapping[str, Mapping[str, float]], key: Key
) -> dict[str, list[str]]:
    """Notes on papers whose wrong answers are right for another student's engine."""
    names = {entry.student.id: entry.student.name for entry in key.entries}
    by_question: dict[str, list[tuple[float, str]]] = {}
    for id, right in engines.items():
        for question, value in right.items():
            by_question.setdefault(question, []).append((value, id))
    for column in by_question.values():
        column.sort()
    notes: dict[str, list[str]] = {}
    for id, (_, (paper, _)) in kept.items():
        hits: Counter[str] = Counter()
        for one in paper.answers:
            if one.value is None or one.points == 1 or not one.value.sensible:
                continue
            column, value, half = (
                by_question[one.question.name],
                one.value.value,
                one.value.half_width,
            )
            start = bisect_left(column, (value - half, ""))
            end = bisect_right(column, (value + half, "\U0010ffff"))
            hits.update(other for _, other in column[start:end] if other != id)
        for other, count in hits.most_common(1):
            if count >= _SAME_ENGINE:
                notes[id] = [
                    f"{count} answers are right for the engine of {names[other]} ({other})"
                ]
    return notes
