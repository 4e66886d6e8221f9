"""What `enginemath plan` says, as data."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

import pint

from enginemath.change.chance import in_band_probability
from enginemath.change.combination import after, combination_of, machined, price_of
from enginemath.change.job import Job, job_of
from enginemath.change.limits_kept import checks, job_limits
from enginemath.change.price_list import AS_MEASURED, Options, Target
from enginemath.change.ranking import compared, ranked
from enginemath.change.search.grid import Grid, grids_of
from enginemath.change.search.result import Numbers
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


def plan_report(
    sheet: Sheet, options: Options, top: int = 10, unit: str | None = None
) -> dict[str, Any]:
    """Try every combination of changes, and rank those that keep to all limits.

    Args:
        sheet: the engine as measured.
        options: what is wanted and what could be done; see `read_options`.
        top: how many plans to give, at least 1.
        unit: in which lengths are said, "in" or "mm"; None: the one that the sheet is written in.

    Returns:
        Plain numbers and texts, ready for JSON. `tried` and `feasible` are counts; `plans` are
        ranked by price, then the chance to keep every limit (to the percent), then distance from
        the aim, then metal removed. Each has the mean over the cylinders of ratio, squish and
        deck clearance, and the extremes beside it. `deck_cuts_mm` and `head_cuts_mm` are objects
        by bank; `deck_cut_mm` and `head_cut_mm` are there where there is one bank.
        `deck_heights_mm` and `head_heights_mm` are the heights to cut to, of the banks whose
        height is known. `kept_probability` is the chance that every limit holds in every cylinder,
        `in_band_probability` that every ratio is in the band; None where nothing carries an
        uncertainty. `front` are the plans that no other beats in price,
        distance and metal together, None where it was not worked out; `front_count` is how many
        there are. Where they are more than a thousand, `front` holds one for each price and each
        `front_step` of ratio from the aim, which is else None. Where nothing is feasible,
        `nearest_misses` say which limits they break. `complete` is False after an interrupt.
        `notes` say what was left out or taken as given.

    Raises:
        Refused: no whole number of plans, or as `job.job_of`.
    """
    if not isinstance(top, int) or top < 1:
        raise Refused(f"{top} plans: write a whole number, 1 or more")
    job = job_of(sheet, options)
    engine, options = job.engine, job.options
    unit = unit or shop_unit(engine.cylinder.bore)
    found = search(job, compared(job, top))
    front = found.front
    described = partial(_plan, job, grids_of(job))
    best = ranked(job, found.best, top)
    return {
        "name": engine.name,
        "strokes": engine.strokes,
        "fuel": engine.fuel,
        "unit": unit,
        "compression_ratio": nominal(mean_ratio(engine)),
        "target": _target(options.target),
        "banks": [bank.name for bank in job.banks],
        "combinations": job.combinations,
        "tried": found.tried,
        "complete": found.complete,
        "feasible": found.feasible,
        "plans": [
            described(numbers)
            | {
                "in_band_probability": _rounded_chance(_in_band(job, numbers)),
                "kept_probability": _rounded_chance(chance),
            }
            for numbers, chance in best
        ],
        "front": None if front is None else [described(numbers) for numbers in front.numbers],
        "front_count": front and front.count,
        "front_step": front and front.step,
        "nearest_misses": [
            described(numbers) | {"breaks": list(_broken(job, numbers))}
            for numbers in found.nearest_misses[:top]
        ],
        "warnings": list(_warnings(job, [numbers for numbers, _ in best], unit)),
        "notes": list(job.notes),
    }


def _target(target: Target) -> dict[str, Any]:
    return {
        "ratio": [target.low, target.high],
        "aim": target.aim,
        "squish_mm": target.squish and [_mm(limit) for limit in target.squish],
    }


def _plan(job: Job, grids: Sequence[Grid], numbers: Numbers) -> dict[str, Any]:
    """A plan in plain numbers: bare arithmetic, for there may be a thousand of them."""
    options = job.options
    gasket, piston, rods, crank, *cuts = numbers
    bottom = rods * len(options.cranks) + crank
    depths = {
        "deck": [grid.deck.depth(s) for grid, s in zip(grids, cuts[::2], strict=True)],
        "head": [grid.head.depth(s) for grid, s in zip(grids, cuts[1::2], strict=True)],
    }
    cylinders = [
        cylinder
        for grid, deck, head in zip(grids, cuts[::2], cuts[1::2], strict=True)
        for cylinder in grid.cylinders((gasket, piston, bottom, deck, head))
    ]
    shares, ratios, decks, squishes = zip(*cylinders, strict=True)
    mean = _mean(shares, ratios)
    return {
        "gasket": options.gaskets[gasket].name,
        "gasket_hangs_in": _hangs_in(job, gasket, piston),
        "piston": options.pistons[piston].name,
        "rods": options.rods[rods].name,
        "crank": options.cranks[crank].name,
        **_cut_lengths(job, depths),
        "compression_ratio": mean,
        "from_aim": abs(mean - options.target.aim),
        "lowest_ratio": min(ratios),
        "highest_ratio": max(ratios),
        "squish_mm": _known(_mean(shares, squishes)),
        "lowest_squish_mm": _known(min(squishes)),
        "deck_clearance_mm": _known(_mean(shares, decks)),
        "lowest_deck_clearance_mm": _known(min(decks)),
        "metal_removed_mm": _rounded(math.fsum(itertools.chain(*depths.values()))),
        "price": price_of(options, numbers),
    }


def _mean(shares: Sequence[float], values: Sequence[float]) -> float:
    return sum(share * value for share, value in zip(shares, values, strict=True))


def _hangs_in(job: Job, gasket: int, piston: int) -> bool:
    """Whether a gasket's edge hangs into a cylinder, bored out for a piston; worked out once."""
    known: dict[tuple[int, int], bool] = vars(job).setdefault("_hang_in", {})
    if (gasket, piston) not in known:
        fitted, over = job.options.gaskets[gasket].gasket, job.options.pistons[piston].overbore
        known[gasket, piston] = any(
            (fitted or own).hangs_into(cylinder.bore + over)
            for own, cylinder in zip(job.engine.gaskets, job.engine.cylinders, strict=True)
        )
    return known[gasket, piston]


def _cut_lengths(job: Job, depths: Mapping[str, Sequence[float]]) -> dict[str, Any]:
    """What is cut off each bank, and the heights that are left."""
    said: dict[str, Any] = {}
    for face, cuts in depths.items():
        of_bank = dict(zip((bank.name for bank in job.banks), map(_rounded, cuts), strict=True))
        if len(of_bank) == 1:
            said[f"{face}_cut_mm"] = _rounded(cuts[0])
        said[f"{face}_cuts_mm"] = of_bank
        heights = (
            bank.heights.block if face == "deck" else bank.heights.head for bank in job.banks
        )
        said[f"{face}_heights_mm"] = {
            name: _rounded(in_mm(height) - of_bank[name])
            for name, height in zip(of_bank, heights, strict=True)
            if height is not None
        }
    return said


def _known(mm: float) -> float | None:
    """A length; None for what is not known."""
    return _rounded(mm) if math.isfinite(mm) else None


def _rounded_chance(chance: float | None) -> float | None:
    return None if chance is None else round(chance, 4)


def _in_band(job: Job, numbers: Numbers) -> float | None:
    target = job.options.target
    return in_band_probability(_after(job, numbers), target.low, target.high)


def _after(job: Job, numbers: Numbers) -> Engine:
    return machined(job.engine, job.options, combination_of(job.options, numbers))


def _broken(job: Job, numbers: Numbers) -> Iterator[str]:
    choice = combination_of(job.options, numbers)
    limits = job_limits(job, choice, after(job.engine, job.options, choice))
    for limit in checks(limits, shop_unit(job.engine.cylinder.bore)):
        yield from limit.breaks()


def _warnings(job: Job, plans: Sequence[Numbers], unit: str) -> Iterator[str]:
    engine = job.engine
    if not job.options.target.squish:
        yield "no squish range is given: a plan may leave the piston too near to the head"
    yield from option_warnings(engine, job.options)
    if plans:
        known = warnings(engine, unit)
        for warning in warnings(_after(job, plans[0]), unit):
            if warning not in known:
                yield f"after plan 1: {warning}"


def _mm(length: pint.Quantity) -> float:
    return _rounded(in_mm(length))


def _rounded(mm: float) -> float:
    return round(float(mm), DIGITS) + 0.0  # never -0.0


CAUTIONS = (
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
    lines = folded(heading_of(report))
    if plans:
        lines += ["", *_table(plans, unit), *_trade_off(report, unit), ""]
        lines += folded(checks_after(report))
    elif misses:
        lines += ["", "The nearest misses:", "", *_table(misses, unit), ""]
        for number, miss in enumerate(misses, start=1):
            lines += folded([f"{number}: {broken}" for broken in miss["breaks"]])
    lines += ["", *folded([f"! {warning}" for warning in report["warnings"]])]
    lines += folded([f"Note: {note}." for note in report["notes"]])
    return "\n".join([*lines, *folded(CAUTIONS)])


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


def heading_of(report: dict[str, Any]) -> Iterator[str]:
    """The engine, what is wanted, and how many combinations keep to it."""
    target, unit = report["target"], report["unit"]
    low, high = (show_ratio(end) for end in target["ratio"])
    wanted = f"Wanted in every cylinder: ratio {low} to {high}, aim {show_ratio(target['aim'])}"
    if target["squish_mm"]:
        tight, wide = (_length(end, unit) for end in target["squish_mm"])
        wanted += f"; squish {tight} to {wide} {unit}"
    name, ratio = printable(report["name"]), show_ratio(report["compression_ratio"])
    over = ", over the full stroke" if report["strokes"] == 2 else ""
    yield f"{name}: ratio {ratio} as measured{over}"
    yield wanted
    yield found_text(report)
    if len(report["banks"]) > 1:
        yield f"Cuts are said by bank: {' / '.join(map(printable, report['banks']))}"


def found_text(report: dict[str, Any]) -> str:
    """How many combinations were tried, and how many keep to every limit."""
    tried, feasible = (f"{report[count]:,}".replace(",", " ") for count in ("tried", "feasible"))
    if not report["complete"]:
        so_far = f"Stopped early: {tried} of {report['combinations']:,} combinations tried"
        return f"{so_far.replace(',', ' ')}, {feasible} keep to every limit so far"
    if not report["feasible"]:
        return f"{tried} combinations tried: none keeps to every limit"
    if report["feasible"] == 1:
        return f"{tried} combinations tried: one keeps to every limit"
    shown = len(report["plans"])
    order = "cheapest first, then most sure to keep all limits, then nearest to the aim"
    return f"{tried} combinations tried: {feasible} keep to every limit; {shown} shown, {order}"


def _table(
    plans: Sequence[dict[str, Any]], unit: str, labels: Sequence[str] | None = None
) -> list[str]:
    cells = [cells_of(plan, unit) for plan in plans]
    labels = labels or [str(number) for number in range(1, len(plans) + 1)]
    rows = [
        ("", *cells[0]),
        ("", *(unit if column in {*_LENGTHS, *_CUTS} else "" for column in cells[0])),
        *((label, *plan.values()) for label, plan in zip(labels, cells, strict=True)),
    ]
    return in_columns(rows, right=[k for k, head in enumerate(rows[0]) if head not in _NAMES])


_LENGTHS = {"squish": "squish_mm", "deck": "deck_clearance_mm"}


_CUTS = {"deck cut": "deck_cuts_mm", "head cut": "head_cuts_mm"}


_NAMES = ("gasket", "piston")


_HANGS_IN = " (hangs into the bore)"


def cells_of(plan: dict[str, Any], unit: str) -> dict[str, str]:
    """What a row of the table says, by the head of its column."""
    cells = {"price": f"{plan['price']:g}", "ratio": show_ratio(plan["compression_ratio"], 3)}
    if "kept_probability" in plan:
        chance = plan["kept_probability"]
        cells["kept"] = "-" if chance is None else percent(chance)
    for head, name in _LENGTHS.items():
        cells[head] = "-" if plan[name] is None else _length(plan[name], unit)
    for head, name in _CUTS.items():
        cuts = [_length(mm, unit) if mm else "none" for mm in plan[name].values()]
        cells[head] = " / ".join(cuts)
    gasket = printable(plan["gasket"]) + (_HANGS_IN if plan["gasket_hangs_in"] else "")
    cells |= {"gasket": gasket, "piston": printable(plan["piston"])}
    for part in ("rods", "crank"):
        if plan[part] != AS_MEASURED:
            cells["piston"] += f", {part} {printable(plan[part])}"
    return cells


def checks_after(report: dict[str, Any]) -> Iterator[str]:
    """What to measure again once the work of the first plan is done."""
    plan, unit = report["plans"][0], report["unit"]
    untouched = all(plan[part] == AS_MEASURED for part in ("gasket", "piston", "rods", "crank"))
    deck_cut, head_cut = (any(plan[f"{face}_cuts_mm"].values()) for face in ("deck", "head"))
    if untouched and not deck_cut and not head_cut:
        yield "Plan 1 leaves the engine as it was measured. Before it is bolted together for good:"
    else:
        yield "After the work of plan 1, measure again before it is bolted together for good:"
    for face, what in (("deck", "block, crank to deck"), ("head", "head")):
        cut = plan[f"{face}_cuts_mm"]
        left = {bank: mm for bank, mm in plan[f"{face}_heights_mm"].items() if cut[bank]}
        for bank, mm in left.items():
            where = f" of bank {printable(bank)}" if len(cut) > 1 else ""
            yield f"- height of the {what}{where}: cut to {_length(mm, unit)} {unit}"
    if deck_cut or any(plan[part] != AS_MEASURED for part in ("piston", "rods", "crank")):
        yield (
            "- deck clearance of every cylinder, on both sides of the pin: "
            f"{_length(plan['deck_clearance_mm'], unit)} {unit} is planned"
        )
    if head_cut:
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
    if report["fuel"] == "diesel":
        yield "- piston to every valve: the maker's figure"
    elif report["strokes"] == 4:
        yield (
            f"- piston to valve: {PISTON_TO_INTAKE_VALVE.range_in(unit)} intake, "
            f"{PISTON_TO_EXHAUST_VALVE.range_in(unit)} exhaust ({PISTON_TO_INTAKE_VALVE.status}); "
            "the cam's maker decides"
        )
    if deck_cut or head_cut:
        yield "- what is left above the maker's minimum; on a V engine, the fit of the intake"
    yield "- the ratio, from the new readings on a new sheet"


def _length(mm: float, unit: str) -> str:
    return show(Quantity(mm, "mm"), unit).removesuffix(f" {unit}")
