"""How long a class set and the marking of a class take.

    python tests/benchmarks/bench_marking.py

Limits: 150 notebooks marked within 10 s and a class set of 150 made within 60 s, on two cores; from
150 to 1,500 notebooks the time grows no faster than their number (30 % allowed for the machine).
The papers are a mixed class, and one in which no answer can be explained, which takes longest.
Exits 1 where one is over its limit.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from enginemath.classroom.commands import mark
from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.make_set import ClassSet
from tests.classroom.class_sets import SECRET, hand_in, make, right

FEW, MANY = 150, 1500
SET_LIMIT, MARK_LIMIT, GROWTH_LIMIT = 60.0, 10.0, 1.3


def mixed(entry: Entry, rng: random.Random) -> dict[str, str]:
    """About a third of the answers wrong, each by a likely mistake."""
    answers = right(entry)
    for question in entry.assignment.questions:
        if rng.random() < 0.35:
            slips = list(entry.assignment.tempting(question.name).values())
            answers[question.name] = question.written(rng.choice(slips))
    return answers


def riddles(entry: Entry, rng: random.Random) -> dict[str, str]:
    """Every answer off by something that no mistake explains."""
    return {
        question.name: question.written(
            entry.assignment.right[question.name] * rng.uniform(1.03, 1.4)
        )
        for question in entry.assignment.questions
    }


def seconds_to_mark(made: ClassSet, back: Path, out: Path) -> float:
    start = time.perf_counter()
    mark(back, out, SECRET, None, made.folder)
    return time.perf_counter() - start


def main() -> int:
    over = False
    with tempfile.TemporaryDirectory() as folder:
        times: dict[tuple[str, int], float] = {}
        for count in (FEW, MANY):
            place = Path(folder) / str(count)
            start = time.perf_counter()
            made = make(place / "set", count)
            taken = time.perf_counter() - start
            limit = SET_LIMIT * count / FEW
            over = over or taken > limit
            print(f"class set of {count}: {taken:.1f} s (limit {limit:.0f} s)")
            for papers in (mixed, riddles):
                rng = random.Random(1)
                back = place / papers.__name__
                for entry in made.key.entries:
                    hand_in(made, back, entry, papers(entry, rng))
                taken = seconds_to_mark(made, back, place / f"{papers.__name__}-marks")
                times[papers.__name__, count] = taken
                limit = MARK_LIMIT * count / FEW
                over = over or taken > limit
                print(f"marking {count}, {papers.__name__}: {taken:.2f} s (limit {limit:.0f} s)")
        for name in ("mixed", "riddles"):
            growth = times[name, MANY] / times[name, FEW] / (MANY / FEW)
            over = over or growth > GROWTH_LIMIT
            print(f"{name}: {growth:.2f} of linear growth (limit {GROWTH_LIMIT})")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
