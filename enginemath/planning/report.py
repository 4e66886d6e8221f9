"""What `enginemath plan` says, as data."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

import pint

from enginemath.buildsheet import Sheet
from enginemath.doubts import doubts
from enginemath.parts import Engine
from enginemath.planning.combination import combination_at, machined
from enginemath.planning.options import TOUCH, Options, Target
from enginemath.stack import mean_ratio, stacks
from enginemath.units import Quantity, Refused, in_mm, nominal, shop_unit, show, show_ratio

if TYPE_CHECKING:
    from enginemath.planning.grid import Grid

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
        distance and metal together, None where it was not worked out. Where nothing is feasible,
        `nearest_misses` say which limits they break. `complete` is False after an interrupt.

    Raises:
        Refused: no whole number of plans.
    """
    from enginemath.planning.grid import grid_of
    from enginemath.planning.search import search

    if not isinstance(top, int) or top < 1:
        raise Refused(f"{top} plans: write a whole number, 1 or more")
    engine = sheet.engine
    grid = grid_of(engine, options)
    found = search(grid, options, min(top, options.combinations))
    described = partial(_described, grid, options)
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
            described(place) | {"in_band_probability": _chance(engine, options, place)}
            for place in found.best
        ],
        "front": None if found.front is None else [described(place) for place in found.front],
        "nearest_misses": [
            described(place) | {"breaks": list(_breaks(_after(engine, options, place), options))}
            for place in found.nearest_misses
        ],
        "warnings": list(_warnings(engine, options, found.best)),
    }


def _target(target: Target) -> dict[str, Any]:
    return {
        "ratio": [target.low, target.high],
        "aim": target.aim,
        "squish_mm": target.squish and [_mm(limit) for limit in target.squish],
    }


def _described(grid: Grid, options: Options, place: int) -> dict[str, Any]:
    choice = combination_at(options, place)
    added = grid.at(*choice.numbers)
    ratios = [float(ratio) for ratio in grid.ratios(added.clearance[0])]
    decks, squishes = grid.decks + added.deck[0], grid.decks + added.squish[0]
    known = not math.isnan(squishes[0])
    return {
        "gasket": choice.gasket.name,
        "piston": choice.piston.name,
        "deck_cut_mm": _mm(choice.deck_cut),
        "head_cut_mm": _mm(choice.head_cut),
        "compression_ratio": float(grid.mean_ratio(added.clearance)[0]),
        "from_aim": float(abs(grid.mean_ratio(added.clearance)[0] - options.target.aim)),
        "lowest_ratio": min(ratios),
        "highest_ratio": max(ratios),
        "squish_mm": _rounded(squishes.mean()) if known else None,
        "lowest_squish_mm": _rounded(squishes.min()) if known else None,
        "deck_clearance_mm": _rounded(decks.mean()),
        "lowest_deck_clearance_mm": _rounded(decks.min()),
        "metal_removed_mm": _rounded(added.metal[0]),
        "price": choice.price,
    }


def _after(engine: Engine, options: Options, place: int) -> Engine:
    return machined(engine, options, combination_at(options, place))


def _chance(engine: Engine, options: Options, place: int) -> float | None:
    from enginemath.planning.probability import in_band_probability

    target = options.target
    chance = in_band_probability(_after(engine, options, place), target.low, target.high)
    return None if chance is None else round(chance, 4)


def _breaks(after: Engine, options: Options) -> Iterator[str]:
    """The limits that are broken, each with the cylinder that breaks it worst."""
    target, unit = options.target, shop_unit(after.cylinder.bore)

    def length(mm: float) -> str:
        return show(Quantity(mm, "mm"), unit)

    ratios = [nominal(stack.ratio) for stack in stacks(after)]
    yield from _beyond("ratio", ratios, target.low, target.high, lambda r: show_ratio(r, 3))
    squishes = [after.squish(number) for number in range(after.count)]
    if target.squish and None in squishes:
        yield "squish is wanted and not known: the gasket's compressed thickness is not given"
    elif target.squish:
        tight, wide = map(_mm, target.squish)
        yield from _beyond("squish", [_mm(gap) for gap in squishes if gap], tight, wide, length)
    decks = [_mm(deck.clearance) for deck in after.decks]
    yield from _beyond("deck clearance", decks, _mm(options.deck_clearance_min), math.inf, length)


def _beyond(
    what: str, values: list[float], low: float, high: float, said: Callable[[float], str]
) -> Iterator[str]:
    least, most = min(values), max(values)
    if least < low - TOUCH:
        yield f"{what} of cylinder {values.index(least) + 1} is {said(least)}, below {said(low)}"
    if most > high + TOUCH:
        yield f"{what} of cylinder {values.index(most) + 1} is {said(most)}, above {said(high)}"


def _warnings(engine: Engine, options: Options, places: list[int]) -> Iterator[str]:
    if not options.target.squish:
        yield "no squish range is given: a plan may leave the piston too near to the head"
    if places:
        known = doubts(engine)
        for doubt in doubts(_after(engine, options, places[0])):
            if doubt not in known:
                yield f"after plan 1: {doubt}"


def _mm(length: pint.Quantity) -> float:
    return _rounded(in_mm(length))


def _rounded(mm: float) -> float:
    return round(float(mm), DIGITS) + 0.0  # never -0.0
