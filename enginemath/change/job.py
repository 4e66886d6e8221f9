"""The job: one engine, what its price list offers for it, and which cuts each bank may get."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar

import pint

from enginemath.change.changed import in_shop_unit
from enginemath.change.price_list import (
    BankOption,
    CrankOption,
    Cut,
    GasketOption,
    Heights,
    Options,
    PistonOption,
    RodOption,
)
from enginemath.engine import limits
from enginemath.engine.can_be import refuse_small_opening
from enginemath.engine.parts import Engine, Gasket
from enginemath.engine.stack import mean
from enginemath.sheets import Sheet
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.height_budget import BLOCK
from enginemath.units import Quantity, Refused, best, in_mm, printable, show

ALL = "all"
"""Name of the one bank of an engine whose sheet names none."""
_DUST = 1e-9
_AS_HIGH_AS_CAN_BE = Quantity(limits.DECK_CLEARANCE.low, "mm")

Part = TypeVar("Part", GasketOption, PistonOption, RodOption, CrankOption)


@dataclass(frozen=True)
class Depths:
    """The depths of one face's cut, in steps: none, where it may stay, and a first to a last."""

    may_stay: bool = True
    first: int = 1
    last: int = 0

    def __len__(self) -> int:
        return self.may_stay + max(0, self.last - self.first + 1)

    def __contains__(self, step: object) -> bool:
        return step in range(self.first, self.last + 1) or (step == 0 and self.may_stay)

    def __iter__(self) -> Iterator[int]:
        if self.may_stay:
            yield 0
        yield from range(self.first, self.last + 1)


@dataclass(frozen=True)
class Bank:
    """Cylinders that are cut in one setup."""

    name: str
    places: tuple[int, ...]
    """Of its cylinders, counted from 0."""
    deck: Depths = Depths()
    head: Depths = Depths()
    heights: Heights = field(default_factory=Heights)
    """Of its block and head, as measured."""


@dataclass(frozen=True)
class Job:
    """An engine and all that could be done to it.

    `options` hold what is on the shelf, and the measured gasket only where it may be used again.
    """

    engine: Engine
    options: Options
    banks: tuple[Bank, ...]
    notes: tuple[str, ...] = field(default=(), compare=False)
    """What was left out or taken as given, in words."""

    @cached_property
    def part_counts(self) -> tuple[int, int, int, int]:
        """Number of gaskets, pistons, rods and cranks."""
        gaskets, pistons, rods, cranks, *_ = self.options.shape
        return gaskets, pistons, rods, cranks

    @cached_property
    def combinations(self) -> int:
        """Number of ways to combine parts and the cuts of all banks."""
        cuts = math.prod(len(bank.deck) * len(bank.head) for bank in self.banks)
        return math.prod(self.part_counts) * cuts


def job_of(sheet: Sheet, options: Options) -> Job:
    """What can be done to the engine of a sheet.

    The gasket that was measured is a choice where the sheet says that it is used again, where no
    other is listed, and on a sheet of format 1.

    Raises:
        Refused: a bank that the engine has not, a height that is given twice or missing, a
            maker's minimum that is broken already, or nothing left to choose.
    """
    fields = sheet.readings
    if not isinstance(fields, BenchFields):
        notes = []
        if len(options.gaskets) > 1:
            notes.append(
                "the gasket as measured is a choice at no price: a used gasket is not priced, and "
                "whether it can be used again is for its maker to say"
            )
        return job_for(sheet.engine, options, notes=notes)
    notes = []
    if not fields.gasket_is_reused:
        if len(options.gaskets) > 1:
            options = replace(options, gaskets=options.gaskets[1:])
        else:
            notes.append(
                "no gasket is listed: the gasket as measured is taken, and a new one like it is "
                "not priced"
            )
    return job_for(sheet.engine, options, _block_heights(fields, options), notes)


def job_of_choices(sheet: Sheet, options: Options) -> Job:
    """As `job_of`, but what was measured stays a choice: somebody may keep to it on paper."""
    fields = sheet.readings
    heights = _block_heights(fields, options) if isinstance(fields, BenchFields) else None
    return job_for(sheet.engine, options, heights)


def job_for(
    engine: Engine,
    options: Options,
    block_heights: Mapping[int, pint.Quantity] | None = None,
    notes: list[str] | None = None,
) -> Job:
    """What can be done to an engine.

    Args:
        engine: as measured.
        options: what is wanted and what could be done.
        block_heights: from the crank's centre line to the deck, by cylinder counted from 0.
        notes: to which what is left out is added.

    Raises:
        Refused: see `job_of`.
    """
    notes = list(notes or [])
    if engine.is_two_stroke:
        notes.append("two-stroke: every ratio here is that over the full stroke")
    if engine.is_diesel and not options.least_deck_is_written:
        options = replace(options, deck_clearance_min=_AS_HIGH_AS_CAN_BE)
        notes.append(
            "no deck_clearance_min is written, and a diesel's pistons may stand above the deck: "
            "how near they come to the head is limited by the squish alone"
        )
    for rods in options.rods:
        if rods.length is not None and engine.cylinder.rod_length is None:
            raise Refused(
                f'rods "{rods.name}": the rods of the engine were not measured, so nobody can say '
                "how much higher its pistons come"
            )
    for option in options.gaskets:
        if option.gasket is not None:
            _refuse_small(option.name, option.gasket, engine)
    stocked = replace(
        options,
        gaskets=_in_stock("gasket", options.gaskets, notes),
        pistons=_in_stock("piston", options.pistons, notes),
        rods=_in_stock("rods", options.rods, notes),
        cranks=_in_stock("crank", options.cranks, notes),
    )
    named = banks_of(engine)
    for known in options.banks:
        if known.name not in named:
            has = ", ".join(named) if engine.banks else "none by name"
            raise Refused(
                f'bank "{known.name}" of the price list: the engine has no such bank; '
                f"its banks: {has}"
            )
    banks = tuple(
        _bank(name, places, options, block_heights or {}) for name, places in named.items()
    )
    return Job(engine, stocked, banks, tuple(notes))


def _refuse_small(name: str, gasket: Gasket, engine: Engine) -> None:
    for cylinder in engine.cylinders:
        try:
            refuse_small_opening(gasket, cylinder.bore)
        except Refused as refusal:
            raise Refused(f'gasket "{printable(name)}": bore {refusal}') from None


def banks_of(engine: Engine) -> dict[str, tuple[int, ...]]:
    """The cylinders of each bank, counted from 0; an engine without banks is one.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> banks_of(parse(EXAMPLE).engine)
    {'all': (0, 1, 2, 3)}
    """
    names = engine.banks or (ALL,) * engine.count
    return {
        name: tuple(n for n, its in enumerate(names) if its == name)
        for name in dict.fromkeys(names)
    }


def _in_stock(what: str, offered: tuple[Part, ...], notes: list[str]) -> tuple[Part, ...]:
    left = tuple(option for option in offered if option.stock != 0)
    notes += [f'{what} "{o.name}": none in stock, no choice' for o in offered if o.stock == 0]
    if not left:
        raise Refused(f"{what}: none of those listed is in stock")
    return left


def _block_heights(fields: BenchFields, options: Options) -> dict[int, pint.Quantity]:
    """As read; or from the rest of the height budget, where nobody wrote one down."""
    written = [options.heights.block, *(bank.heights.block for bank in options.banks)]
    of = fields.height if all(height is None for height in written) else fields.value
    found = {n: of(BLOCK, n + 1) for n in range(fields.count)}
    return {n: height for n, height in found.items() if height is not None}


def _bank(
    name: str,
    places: tuple[int, ...],
    options: Options,
    block_heights: Mapping[int, pint.Quantity],
) -> Bank:
    own = next((bank for bank in options.banks if bank.name == name), BankOption(name))
    read = [block_heights[n] for n in places if n in block_heights]
    written = own.heights.block or options.heights.block
    if read and written is not None:
        raise Refused(
            f"block height{_of(name)}: on the sheet and in the options file; leave one out"
        )
    block = mean(read) if read else written
    head = own.heights.head or options.heights.head
    return Bank(
        name,
        places,
        deck=_depths(
            "deck", name, options.deck_cut, own.deck_clean_up, block, options.minimums.block
        ),
        head=_depths(
            "head", name, options.head_cut, own.head_clean_up, head, options.minimums.head
        ),
        heights=Heights(block, head),
    )


def _depths(
    face: str,
    bank: str,
    cut: Cut | None,
    clean_up: pint.Quantity | None,
    height: pint.Quantity | None,
    minimum: pint.Quantity | None,
) -> Depths:
    what = "block" if face == "deck" else "head"
    if minimum is not None and height is None:
        raise Refused(
            f"{what} height{_of(bank)}: the maker's minimum is given and the height is not; "
            "measure it and write it down"
        )
    room = math.inf
    if minimum is not None and height is not None:
        room = in_mm(height) - in_mm(minimum)
        if room < -_DUST:
            raise Refused(
                f"{what} height{_of(bank)}: {in_shop_unit(best(height))} is below the maker's "
                f"minimum of {in_shop_unit(minimum)} already: nothing may be cut"
            )
    if cut is None:
        if clean_up is not None:
            raise Refused(f"{face}_clean_up{_of(bank)}: no cut of the {face} is offered")
        return Depths()
    least = cut.clean_up if clean_up is None else clean_up
    step = in_mm(cut.step)
    first = max(1, math.ceil(in_mm(least) / step - _DUST))
    last = min(cut.steps, cut.steps if math.isinf(room) else math.floor(room / step + _DUST))
    needed = cut.needed or clean_up is not None
    if needed and first > last:
        most = show(Quantity(last * step, "mm"), "mm")
        raise Refused(
            f"{face}{_of(bank)}: it has to be cut by {in_shop_unit(least)} at least, and "
            f"{most} at most may be cut"
        )
    return Depths(not needed, first, last)


def _of(bank: str) -> str:
    return "" if bank == ALL else f" of bank {bank}"
