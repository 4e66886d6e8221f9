"""How long a million draws of the whole compression-ratio model take, as ratios in one run.

    python tests/benchmarks/bench_monte_carlo.py

The yardstick is drawing the same number of normal numbers alone. The limit is
1.2 times that. Other metrology packages work out the same model where they are installed.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from importlib.util import find_spec

import numpy
from uncertainties import ufloat

from enginemath.bench.how_sure.monte_carlo import simulate
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.units import Number

DRAWS = 1_000_000
LIMIT = 1.2
ROUNDS = 7

Result = tuple[float, float, float]
"""Standard uncertainty, and both limits of the 95 % interval."""

INPUTS = {
    "bore": ufloat(9.20, 0.001),  # cm, so that volumes come out in cc
    "stroke": ufloat(8.85, 0.002),
    "chamber": ufloat(47.5, 0.3),
    "gasket_bore": ufloat(9.32, 0.005),
    "thickness": ufloat(0.110, 0.002),
    "deck": ufloat(0.035, 0.002),
    "crown": ufloat(8.8, 0.2),
}


def ratio(
    bore: Number,
    stroke: Number,
    chamber: Number,
    gasket_bore: Number,
    thickness: Number,
    deck: Number,
    crown: Number,
) -> Number:
    """The library's formulas, put together."""
    clearance = clearance_volume(chamber, disc(gasket_bore, thickness), disc(bore, deck), crown)
    return compression_ratio(disc(bore, stroke), clearance)


def drawing_alone() -> None:
    numpy.random.default_rng(1).standard_normal((len(INPUTS), DRAWS))


def whole_model() -> Result:
    simulation = simulate(ratio, list(INPUTS.values()), draws=DRAWS)
    return simulation.u, *simulation.interval(0.95)


def metrolopy() -> Result:
    from metrolopy import gummy

    gummies = [gummy(x.nominal_value, x.std_dev) for x in INPUTS.values()]
    result = ratio(*gummies)
    result.p, result.cimethod = 0.95, "symmetric"
    result.sim(n=DRAWS)
    return float(result.usim), *(float(limit) for limit in result.cisim)


def suncal() -> Result:
    from suncal import Model

    model = Model(
        "ratio = (pi/4*bore**2*stroke + pi/4*bore**2*deck + chamber + crown"
        " + pi/4*gasket_bore**2*thickness)"
        " / (pi/4*bore**2*deck + chamber + crown + pi/4*gasket_bore**2*thickness)"
    )
    for name, x in INPUTS.items():
        model.var(name).measure(x.nominal_value).typeb(std=x.std_dev)
    result = model.monte_carlo(samples=DRAWS)
    expanded = result.expand("ratio", conf=0.95)
    return float(result.uncertainty["ratio"]), float(expanded.low), float(expanded.high)


def best_times(jobs: Sequence[Callable[[], object]]) -> list[float]:
    """Shortest time of each job, taken in turns so that all see the same machine."""
    times = [float("inf")] * len(jobs)
    for _ in range(ROUNDS):
        for i, job in enumerate(jobs):
            start = time.perf_counter()
            job()
            times[i] = min(times[i], time.perf_counter() - start)
    return times


def main() -> None:
    jobs: dict[str, Callable[[], Result | None]] = {
        "drawing alone": drawing_alone,
        "whole model": whole_model,
    }
    for package in (metrolopy, suncal):
        if find_spec(package.__name__):
            jobs[package.__name__] = package
        else:
            print(f"{package.__name__}: not installed, left out")
    times = dict(zip(jobs, best_times(list(jobs.values())), strict=True))
    yardstick = times["drawing alone"]
    print(f"{DRAWS:,} draws, {len(INPUTS)} normal inputs; limit {LIMIT} × drawing alone")
    for name, seconds in times.items():
        print(f"{name:16}{1e3 * seconds:8.1f} ms{seconds / yardstick:8.2f} ×")
    for name, job in jobs.items():
        if name != "drawing alone":
            u, low, high = job()
            print(f"{name:16}u = {u:.4f}, 95 % from {low:.3f} to {high:.3f}")
    if times["whole model"] > LIMIT * yardstick:
        raise SystemExit("slower than the limit")


if __name__ == "__main__":
    main()
