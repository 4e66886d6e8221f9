"""How long the kit takes to start, against importing what it stands on.

    python tests/benchmarks/bench_import.py

Prints medians of paired runs, whole processes, the baseline measured in turn with each. Exits 1
where a ratio is over its limit.
"""

from __future__ import annotations

import subprocess
import sys
import time
from statistics import median

from enginemath.sheets.kit_data import path

PAIRS = 15
BASELINE = [sys.executable, "-c", "import pint, uncertainties"]
SHEET = str(path("heron-eight.toml"))
MEASURED = {
    "import enginemath": ([sys.executable, "-c", "import enginemath"], 1.25),
    "enginemath ratio": ([sys.executable, "-m", "enginemath", "ratio", SHEET], 1.5),
}


def seconds(command: list[str]) -> float:
    """Wall time of one whole process."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main() -> int:
    """Measure in pairs, so that a drift of the machine falls on both."""
    over = False
    for name, (command, limit) in MEASURED.items():
        seconds(BASELINE), seconds(command)
        pairs = [(seconds(BASELINE), seconds(command)) for _ in range(PAIRS)]
        base, taken = (median(times) for times in zip(*pairs, strict=True))
        ratio = median(b / a for a, b in pairs)
        over = over or ratio > limit
        print(
            f"{name}: {1000 * taken:.0f} ms, pint and uncertainties alone {1000 * base:.0f} ms, "
            f"ratio {ratio:.2f} (limit {limit})"
        )
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
