"""One combination of choices, and the engine that it makes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import pint
from uncertainties import ufloat

from enginemath.change.changed import NO_LENGTH, changed
from enginemath.change.price_list import GasketOption, Options, PistonOption
from enginemath.engine.parts import NOTHING, Engine, Gasket
from enginemath.units import CC, Quantity, deviation, nominal


@dataclass(frozen=True)
class Combination:
    """A gasket, a piston, a deck cut and a head cut."""

    numbers: tuple[int, ...]
    """Which of the options each is, counted from 0."""
    gasket: GasketOption
    piston: PistonOption
    deck_cut: pint.Quantity
    head_cut: pint.Quantity
    price: float


def combination_at(options: Options, place: int) -> Combination:
    """The combination at a place, counted from 0 with the head cuts running fastest."""
    numbers = numbers_at(options, place)
    gasket, piston = options.gaskets[numbers[0]], options.pistons[numbers[1]]
    deck_cut, head_cut = (
        step * cut.step if cut else NO_LENGTH
        for cut, step in zip((options.deck_cut, options.head_cut), numbers[2:], strict=True)
    )
    return Combination(numbers, gasket, piston, deck_cut, head_cut, price_of(options, numbers))


def numbers_at(options: Options, place: int) -> tuple[int, ...]:
    """Which of the options the combination at a place is made of."""
    numbers: list[int] = []
    for count in reversed(options.shape):
        place, number = divmod(place, count)
        numbers.insert(0, number)
    return tuple(numbers)


def price_of(options: Options, numbers: tuple[int, ...]) -> float:
    """Parts and cuts together."""
    cuts = zip((options.deck_cut, options.head_cut), numbers[2:], strict=True)
    parts = options.gaskets[numbers[0]], options.pistons[numbers[1]]
    return _sum([part.price for part in parts] + [cut.price for cut, step in cuts if cut and step])


def machined(engine: Engine, options: Options, choice: Combination) -> Engine:
    """The engine after a combination of changes, with the uncertainties of the work done.

    A tolerance counts where its work is done: of a cut where something is cut, of the
    compressed thickness where a new gasket without a ± of its own is fitted.

    Raises:
        Refused: it cannot be assembled.
    """
    tolerances = options.tolerances
    deck_cut = _as_done(choice.deck_cut, tolerances.deck_cut)
    head_cut = _as_done(choice.head_cut, tolerances.head_cut)
    parts: dict[str, Any] = {}
    if choice.gasket.gasket:
        parts["gasket"] = _as_fitted(choice.gasket.gasket, tolerances.compressed_thickness)
    if choice.piston.piston:
        parts["piston"] = choice.piston.piston
    return changed(
        engine,
        f"{choice.gasket.name}, {choice.piston.name}",
        lift=choice.piston.rise + deck_cut,
        off_chambers=(head_cut * options.head_cut.open_area).to(CC)
        if options.head_cut
        else NOTHING,
        **parts,
    )


def _sum(prices: list[float]) -> float:
    """Whole prices stay whole; what floats add to fractions is rounded off."""
    return round(math.fsum(prices), 4) if any(p % 1 for p in prices) else int(math.fsum(prices))


def _as_done(cut: pint.Quantity, tolerance: pint.Quantity) -> pint.Quantity:
    return _with_spread(cut, tolerance) if cut.magnitude else cut


def _as_fitted(gasket: Gasket, tolerance: pint.Quantity) -> Gasket:
    thickness = gasket.compressed_thickness
    if thickness is None or deviation(thickness.magnitude):
        return gasket
    fitted = _with_spread(thickness, tolerance)
    poured = gasket.poured
    if poured is not None:
        poured = poured * (fitted / nominal(thickness)).to("")
    return replace(gasket, compressed_thickness=fitted, poured=poured)


def _with_spread(length: pint.Quantity, spread: pint.Quantity) -> pint.Quantity:
    u = spread.m_as(length.units)
    return Quantity(ufloat(nominal(length.magnitude), u), length.units) if u else length
