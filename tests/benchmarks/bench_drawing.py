"""The large pictures of the pages, each drawn anew after a change, against the plain section.

    python tests/benchmarks/bench_drawing.py

Exits 1 where a picture takes more than 8 times as long as one cylinder in section, measured in the
same run: Python then needs more than about 4 ms of a machine that draws the section in half of one.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from statistics import median
from timeit import timeit

sys.path.insert(0, str(Path(__file__).parents[2]))

from enginemath.drawing.bench_map import PLACES, Stop, bench_map
from enginemath.drawing.cylinder.both_sides import both_sides
from enginemath.drawing.cylinder.counting import counting
from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from tests.drawing.engines import HERON, volumes

LIMIT, CALLS, ROUNDS = 8.0, 5, 15
STOPS = [Stop(f"{n:02d}", place, place, place, place) for n, place in enumerate(PLACES)]
PICTURES = {
    "map": lambda: bench_map(HERON, STOPS, at="04"),
    "gasket and deck at both sides": lambda: both_sides(HERON, (0.3, 0.4), squish_line(1.45)),
    "bore and stroke": lambda: sizing(HERON),
    "taking hold": lambda: taking_hold(
        HERON, (ratio_line(8.7), squish_line(1.45)), lens=("gasket", "deck")
    ),
    "turning": lambda: turning(replace(HERON, angle=120.0), [(0.0, 120.0)]),
    "counting": lambda: counting(HERON, volumes(HERON), 5.5),
}


def main() -> int:
    """Measure each beside the section, in turns."""
    worst = 0.0
    for name, draw in PICTURES.items():
        ratio = median(
            timeit(lambda draw=draw: draw().svg(), number=CALLS)
            / timeit(lambda: section(HERON).svg(), number=CALLS)
            for _ in range(ROUNDS)
        )
        worst = max(worst, ratio)
        print(f"{name:<32}{ratio:5.2f} times the section (limit {LIMIT:g})")
    return 1 if worst > LIMIT else 0


if __name__ == "__main__":
    sys.exit(main())
