"""What is ordered: an engine as measured, a choice of parts and cuts, what they make of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import pint

from enginemath.change.chance import in_band_probability
from enginemath.change.changed import NO_LENGTH
from enginemath.change.combination import Combination, machined
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.cuts import metal_left
from enginemath.change.limits_kept import check_limits, keeps_all
from enginemath.change.price_list import Options, Tolerances
from enginemath.engine.parts import Engine, plain
from enginemath.sheets import Sheet
from enginemath.sheets.ratio_report import ratio_report
from enginemath.units import MM, Quantity, Refused, as_quantity, best, in_mm, shop_unit

_FINE = 0.001
"""Fineness in mm to which the ends of a permitted cut are found."""
_DEEPEST = min(DECK_CUT.high, HEAD_CUT.high)


@dataclass(frozen=True)
class WorkOrder:
    """An order that keeps to every limit of its plan; `work_order` makes one."""

    sheet: Sheet
    options: Options
    choice: Combination
    block: Height | None = None
    head: Height | None = None

    @property
    def before(self) -> Engine:
        """The engine as measured."""
        return self.sheet.engine

    @cached_property
    def after(self) -> Engine:
        """The engine as planned, with the uncertainties of readings and work."""
        return machined(self.before, self.options, self.choice)

    @property
    def unit(self) -> str:
        """The unit in which this shop reads lengths: in or mm."""
        return shop_unit(self.before.cylinder.bore)

    @cached_property
    def reports(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What `report.ratio_report` says of the engine as measured and as planned."""
        return ratio_report(self.before), ratio_report(self.after)

    @cached_property
    def chance(self) -> float | None:
        """Chance that every cylinder's true ratio is in the band; None where nothing has a ±."""
        target = self.options.target
        return in_band_probability(self.after, target.low, target.high)

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
        stretch, and its ends are found by halving.

        Args:
            face: "deck" or "head".
            bank: its number, from 0.
        """
        height = self.block if face == "deck" else self.head
        engine = plain(self.before)
        exact = replace(self.options, tolerances=Tolerances())

        def kept(mm: float) -> bool:
            trial = self.choice.with_cut(face, bank, Quantity(mm, MM))
            return keeps_all(engine, trial, exact)

        here = in_mm(getattr(self.choice, f"{face}_cuts")[bank])
        ends = []
        for far in (0.0, _DEEPEST):
            inside, outside = here, far
            if kept(far):
                inside = far
            while abs(outside - inside) > _FINE:
                middle = (inside + outside) / 2
                inside, outside = (middle, outside) if kept(middle) else (inside, middle)
            ends.append(Quantity(inside, "mm"))
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
    order = WorkOrder(sheet, options, choice, block, head)
    if not choice.fits and not choice.cuts:
        raise Refused("work order: nothing is changed, so there is nothing to order")
    broken = [str(limit) for limit in check_limits(plain(order.after), options) if not limit.kept]
    if broken:
        raise Refused(f"work order: not written, for {'; '.join(broken)}")
    for height, cut in ((block, choice.deck_cut), (head, choice.head_cut)):
        if height is not None:
            height.left(cut)
    return order


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
