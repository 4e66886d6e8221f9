"""How often the stated 95 % holds the truth, over thousands of virtual benches.

    python tests/benchmarks/bench_coverage.py [benches]

First benches with the cylinder's and the mean ratio, then benches of another kind with every
result of whole engines, and at last benches on which every setting is left to chance. Where the
scatter of hands rules it should be 94 to 96 %, where a tool's rectangular error rules 93 to 99 %.
Exits 1 where a share is outside.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from enginemath.bench.how_sure.engine_results import EngineResults
from enginemath.sheets import parse
from tests.bench.how_sure.other_bench import HABITS, Habit, any_habit, inside
from tests.bench.how_sure.virtual_bench import CALIPER, DEPTH_GAUGE, FINE, Bench, drawn

Count = Callable[[int], list[tuple[str, bool]]]
"""By a bench's seed, each result and whether its stated 95 % holds the truth."""
SHOP = Bench()
SCATTER, TOOL = (0.94, 0.96), (0.93, 0.99)
BENCHES: dict[str, tuple[Bench, tuple[float, float]]] = {
    "scatter, one cylinder, three pours": (replace(SHOP, tools=FINE), SCATTER),
    "scatter, one cylinder, two pours": (replace(SHOP, tools=FINE, pours=2), SCATTER),
    "scatter, one cylinder, six pours": (replace(SHOP, tools=FINE, pours=6, repeats=4), SCATTER),
    "scatter, four cylinders, three pours": (replace(SHOP, tools=FINE, cylinders=4), SCATTER),
    "shop's tools, depth by the deck's dial": (SHOP, TOOL),
    "shop's tools, depth by micrometer": (replace(SHOP, depth_by="depth tool"), TOOL),
    "shop's tools, depth by gauge": (
        replace(SHOP, depth_by="depth tool", tools={**SHOP.tools, "depth tool": DEPTH_GAUGE}),
        TOOL,
    ),
    "shop's tools, depth by caliper": (
        replace(SHOP, depth_by="depth tool", tools={**SHOP.tools, "depth tool": CALIPER}),
        TOOL,
    ),
    "one burette for four chambers and crowns": (replace(SHOP, cylinders=4), TOOL),
    "four, depth by micrometer, rocking": (
        replace(SHOP, cylinders=4, depth_by="depth tool", rock=0.03),
        TOOL,
    ),
    "next to no scatter": (replace(SHOP, scatter=(0.02, 0.001)), TOOL),
}


def one_day(task: tuple[Bench, int]) -> tuple[float, float]:
    """Share of cylinders whose 95 % holds the truth, and whether that of the mean does."""
    bench, seed = task
    day = drawn(bench, seed)
    results = EngineResults(parse(day.sheet, tables={"table.csv": day.table}).engine)
    inside = []
    for number, truth in enumerate(day.ratios):
        low, high = results.ratio(number).interval_95 or (0.0, 0.0)
        inside.append(low <= truth <= high)
    low, high = results.mean_ratio.interval_95 or (0.0, 0.0)
    return sum(inside) / len(inside), float(low <= day.mean_ratio <= high)


def limits_of(habit: Habit) -> tuple[float, float]:
    """What share a bench of this habit should hold."""
    scatter_rules = habit.fine < 1 and habit.shape == "bell" and habit.rock < 0.01
    return SCATTER if scatter_rules else TOOL


def on_any_bench(seed: int) -> list[tuple[str, bool]]:
    """As `inside`, whatever the tools and habits are."""
    return inside(any_habit(seed), seed)


def of_a_kind(
    pool: Executor, name: str, on_bench: Count, days: int, limits: tuple[float, float]
) -> bool:
    """Print the share of each result that holds the truth, each day alike; is one outside?"""
    held: dict[str, list[float]] = {}
    for day in pool.map(on_bench, range(days), chunksize=20):
        of_day: dict[str, list[bool]] = {}
        for result, is_inside in day:
            of_day.setdefault(result, []).append(is_inside)
        for result, each in of_day.items():
            held.setdefault(result, []).append(sum(each) / len(each))
    low, high = limits
    chance = 2 * (0.95 * 0.05 / days) ** 0.5
    shares = {result: sum(each) / len(each) for result, each in held.items()}
    outside = [r for r, share in shares.items() if not low - chance <= share <= high + chance]
    said = ", ".join(f"{result} {share:.1%}" for result, share in shares.items())
    print(f"{name}: {said}{'  <-- ' + ', '.join(outside) if outside else ''}", flush=True)
    return bool(outside)


def main() -> int:
    """Count."""
    benches = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    bad = 0
    with ProcessPoolExecutor() as pool:
        for name, (bench, (low, high)) in BENCHES.items():
            tasks = [(bench, 100_000 + seed) for seed in range(benches)]
            held = list(pool.map(one_day, tasks, chunksize=20))
            shares = [sum(column) / benches for column in zip(*held, strict=True)]
            chance = 2 * (0.95 * 0.05 / benches) ** 0.5
            outside = any(not low - chance <= share <= high + chance for share in shares)
            bad += outside
            print(
                f"{name:42} cylinder {shares[0]:.1%}, mean {shares[1]:.1%} "
                f"({low:.0%} to {high:.0%}){'  <--' if outside else ''}",
                flush=True,
            )
        for name, habit in HABITS.items():
            days, limits = benches // habit.cylinders, limits_of(habit)
            bad += of_a_kind(pool, name, partial(inside, habit), days, limits)
        bad += of_a_kind(pool, "any mix", on_any_bench, benches, TOOL)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
