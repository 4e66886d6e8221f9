"""How likely every cylinder's true ratio lies in the band."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
from uncertainties import Variable

from enginemath.bench.how_sure.monte_carlo import Normal, simulate
from enginemath.change.search.grid import Array
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks
from enginemath.units import Number, deviation, nominal

_DRAWS = 200_000
_SEED = 1
_SURE = 1e-3
"""Where the least and the greatest chance there can be are nearer than this, nothing is drawn."""


def in_band_probability(engine: Engine, low: float, high: float) -> float | None:
    """Chance that the true ratios of all cylinders lie in a band.

    The ratios are taken as normal, to first order in the readings. Readings that cylinders share
    move them together. Where that leaves the chance open by more than 0.001, it is drawn, always
    with the same seed, and good to about 0.003.

    Args:
        engine: with the uncertainties of its readings and of the work done.
        low: lower end of the band.
        high: upper end of the band.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.

    Source: law of propagation with covariances, JCGM 102:2011, 6.2; drawn after JCGM 101:2008.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> sheet = parse(EXAMPLE.replace("0.35 mm", "0.35 ± 0.05 mm"))
    >>> in_band_probability(sheet.engine, 9.8, 9.9) is None
    False
    """
    of_all = [stack.ratio for stack in stacks(engine)]
    ratios = [ratio for ratio in of_all if deviation(ratio)]
    if not ratios:
        return None
    if any(not deviation(ratio) and not low <= nominal(ratio) <= high for ratio in of_all):
        return 0.0
    kinds = np.unique(_sensitivities(ratios), axis=0)
    best, slopes = kinds[:, 0], _causes(kinds[:, 1:])
    if slopes.shape[1] == 1:
        return _of_one_cause(best, slopes[:, 0], low, high)

    misses = _of_each_missing(best, slopes, low, high)
    if misses.sum() - misses.max() < _SURE:
        return float(1 - (misses.sum() + misses.max()) / 2)

    def all_in_band(*causes: Array) -> Array:
        # Not `@`: for so small a table its threads cost more than they bring on a busy machine.
        drawn = best[:, np.newaxis] + np.einsum("ij,j...->i...", slopes, np.stack(causes))
        return ((drawn >= low) & (drawn <= high)).all(axis=0)

    causes = [Normal(0.0, 1.0)] * slopes.shape[1]
    return simulate(all_in_band, causes, draws=_DRAWS, seed=_SEED).value


def _sensitivities(ratios: list[Number]) -> Array:
    """One row a ratio: its best value, then how far each reading's uncertainty moves it."""
    readings = list(dict.fromkeys(reading for ratio in ratios for reading in _derivatives(ratio)))
    return np.array(
        [
            [nominal(ratio)]
            + [_derivatives(ratio).get(reading, 0.0) * reading.std_dev for reading in readings]
            for ratio in ratios
        ]
    )


def _derivatives(ratio: Number) -> dict[Variable, float]:
    return getattr(ratio, "derivatives", {})


def _causes(sensitivities: Array) -> Array:
    """The same spread and covariances from as few independent causes as can be."""
    _, sizes, directions = np.linalg.svd(sensitivities.T, full_matrices=False)
    needed = sizes > 1e-9 * sizes[0]
    return (sizes[needed, np.newaxis] * directions[needed]).T


def _of_each_missing(best: Array, slopes: Array, low: float, high: float) -> Array:
    """Chance of each cylinder, looked at alone, to be out of the band.

    At least one is out with a chance between the greatest of these and their sum.
    """
    spreads = np.sqrt((slopes * slopes).sum(axis=1))
    return np.array(
        [
            NormalDist(ratio, spread).cdf(low) + NormalDist(-ratio, spread).cdf(-high)
            for ratio, spread in zip(best, spreads, strict=True)
        ]
    )


def _of_one_cause(best: Array, slopes: Array, low: float, high: float) -> float:
    """All cylinders move together: the band is a range of the one cause."""
    ends = np.sort((np.array([[low], [high]]) - best) / slopes, axis=0)
    from_, to = ends[0].max(), ends[1].min()
    return max(0.0, NormalDist().cdf(to) - NormalDist().cdf(from_))
