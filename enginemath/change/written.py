"""A target, a choice and an answer, as they are written on a sheet of paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches

import pint

from enginemath.change.combination import Combination, combination_at
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.price_list import Cut, GasketOption, Options, PistonOption
from enginemath.engine.limits import Limit
from enginemath.units import Refused, nominal, shop_unit, show


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
    wanted = " ".join(name.casefold().split())
    if not wanted:
        raise Refused(f'{what}: nothing written yet; write "as measured" to keep it')
    if wanted not in known:
        close = get_close_matches(wanted, known, n=1)
        meant = f"did you mean {offered[known.index(close[0])].name}? " if close else ""
        names = ", ".join(option.name for option in offered)
        raise Refused(f'{what} "{name:.40}": not on the list; {meant}there are: {names}')
    return known.index(wanted)


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
