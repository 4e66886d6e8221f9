"""One combination of choices, and the engine that it makes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

import pint
from uncertainties import ufloat

from enginemath.change.changed import NO_LENGTH, changed
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.price_list import Cut, GasketOption, Options, PistonOption
from enginemath.engine.limits import Limit
from enginemath.engine.parts import NOTHING, Engine, Gasket
from enginemath.units import CC, Quantity, Refused, deviation, nominal, shop_unit, show


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


def with_target(options: Options, low: float, high: float) -> Options:
    """The same price list, squish and limits for another band of ratios; the aim is its middle."""
    target = replace(options.target, low=low, high=high, aim=(low + high) / 2)
    return replace(options, target=target)


def choice_of(
    options: Options,
    *,
    gasket: str,
    piston: str,
    deck_cut: str | pint.Quantity,
    head_cut: str | pint.Quantity,
) -> Combination:
    """A choice as it is written on a sheet of paper.

    Args:
        options: the price list.
        gasket, piston: a name on the list, or ``"as measured"``.
        deck_cut, head_cut: a length, as text or as a quantity; ``"0 mm"`` for no cut.

    Raises:
        Refused: nothing written, a name that is not on the list, or a cut that the shop
            does not make; says which.
    """
    steps = (
        _place("gasket", gasket, options.gaskets),
        _place("piston", piston, options.pistons),
        _steps("deck cut", deck_cut, options.deck_cut, DECK_CUT),
        _steps("head cut", head_cut, options.head_cut, HEAD_CUT),
    )
    place = 0
    for step, count in zip(steps, options.shape, strict=True):
        place = place * count + step
    return combination_at(options, place)


def _place(what: str, name: str, offered: Sequence[GasketOption] | Sequence[PistonOption]) -> int:
    if not isinstance(name, str):
        raise Refused(f"{what} {name!r:.40}: put the name in quotes")
    known = [option.name.casefold() for option in offered]
    written = " ".join(name.casefold().split())
    if not written:
        raise Refused(f'{what}: nothing written yet; write "as measured" to keep it')
    if written not in known:
        close = get_close_matches(written, known, n=1)
        meant = f"did you mean {offered[known.index(close[0])].name}? " if close else ""
        names = ", ".join(option.name for option in offered)
        raise Refused(f'{what} "{name:.40}": not on the list; {meant}there are: {names}')
    return known.index(written)


def _steps(what: str, depth: str | pint.Quantity, offered: Cut | None, limit: Limit) -> int:
    if isinstance(depth, str) and not depth.strip():
        raise Refused(f'{what}: nothing written yet; write "0 mm" for no cut')
    cut = limit.accept(depth)
    if not cut.magnitude:
        return 0
    if offered is None:
        raise Refused(f"{what}: the shop does not offer it")
    unit = shop_unit(offered.step)
    said = f"{what} {depth if isinstance(depth, str) else show(cut, unit)}"
    steps = nominal((cut / offered.step).m_as(""))
    if round(steps) > offered.steps:
        raise Refused(f"{said}: the shop cuts {show(offered.largest, unit)} at most")
    if abs(steps - round(steps)) > 1e-6:
        raise Refused(f"{said}: the shop cuts in steps of {show(offered.step, unit)}")
    return round(steps)
