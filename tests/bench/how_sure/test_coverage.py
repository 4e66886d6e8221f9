"""Every stated 95 % holds the truth: virtual benches with shared tools, few repeats, three ways to
read the known depth. Seeds are fixed; `tests/benchmarks/bench_coverage.py` does thousands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from enginemath.bench.how_sure.engine_results import EngineResults
from enginemath.sheets import parse
from tests.bench.how_sure.other_bench import HABITS, inside
from tests.bench.how_sure.virtual_bench import (
    CALIPER,
    DEPTH_GAUGE,
    FINE,
    Bench,
    drawn,
)

BENCHES = 160
SHOP = Bench()
"""One set of shop tools; the dial reads deck and known depth."""


def held(bench: Bench, benches: int = BENCHES) -> tuple[float, float]:
    """Share of benches whose 95 % holds the truth: of a cylinder's ratio, and of the mean."""
    cylinders = means = 0.0
    for seed in range(benches):
        day = drawn(bench, seed)
        results = EngineResults(parse(day.sheet, tables={"table.csv": day.table}).engine)
        inside = [_holds(results.ratio(n).interval_95, truth) for n, truth in enumerate(day.ratios)]
        cylinders += sum(inside) / len(inside)
        means += _holds(results.mean_ratio.interval_95, day.mean_ratio)
    return cylinders / benches, means / benches


def _holds(limits: tuple[float, float] | None, truth: float) -> bool:
    assert limits is not None
    return limits[0] <= truth <= limits[1]


def with_tool(name: str, tool: object) -> Bench:
    """The shop's bench, the known depth read with a tool of its own."""
    return replace(SHOP, depth_by=name, tools={**SHOP.tools, name: tool})


@pytest.mark.parametrize(
    "bench",
    [
        replace(SHOP, tools=FINE),
        replace(SHOP, tools=FINE, cylinders=4),
        SHOP,
        replace(SHOP, depth_by="depth tool"),
        with_tool("depth tool", DEPTH_GAUGE),
        with_tool("depth tool", CALIPER),
        replace(SHOP, cylinders=4, depth_by="depth tool", rock=0.03),
        replace(SHOP, scatter=(0.02, 0.001)),
    ],
    ids=[
        *("scatter rules", "scatter rules, four", "dial", "depth micrometer", "depth gauge"),
        *("caliper", "four and a rocking piston", "tools rule"),
    ],
)
def test_95_means_95(bench: Bench) -> None:
    """160 benches at 95 % lie between 90 and 99.4 % in 997 of 1000 draws (binomial)."""
    benches = BENCHES // bench.cylinders
    slack = 0.052 * bench.cylinders**0.5
    for share in held(bench, benches):
        assert 0.95 - slack <= share <= 1.0


@pytest.mark.parametrize(
    ("name", "days"),
    [("one cylinder", 60), ("scatter alone, two repeats", 60), ("four groups", 20)],
)
def test_95_means_95_on_benches_of_another_kind(name: str, days: int) -> None:
    """Ratio, squish, effective ratio and cranking pressure; most of 60 days hold each."""
    held: dict[str, list[bool]] = {}
    for seed in range(days):
        for result, is_inside in inside(HABITS[name], seed):
            held.setdefault(result, []).append(is_inside)
    assert set(held) >= {"ratio", "squish", "effective", "pressure", "ratio, mean"}
    for result, each in held.items():
        assert sum(each) / len(each) >= 0.95 - 0.66 / days**0.5, result  # 997 of 1000, binomial


def test_the_rule_of_the_page_that_was_does_not_hold() -> None:
    """The test can fail: s/√n alone with k = 1.96 holds the truth far more seldom."""
    bad = 0
    for seed in range(80):
        day = drawn(SHOP, seed)
        results = EngineResults(parse(day.sheet, tables={"table.csv": day.table}).engine)
        scatter = [s for s in results.sources if s.label and s.label.kind == "scatter"]
        half = 1.96 * sum(source.variance for source in scatter) ** 0.5
        bad += abs(results.mean_ratio.value - day.mean_ratio) > half
    assert bad > 20
