"""How likely every cylinder's true ratio lies in the band."""

from __future__ import annotations

from collections.abc import Iterable

from enginemath.change.all_within import Bounded, chance_within, miss
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks

_FEWER_POINTS = 500
_NEVER = 1e-5
"""What is missed so seldom is left out."""
_THINNER = 0.04
"""That a limit may be missed less often than it is counted with here."""


def in_band_probability(engine: Engine, low: float, high: float) -> float | None:
    """Chance that the true ratios of all cylinders lie in a band.

    The ratios are taken to first order in the readings, each source with its own distribution, see
    `chance_within`. Readings that cylinders share move them together. Good to about 0.001 where
    all are normal; the same engine always has the same chance.

    Args:
        engine: with the uncertainties of its readings and of the work done.
        low: lower end of the band.
        high: upper end of the band.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.

    Source: law of propagation with covariances, JCGM 102:2011, 6.2. The integral is A. Genz's
    (Numerical computation of multivariate normal probabilities, 1992): one independent cause after
    the other, at points spread evenly.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> sheet = parse(EXAMPLE.replace("0.35 mm", "0.35 ± 0.05 mm"))
    >>> in_band_probability(sheet.engine, 9.8, 9.9) is None
    False
    """
    return chance_within([(stack.ratio, low, high) for stack in stacks(engine)])


def kept_probability(limits: Iterable[Bounded]) -> float | None:
    """Chance that every limit holds in every cylinder, within 0.02 of simulated work.

    Args:
        limits: a value with its uncertainties, and both its ends, for each limit and cylinder.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.

    Source: see `in_band_probability`.

    >>> from uncertainties import ufloat
    >>> round(kept_probability([(ufloat(0.90, 0.02), 0.90, 1.15), (9.2, 9.0, 9.5)]), 3)
    0.5
    """
    return chance_within(limits, _FEWER_POINTS, _NEVER)


def most_that_can_be_kept(limits: Iterable[Bounded]) -> float:
    """No less than the chance that every limit holds: that of the one that breaks most easily.

    Where its sources are not all normal its own chance is a close one only, and so has some room.
    """
    most = 0.0
    for number, low, high in limits:
        chance, close = miss(number, low, high)
        if chance > most:
            most = max(most, chance - (_THINNER if close else 0.0))
    return 1 - most
