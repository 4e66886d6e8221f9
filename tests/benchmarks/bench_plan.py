"""How long a plan takes, as ratios in one run.

    python tests/benchmarks/bench_plan.py

The yardstick is the bare NumPy expression for the ratio of the same grid, broadcast over its four
axes, with nothing filtered or ranked. The limit is 5 times that for ten million combinations with
one value for all cylinders, filtering and ranking included. Cost is to grow no faster than the
number of combinations and of cylinders, and memory is to stay below 500 MB.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from enginemath.change.job import Job, job_for
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list import Cut, GasketOption, HeadCut, Options, PistonOption, Target
from enginemath.change.search.grid import grids_of
from enginemath.change.search.try_all import search
from enginemath.change.search.try_many import search_many
from enginemath.engine.parts import Chamber, Deck, Engine, Gasket, Piston
from enginemath.sheets import EXAMPLE, parse, sheet_of
from enginemath.units import Quantity

LIMIT = 5
ROUNDS = 5
MOST_MB = 500


def mm(length: float) -> Quantity:
    return Quantity(length, "mm")


def cc(volume: float) -> Quantity:
    return Quantity(volume, "cc")


def engine_of(cylinders: int) -> Engine:
    """No two cylinders alike, where there are several."""
    engine = parse(EXAMPLE).engine
    return replace(
        engine,
        chambers=tuple(Chamber(cc(47.3 + 0.05 * number)) for number in range(cylinders)),
        decks=(Deck("0.35 mm"),) * cylinders,
    )


def options_of(
    shape: tuple[int, int, int, int],
    low: float,
    high: float,
    squish: tuple[float, float] | None = None,
) -> Options:
    gaskets, pistons, deck_cuts, head_cuts = shape
    return Options(
        Target(low, high, (low + high) / 2, squish and (mm(squish[0]), mm(squish[1]))),
        mm(-0.2),
        (
            GasketOption(),
            *(
                GasketOption(f"g{n}", Gasket(mm(93.2), mm(0.6 + 0.9 * n / gaskets)), 20 + n)
                for n in range(1, gaskets)
            ),
        ),
        (
            PistonOption(),
            *(
                PistonOption(f"p{n}", Piston(dish=cc(12 * n / pistons)), mm(0), 200 + n)
                for n in range(1, pistons)
            ),
        ),
        Cut(mm(0.5) / max(1, deck_cuts - 1), mm(0.5), 140) if deck_cuts > 1 else None,
        HeadCut(mm(0.8) / (head_cuts - 1), mm(0.8), 90, open_area=Quantity(41, "cm**2"))
        if head_cuts > 1
        else None,
    )


def bare(job: Job) -> Callable[[], object]:
    """The ratio of every combination of one bank, of its first kind of cylinder."""
    grid = grids_of(job)[0]
    kind = grid.kinds[0]
    deck_steps, head_steps = (np.array(list(face.steps)) for face in (grid.deck, grid.head))
    area = np.pi / 4 * kind.bores[0] ** 2 / 1000
    gasket = np.array(kind.gaskets)[:, np.newaxis, np.newaxis, np.newaxis]
    gasket = gasket + kind.chamber + area * kind.deck
    piston = np.array(kind.crowns)[:, np.newaxis, np.newaxis]
    deck_cut = -area * grid.deck.depth(deck_steps)[:, np.newaxis]
    head_cut = grid.head.added(head_steps)
    swept = kind.swept[0]

    def expression() -> object:
        clearance = gasket + piston + deck_cut + head_cut
        return (swept + clearance) / clearance

    return expression


def best_time(action: Callable[[], object], rounds: int = ROUNDS) -> float:
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)


def against_bare() -> None:
    engine = engine_of(1)
    sheet = sheet_of(engine)
    usual, wide = (9.8, 10.3, (0.9, 1.15)), (8.0, 14.0)
    for shape in ((10, 10, 316, 317), (1, 1, 3163, 3163), (100, 100, 32, 32), (316, 317, 10, 10)):
        for words, wanted in (("usual limits", usual), ("all feasible", wide)):
            options = options_of(shape, *wanted)
            job = job_for(engine, options)
            yardstick = best_time(bare(job))
            found = search_many(job, 10)
            searched = best_time(lambda job=job: search_many(job, 10))
            whole = best_time(lambda o=options: plan_report(sheet, o))
            print(
                f"{job.combinations / 1e6:5.1f} million {shape!s:22} {words}: "
                f"bare {1000 * yardstick:5.1f} ms, search {searched / yardstick:5.2f} x, "
                f"whole report {whole / yardstick:5.2f} x (limit {LIMIT}), "
                f"feasible {100 * found.feasible / found.tried:5.1f} %"
            )


def by_combinations() -> None:
    engine, first = engine_of(1), 0.0
    for deck_cuts, head_cuts in ((1000, 10), (1000, 100), (1000, 1000), (1000, 10_000)):
        options = options_of((10, 10, deck_cuts, head_cuts), 8.0, 14.0)
        job = job_for(engine, options)
        took = best_time(lambda job=job: search_many(job, 10), rounds=3)
        first = first or took / job.combinations
        print(
            f"{job.combinations:11,d} combinations: {took:7.3f} s, "
            f"{took / job.combinations / first:5.2f} x the first's cost each"
        )


def by_cylinders() -> None:
    first = 0.0
    for cylinders in (1, 2, 4, 8, 16):
        options = options_of((10, 10, 316, 317), 8.0, 14.0)
        job = job_for(engine_of(cylinders), options)
        took = best_time(lambda job=job: search_many(job, 10))
        first = first or took
        print(f"{cylinders:2d} different cylinders: {took:6.3f} s, {took / first:5.2f} x one")


def in_memory() -> None:
    """First of all, before the yardstick's own arrays are in the account."""
    options = options_of((10, 10, 3163, 3163), 9.8, 10.3, (0.9, 1.15))
    took = best_time(lambda: search_many(job_for(engine_of(4), options), 10), rounds=1)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{options.combinations:,d} combinations, usual limits: {took:.2f} s, "
        f"peak memory {peak:.0f} MB (limit {MOST_MB})"
    )


def by_banks() -> None:
    """Two banks: all combinations of both against the bare expression of as many."""
    one = engine_of(8)
    engine = replace(one, banks=("left", "right") * 4)
    for shape in ((10, 10, 17, 18), (10, 10, 100, 100), (1, 1, 100, 100)):
        for words, wanted in (("usual limits", (9.8, 10.3, (0.9, 1.15))), ("all", (8.0, 14.0))):
            job = job_for(engine, options_of(shape, *wanted))
            start = time.perf_counter()
            found = search(job, 10)
            took = time.perf_counter() - start
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            print(
                f"two banks {shape!s:18} {words:12}: {job.combinations:.3g} combinations in "
                f"{took:6.2f} s, {1e9 * took / job.combinations:8.4f} ns each, "
                f"{found.feasible:.3g} feasible, front {found.front and found.front.count}, "
                f"peak {peak:.0f} MB"
            )


if __name__ == "__main__":
    in_memory()
    by_banks()
    against_bare()
    by_combinations()
    by_cylinders()
