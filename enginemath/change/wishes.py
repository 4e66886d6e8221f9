"""The one choice among all: how it stands, and which plan serves a wish best."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pint

from enginemath.change.combination import Combination, combination_of, machined
from enginemath.change.job import Job
from enginemath.change.limits_kept import keeps_all
from enginemath.change.search.try_all import search
from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean_ratio
from enginemath.units import Refused, best, in_mm, nominal, shop_unit, show, show_ratio
from enginemath.units.columns import in_columns


def compared(job: Job, choice: Combination) -> str:
    """How a choice stands among all combinations that keep to every limit."""
    kept = _all_that_keep(job)
    found = f"Of {job.combinations} combinations, {len(kept)} keep to every limit."
    if not keeps_all(job, choice):
        return f"{found} Yours is not one of them."
    cheaper = sum(other.price < choice.price for other in kept)
    if cheaper:
        return f"{found} Yours is one; {cheaper} of the others cost less."
    return f"{found} Yours is one, and no other costs less."


def _all_that_keep(job: Job) -> list[Combination]:
    """All combinations that keep to every limit, ranked as a plan ranks them."""
    found = search(job, job.combinations)
    return [combination_of(job.options, numbers) for numbers in found.best]


def _tightest_squish(engine: Engine) -> pint.Quantity:
    gaps = map(engine.squish, range(engine.count))
    return min(best(gap) for gap in gaps if gap is not None)


WISHES: dict[str, Callable[[Combination, Engine], float]] = {
    "cheapest": lambda choice, _: choice.price,
    "best squish": lambda _, after: in_mm(_tightest_squish(after)),
    "least metal": lambda choice, _: in_mm(choice.metal),
}
"""What each wish wants the least of; a tie goes to the plan that is ranked higher."""


def by_wish(job: Job) -> str:
    """The plan that serves each wish best, among all that keep to every limit, as a table.

    Raises:
        Refused: no combination keeps to every limit, or no squish is wanted.
    """
    engine, options = job.engine, job.options
    if options.target.squish is None:
        raise Refused("no squish range is wanted, so no plan has the best squish")

    kept = [(choice, machined(engine, options, choice)) for choice in _all_that_keep(job)]
    if not kept:
        raise Refused("no combination keeps to every limit, so there is nothing to choose from")
    unit = shop_unit(engine.cylinder.bore)
    rows: list[Sequence[str]] = [
        ("wish", "price", "ratio", "tightest squish", "deck cut", "head cut", "gasket", "piston")
    ]
    for wish, measure in WISHES.items():
        choice, after = min(kept, key=lambda plan: measure(*plan))
        lengths = (_tightest_squish(after), choice.deck_cut, choice.head_cut)
        rows.append(
            (
                wish,
                f"{choice.price:g}",
                show_ratio(nominal(mean_ratio(after)), 3),
                *(show(length, unit) for length in lengths),
                choice.gasket.name,
                choice.piston.name,
            )
        )
    return "\n".join(in_columns(rows))
