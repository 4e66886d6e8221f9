"""An engine held against every limit of a plan, cylinder by cylinder."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.change.combination import After, Combination, after
from enginemath.change.job import Job
from enginemath.change.price_list import TOUCH, Options
from enginemath.engine.parts import Engine
from enginemath.engine.stack import mean_ratio, stacks
from enginemath.units import (
    MM,
    Number,
    Quantity,
    Refused,
    in_mm,
    nominal,
    shop_unit,
    show,
    show_ratio,
)


@dataclass(frozen=True)
class LimitCheck:
    """One limit, and what the cylinders make of it.

    Args:
        what: is limited.
        values: in cylinder order, bare ratios or lengths in mm; None where one is not known.
        low: lower end of the limit, as the values are.
        high: upper end, or infinity.
        unit: in which a length is said; empty for a ratio.
    """

    what: str
    values: tuple[float | None, ...]
    low: float
    high: float
    unit: str = ""
    places: tuple[str, ...] = ()
    """What each value is of; empty: of the cylinders, in order."""

    @property
    def kept(self) -> bool:
        """Whether every cylinder keeps to it."""
        return self.to_spare >= -TOUCH

    @property
    def to_spare(self) -> float:
        """How far inside its ends the worst cylinder lies; negative outside, -inf where unknown.

        >>> LimitCheck("squish", (1.0, 1.05), 0.9, 1.15, "mm").to_spare
        0.09999999999999987
        """
        if None in self.values:
            return -math.inf
        least, most = self._ends
        return min(least - self.low, self.high - most)

    def breaks(self) -> Iterator[str]:
        """How it is broken, each way with the cylinder that breaks it worst.

        >>> list(LimitCheck("squish", (0.8, 0.75), 0.9, 1.15, "mm").breaks())
        ['squish of cylinder 2 is 0.750 mm, below 0.900 mm']
        """
        if None in self.values:
            missing = "the gasket's compressed thickness is not given"
            if self.what.startswith("piston to"):
                missing = f"{missing}, or how deep the new valve pockets are"
            yield f"{self.what} is wanted and not known: {missing}"
            return
        least, most = self._ends
        if least < self.low - TOUCH:
            yield self._broken(least, f"below {self._said(self.low)}")
        if most > self.high + TOUCH:
            yield self._broken(most, f"above {self._said(self.high)}")

    def __str__(self) -> str:
        """One line for the shop.

        >>> print(LimitCheck("ratio", (8.606, 8.682), 9.0, 9.5))
        ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
        """
        has = "not known" if None in self.values else self._range(*self._ends)
        if math.isinf(self.high):
            wanted = f"{self._said(self.low)} or more"
        else:
            wanted = self._range(self.low, self.high)
        return f"{self.what} {has}, wanted {wanted}: {'kept' if self.kept else 'BROKEN'}"

    @property
    def _ends(self) -> tuple[float, float]:
        known = [value for value in self.values if value is not None]
        return min(known), max(known)

    def _broken(self, value: float, how: str) -> str:
        at = self.values.index(value)
        place = self.places[at] if self.places else f"cylinder {at + 1}"
        return f"{self.what} of {place} is {self._said(value)}, {how}"

    def _range(self, low: float, high: float) -> str:
        first, last = self._said(low), self._said(high)
        return last if first == last else f"{first.removesuffix(f' {self.unit}')} to {last}"

    def _said(self, value: float) -> str:
        return show(Quantity(value, MM), self.unit) if self.unit else show_ratio(value, 3)


@dataclass(frozen=True)
class Limit:
    """One limit, and what an engine has of it, with its uncertainties.

    Args:
        what: is limited.
        values: ratios, or lengths in mm; None where one is not known.
        low: lower end of the limit, as the values are.
        high: upper end, or infinity.
        is_length: whether the values are lengths.
        places: what each value is of; empty: of the cylinders, in order.
    """

    what: str
    values: tuple[Number | None, ...]
    low: float
    high: float = math.inf
    is_length: bool = True
    places: tuple[str, ...] = ()


def limits_of(engine: Engine, options: Options) -> list[Limit]:
    """The limits of ratio, squish and deck clearance, and what an engine has of them.

    Args:
        engine: after the work.
        options: with the target and the limits.
    """
    target = options.target
    ratios = tuple(stack.ratio for stack in stacks(engine))
    limits = [Limit("ratio", ratios, target.low, target.high, is_length=False)]
    if target.squish:
        gaps = map(engine.squish, range(engine.count))
        squishes = tuple(None if gap is None else gap.m_as(MM) for gap in gaps)
        tight, wide = map(in_mm, target.squish)
        limits.append(Limit("squish", squishes, tight, wide))
    if not options.limits_the_deck:
        return limits
    decks = tuple(deck.clearance.m_as(MM) for deck in engine.decks)
    return [*limits, Limit("deck clearance", decks, in_mm(options.deck_clearance_min))]


def job_limits(job: Job, choice: Combination, done: After) -> list[Limit]:
    """All limits of a job, and what an engine has of them after a combination of changes.

    Args:
        job: the engine as measured, and what can be done to it.
        choice: the combination.
        done: what it makes of the engine.
    """
    limits = limits_of(done.engine, job.options)
    places = tuple(f"bank {bank.name}" for bank in job.banks)
    for what, cuts, minimum in (
        ("block", done.deck_cuts, job.options.minimums.block),
        ("head", done.head_cuts, job.options.minimums.head),
    ):
        if minimum is None:
            continue
        heights = (getattr(bank.heights, what) for bank in job.banks)
        left = tuple((h - cut).m_as(MM) for h, cut in zip(heights, cuts, strict=True))
        limits.append(Limit(f"{what} height", left, in_mm(minimum), places=places))
    for valve in job.options.valves:
        values = tuple(
            _to_valve(job, choice, done, bank, place, valve.measured)
            for bank, its in enumerate(job.banks)
            for place in its.places
        )
        cylinders = tuple(f"cylinder {place + 1}" for its in job.banks for place in its.places)
        what = f"piston to {valve.valve} valve"
        limits.append(Limit(what, values, in_mm(valve.least), places=cylinders))
    return limits


def _to_valve(
    job: Job, choice: Combination, done: After, bank: int, place: int, measured: pint.Quantity
) -> Number | None:
    """From piston to valve after the work, as if both moved straight at each other."""
    pocket = choice.piston.deeper_pockets if choice.piston.piston else NO_LENGTH
    before, after_ = job.engine.squish(place), done.engine.squish(place)
    if pocket is None or before is None or after_ is None:
        return None
    return (measured + after_ - before + pocket - done.head_cuts[bank]).m_as(MM)


def check_limits(engine: Engine, options: Options) -> list[LimitCheck]:
    """Hold an engine against the limits of ratio, squish and deck clearance of a plan.

    >>> from enginemath.sheets import read_sheet
    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.change.price_list_file import read_options
    >>> engine = read_sheet(path("heron-four.toml")).engine
    >>> options = read_options(path("heron-four-options.toml"))
    >>> for limit in check_limits(engine, options):
    ...     print(limit)
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    return checks(limits_of(engine, options), shop_unit(engine.cylinder.bore))


def checks(limits: Sequence[Limit], unit: str) -> list[LimitCheck]:
    """Limits with their best values alone, to be said.

    Args:
        limits: see `job_limits`.
        unit: in which lengths are said.
    """
    return [
        LimitCheck(
            limit.what,
            tuple(None if value is None else float(nominal(value)) for value in limit.values),
            limit.low,
            limit.high,
            unit if limit.is_length else "",
            limit.places,
        )
        for limit in limits
    ]


def choice_report(job: Job, choice: Combination) -> list[str]:
    """What a choice makes of an engine: ratio, every limit, metal removed and price.

    Returns:
        One line each; one line alone where the engine cannot be assembled so.
    """
    try:
        done = after(job.engine, job.options, choice)
    except Refused as refusal:
        return [str(refusal)]
    unit = shop_unit(job.engine.cylinder.bore)
    metal = choice.metal
    return [
        f"mean ratio {show_ratio(nominal(mean_ratio(done.engine)), 3)}",
        *map(str, checks(job_limits(job, choice, done), unit)),
        f"metal removed {show(metal, unit)}, price {choice.price:g}",
    ]


def keeps_all(job: Job, choice: Combination) -> bool:
    """Whether an engine can be assembled with a choice and then keeps to every limit."""
    return least_to_spare(job, choice) >= -TOUCH


def least_to_spare(job: Job, choice: Combination) -> float:
    """How far an engine lies inside the limit that it comes nearest to, after a choice.

    Returns:
        In mm, or a ratio, whichever that limit is in; negative where one is broken, and minus
        infinity where the engine cannot be assembled so.
    """
    try:
        limits = job_limits(job, choice, after(job.engine, job.options, choice))
    except Refused:
        return -math.inf
    return min((limit.to_spare for limit in checks(limits, "")), default=math.inf)
