"""A change chosen by pencil: what it makes of the engine, its price, and the limits it breaks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING, TypeVar

import pint

from enginemath.bench_check import Question
from enginemath.compression import clearance_for
from enginemath.machining.bounds import DECK_CUT, HEAD_CUT
from enginemath.parts import Engine
from enginemath.stack import mean_ratio, stack_of, stacks
from enginemath.units import Quantity, Refused, best, nominal, shop_unit, show, show_ratio

if TYPE_CHECKING:
    from enginemath.limits import Limit
    from enginemath.planning.combination import Combination
    from enginemath.planning.options import Cut, GasketOption, Options, PistonOption

Option = TypeVar("Option", "GasketOption", "PistonOption")

TOUCH = 1e-9
"""How far a ratio or a length in mm may be beyond its limit and still count as on it."""


def with_target(options: Options, low: float, high: float) -> Options:
    """The same price list, squish and limits for another band of ratios; the aim is its middle."""
    target = replace(options.target, low=low, high=high, aim=(low + high) / 2)
    return replace(options, target=target)


def choice_of(
    options: Options, *, gasket: str, piston: str, deck_cut: str, head_cut: str
) -> Combination:
    """A choice as it is written on a sheet of paper.

    Args:
        options: the price list.
        gasket, piston: a name on the list, or ``"as measured"``.
        deck_cut, head_cut: a length; ``"0 mm"`` for no cut.

    Raises:
        Refused: nothing written, a name that is not on the list, or a cut that the shop
            does not make; says which.
    """
    from enginemath.planning.combination import combination_at

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


def _place(what: str, name: str, offered: Sequence[Option]) -> int:
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


def _steps(what: str, depth: str, offered: Cut | None, limit: Limit) -> int:
    if isinstance(depth, str) and not depth.strip():
        raise Refused(f'{what}: nothing written yet; write "0 mm" for no cut')
    cut = limit.accept(depth)
    if not cut.magnitude:
        return 0
    if offered is None:
        raise Refused(f"{what}: the shop does not offer it")
    unit = shop_unit(offered.step)
    steps = nominal((cut / offered.step).m_as(""))
    if round(steps) > offered.steps:
        raise Refused(f"{what} {depth}: the shop cuts {show(offered.largest, unit)} at most")
    if abs(steps - round(steps)) > 1e-6:
        raise Refused(f"{what} {depth}: the shop cuts in steps of {show(offered.step, unit)}")
    return round(steps)


def compared(engine: Engine, choice: Combination, options: Options) -> str:
    """How a choice stands among all combinations that keep to every limit."""
    kept = _all_that_keep(engine, options)
    found = f"Of {options.combinations} combinations, {len(kept)} keep to every limit."
    if not keeps_all(engine, choice, options):
        return f"{found} Yours is not one of them."
    cheaper = sum(other.price < choice.price for other in kept)
    if cheaper:
        return f"{found} Yours is one; {cheaper} of the others cost less."
    return f"{found} Yours is one, and no other costs less."


def _all_that_keep(engine: Engine, options: Options) -> list[Combination]:
    """All combinations that keep to every limit, ranked as a plan ranks them."""
    from enginemath.planning.combination import combination_at
    from enginemath.planning.grid import grid_of
    from enginemath.planning.search import search

    found = search(grid_of(engine, options), options, options.combinations)
    return [combination_at(options, place) for place in found.best]


def of_wanted_clearance(engine: Engine, ratio: float, cylinder: int = 1) -> Question:
    """The clearance volume that one cylinder, counted from 1, takes for a wanted ratio."""
    stack = stack_of(engine, cylinder - 1)
    swept, now = best(stack.swept), best(stack.clearance)
    wanted = clearance_for(ratio, swept)
    return Question(
        wanted,
        [
            (
                "The ratio counts the clearance volume too: take one off it first.",
                swept / ratio,
            ),
            ("That is what is there now. What must it become?", now),
            ("That is how much must go. How much stays?", abs(now - wanted)),
        ],
    )


def _named(what: str, name: str, choices: Sequence[Option]) -> Option:
    if not isinstance(name, str):
        raise Refused(f"{what} {name!r:.40}: put the name in quotes")
    known = {choice.name.casefold(): choice for choice in choices}
    wanted = " ".join(name.casefold().split())
    if not wanted:
        raise Refused(f'{what}: nothing written yet; write "as measured" to keep it')
    if wanted not in known:
        close = get_close_matches(wanted, known, n=1)
        meant = f"did you mean {known[close[0]].name}? " if close else ""
        names = ", ".join(choice.name for choice in choices)
        raise Refused(f'{what} "{name:.40}": not on the list; {meant}there are: {names}')
    return known[wanted]


def _cut(what: str, depth: str, offered: Cut | None, limit: Limit) -> pint.Quantity:
    if isinstance(depth, str) and not depth.strip():
        raise Refused(f'{what}: nothing written yet; write "0 mm" for no cut')
    cut = limit.accept(depth)
    if not cut.magnitude:
        return cut
    if offered is None:
        raise Refused(f"{what}: the shop does not offer it")
    unit = shop_unit(offered.step)
    steps = (cut / offered.step).m_as("")
    if round(steps) > offered.steps:
        raise Refused(f"{what} {depth}: the shop cuts {show(offered.largest, unit)} at most")
    if abs(steps - round(steps)) > 1e-6:
        raise Refused(f"{what} {depth}: the shop cuts in steps of {show(offered.step, unit)}")
    return cut


@dataclass(frozen=True)
class Judged:
    """One limit, what the engine makes of it, and whether it is kept."""

    what: str
    has: str
    wanted: str
    kept: bool

    def __str__(self) -> str:
        """One line for the shop."""
        return f"{self.what} {self.has}, wanted {self.wanted}: {'kept' if self.kept else 'BROKEN'}"


def judged(engine: Engine, options: Options) -> list[Judged]:
    """Hold an engine against every limit of a plan, all its cylinders together.

    >>> from enginemath.datasets import path
    >>> from enginemath.panels.engines import engine_of
    >>> from enginemath.planning.reading import read_options
    >>> options = read_options(path("heron-four-options.toml"))
    >>> print(*judged(engine_of("heron-four"), options), sep="\\n")
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    return list(_judged(engine, options))


def _judged(engine: Engine, options: Options) -> Iterator[Judged]:
    target, unit = options.target, shop_unit(engine.cylinder.bore)
    ratios = sorted(nominal(stack.ratio) for stack in stacks(engine))
    yield Judged(
        "ratio",
        _range(show_ratio(ratios[0], 3), show_ratio(ratios[-1], 3)),
        f"{show_ratio(target.low, 3)} to {show_ratio(target.high, 3)}",
        target.low - TOUCH <= ratios[0] and ratios[-1] <= target.high + TOUCH,
    )
    if target.squish:
        least, most = target.squish
        wanted = f"{_bare(least, unit)} to {show(most, unit)}"
        if engine.squish() is None:
            yield Judged("squish", "not known", wanted, kept=False)
        else:
            tight, wide = _squishes(engine)
            kept = _mm(least) - TOUCH <= _mm(tight) and _mm(wide) <= _mm(most) + TOUCH
            yield Judged("squish", _lengths(tight, wide, unit), wanted, kept)
    highest, deepest = _ends([deck.clearance for deck in engine.decks])
    least = options.deck_clearance_min
    yield Judged(
        "deck clearance",
        _lengths(highest, deepest, unit),
        f"{show(least, unit)} or more",
        _mm(highest) >= _mm(least) - TOUCH,
    )


def verdict(engine: Engine, choice: Combination, options: Options) -> list[str]:
    """What a choice makes of an engine: ratio, every limit, metal removed and price.

    Returns:
        One line each; one line alone where the engine cannot be assembled so.
    """
    from enginemath.planning.combination import machined

    try:
        after = machined(engine, options, choice)
    except Refused as refusal:
        return [str(refusal)]
    unit = shop_unit(engine.cylinder.bore)
    metal = choice.deck_cut + choice.head_cut
    return [
        f"mean ratio {show_ratio(nominal(mean_ratio(after)), 3)}",
        *map(str, judged(after, options)),
        f"metal removed {show(metal, unit)}, price {choice.price:g}",
    ]


def keeps_all(engine: Engine, choice: Combination, options: Options) -> bool:
    """Whether an engine can be assembled with a choice and then keeps to every limit."""
    from enginemath.planning.combination import machined

    try:
        return all(limit.kept for limit in judged(machined(engine, options, choice), options))
    except Refused:
        return False


WISHES: dict[str, Callable[[Combination, Engine], float]] = {
    "cheapest": lambda choice, _: choice.price,
    "best squish": lambda _, after: _mm(_squishes(after)[0]),
    "least metal": lambda choice, _: _mm(choice.deck_cut + choice.head_cut),
}
"""What the smallest of is wanted; a tie goes to the plan that is ranked higher."""


def by_wish(engine: Engine, options: Options) -> str:
    """The plan that serves each wish best, among all that keep to every limit, as a table.

    Raises:
        Refused: no combination keeps to every limit, or no squish is wanted.
    """
    from enginemath.planning.combination import machined

    if options.target.squish is None:
        raise Refused("no squish range is wanted, so no plan has the best squish")

    kept = [
        (choice, machined(engine, options, choice)) for choice in _all_that_keep(engine, options)
    ]
    if not kept:
        raise Refused("no combination keeps to every limit, so there is nothing to choose from")
    unit = shop_unit(engine.cylinder.bore)
    rows: list[Sequence[str]] = [
        ("wish", "price", "ratio", "tightest squish", "deck cut", "head cut", "gasket", "piston")
    ]
    for wish, measure in WISHES.items():
        choice, after = min(kept, key=lambda plan: measure(*plan))
        lengths = (_squishes(after)[0], choice.deck_cut, choice.head_cut)
        rows.append(
            (
                wish,
                f"{choice.price:g}",
                show_ratio(nominal(mean_ratio(after)), 3),
                *(show(length, unit) for length in lengths),
                choice.gasket.name,
                choice.piston.name,
            )
        )
    return _table(rows)


def price_list(options: Options) -> str:
    """What could be fitted and cut, with its price, as a table.

    >>> from enginemath.datasets import path
    >>> from enginemath.planning.reading import read_options
    >>> print(price_list(read_options(path("heron-four-options.toml"))))
    gasket  composite        1.100 mm compressed, opening 89.900 mm  26
    gasket  medium steel     0.950 mm compressed, opening 89.200 mm  58
    gasket  thin steel       0.800 mm compressed, opening 89.200 mm  72
    piston  flat top         crown 1.70 cc                           236
    piston  shallow dish     crown 5.90 cc                           248
    piston  tall, same dish  crown 10.10 cc, sits 0.300 mm higher    312
    cut     deck             steps of 0.050 mm, at most 0.400 mm     150
    cut     head             steps of 0.050 mm, at most 0.800 mm     85
    """
    return _table(list(_rows(options)))


def _table(rows: Sequence[Sequence[str]]) -> str:
    """Columns of text, as wide as they need to be."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join("  ".join(map(str.ljust, row, widths)).rstrip() for row in rows)


def _rows(options: Options) -> Iterator[tuple[str, str, str, str]]:
    for option in options.gaskets:
        if option.gasket is not None:
            yield "gasket", option.name, _gasket(option), f"{option.price:g}"
    for choice in options.pistons:
        if choice.piston is not None:
            yield "piston", choice.name, _piston(choice), f"{choice.price:g}"
    for name, cut in (("deck", options.deck_cut), ("head", options.head_cut)):
        if cut is not None:
            unit = shop_unit(cut.step)
            steps = f"steps of {show(cut.step, unit)}, at most {show(cut.largest, unit)}"
            yield "cut", name, steps, f"{cut.price:g}"


def _gasket(option: GasketOption) -> str:
    gasket = option.gasket
    if gasket is None or gasket.compressed_thickness is None or gasket.bore is None:
        return "volume " + show(gasket.volume, "cc") if gasket else ""
    unit = shop_unit(gasket.bore)
    thickness = show(gasket.compressed_thickness, unit)
    return f"{thickness} compressed, opening {show(gasket.bore, unit)}"


def _piston(option: PistonOption) -> str:
    crown = f"crown {show(option.piston.crown, 'cc')}" if option.piston else ""
    rise, unit = option.rise, shop_unit(option.rise)
    if not rise.magnitude:
        return crown
    return f"{crown}, sits {show(abs(rise), unit)} {'higher' if rise.magnitude > 0 else 'lower'}"


def _squishes(engine: Engine) -> tuple[pint.Quantity, pint.Quantity]:
    """The tightest and the widest squish clearance of an engine whose gasket is known."""
    return _ends([engine.squish(number) for number in range(engine.count)])


def _ends(lengths: Sequence[pint.Quantity | None]) -> tuple[pint.Quantity, pint.Quantity]:
    values = sorted(_mm(length) for length in lengths if length is not None)
    return Quantity(values[0], "mm"), Quantity(values[-1], "mm")


def _lengths(low: pint.Quantity, high: pint.Quantity, unit: str) -> str:
    return _range(_bare(low, unit), _bare(high, unit)) + f" {unit}"


def _range(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _bare(length: pint.Quantity, unit: str) -> str:
    return show(length, unit).removesuffix(f" {unit}")


def _mm(length: pint.Quantity) -> float:
    return float(nominal(length.m_as("mm")))
