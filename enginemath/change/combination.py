"""One combination of choices, and the engine that it makes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any, TypeAlias

import pint
from uncertainties import ufloat

from enginemath.change.changed import NO_LENGTH, changed
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.fitting import with_bore, with_rod, with_stroke
from enginemath.change.price_list import (
    AS_MEASURED,
    CrankOption,
    Cut,
    GasketOption,
    Options,
    PistonOption,
    RodOption,
    Tolerances,
)
from enginemath.engine.limits import Limit
from enginemath.engine.parts import NOTHING, Cylinder, Engine, Gasket
from enginemath.units import CC, Quantity, Refused, deviation, nominal, shop_unit, show

_AS_IT_IS = {
    "gasket": "as measured",
    "piston": "as measured",
    "deck_cut": "0 mm",
    "head_cut": "0 mm",
}


@dataclass(frozen=True)
class Combination:
    """Parts for the whole engine, and a deck cut and a head cut for each bank."""

    numbers: tuple[int, ...]
    """Which of the options each part is, counted from 0, then each bank's cuts in steps."""
    gasket: GasketOption
    piston: PistonOption
    deck_cuts: tuple[pint.Quantity, ...]
    """One for each bank."""
    head_cuts: tuple[pint.Quantity, ...]
    price: float
    rods: RodOption = field(default_factory=RodOption)
    crank: CrankOption = field(default_factory=CrankOption)

    @property
    def deck_cut(self) -> pint.Quantity:
        """The deck cut of an engine with one bank; else of the first."""
        return self.deck_cuts[0]

    @property
    def head_cut(self) -> pint.Quantity:
        """The head cut of an engine with one bank; else of the first."""
        return self.head_cuts[0]

    @property
    def metal(self) -> pint.Quantity:
        """All that is cut off, a length: the cuts of all banks together."""
        first, *others = (*self.deck_cuts, *self.head_cuts)
        return sum(others, first)

    def with_cut(self, face: str, bank: int, depth: pint.Quantity) -> Combination:
        """The same with another depth of one bank's cut.

        Args:
            face: "deck" or "head".
            bank: its number, from 0.
            depth: a length.
        """
        cuts = list(self.deck_cuts if face == "deck" else self.head_cuts)
        cuts[bank] = depth
        if face == "deck":
            return replace(self, deck_cuts=tuple(cuts))
        return replace(self, head_cuts=tuple(cuts))

    @property
    def cuts(self) -> bool:
        """Whether anything is cut."""
        return bool(self.metal.magnitude)

    @property
    def fits(self) -> bool:
        """Whether another part is fitted."""
        return any(
            (
                self.gasket.gasket is not None,
                self.piston.piston is not None,
                self.rods.length is not None,
                self.crank.stroke is not None,
            )
        )


PARTS = 4
"""Gasket, piston, rods and crank: the numbers that stand before the banks' cuts."""


def combination_of(options: Options, numbers: Sequence[int]) -> Combination:
    """The combination of some options, by their numbers."""
    gasket, piston, rods, crank, *cuts = numbers
    deck_cuts, head_cuts = (
        tuple(step * cut.step if cut else NO_LENGTH for step in steps)
        for cut, steps in ((options.deck_cut, cuts[::2]), (options.head_cut, cuts[1::2]))
    )
    return Combination(
        tuple(numbers),
        options.gaskets[gasket],
        options.pistons[piston],
        deck_cuts,
        head_cuts,
        price_of(options, numbers),
        options.rods[rods],
        options.cranks[crank],
    )


def combination_at(options: Options, place: int) -> Combination:
    """The combination of one bank at a place, counted from 0; the head cuts run fastest."""
    return combination_of(options, numbers_at(options, place))


def numbers_at(options: Options, place: int) -> tuple[int, ...]:
    """Which of the options the combination at a place is made of."""
    numbers: list[int] = []
    for count in reversed(options.shape):
        place, number = divmod(place, count)
        numbers.insert(0, number)
    return tuple(numbers)


def price_of(options: Options, numbers: Sequence[int]) -> float:
    """Parts and cuts together; a cut is paid for each bank that is set up for it."""
    gasket, piston, rods, crank = numbers[:PARTS]
    parts = [
        options.gaskets[gasket].price,
        options.pistons[piston].price,
        options.rods[rods].price,
        options.cranks[crank].price,
    ]
    cuts = numbers[PARTS:]
    faces = ((options.deck_cut, cuts[::2]), (options.head_cut, cuts[1::2]))
    setups = [cut.price for cut, steps in faces if cut for step in steps if step]
    return _sum(parts + setups)


def price_for_banks(options: Options, choice: Combination, banks: int) -> float:
    """What a choice with one cut of each face costs where it is made on several banks."""
    return price_of(options, (*choice.numbers[:PARTS], *choice.numbers[PARTS:] * banks))


@dataclass(frozen=True)
class After:
    """An engine after a combination of changes, with the uncertainties of readings and work."""

    engine: Engine
    deck_cuts: tuple[pint.Quantity, ...]
    """As done: with the ± of the work, one for each bank that is cut by itself."""
    head_cuts: tuple[pint.Quantity, ...]


def machined(engine: Engine, options: Options, choice: Combination) -> Engine:
    """The engine after a combination of changes, with the uncertainties of the work done.

    A tolerance counts where its work is done: of a cut where something is cut, each bank's with a
    ± of its own; of the compressed thickness where a new gasket without a ± of its own is fitted.
    A single cut of an engine with several banks is made on all of them.

    Raises:
        Refused: it cannot be assembled.
    """
    return after(engine, options, choice).engine


def after(engine: Engine, options: Options, choice: Combination) -> After:
    """The engine after a combination of changes, and the cuts as they are done.

    Raises:
        Refused: see `machined`.
    """
    bank_of = _bank_numbers(engine, choice)
    tolerances = options.tolerances
    deck_cuts = tuple(_as_done(cut, tolerances.deck_cut) for cut in choice.deck_cuts)
    head_cuts = tuple(_as_done(cut, tolerances.head_cut) for cut in choice.head_cuts)
    off = [NOTHING] * len(head_cuts)
    if options.head_cut:
        off = [(cut * options.head_cut.open_area).to(CC) for cut in head_cuts]
    parts: dict[str, Any] = {}
    if choice.gasket.gasket:
        fitted = [
            _as_fitted(choice.gasket.gasket, tolerances.compressed_thickness) for _ in deck_cuts
        ]
        parts["gaskets"] = tuple(fitted[bank] for bank in bank_of)
        parts["gasket"] = parts["gaskets"][0]
    if choice.piston.piston:
        parts["piston"] = choice.piston.piston
    cylinders, risen = zip(*(_rebuilt(c, choice) for c in engine.cylinders), strict=True)
    if any(new is not old for new, old in zip(cylinders, engine.cylinders, strict=True)):
        parts |= {"cylinder": cylinders[0], "cylinders": cylinders}
    rise = choice.piston.rise
    made = changed(
        engine,
        f"{choice.gasket.name}, {choice.piston.name}",
        lift=[rise + deck_cuts[bank] + up for bank, up in zip(bank_of, risen, strict=True)],
        off_chambers=[off[bank] for bank in bank_of],
        **parts,
    )
    return After(made, deck_cuts, head_cuts)


def _bank_numbers(engine: Engine, choice: Combination) -> list[int]:
    """For each cylinder the number of its bank, among those that are cut by themselves."""
    if len(choice.deck_cuts) == 1:
        return [0] * engine.count
    names = list(dict.fromkeys(engine.banks))
    return [names.index(name) for name in engine.banks]


def _rebuilt(cylinder: Cylinder, choice: Combination) -> tuple[Cylinder, pint.Quantity]:
    """A cylinder with its rod, stroke and bore, and how much higher its piston comes."""
    risen = NO_LENGTH
    if choice.rods.length is not None:
        cylinder, up = with_rod(cylinder, choice.rods.length)
        risen = risen + up
    if choice.crank.stroke is not None:
        cylinder, up = with_stroke(cylinder, choice.crank.stroke)
        risen = risen + up
    if choice.piston.overbore.magnitude:
        cylinder = with_bore(cylinder, choice.piston.overbore)
    return cylinder, risen


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


Depth: TypeAlias = "str | pint.Quantity"
"""A cut, as text or as a quantity; ``"0 mm"`` for none."""


def choice_of(
    options: Options,
    *,
    gasket: str,
    piston: str,
    deck_cut: Depth | Mapping[str, Depth],
    head_cut: Depth | Mapping[str, Depth],
    rods: str = AS_MEASURED,
    crank: str = AS_MEASURED,
    banks: Sequence[str] = (),
) -> Combination:
    """A choice as it is written on a sheet of paper.

    Args:
        options: the price list.
        gasket, piston, rods, crank: a name on the list, or ``"as measured"``.
        deck_cut, head_cut: a length, as text or as a quantity, that every bank is cut by;
            ``"0 mm"`` for no cut. Or a length for each bank, by its name; no cut where one is
            left out.
        banks: names of the engine's banks, in its order; none where all stand in one.

    Raises:
        Refused: nothing written, a name that is not on the list, a bank that the engine has not,
            or a cut that the shop does not make; says which.
    """
    parts = (
        _place("gasket", gasket, options.gaskets),
        _place("piston", piston, options.pistons),
        _place("rods", rods, options.rods),
        _place("crank", crank, options.cranks),
    )
    decks = _each_bank("deck cut", deck_cut, banks)
    heads = _each_bank("head cut", head_cut, banks)
    cuts = [
        steps
        for deck, head in zip(decks, heads, strict=True)
        for steps in (
            _steps("deck cut", deck, options.deck_cut, DECK_CUT),
            _steps("head cut", head, options.head_cut, HEAD_CUT),
        )
    ]
    return combination_of(options, (*parts, *cuts))


def _each_bank(what: str, cut: Depth | Mapping[str, Depth], banks: Sequence[str]) -> list[Depth]:
    """A depth for each bank."""
    if not isinstance(cut, Mapping):
        return [cut] * max(1, len(banks))
    for name in cut:
        if name not in banks:
            has = ", ".join(banks) or "none by name"
            raise Refused(
                f'{what}: bank "{name:.40}": the engine has no such bank; its banks: {has}'
            )
    return [cut.get(bank, "0 mm") for bank in banks]


def chosen(options: Options, **choice: Any) -> Combination:
    """A choice that names only what is changed.

    Args:
        options: the price list.
        choice: see `choice_of`; a part that is left out stays, a cut that is left out is not made.

    Raises:
        Refused: see `choice_of`.
    """
    return choice_of(options, **{**_AS_IT_IS, **choice})


def with_choice(engine: Engine, options: Options, **choice: Any) -> Engine:
    """The engine with parts and cuts of a price list, as the list prints them.

    The uncertainties of the work to come are left out; `machined` has them.

    Args:
        engine: as measured.
        options, choice: see `chosen`.

    Raises:
        Refused: see `choice_of`; or it cannot be assembled.
    """
    exact = replace(options, tolerances=Tolerances())
    return machined(engine, exact, chosen(options, banks=bank_names(engine), **choice))


def bank_names(engine: Engine) -> tuple[str, ...]:
    """Names of an engine's banks, in its order; empty where it has none."""
    return tuple(dict.fromkeys(engine.banks))


def _place(
    what: str,
    name: str,
    offered: Sequence[GasketOption]
    | Sequence[PistonOption]
    | Sequence[RodOption]
    | Sequence[CrankOption],
) -> int:
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
