"""Work as it is ordered, done over and over by dice: every limit is kept as often as is said."""

from __future__ import annotations

from itertools import islice

import pytest

from enginemath.change.combination import combination_of
from enginemath.change.job import job_of
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list_file import read_options
from enginemath.change.ranking import compared, ranked
from enginemath.change.search.try_all import search
from enginemath.change.work_order import plan_order
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from tests.change.random_jobs import random_jobs
from tests.change.simulated_work import Throws, kept

SAID = 0.02
"""How far a chance may lie from what is simulated."""


@pytest.mark.parametrize("name", ["heron-four", "heron-eight"])
def test_work_that_is_ordered_keeps_every_limit_as_often_as_the_order_says(name: str) -> None:
    sheet, options = (read_sheet(path(f"{name}.toml")), read_options(path(f"{name}-options.toml")))
    plans = plan_report(sheet, options, 15)["plans"]
    asked = [
        number
        for number, plan in enumerate(plans, start=1)
        if plan["gasket"] != "as measured" and 0.3 < plan["kept_probability"] < 0.999
    ]
    orders = [plan_order(sheet, options, number) for number in (asked[0], asked[-1])]
    for order in orders:
        simulated = kept(order.job, order.choice, Throws(50_000))
        assert order.kept == pytest.approx(simulated, abs=SAID)
    assert min(order.kept or 0 for order in orders) < 0.95


def test_engines_and_price_lists_at_random() -> None:
    """One to eight cylinders in one bank or two, one set of tools, heights, valves, an overbore.

    `benchmarks/bench_kept.py` does the same with many more.
    """
    looked, banks = 0, set()
    for sheet, options in islice(random_jobs(7), 14):
        job = job_of(sheet, options)
        plans = ranked(job, search(job, compared(job, 12)).best, 12)
        unsure = [plan for plan in plans if 0.02 < (plan[1] or 0) < 0.98]
        for numbers, chance in unsure[:1]:
            simulated = kept(job, combination_of(job.options, numbers), Throws(20_000))
            assert chance == pytest.approx(simulated, abs=SAID), (sheet.engine.count, numbers)
            looked += 1
            banks.add(len(job.banks))
    assert looked >= 10
    assert banks == {1, 2}
