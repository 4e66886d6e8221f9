"""What is ordered: an engine as measured, a choice of parts and cuts, what they make of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any

import pint

from enginemath.change.chance import in_band_probability
from enginemath.change.changed import NO_LENGTH
from enginemath.change.combination import After, Combination, after, combination_of
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.cuts import metal_left
from enginemath.change.job import Job, job_of, job_of_choices
from enginemath.change.limits_kept import checks, job_limits, least_to_spare
from enginemath.change.price_list import TOUCH, Options, Tolerances
from enginemath.change.ranking import compared, kept, ranked
from enginemath.change.search.try_all import search
from enginemath.engine.parts import Engine, plain
from enginemath.sheets import Sheet
from enginemath.sheets.ratio_report import ratio_report
from enginemath.units import MM, Quantity, Refused, as_quantity, best, in_mm, shop_unit

_FINE = 1e-5
"""Fineness in mm to which the ends of a permitted cut are found."""
_MOST_PLANS = 10_000
"""That are told apart by their number."""
_DEEPEST = min(DECK_CUT.high, HEAD_CUT.high)


@dataclass(frozen=True)
class WorkOrder:
    """An order that keeps to every limit of its plan; `work_order` makes one."""

    sheet: Sheet
    options: Options
    choice: Combination
    job: Job
    """The engine as measured, what could be done to it, and its banks."""
    blocks: tuple[Height | None, ...]
    """Of each bank the block's height against the maker's minimum; None: to be looked up."""
    heads: tuple[Height | None, ...]

    @property
    def before(self) -> Engine:
        """The engine as measured."""
        return self.sheet.engine

    @cached_property
    def done(self) -> After:
        """The engine as planned and its cuts, with the uncertainties of readings and work."""
        return after(self.before, self.options, self.choice)

    @property
    def after(self) -> Engine:
        """The engine as planned, with the uncertainties of readings and work."""
        return self.done.engine

    @property
    def unit(self) -> str:
        """The unit in which this shop reads lengths: in or mm."""
        return shop_unit(self.before.cylinder.bore)

    @cached_property
    def reports(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What `report.ratio_report` says of the engine as measured and as planned."""
        as_written = not self.sheet.is_of_readings
        return ratio_report(self.before, as_written), ratio_report(self.after, as_written)

    @cached_property
    def chance(self) -> float | None:
        """Chance that every cylinder's true ratio is in the band; None where nothing has a ±."""
        target = self.options.target
        return in_band_probability(self.after, target.low, target.high)

    @cached_property
    def kept(self) -> float | None:
        """Chance that every limit holds in every cylinder; None where nothing has a ±."""
        return kept(self.job, self.choice)

    @cached_property
    def cuts(self) -> tuple[FaceCut, ...]:
        """The cuts to be made, bank by bank."""
        return tuple(self._cuts())

    def _cuts(self) -> Iterator[FaceCut]:
        for face, depths in (("deck", self.choice.deck_cuts), ("head", self.choice.head_cuts)):
            for number, (bank, depth) in enumerate(zip(self.job.banks, depths, strict=True)):
                if not depth.magnitude:
                    continue
                height = self._height(face, number)
                known = bank.heights.block if face == "deck" else bank.heights.head
                measured = known if height is None else as_quantity(height.measured)
                yield FaceCut(
                    face,
                    bank.name if len(self.job.banks) > 1 else "",
                    depth,
                    partial(self.room, face, number),
                    None if measured is None else best(measured) - depth,
                )

    def _height(self, face: str, bank: int) -> Height | None:
        return (self.blocks if face == "deck" else self.heads)[bank]

    @cached_property
    def deck_cut_room(self) -> tuple[pint.Quantity, pint.Quantity]:
        """Least and greatest deck cut that keep to every limit and minimum, two lengths."""
        return self.room("deck", 0)

    @cached_property
    def head_cut_room(self) -> tuple[pint.Quantity, pint.Quantity]:
        """Least and greatest head cut that keep to every limit and minimum, two lengths."""
        return self.room("head", 0)

    def room(self, face: str, bank: int) -> tuple[pint.Quantity, pint.Quantity]:
        """Ends of a permitted cut of a bank, all else as planned.

        A cut moves ratio, squish and deck clearance one way each, so what is permitted is one
        stretch with two ends.

        Args:
            face: "deck" or "head".
            bank: its number, from 0.
        """
        height = self._height(face, bank)
        exact = replace(self.job.options, tolerances=Tolerances())
        job = replace(self.job, engine=plain(self.before), options=exact)

        def to_spare(mm: float) -> float:
            return TOUCH + least_to_spare(job, self.choice.with_cut(face, bank, Quantity(mm, MM)))

        here = in_mm(getattr(self.choice, f"{face}_cuts")[bank])
        ends = [Quantity(_last_kept(to_spare, here, far), "mm") for far in (0.0, _DEEPEST)]
        least, most = ends
        if height is not None:
            most = min(most, best(height.left(NO_LENGTH)).to("mm"))
        return least, most


def work_order(
    sheet: Sheet,
    options: Options,
    choice: Combination,
    *,
    block: Height | None = None,
    head: Height | None = None,
) -> WorkOrder:
    """Order a choice of parts and cuts.

    Args:
        sheet: the engine as measured.
        options: what is wanted, the price list and its limits.
        choice: see `choosing.choice_of`.
        block: crank's centre line to deck, against the maker's minimum; None: to be looked up.
        head: thickness of the head, likewise.

    Raises:
        Refused: the choice changes nothing, cannot be assembled, breaks a limit, or cuts below
            a maker's minimum.

    >>> from enginemath.change.combination import choice_of
    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets import read_sheet
    >>> from enginemath.change.price_list_file import read_options
    >>> sheet = read_sheet(path("heron-four.toml"))
    >>> options = read_options(path("heron-four-options.toml"))
    >>> choice = choice_of(options, gasket="thin steel", piston="as measured",
    ...                    deck_cut="0.10 mm", head_cut="0 mm")
    >>> order = work_order(sheet, options, choice)
    >>> [round(end.m, 2) for end in order.deck_cut_room]
    [0.09, 0.28]
    """
    job = job_of_choices(sheet, options)
    banks = len(job.banks)
    if banks != len(choice.deck_cuts) or (banks > 1 and (block or head)):
        raise Refused(
            f"work order: the engine has {banks} banks, and each has cuts and heights of its own: "
            "say a cut for each, and write heights and minimums into the options file"
        )
    blocks, heads = ((block,), (head,)) if banks == 1 else _heights(job)
    return _checked(WorkOrder(sheet, options, choice, job, blocks, heads))


def plan_order(sheet: Sheet, options: Options, number: int) -> WorkOrder:
    """Order a plan by its number, counted from 1 as `enginemath plan` counts them.

    Raises:
        Refused: there is no such plan, it changes nothing, or as `job.job_of`.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets import read_sheet
    >>> from enginemath.change.price_list_file import read_options
    >>> sheet = read_sheet(path("heron-four.toml"))
    >>> options = read_options(path("heron-four-options.toml"))
    >>> plan_order(sheet, options, 1).choice.price
    208
    """
    job = job_of(sheet, options)
    within_reach = number <= _MOST_PLANS
    found = search(job, compared(job, number) if within_reach else 1)
    plans = ranked(job, found.best, number) if within_reach else []
    if number <= found.feasible and not within_reach:
        raise Refused(f"plan {number}: order one of the first {_MOST_PLANS}")
    if len(plans) < number:
        counted = f"there are {found.feasible}" if found.feasible else "none keeps to every limit"
        raise Refused(f"plan {number}: no such plan; {counted}")
    choice = combination_of(job.options, plans[-1][0])
    return _checked(WorkOrder(sheet, job.options, choice, job, *_heights(job)))


def first_orders(sheet: Sheet, options: Options, most: int) -> list[WorkOrder]:
    """The orders of the first plans, in the order of `enginemath plan`.

    A plan that changes nothing is among them: there is nothing to sign in it.

    Args:
        sheet: the engine as measured.
        options: the price list.
        most: how many.

    Raises:
        Refused: see `job.job_of`.
    """
    job = job_of(sheet, options)
    plans = ranked(job, search(job, compared(job, most)).best, most)
    choices = [combination_of(job.options, numbers) for numbers, _ in plans]
    return [WorkOrder(sheet, job.options, each, job, *_heights(job)) for each in choices]


def _last_kept(to_spare: Callable[[float], float], inside: float, outside: float) -> float:
    """The end of what is kept, from a place inside towards one outside, to `_FINE`.

    Looked for where the straight line between the two places crosses nought, a little to the
    longer side, so that both close in on it; where that does not halve the way, it is halved.

    Args:
        to_spare: negative where a limit is broken.
        inside, outside: lengths in mm; the outer one, where that is kept too, is the end.
    """
    left, lacks = to_spare(inside), to_spare(outside)
    if lacks >= 0:
        return outside
    by_line = True
    while (way := abs(outside - inside)) > _FINE:
        share = 0.5
        if by_line and left >= 0 and math.isfinite(lacks):
            share = left / (left - lacks)
            share += math.copysign(0.4 * _FINE / way, 0.5 - share)
        middle = inside + share * (outside - inside)
        found = to_spare(middle)
        if found >= 0:
            inside, left = middle, found
        else:
            outside, lacks = middle, found
        by_line = abs(outside - inside) <= way / 2
    return inside


def _heights(job: Job) -> tuple[tuple[Height | None, ...], tuple[Height | None, ...]]:
    """Of each bank the block's and the head's height against the maker's minimum."""
    least = job.options.minimums
    blocks = (_known(bank.heights.block, least.block, least.source) for bank in job.banks)
    heads = (_known(bank.heights.head, least.head, least.source) for bank in job.banks)
    return tuple(blocks), tuple(heads)


def _known(
    measured: pint.Quantity | None, minimum: pint.Quantity | None, source: str
) -> Height | None:
    if measured is None or minimum is None:
        return None
    return Height(measured, minimum, source)


def _checked(order: WorkOrder) -> WorkOrder:
    choice = order.choice
    if not choice.fits and not choice.cuts:
        raise Refused("work order: nothing is changed, so there is nothing to order")
    broken = _broken(order.job, choice)
    if broken:
        raise Refused(f"work order: not written, for {'; '.join(broken)}")
    for cuts, heights in ((choice.deck_cuts, order.blocks), (choice.head_cuts, order.heads)):
        for cut, height in zip(cuts, heights, strict=True):
            if height is not None:
                height.left(cut)
    return order


def _broken(job: Job, choice: Combination) -> list[str]:
    """The limits that the engine breaks after a choice, said."""
    try:
        limits = job_limits(job, choice, after(job.engine, job.options, choice))
    except Refused as refusal:
        return [str(refusal)]
    unit = shop_unit(job.engine.cylinder.bore)
    return [str(limit) for limit in checks(limits, unit) if not limit.kept]


@dataclass(frozen=True)
class FaceCut:
    """One cut of an order.

    Args:
        face: "deck" or "head".
        bank: its name; empty where there is one.
        depth: a length.
        find_room: finds the least and greatest depth that keep to every limit and minimum.
        height: to cut to, a length; None where the height is not known.
    """

    face: str
    bank: str
    depth: pint.Quantity
    find_room: Callable[[], tuple[pint.Quantity, pint.Quantity]]
    height: pint.Quantity | None

    @cached_property
    def room(self) -> tuple[pint.Quantity, pint.Quantity]:
        """Least and greatest depth that keep to every limit and minimum, all else as planned."""
        return self.find_room()

    @property
    def what(self) -> str:
        """What is cut: "deck", or "deck of bank left"."""
        return f"{self.face} of bank {self.bank}" if self.bank else self.face


@dataclass(frozen=True)
class Height:
    """The height of a head or a block, as measured, with the minimum from the maker's book.

    Args:
        measured: a length.
        minimum: the least height that the maker allows, a length.
        source: where the minimum was looked up, in words.

    Raises:
        Refused: nobody says where the minimum comes from, or a length that cannot be.

    >>> block = Height("212.46 mm", "212.10 mm", source="shop manual, block, page 12")
    >>> print(block.left(as_quantity("0.35 mm")).to("mm").round(3))
    0.01 millimeter
    """

    measured: str | pint.Quantity
    minimum: str | pint.Quantity
    source: str

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise Refused("maker's minimum: say where it was looked up; a guess is no minimum")
        for name in ("measured", "minimum"):
            object.__setattr__(self, name, as_quantity(getattr(self, name)))

    def left(self, cut: pint.Quantity) -> pint.Quantity:
        """What may still be cut after a cut, a length.

        Raises:
            Refused: the cut goes below the maker's minimum.
        """
        return metal_left(self.measured, self.minimum, cut)
