"""A class marked: every student's paper found, judged, and compared with the others."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.marking.judging import Judged, judge
from enginemath.classroom.marking.returned import Fault, Found, collect
from enginemath.classroom.sets.key import Entry, Key
from enginemath.classroom.sets.roster import Student

_SAME_ENGINE = 3
"""Wrong answers that are right for another student's engine, from which on it is told."""


@dataclass(frozen=True)
class Marked:
    """One student's marks.

    Args:
        file: where the paper was; empty where none came back.
        judged: every question in the order of the work.
        notes: what the instructor should know about the paper.
    """

    student: Student
    file: str
    judged: tuple[Judged, ...]
    notes: tuple[str, ...] = ()

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

    @property
    def returned(self) -> tuple[Marked, ...]:
        """Those of whom a paper came back."""
        return tuple(each for each in self.marked if each.file)

    @property
    def mean_percent(self) -> float | None:
        """Mean over the papers that came back."""
        scores = [each.percent for each in self.returned]
        return sum(scores) / len(scores) if scores else None


def mark_class(folder: Path, key: Key, beside: Collection[Path] = ()) -> ClassMarks:
    """Mark what came back; nothing in the folder is run or written to.

    Args:
        folder: of what came back.
        key: of the class set.
        beside: folders in it to leave out.

    Raises:
        Refused: no such folder.
    """
    found, faults = collect(folder, key, beside)
    papers = _one_each(found)
    judged = for_each(_judge, [(paper.entry, paper) for paper in papers.values()])
    results = dict(zip(papers, judged, strict=True))
    strangers = _other_engines(results, key)
    marked = []
    for entry in key.entries:
        id, student = entry.student.id, entry.student
        if id not in papers:
            broken = [f"not marked: {fault}" for fault in faults if id in fault.students]
            marked.append(Marked(student, "", _nothing(entry), tuple(broken)))
            continue
        notes = [*papers[id].paper.notes, *strangers.get(id, ())]
        marked.append(Marked(student, papers[id].file, results[id][0], tuple(notes)))
    return ClassMarks(key, tuple(marked), tuple(faults))


_Result = tuple[tuple[Judged, ...], Mapping[str, float]]


def _judge(task: tuple[Entry, Found]) -> _Result:
    entry, found = task
    return judge(entry.assignment, found.paper.answers), dict(entry.assignment.right)


def _nothing(entry: Entry) -> tuple[Judged, ...]:
    return tuple(Judged(question, "", "missing") for question in entry.level.questions)


def _one_each(found: Sequence[Found]) -> dict[str, Found]:
    """One paper of each student: the fullest, and of equally full ones the last."""
    papers: dict[str, Found] = {}
    for one in found:
        id = one.entry.student.id
        other = papers.get(id)
        if other is None:
            papers[id] = one
            continue
        kept, left = (other, one) if _filled(other) > _filled(one) else (one, other)
        same = kept.paper.answers == left.paper.answers
        said = f"two papers came back: {kept.file} counts; {left.file} " + (
            "holds the same answers" if same else "holds other answers"
        )
        notes = list(dict.fromkeys([*left.paper.notes, *kept.paper.notes, said]))
        papers[id] = replace(kept, paper=replace(kept.paper, notes=notes))
    return papers


def _filled(found: Found) -> int:
    return sum(not answer.is_blank for answer in found.paper.answers.values())


def _other_engines(results: Mapping[str, _Result], key: Key) -> dict[str, list[str]]:
    """Notes on papers whose wrong answers are right for another student's engine."""
    names = {entry.student.id: entry.student.name for entry in key.entries}
    by_question: dict[str, list[tuple[float, str]]] = {}
    for id, (_, right) in results.items():
        for question, value in right.items():
            by_question.setdefault(question, []).append((value, id))
    for column in by_question.values():
        column.sort()
    notes: dict[str, list[str]] = {}
    for id, (judged, _) in results.items():
        hits: Counter[str] = Counter()
        for one in judged:
            if one.value is None or one.verdict in ("right", "carried") or not one.value.sensible:
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
