"""The order of plans: cheapest, most probable to keep, nearest to the aim, least metal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from enginemath.change.chance import Bounded, kept_probability, most_that_can_be_kept
from enginemath.change.combination import Combination, after, combination_of
from enginemath.change.job import Job
from enginemath.change.limits_kept import job_limits
from enginemath.change.search.result import Numbers

COMPARED = 200
"""Plans, at most, whose chances are compared: of a price the nearest to the aim."""
_PLACES = 2
"""Chances that are level to the percent are level."""


def bounded(job: Job, choice: Combination) -> list[Bounded]:
    """Every value that a limit is put on, with its uncertainty and both ends.

    Raises:
        Refused: the engine cannot be assembled so.
    """
    return [
        (value, limit.low, limit.high)
        for limit in job_limits(job, choice, after(job.engine, job.options, choice))
        for value in limit.values
        if value is not None
    ]


def kept(job: Job, choice: Combination) -> float | None:
    """Chance that every limit holds in every cylinder after a combination of changes.

    Returns:
        0 to 1, or None where nothing carries an uncertainty.
    """
    return kept_probability(bounded(job, choice))


def ranked(job: Job, found: Sequence[Numbers], top: int) -> list[tuple[Numbers, float | None]]:
    """The first plans of those found, with the chance that each keeps every limit.

    Plans of one price are put in the order of their chances, to the percent; where these are
    level they stay as they are, nearest to the aim first.

    Args:
        job: the engine and what can be done to it.
        found: numbers of plans, ranked by price, distance from the aim and metal removed.
        top: how many to give.
    """
    first: list[tuple[Numbers, float | None]] = []
    choices = (combination_of(job.options, numbers) for numbers in found)
    for _, level in groupby(choices, key=lambda choice: choice.price):
        first += _of_one_price(job, list(level), top - len(first))
        if len(first) == top:
            break
    return first


def _of_one_price(
    job: Job, level: Sequence[Combination], room: int
) -> list[tuple[Numbers, float | None]]:
    limits = [bounded(job, choice) for choice in level]
    most = [most_that_can_be_kept(each) for each in limits]
    chances: dict[int, float | None] = {}
    for number in sorted(range(len(level)), key=lambda number: -most[number]):
        worst = sorted(_percent(chance) for chance in chances.values())[-room:]
        if len(worst) == room and _percent(most[number]) < worst[0]:
            break
        chances[number] = kept_probability(limits[number])
    order = sorted(chances, key=lambda number: (-_percent(chances[number]), number))
    return [(level[number].numbers, chances[number]) for number in order[:room]]


def _percent(chance: float | None) -> float:
    return 1.0 if chance is None else round(chance, _PLACES)
