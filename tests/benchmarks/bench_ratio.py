"""One ratio from quantities with uncertainties, against the same formula written bare.

    python tests/benchmarks/bench_ratio.py

Both work on pint quantities of numbers with uncertainty. Exits 1 where the library's formulas
take more than 1.5 times as long.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from statistics import median
from timeit import timeit

from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import annulus, disc
from enginemath.units import Quantity, read

LIMIT = 1.5
CALLS, PAIRS = 100, 15
BORE, STROKE = read("92.00 ± 0.01 mm"), read("88.50 ± 0.03 mm")
CHAMBER, CROWN = read("47.5 ± 0.3 cc"), read("8.8 ± 0.2 cc")
GASKET_BORE, THICKNESS = read("93.20 ± 0.05 mm"), read("1.10 ± 0.02 mm")
DECK = read("0.35 ± 0.02 mm")
LAND, HEIGHT = read("91.40 ± 0.02 mm"), read("6.00 ± 0.05 mm")


def by_the_library() -> Quantity:
    """The ratio through the library's formulas."""
    return compression_ratio(
        disc(BORE, STROKE),
        clearance_volume(
            CHAMBER,
            disc(GASKET_BORE, THICKNESS),
            disc(BORE, DECK),
            CROWN,
            annulus(BORE, LAND, HEIGHT),
        ),
    ).to("")


def written_bare() -> Quantity:
    """The ratio as somebody would write it with pint and uncertainties alone."""
    quarter = math.pi / 4
    swept = quarter * BORE**2 * STROKE
    left = (
        CHAMBER
        + quarter * GASKET_BORE**2 * THICKNESS
        + quarter * BORE**2 * DECK
        + CROWN
        + quarter * (BORE**2 - LAND**2) * HEIGHT
    )
    return ((swept + left) / left).to("")


def milliseconds(work: Callable[[], Quantity]) -> float:
    """Time of one call."""
    return 1000 * timeit(work, number=CALLS) / CALLS


def main() -> int:
    """Measure in pairs."""
    here, bare = by_the_library().magnitude, written_bare().magnitude
    assert math.isclose(here.nominal_value, bare.nominal_value, rel_tol=1e-12)
    assert math.isclose(here.std_dev, bare.std_dev, rel_tol=1e-9)
    pairs = [(milliseconds(by_the_library), milliseconds(written_bare)) for _ in range(PAIRS)]
    ours, theirs = (median(times) for times in zip(*pairs, strict=True))
    ratio = median(a / b for a, b in pairs)
    print(f"library {ours:.2f} ms, bare {theirs:.2f} ms, ratio {ratio:.2f} (limit {LIMIT})")
    return 1 if ratio > LIMIT else 0


if __name__ == "__main__":
    sys.exit(main())
