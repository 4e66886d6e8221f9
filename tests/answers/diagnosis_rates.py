"""How often the diagnosis is right: `python -m tests.answers.diagnosis_rates 200` engines.

The student (hand_student.py) works apart from the library and rounds the answer to some decimals,
sometimes the volumes on the way as well.
"""

from __future__ import annotations

import random
import sys
from collections import Counter

from enginemath.answers.by_hand.readings import Readings, readings_of
from enginemath.answers.diagnosis import explain
from enginemath.answers.quantities import asked_for
from enginemath.answers.suspects import EARLY_ROUNDING, Search
from enginemath.answers.written_answer import read_answer
from enginemath.sheets import parse
from tests.answers import hand_student as student
from tests.answers.drawn_engines import Drawn, draw

ON_THE_WAY = (None, 2, 1)
ROUGH = tuple(EARLY_ROUNDING)


class Rates:
    """Counts of what happened, by kind of case."""

    def __init__(self) -> None:
        self.cases: Counter[tuple] = Counter()
        self.hits: Counter[tuple] = Counter()
        self.misses: Counter[tuple] = Counter()

    def count(self, kind: tuple, hit: bool, what: object = None) -> None:
        self.cases[kind] += 1
        self.hits[kind] += hit
        if not hit and what:
            self.misses[what] += 1

    def rate(self, what: str, decimals: tuple = (1, 2, 3, 4), way: tuple = ()) -> float:
        """Share of hits among cases of a kind, worked in one of some ways (all)."""
        kinds = [
            k for k in self.cases if k[0] == what and k[2] in decimals and (not way or k[3] in way)
        ]
        return sum(self.hits[k] for k in kinds) / sum(self.cases[k] for k in kinds)


def measure(seeds: range, decimals: tuple[int, ...] = (1, 2, 3, 4)) -> Rates:
    """Diagnose right answers, every single mistake, some pairs, and random numbers."""
    rates = Rates()
    for seed in seeds:
        engine = draw(seed)
        readings = readings_of(parse(engine.text))
        for quantity in student.QUANTITIES:
            if quantity == "effective_ratio" and engine.closes is None:
                continue
            _measure_one(rates, random.Random(seed), engine, quantity, readings, decimals)
    return rates


def _measure_one(
    rates: Rates,
    rng: random.Random,
    engine: Drawn,
    quantity: str,
    readings: Readings,
    decimals: tuple[int, ...],
) -> None:
    asked, search = asked_for(quantity), Search(quantity, readings)
    right = student.answer(engine, quantity)
    ids = [id for id in student.MEANS if student.can_make(engine, quantity, id)]
    sort = "ratio" if asked.is_ratio else "volume"

    def hear(number: float, places: int) -> tuple[bool, bool, list[set[str]]]:
        """Whether it rounds to the right answer, whether it is taken for right, who is accused."""
        answer = read_answer(f"{number:.{places}f}", asked)
        if search.grade(answer) == "right":
            return answer.holds(right), True, []
        accused = [set(each.mistakes) for each in explain(search, answer, asked)]
        return answer.holds(right), False, accused

    for places in decimals:
        _, taken, _ = hear(right, places)
        rates.count(("right", sort, places, None), taken, (quantity, engine.text))
        for rough in ROUGH:
            kept = search.by_hand.answer(habit=rough)
            _, taken, accused = hear(kept, places)
            told = taken or accused[:1] == [set()]
            rates.count(("rounded", sort, places, rough.name), told)
        for way in ON_THE_WAY:
            kind = (sort, places, way)
            for id in ids:
                same, _, accused = hear(student.answer(engine, quantity, {id}, way), places)
                if not same:
                    rates.count(("single", *kind), {id} in accused, (quantity, id, *kind))
                    rates.count(("first", *kind), accused[:1] == [{id}])
            for pair in (rng.sample(ids, 2) for _ in range(4) if len(ids) > 1):
                wrong = student.answer(engine, quantity, pair, way)
                undone = any(
                    abs(wrong - student.answer(engine, quantity, {id}, way)) < 1e-9 for id in pair
                )
                same, _, accused = hear(wrong, places)
                if not (same or undone):
                    rates.count(("pair", *kind), set(pair) in accused, (quantity, *sorted(pair)))
        for _ in range(20):
            same, _, accused = hear(right * rng.uniform(0.6, 1.6), places)
            if not same:
                kind = (sort, places, None)
                rates.count(("accused", *kind), any(len(ids) == 1 for ids in accused))
                rates.count(("suspected", *kind), any(accused))


if __name__ == "__main__":
    found = measure(range(1000, 1000 + int(sys.argv[1])))
    for what in ("right", "rounded", "single", "first", "pair", "accused", "suspected"):
        print(f"{what}: {100 * found.rate(what):.2f} %")
    for kind in sorted(found.cases, key=str):
        print(
            *kind, f"{found.cases[kind]} cases, {100 * found.hits[kind] / found.cases[kind]:.1f} %"
        )
    for what, times in found.misses.most_common(25):
        print(times, *what)
