"""What `enginemath plan` says, as data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

import pint

from enginemath.change.chance import in_band_probability
from enginemath.change.combination import combination_at, machined, numbers_at, price_of
from enginemath.change.limits_kept import check_limits
from enginemath.change.price_list import AS_MEASURED, Options, Target
from enginemath.change.search.grid import Grid, grid_of
from enginemath.change.search.try_all import search
from enginemath.change.unusual_options import option_warnings
from enginemath.engine.parts import Engine
from enginemath.engine.rules_of_thumb import PISTON_TO_EXHAUST_VALVE, PISTON_TO_INTAKE_VALVE
from enginemath.engine.stack import mean_ratio
from enginemath.engine.unusual import warnings
from enginemath.sheets import Sheet
from enginemath.units import (
    Quantity,
    Refused,
    in_mm,
    nominal,
    percent,
    printable,
    shop_unit,
    show,
    show_ratio,
)
from enginemath.units.columns import folded, in_columns

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
    if not isinstance(top, int) or top < 1:
        raise Refused(f"{top} plans: write a whole number, 1 or more")
    engine = sheet.engine
    found = search(engine, options, min(top, options.combinations))
    front = found.front
    described = partial(_described, engine, grid_of(engine, options), options)
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
    return [_plan(engine, grid, options, numbers_at(options, place)) for place in places]


def _plan(engine: Engine, grid: Grid, options: Options, numbers: tuple[int, ...]) -> dict[str, Any]:
    gasket, piston, deck_cut, head_cut = numbers
    added = grid.at(numbers)
    ratios, mean = grid.ratios(added.clearance), grid.mean_ratio(added.clearance)
    decks = [low + added.deck for low in grid.decks]
    squishes = [low + added.squish for low in grid.decks]
    fitted = options.gaskets[gasket].gasket or engine.gasket
    return {
        "gasket": options.gaskets[gasket].name,
        "gasket_hangs_in": fitted.hangs_into(engine.cylinder.bore),
        "piston": options.pistons[piston].name,
        "deck_cut_mm": _known(grid.deck_cuts[deck_cut].metal),
        "head_cut_mm": _known(grid.head_cuts[head_cut].metal),
        "compression_ratio": mean,
        "from_aim": abs(mean - options.target.aim),
        "lowest_ratio": min(ratios),
        "highest_ratio": max(ratios),
        "squish_mm": _known(sum(squishes) / len(squishes)),
        "lowest_squish_mm": _known(min(squishes)),
        "deck_clearance_mm": _known(sum(decks) / len(decks)),
        "lowest_deck_clearance_mm": _known(min(decks)),
        "metal_removed_mm": _known(added.metal),
        "price": price_of(options, numbers),
    }


def _known(mm: float) -> float | None:
    """A length; None for what is not known."""
    return _rounded(mm) if math.isfinite(mm) else None


def _after(engine: Engine, options: Options, place: int) -> Engine:
    return machined(engine, options, combination_at(options, place))


def _chance(engine: Engine, options: Options, place: int) -> float | None:
    target = options.target
    chance = in_band_probability(_after(engine, options, place), target.low, target.high)
    return None if chance is None else round(chance, 4)


def _broken(after: Engine, options: Options) -> list[str]:
    return [broken for limit in check_limits(after, options) for broken in limit.breaks()]


def _warnings(engine: Engine, options: Options, places: list[int]) -> Iterator[str]:
    if not options.target.squish:
        yield "no squish range is given: a plan may leave the piston too near to the head"
    yield from option_warnings(engine, options)
    if places:
        known = warnings(engine)
        for warning in warnings(_after(engine, options, places[0])):
            if warning not in known:
                yield f"after plan 1: {warning}"


def _mm(length: pint.Quantity) -> float:
    return _rounded(in_mm(length))


def _rounded(mm: float) -> float:
    return round(float(mm), DIGITS) + 0.0  # never -0.0


_CAUTIONS = (
    "A computed ratio is not permission to cut or to run. The maker's minimum and a qualified "
    "machine shop decide what may be cut; local codes come first.",
    "A cut changes valve timing (overhead cam), valve and piston clearances, the fit of the intake "
    "and how often it can be cut again. Fresh cuts are sharp: gloves and eye protection.",
)


def plan_text(report: dict[str, Any]) -> str:
    """A plan's report as a page: the plans, what to check after the first one, and cautions.

    Args:
        report: see `plan_report`.
    """
    unit, plans, misses = report["unit"], report["plans"], report["nearest_misses"]
    lines = folded(_heading(report))
    if plans:
        lines += ["", *_table(plans, unit), *_trade_off(report, unit), ""]
        lines += folded(_checks(plans[0], unit))
    elif misses:
        lines += ["", "The nearest misses:", "", *_table(misses, unit), ""]
        for number, miss in enumerate(misses, start=1):
            lines += folded([f"{number}: {broken}" for broken in miss["breaks"]])
    lines += ["", *folded([f"! {warning}" for warning in report["warnings"]])]
    return "\n".join([*lines, *folded(_CAUTIONS)])


def _trade_off(report: dict[str, Any], unit: str) -> list[str]:
    """The three ends of the front, where they are different plans."""
    front = report["front"] or []
    if len(front) < 2:
        return []
    ends = {
        "cheapest": min(front, key=lambda plan: plan["price"]),
        "nearest": min(front, key=lambda plan: plan["from_aim"]),
        "least metal": min(front, key=lambda plan: plan["metal_removed_mm"]),
    }
    words = (
        f"No plan beats these {report['front_count']} in price, nearness to the aim and metal "
        "together."
    )
    if report["front_step"]:
        words += (
            f" {len(front)} of them are listed: at each price, one for each "
            f"{report['front_step']:g} of ratio from the aim."
        )
    table = _table(list(ends.values()), unit, list(ends))
    return ["", *folded([f"{words} Their ends:"]), "", *table]


def _heading(report: dict[str, Any]) -> Iterator[str]:
    target, unit = report["target"], report["unit"]
    low, high = (show_ratio(end) for end in target["ratio"])
    wanted = f"Wanted in every cylinder: ratio {low} to {high}, aim {show_ratio(target['aim'])}"
    if target["squish_mm"]:
        tight, wide = (_length(end, unit) for end in target["squish_mm"])
        wanted += f"; squish {tight} to {wide} {unit}"
    name, ratio = printable(report["name"]), show_ratio(report["compression_ratio"])
    yield f"{name}: ratio {ratio} as measured"
    yield wanted
    yield _found(report)


def _found(report: dict[str, Any]) -> str:
    tried, feasible = (f"{report[count]:,}".replace(",", " ") for count in ("tried", "feasible"))
    if not report["complete"]:
        so_far = f"Stopped early: {tried} of {report['combinations']:,} combinations tried"
        return f"{so_far.replace(',', ' ')}, {feasible} keep to every limit so far"
    if not report["feasible"]:
        return f"{tried} combinations tried: none keeps to every limit"
    if report["feasible"] == 1:
        return f"{tried} combinations tried: one keeps to every limit"
    shown = len(report["plans"])
    order = "cheapest first, then nearest to the aim, then least metal removed"
    return f"{tried} combinations tried: {feasible} keep to every limit; {shown} shown, {order}"


def _table(
    plans: Sequence[dict[str, Any]], unit: str, labels: Sequence[str] | None = None
) -> list[str]:
    cells = [_cells(plan, unit) for plan in plans]
    labels = labels or [str(number) for number in range(1, len(plans) + 1)]
    rows = [
        ("", *cells[0]),
        ("", *(unit if column in {*_LENGTHS, *_CUTS} else "" for column in cells[0])),
        *((label, *plan.values()) for label, plan in zip(labels, cells, strict=True)),
    ]
    return in_columns(rows, right=[k for k, head in enumerate(rows[0]) if head not in _NAMES])


_LENGTHS = {"squish": "squish_mm", "deck": "deck_clearance_mm"}


_CUTS = {"deck cut": "deck_cut_mm", "head cut": "head_cut_mm"}


_NAMES = ("gasket", "piston")


_HANGS_IN = " (hangs into the bore)"


def _cells(plan: dict[str, Any], unit: str) -> dict[str, str]:
    """What a row of the table says, by the head of its column."""
    cells = {"price": f"{plan['price']:g}", "ratio": show_ratio(plan["compression_ratio"], 3)}
    if "in_band_probability" in plan:
        chance = plan["in_band_probability"]
        cells["in band"] = "-" if chance is None else percent(chance)
    for head, name in _LENGTHS.items():
        cells[head] = "-" if plan[name] is None else _length(plan[name], unit)
    for head, name in _CUTS.items():
        cells[head] = _length(plan[name], unit) if plan[name] else "none"
    gasket = printable(plan["gasket"]) + (_HANGS_IN if plan["gasket_hangs_in"] else "")
    return cells | {"gasket": gasket, "piston": printable(plan["piston"])}


def _checks(plan: dict[str, Any], unit: str) -> Iterator[str]:
    """What to measure again once the work of the first plan is done."""
    untouched = plan["gasket"] == plan["piston"] == AS_MEASURED
    if untouched and not plan["deck_cut_mm"] and not plan["head_cut_mm"]:
        yield "Plan 1 leaves the engine as it was measured. Before it is bolted together for good:"
    else:
        yield "After the work of plan 1, measure again before it is bolted together for good:"
    if plan["deck_cut_mm"] or plan["piston"] != AS_MEASURED:
        yield (
            "- deck clearance of every cylinder, on both sides of the pin: "
            f"{_length(plan['deck_clearance_mm'], unit)} {unit} is planned"
        )
    if plan["head_cut_mm"]:
        yield "- every chamber, plug and valves in: pour it again, at least three times"
    if plan["gasket"] != AS_MEASURED:
        yield "- the new gasket's compressed thickness and opening"
    if plan["piston"] != AS_MEASURED:
        yield "- the new crowns: dish or dome and reliefs, by the known-depth method"
    if plan["squish_mm"] is not None:
        yield (
            f"- squish clearance: {_length(plan['squish_mm'], unit)} {unit} is planned, "
            f"{_length(plan['lowest_squish_mm'], unit)} {unit} in the tightest cylinder"
        )
    yield (
        f"- piston to valve: {PISTON_TO_INTAKE_VALVE.range} intake, "
        f"{PISTON_TO_EXHAUST_VALVE.range} exhaust ({PISTON_TO_INTAKE_VALVE.status}); "
        "the cam's maker decides"
    )
    if plan["deck_cut_mm"] or plan["head_cut_mm"]:
        yield "- what is left above the maker's minimum; on a V engine, the fit of the intake"
    yield "- the ratio, from the new readings on a new sheet"


def _length(mm: float, unit: str) -> str:
    return show(Quantity(mm, "mm"), unit).removesuffix(f" {unit}")
