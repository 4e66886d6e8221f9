"""Drawing a number of times, or until the digits that are wanted stand still."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from enginemath.bench.how_sure.monte_carlo.known import Array
from enginemath.bench.how_sure.monte_carlo.model import Input, Model
from enginemath.bench.how_sure.monte_carlo.simulation import Simulation
from enginemath.units import Number, Refused

_LEAST_ROUNDS = 10
"""The least rounds of the adaptive procedure: two or three can agree by chance."""


def simulate(
    formula: Callable[..., Number],
    inputs: Sequence[Input],
    *,
    draws: int = 1_000_000,
    seed: int = 1,
) -> Simulation:
    """Work a number of draws of independent inputs through a formula.

    Args:
        formula: takes one argument an input, numbers or arrays; plain operators only. An input
            that is needed at several places is drawn once.
        inputs: plain numbers stay as they are; numbers with uncertainty are drawn as normal.
        draws: how many, at least 2.
        seed: the same seed gives the same draws.

    Returns:
        The simulation, in the unit of the formula's result.

    Raises:
        Refused: inputs that share a reading, or draws for which the formula has no value.

    Source: JCGM 101:2008, 7.

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.monte_carlo.known import Normal, Rectangular
    >>> gasket = simulate(disc, [Normal(93.2, 0.05), Rectangular(1.10, 0.02)], draws=100_000)
    >>> round(gasket.value, -1), round(gasket.u)  # mm³
    (7500.0, 79)
    """
    import numpy

    model = Model(formula, inputs)
    simulation = Simulation(model.draw(numpy.random.default_rng(seed), draws), model.unit)
    _refuse_no_value(simulation)
    return simulation


def simulate_to_digits(
    formula: Callable[..., Number],
    inputs: Sequence[Input],
    *,
    digits: int = 2,
    coverage: float = 0.95,
    seed: int = 1,
    most: int = 10_000_000,
) -> Simulation:
    """Draw until value, standard uncertainty and both limits are sure to a digit.

    Args:
        formula: see `simulate`.
        inputs: see `simulate`.
        digits: significant digits of the standard uncertainty that must stand, 1 or more.
        coverage: of the interval that must stand.
        seed: the same seed gives the same draws.
        most: draws to give up at, 100 000 or more; the simulation then says it has not settled.

    Returns:
        The simulation, over all draws.

    Source: the adaptive procedure of JCGM 101:2008, 7.9, with ten rounds at least.

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.monte_carlo.known import Normal, Rectangular
    >>> gasket = simulate_to_digits(disc, [Normal(93.2, 0.05), Rectangular(1.10, 0.02)], digits=1)
    >>> gasket.settled, gasket.count
    (True, 100000)
    """
    import numpy

    model = Model(formula, inputs)
    generator = numpy.random.default_rng(seed)
    per_round = max(10_000, math.ceil(100 / (1 - coverage)))
    rounds: list[Simulation] = []
    results: list[tuple[float, ...]] = []
    settled = False
    while not settled and (len(rounds) + 1) * per_round <= most:
        fresh = Simulation(model.draw(generator, per_round))
        _refuse_no_value(fresh)
        rounds.append(fresh)
        results.append((fresh.value, fresh.u, *fresh.interval(coverage)))
        settled = len(rounds) >= _LEAST_ROUNDS and _has_settled(numpy.array(results), digits)
    return Simulation(numpy.concatenate([one.draws for one in rounds]), model.unit, settled)


def _has_settled(results: Array, digits: int) -> bool:
    """Whether twice the standard error of every mean result is within the tolerance (7.9.4)."""
    standard_errors = results.std(axis=0, ddof=1) / len(results) ** 0.5
    return bool((2 * standard_errors <= numerical_tolerance(results[:, 1].mean(), digits)).all())


def numerical_tolerance(u: float, digits: int) -> float:
    """Half a unit of the last of some significant digits. JCGM 101:2008, 7.9.2.

    >>> numerical_tolerance(0.0834, 2), numerical_tolerance(32.0, 1)
    (0.0005, 5.0)
    """
    if not u > 0:
        return 0.0
    written = f"{u:.{digits - 1}e}"
    return 0.5 * 10.0 ** (int(written.partition("e")[2]) - digits + 1)


def _refuse_no_value(simulation: Simulation) -> None:
    if not math.isfinite(simulation.value):
        raise Refused(
            "the formula has no value for some of the draws: "
            "an uncertainty is too wide for it, or a reading is wrong"
        )
