"""One engine of readings against its sheet of averages, and 240 sheets in one call.

    python tests/benchmarks/bench_many_sheets.py

The report of an eight-cylinder engine from 360 readings takes at most 1.5 times as long as that of
the same engine from averages (format 1), reading the files included. 240 different engines of
readings in one `ratio` take the processors at most 1.3 times as long as one after the other on one
core, so that two cores halve it nearly, and at most 6 s on each of two cores that have nothing else
to do. Times are the processor's: a busy machine is no slower. Exits 1 where one is over.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from enginemath.cli import main as enginemath
from enginemath.sheets.kit_data import path
from enginemath.sheets.ratio_command import report_of
from tests.bench.how_sure.other_bench import Habit, day_of
from tests.old_doors.kit import averages

READINGS_LIMIT, CALL_LIMIT = 1.5, 1.3
SECONDS_LIMIT = 6.0
"""On each of two cores."""
SHEETS, PAIRS = 240, 9
CYLINDERS = (1, 4, 8)


def seconds(work: Callable[[], object]) -> float:
    """Processor time of one call, here and in the processes that it starts."""
    began = os.times()
    work()
    return sum(os.times()[:4]) - sum(began[:4])


def of_readings() -> float:
    """How many times as long a report from readings takes as one from averages."""
    sheets = str(path("heron-eight.toml")), str(averages("heron-eight"))
    for sheet in sheets:
        report_of(sheet)
    pairs = [
        [seconds(lambda sheet=sheet: report_of(sheet)) for sheet in sheets] for _ in range(PAIRS)
    ]
    ratio = median(a / b for a, b in pairs)
    ours, theirs = (1000 * median(times) for times in zip(*pairs, strict=True))
    print(f"eight cylinders: readings {ours:.0f} ms, averages {theirs:.0f} ms, ratio {ratio:.2f}")
    return ratio


def in_one_call() -> tuple[float, float]:
    """Seconds of two cores for 240 sheets in one call; times as long as one after the other."""
    with tempfile.TemporaryDirectory() as folder:
        names = []
        for seed in range(SHEETS):
            day = day_of(Habit(cylinders=CYLINDERS[seed % len(CYLINDERS)]), seed)
            sheet = Path(folder, f"{seed}.toml")
            sheet.write_text(day.sheet.replace("table.csv", f"{seed}.csv"), encoding="utf-8")
            Path(folder, f"{seed}.csv").write_text(day.table, encoding="utf-8")
            names.append(str(sheet))
        with contextlib.redirect_stdout(io.StringIO()):
            together = seconds(lambda: enginemath(["ratio", *names]))
        one_by_one = seconds(lambda: [report_of(name) for name in names])
    share = together / one_by_one
    print(
        f"{SHEETS} sheets: {together:.1f} s together, {together / 2:.1f} s on each of two cores; "
        f"{one_by_one:.1f} s one after the other, ratio {share:.2f}"
    )
    return together / 2, share


def main() -> int:
    """Measure both."""
    over = of_readings() > READINGS_LIMIT
    on_two_cores, share = in_one_call()
    return int(over or on_two_cores > SECONDS_LIMIT or share > CALL_LIMIT)


if __name__ == "__main__":
    sys.exit(main())
