"""The kit's own engines as benches: format 2, all readings in one table each."""

from __future__ import annotations

import pytest

from enginemath.engine.stack import mean_ratio
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.ratio_report import sheet_report
from enginemath.sheets.readings_table import read_table
from enginemath.units import nominal


@pytest.mark.parametrize("engine", ["one", "four", "eight"])
def test_the_bench_says_what_the_averages_say(engine: str) -> None:
    """The averages leave out the two planted slips; the readings hold them and name them."""
    bench = nominal(mean_ratio(read_sheet(path(f"heron-{engine}-bench.toml")).engine))
    averaged = nominal(mean_ratio(read_sheet(path(f"heron-{engine}.toml")).engine))
    assert bench == pytest.approx(averaged, abs=0.02)


@pytest.mark.parametrize(
    ("engine", "slip"),
    [("four", "chamber of cylinder 3, group C"), ("eight", "chamber of cylinder 5, group B")],
)
def test_the_planted_slips_are_named_and_no_others(engine: str, slip: str) -> None:
    warnings = sheet_report(read_sheet(path(f"heron-{engine}-bench.toml")))["warnings"]
    blunders = [warning for warning in warnings if "blunder" in warning]
    assert len(blunders) == 1
    assert slip in blunders[0]


@pytest.mark.parametrize("engine", ["one", "four", "eight"])
def test_nothing_at_the_bench_is_taken_as_exact(engine: str) -> None:
    report = sheet_report(read_sheet(path(f"heron-{engine}-bench.toml")))
    assert report["taken_as_exact"] == []
    assert report["budget"][0]["source"] == "burette"
    assert sum(line["share"] for line in report["budget"]) == pytest.approx(1)
    assert all(row.tool for row in read_table(path(f"heron-{engine}-readings.csv")))
