"""A class set about the engines in the bay: from the readings on record to everybody's sheet."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from enginemath.answers.own_readings.record import record_of
from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.sets.bay.assignment import NAME, BayAssignment, bay_level
from enginemath.classroom.sets.bay.benches import deal
from enginemath.classroom.sets.bay.sheet import bay_notebook, bay_worksheet
from enginemath.classroom.sets.instructor_pages import who_works_where
from enginemath.classroom.sets.key import TAG_LENGTH, Entry, Key
from enginemath.classroom.sets.make_set import ClassSet, Pages, write_set
from enginemath.classroom.sets.roster import Student, told_apart
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.sheets import Sheet

TITLE = "Compression ratio: the engine in the bay"


@dataclass(frozen=True)
class BaySet:
    """What was made, and who works where."""

    made: ClassSet

    def __str__(self) -> str:
        return "\n".join([*self._benches(), str(self.made)])

    def _benches(self) -> Iterator[str]:
        for row in who_works_where(self.made.key):
            group = f"group {row.group}: " if row.group else ""
            yield f"{row.place}: {group}{', '.join(row.students)}"


def make_bay_set(
    students: Sequence[Student],
    folder: Path,
    sheets: Sequence[Sheet],
    secret: ClassSecret | None = None,
    title: str = TITLE,
    *,
    hints: bool = False,
    by_bank: bool = False,
) -> BaySet:
    """Make the files of a class set about engines in the bay.

    Args:
        students: see `roster.read_roster`.
        folder: see `make_class_set`.
        sheets: of the engines, with all readings that their ratios need.
        secret: None: one is drawn, and kept beside the key.
        title: of every sheet.
        hints: whether the notebooks can check answers.
        by_bank: whether a group gets a bank, see `deal`.

    Raises:
        Refused: see `make_class_set` and `deal`.
    """
    benches = deal(students, [sheet.engine for sheet in sheets], by_bank=by_bank)
    places = {(bench.engine, bench.cylinder) for bench in benches}
    records = {(engine, n): record_of(sheets[engine], n) for engine, n in sorted(places)}
    level = bay_level(list(records.values()))
    everyone = list(zip(told_apart(students), benches, strict=True))

    def make(found: ClassSecret) -> tuple[Key, list[Pages]]:
        entries = []
        for student, bench in everyone:
            record = records[bench.engine, bench.cylinder]
            bay = BayAssignment(level, sheets[bench.engine].name, bench, record)
            given = json.dumps(bay.as_dict(), sort_keys=True)
            tag = found.tag("sheet", NAME, student.id, given, length=TAG_LENGTH)
            entries.append(Entry(student, level, {}, None, tag, bay))
        return Key(title, level, tuple(entries)), for_each(partial(_pages, title, hints), entries)

    return BaySet(write_set(folder, make, secret))


def _pages(title: str, hints: bool, entry: Entry) -> Pages:
    assert entry.bay
    given = entry.student, entry.bay, title
    return bay_notebook(*given, entry.tag, hints), bay_worksheet(*given)
