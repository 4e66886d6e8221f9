"""The order of plans: cheapest, most probable to keep, nearest to the aim, least metal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from enginemath.change.chance import Bounded, kept_probability, most_that_can_be_kept
from enginemath.change.combination import Combination, after, combination_of
from enginemath.change.job import Job
from enginemath.change.limits_kept import job_limits
from enginemath.change.search.result import Numbers
from enginemath.engine.stack import stacks
from enginemath.units import deviation

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
    if not carries_uncertainty(job):
        return [(numbers, None) for numbers in found[:top]]
    first: list[tuple[Numbers, float | None]] = []
    choices = (combination_of(job.options, numbers) for numbers in found)
    for _, level in groupby(choices, key=lambda choice: choice.price):
        first += _of_one_price(job, list(level), top - len(first))
        if len(first) == top:
            break
    return first


def compared(job: Job, top: int) -> int:
    """How many plans a search has to keep so that the first ones can be told by their chances."""
    return max(top, COMPARED) if carries_uncertainty(job) else top


def carries_uncertainty(job: Job) -> bool:
    """Whether any reading, part or work has a ± that a limit could feel."""
    engine, options = job.engine, job.options
    work = options.tolerances
    if any(each.magnitude for each in (work.deck_cut, work.head_cut, work.compressed_thickness)):
        return True
    new = [option.gasket for option in options.gaskets if option.gasket]
    lengths = [
        *(deck.clearance for deck in engine.decks),
        *(gasket.compressed_thickness for gasket in (*engine.gaskets, *new)),
        *(gasket.volume for gasket in new),
        *(option.piston.crown for option in options.pistons if option.piston),
        *(height for bank in job.banks for height in (bank.heights.block, bank.heights.head)),
        *(valve.measured for valve in options.valves),
    ]
    numbers = [length.magnitude for length in lengths if length is not None]
    return any(map(deviation, [*numbers, *(stack.ratio for stack in stacks(engine))]))


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
