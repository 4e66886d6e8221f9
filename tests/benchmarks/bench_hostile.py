"""Hostile input: nothing fires, nothing falls, nobody waits.

    python tests/benchmarks/bench_hostile.py [share]

Reads 100,000 made-up sheets, options, rosters, tables, studies, answers, notebooks and files (or a
share of them): each is read or refused, none raises anything else, none takes over 2 s. Then marks
a class of 1,500 of whom a tenth handed in something broken: all are reported, the others' marks are
the same to the byte as without these, within 15 s on two cores. Exits 1 where one is over its
limit.
"""

from __future__ import annotations

import csv
import os
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from io import StringIO
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from enginemath.classroom.commands import mark
from enginemath.classroom.sets.make_set import ClassSet
from tests.benchmarks.bench_marking import mixed
from tests.classroom.class_sets import SECRET, hand_in, make
from tests.hostile import KINDS, broken, read_or_refused

INPUTS, STUDENTS = 100_000, 1500
SLOWEST, MARKING_LIMIT = 2.0, 15.0
SHARES = {"sheet": 20, "options": 8, "roster": 12, "table": 12, "study": 8, "answer": 25,
          "notebook": 12, "file": 3}  # fmt: skip
"""In percent of all inputs."""


def fuzz(inputs: int) -> bool:
    """Read them all; whether all is well."""
    well = True
    for kind in KINDS:
        slowest, found, started = 0.0, Counter[str](), time.perf_counter()
        for seed in range(inputs * SHARES[kind] // 100):
            begun = time.perf_counter()
            try:
                found["read" if read_or_refused(kind, seed) else "refused"] += 1
            except Exception:
                found["FIRED"] += 1
                if found["FIRED"] <= 3:
                    print(f"{kind} {seed}: {traceback.format_exc(limit=-2)}")
            slowest = max(slowest, time.perf_counter() - begun)
        said = ", ".join(f"{number} {what}" for what, number in sorted(found.items()))
        taken = time.perf_counter() - started
        print(f"{kind}: {said}; {taken:.1f} s, slowest {slowest:.3f} s (limit {SLOWEST} s)")
        well = well and not found["FIRED"] and slowest <= SLOWEST
    return well


def break_some(back: Path, files: list[Path], rng: random.Random) -> set[str]:
    """A tenth of the files, broken; the ids of the students whose they are."""
    chosen = rng.sample(files, len(files) // 10)
    for place, file in enumerate(chosen):
        text = file.read_text(encoding="utf-8")
        how = place % 6
        if how == 0:
            file.write_text(text[: rng.randrange(len(text))], encoding="utf-8")
        elif how == 1:
            file.write_bytes(rng.randbytes(20_000))
        elif how == 2:
            file.write_text("[" + "[]," * 3_000_000, encoding="utf-8")
        elif how == 3:
            file.write_text(broken(text, rng), encoding="utf-8", errors="replace")
        elif how == 4:
            file.write_text(text.replace('"compression_ratio = ', '"compression_ratio = 0e999 + '))
        else:
            half = "swept_volume = (\\n" * 100_000
            cell = f'{{"cell_type": "code", "source": "{half}"}}'
            file.write_text(f'{{"cells": [{cell}]}}', encoding="utf-8")
    return {file.stem.rpartition("-")[2] for file in chosen}


def rows(out: Path) -> dict[str, str]:
    text = (out / "gradebook.csv").read_text(encoding="utf-8-sig")
    return {row["id"]: str(row) for row in csv.DictReader(StringIO(text, newline=""))}


def processor() -> float:
    """Seconds of all processors' work for us and for those that we started."""
    here = os.times()
    return here.user + here.system + here.children_user + here.children_system


def one_class(made: ClassSet, folder: Path) -> bool:
    """Mark a class with a tenth of it broken; whether all is well."""
    rng = random.Random(1)
    back = folder / "back"
    files = [hand_in(made, back, entry, mixed(entry, rng)) for entry in made.key.entries]
    mark(back, folder / "whole", SECRET, None, made.folder)
    ids = break_some(back, files, rng)
    started, worked = time.perf_counter(), processor()
    report = mark(back, folder / "marks", SECRET, None, made.folder)
    taken, worked = time.perf_counter() - started, processor() - worked
    whole, marks = rows(folder / "whole"), rows(folder / "marks")
    moved = [id for id in whole if id not in ids and whole[id] != marks[id]]
    told = {id for fault in report.marks.faults for id in fault.students}
    silent = [one.student.id for one in report.marks.marked
              if not one.file and one.student.id not in told]  # fmt: skip
    print(
        f"marking {len(files)}, {len(ids)} of them broken: {taken:.1f} s (limit "
        f"{MARKING_LIMIT} s), of the processors {worked:.1f} s; "
        f"{len(report.marks.faults)} named, {len(silent)} not named, "
        f"{len(moved)} of the others' marks moved"
    )
    return taken <= MARKING_LIMIT and not moved and not silent


def main() -> int:
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    well = fuzz(round(INPUTS * share))
    with tempfile.TemporaryDirectory() as folder:
        made = make(Path(folder) / "set", round(STUDENTS * share))
        well = one_class(made, Path(folder)) and well
    return 0 if well else 1


if __name__ == "__main__":
    sys.exit(main())
