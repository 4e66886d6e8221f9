"""How far the stated chance to keep every limit lies from simulated work.

    python tests/benchmarks/bench_kept.py [ENGINES] [SEED]

Engines and price lists are drawn at random: one to eight cylinders in one bank or two, readings
taken with one set of tools, heights, valves, overbores, cuts of deck and head. Of each the first
and the last plan that is not certain is worked over and over by dice. The limit is 0.02.
"""

from __future__ import annotations

import sys
import time
from itertools import islice

import numpy as np

from enginemath.change.combination import combination_of
from enginemath.change.job import job_of
from enginemath.change.ranking import compared, ranked
from enginemath.change.search.try_all import search
from tests.change.random_jobs import random_jobs
from tests.change.simulated_work import Throws, kept

LIMIT = 0.02
DRAWS = 50_000


def main(engines: int = 100, seed: int = 1) -> int:
    """Print the gaps; 1 where one is too wide."""
    gaps: list[tuple[float, float, str]] = []
    started = time.process_time()
    for number, (sheet, options) in enumerate(islice(random_jobs(seed), engines)):
        job = job_of(sheet, options)
        plans = ranked(job, search(job, compared(job, 12)).best, 12)
        unsure = [plan for plan in plans if 0.01 < (plan[1] or 0) < 0.999]
        for numbers, chance in (unsure[:1] + unsure[-1:])[:2]:
            simulated = kept(job, combination_of(job.options, numbers), Throws(DRAWS, number))
            what = f"engine {number}: {job.engine.count} cylinders, {len(job.banks)} banks"
            gaps.append(((chance or 0) - simulated, simulated, what))
    spent = time.process_time() - started
    apart = np.array([gap for gap, _, _ in gaps])
    print(f"{len(gaps)} plans of {engines} engines, {DRAWS} draws each, {spent:.0f} s")
    print(f"mean gap {apart.mean():+.4f}, spread {apart.std():.4f}")
    for gap, simulated, what in sorted(gaps, key=lambda each: -abs(each[0]))[:5]:
        print(f"{gap:+.4f} at {simulated:.3f}  {what}")
    for banks in ("1 banks", "2 banks"):
        of = [abs(gap) for gap, _, what in gaps if what.endswith(banks)]
        print(f"{banks}: {len(of)} plans, widest {max(of, default=0):.4f}")
    return int(max(map(abs, apart)) > LIMIT)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
