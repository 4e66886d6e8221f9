"""How long one diagnosis with all pairs takes; the limit is 50 ms.

    python tests/benchmarks/bench_diagnose.py

Prints medians of wrong answers to every quantity, the sheet already read, and the same as a ratio
to reading the sheet once. Exits 1 where one is over the limit.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from statistics import median

from enginemath.answers import QUANTITIES, diagnose
from enginemath.answers.suspects import search_of
from enginemath.sheets import Sheet, read_sheet
from enginemath.sheets.kit_data import path

LIMIT = 0.050
REPEATS = 30


def seconds(work: Callable[[], object]) -> float:
    """Median time of one call."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return median(times)


def anew(sheet: Sheet, quantity: str, written: str) -> None:
    """Diagnose an answer as the first that is asked about a sheet."""
    search_of.cache_clear()
    diagnose(sheet, quantity, written)


def main() -> int:
    """Time a wrong answer, which is tried against every mistake and every pair."""
    over = False
    for name in ("heron-four.toml", "heron-eight.toml"):
        sheet = read_sheet(path(name))
        reading = seconds(lambda name=name: read_sheet(path(name)))
        for quantity in QUANTITIES:
            expected = diagnose(sheet, quantity, "1.0").expected
            wrong = f"{expected * 1.0371:.3f}"
            taken = seconds(lambda s=sheet, q=quantity, w=wrong: anew(s, q, w))
            over = over or taken > LIMIT
            print(
                f"{name} {quantity}: {1000 * taken:.1f} ms (limit {1000 * LIMIT:.0f} ms), "
                f"{taken / reading:.1f} times reading the sheet"
            )
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
