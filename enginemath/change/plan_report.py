"""What `enginemath plan` says, as data."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

import pint

from enginemath.change.combination import combination_at, machined, numbers_at, price_of
from enginemath.change.limits_kept import held
from enginemath.change.price_list import Options, Target
from enginemath.change.unusual_options import slips
from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean_ratio
from enginemath.engine.unusual import doubts
from enginemath.sheets import Sheet
from enginemath.units import Refused, in_mm, nominal, shop_unit

if TYPE_CHECKING:
    from enginemath.change.search.grid import Grid

DIGITS = 9
"""Decimals kept, so that three cuts of 0.05 mm are 0.15 mm."""


def plan_report(sheet: Sheet, options: Options, top: int = 10) -> dict[str, Any]:
    """Try every combination of changes, and rank those that keep to all limits.

    Args:
        sheet: the engine as measured.
        options: what is wanted and what could be done; see `read_options`.
        top: how many plans to give, at least 1.

    Returns:
        Plain numbers and texts, ready for JSON. `tried` and `feasible` are counts; `plans` are
        ranked by price, then distance from the aim, then metal removed. Each has the mean over
        the cylinders of ratio, squish and deck clearance, and the extremes beside it.
        `in_band_probability` is the chance that every cylinder's true ratio is in the band, None
        where nothing carries an uncertainty. `front` are the plans that no other beats in price,
        distance and metal together, None where it was not worked out; `front_count` is how many
        there are. Where they are more than a thousand, `front` holds one for each price and each
        `front_step` of ratio from the aim, which is else None. Where nothing is feasible,
        `nearest_misses` say which limits they break. `complete` is False after an interrupt.

    Raises:
        Refused: no whole number of plans.
    """
    from enginemath.change.search.grid import grid_of
    from enginemath.change.search.try_all import search

    if not isinstance(top, int) or top < 1:
        raise Refused(f"{top} plans: write a whole number, 1 or more")
    engine = sheet.engine
    grid = grid_of(engine, options)
    found = search(grid, options, min(top, options.combinations))
    front = found.front
    described = partial(_described, engine, grid, options)
    return {
        "name": engine.name,
        "unit": shop_unit(engine.cylinder.bore),
        "compression_ratio": nominal(mean_ratio(engine)),
        "target": _target(options.target),
        "combinations": options.combinations,
        "tried": found.tried,
        "complete": found.complete,
        "feasible": found.feasible,
        "plans": [
            plan | {"in_band_probability": _chance(engine, options, place)}
            for place, plan in zip(found.best, described(found.best), strict=True)
        ],
        "front": None if front is None else described(front.numbers),
        "front_count": front and front.count,
        "front_step": front and front.step,
        "nearest_misses": [
            miss | {"breaks": _broken(_after(engine, options, place), options)}
            for place, miss in zip(
                found.nearest_misses, described(found.nearest_misses), strict=True
            )
        ],
        "warnings": list(_warnings(engine, options, found.best)),
    }


def _target(target: Target) -> dict[str, Any]:
    return {
        "ratio": [target.low, target.high],
        "aim": target.aim,
        "squish_mm": target.squish and [_mm(limit) for limit in target.squish],
    }


def _described(
    engine: Engine, grid: Grid, options: Options, places: list[int]
) -> list[dict[str, Any]]:
    import numpy as np

    numbers = [numbers_at(options, place) for place in places]
    gaskets, pistons, deck_cuts, head_cuts = np.reshape(np.array(numbers, dtype=np.intp), (-1, 4)).T
    added = grid.at(gaskets, pistons, deck_cuts, head_cuts)
    ratios = np.array(grid.ratios(added.clearance))
    mean = grid.mean_ratio(added.clearance)
    decks, squishes = (np.add.outer(grid.decks, low) for low in (added.deck, added.squish))
    bore = engine.cylinder.bore
    hanging = [(option.gasket or engine.gasket).hangs_into(bore) for option in options.gaskets]
    columns = {
        "gasket": [options.gaskets[number].name for number in gaskets],
        "gasket_hangs_in": [hanging[number] for number in gaskets],
        "piston": [options.pistons[number].name for number in pistons],
        "deck_cut_mm": _known(grid.deck_cuts.metal[deck_cuts]),
        "head_cut_mm": _known(grid.head_cuts.metal[head_cuts]),
        "compression_ratio": mean.tolist(),
        "from_aim": np.abs(mean - options.target.aim).tolist(),
        "lowest_ratio": ratios.min(axis=0).tolist(),
        "highest_ratio": ratios.max(axis=0).tolist(),
        "squish_mm": _known(squishes.mean(axis=0)),
        "lowest_squish_mm": _known(squishes.min(axis=0)),
        "deck_clearance_mm": _known(decks.mean(axis=0)),
        "lowest_deck_clearance_mm": _known(decks.min(axis=0)),
        "metal_removed_mm": _known(added.metal),
        "price": [price_of(options, chosen) for chosen in numbers],
    }
    return [dict(zip(columns, plan, strict=True)) for plan in zip(*columns.values(), strict=True)]


def _known(lengths: Any) -> list[float | None]:
    """Lengths in mm; None for what is not known."""
    return [None if math.isnan(mm) else _rounded(mm) for mm in lengths.tolist()]


def _after(engine: Engine, options: Options, place: int) -> Engine:
    return machined(engine, options, combination_at(options, place))


def _chance(engine: Engine, options: Options, place: int) -> float | None:
    from enginemath.change.chance import in_band_probability

    target = options.target
    chance = in_band_probability(_after(engine, options, place), target.low, target.high)
    return None if chance is None else round(chance, 4)


def _broken(after: Engine, options: Options) -> list[str]:
    return [broken for limit in held(after, options) for broken in limit.breaks()]


def _warnings(engine: Engine, options: Options, places: list[int]) -> Iterator[str]:
    if not options.target.squish:
        yield "no squish range is given: a plan may leave the piston too near to the head"
    yield from slips(engine, options)
    if places:
        known = doubts(engine)
        for doubt in doubts(_after(engine, options, places[0])):
            if doubt not in known:
                yield f"after plan 1: {doubt}"


def _mm(length: pint.Quantity) -> float:
    return _rounded(in_mm(length))


def _rounded(mm: float) -> float:
    return round(float(mm), DIGITS) + 0.0  # never -0.0
