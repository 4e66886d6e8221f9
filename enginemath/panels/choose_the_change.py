"""Lesson 09: gasket, pistons and cuts, and what they do to ratio and squish."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import cache
from typing import Any

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.change.combination import Combination, choice_of, machined, price_for_banks
from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT
from enginemath.change.job import banks_of
from enginemath.change.limits_kept import LimitCheck
from enginemath.change.price_list import (
    Cut,
    GasketOption,
    Options,
    PistonOption,
    Target,
    Tolerances,
)
from enginemath.change.price_list_file import read_options
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.shelf import WIDE, Item, Shelf, draw_shelves
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.large_line import STRIP, Said, said_of
from enginemath.drawing.paper.number_line import LineView, ratio_line, squish_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.rules_of_thumb import REGULAR_FUEL, SQUISH
from enginemath.engine.stack import Stack, mean, stack_of
from enginemath.formulas.compression import compression_ratio
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import FINE, Dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of, regular_fuel
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import grip_of
from enginemath.panels.frame.setting import Choice
from enginemath.sheets import kit_data
from enginemath.units import (
    Number,
    Quantity,
    Refused,
    in_cc,
    in_mm,
    nominal,
    read,
    show,
    show_ratio,
    unit_of,
)

NO_CUT = "0 mm"
CAUTION = (
    "A computed ratio is not permission to cut or to run: the maker's minimum and a qualified "
    "machine shop decide."
)


def options_for(engine: EngineOrName) -> Options:
    """The kit's options for one of its engines; for another engine, a deck cut only."""
    if isinstance(engine, str) and _options_file(engine) in kit_data.names():
        return _kit_options(engine)
    rule = regular_fuel(engine_of(engine)) or REGULAR_FUEL
    low, high = rule.low or 0.0, rule.high or 0.0
    squish = Quantity(SQUISH.low, "mm"), Quantity(SQUISH.high, "mm")
    return Options(
        Target(low, high, (low + high) / 2, squish),
        deck_cut=Cut(read("0.05 mm"), read("0.40 mm")),
    )


def _options_file(engine: str) -> str:
    return f"{engine}-options.toml"


@cache
def _kit_options(engine: str) -> Options:
    return read_options(kit_data.path(_options_file(engine)))


def choose_the_change_numbers(
    engine: EngineOrName = "heron-four",
    options: Options | None = None,
    *,
    gasket: str = "as measured",
    piston: str = "as measured",
    deck_cut: str = NO_CUT,
    head_cut: str = NO_CUT,
) -> dict[str, Number]:
    """The numbers of the panel `choose_the_change`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine.
        options: what could be done; by default the kit's for its own engines.
        gasket, piston: name of the part that is fitted.
        deck_cut, head_cut: depths, lengths, on the shop's steps.

    Returns:
        The mean ratio and the ratios of all cylinders, squish and deck clearance of cylinder 1
        as lengths, and the price, by name.

    Raises:
        Refused: what the shop does not offer, or what cannot be assembled.

    >>> numbers = choose_the_change_numbers("heron-four", gasket="thin steel")
    >>> show_ratio(numbers["ratio"]), show(numbers["squish"], "mm"), numbers["price"]
    ('9.07', '1.180 mm', 72)
    """
    choices = options or options_for(engine)
    cuts = {"deck_cut": deck_cut, "head_cut": head_cut}
    choice = choice_of(choices, gasket=gasket, piston=piston, **cuts)
    whole = plain(engine_of(engine))
    before, clearances = one_cylinder(whole, 0), _clearances(whole)
    after = _after(before, choices, choice)
    price = price_for_banks(choices, choice, len(banks_of(whole)))
    return _numbers(after, stack_of(after), clearances[0], clearances, price)


def _after(before: Engine, options: Options, choice: Combination) -> Engine:
    """The engine after a change, best values only."""
    return machined(before, replace(options, tolerances=Tolerances()), choice)


def _clearances(engine: Engine) -> list[float]:
    return [in_cc(stack_of(engine, number).clearance) for number in range(engine.count)]


def _numbers(
    after: Engine, stack: Stack, before: float, clearances: list[float], price: float
) -> dict[str, Number]:
    """The numbers of an engine with one cylinder whose clearance volume was `before`."""
    # A change adds the same to the clearance volume of every cylinder.
    swept, added = in_cc(stack.swept), in_cc(stack.clearance) - before
    ratios = [compression_ratio(swept, volume + added) for volume in clearances]
    return {
        "ratio": mean(ratios),
        "ratios": ratios,
        "squish": after.squish(),
        "deck_clearance": after.decks[0].clearance,
        "price": price,
    }


class ChooseTheChange(EnginePanel):
    title = "Choose the change"
    large = True
    moved = ("engine", "choice", "after")

    def __init__(
        self, engine: EngineOrName, options: Options | None, *, projector: bool, predict: bool
    ):
        self._given = options
        self.options = options or options_for(engine)
        self.choice = self._as_measured()
        gaskets, pistons = _named(self.options.gaskets), _named(self.options.pistons)
        self.gaskets = Choice("gasket", "gasket", gaskets, self._part_chosen)
        self.pistons = Choice("piston", "crown", pistons, self._part_chosen)
        self.deck_cut = Control(_dial(DECK_CUT, "deck", None), NO_LENGTH, "mm", self.move)
        self.head_cut = Control(_dial(HEAD_CUT, "chamber", None), NO_LENGTH, "mm", self.move)
        super().__init__(
            engine,
            predict=predict,
            projector=projector,
            extra=[self.gaskets, self.pistons, self.deck_cut, self.head_cut],
        )
        for _, each in [] if options else self.engines.options:
            options_for(each)  # read now, before a hand waits for it

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.options = self._given or options_for(self.engines.chosen)
        self.clearances = _clearances(self.whole)
        self.deeper = [
            in_mm(deck.clearance - engine.decks[0].clearance) for deck in self.whole.decks
        ]
        self.gaskets.restart(_named(self.options.gaskets))
        self.pistons.restart(_named(self.options.pistons))
        self.choice, self.after = self._as_measured(), engine
        self.ratio_before = float(nominal(self._numbers(self.choice)["ratio"]))
        for control, cut in self._cuts():
            control.restart(NO_LENGTH, _dial(control.dial.limit, control.dial.part, cut))

    def _cuts(self) -> list[tuple[Control, Cut | None]]:
        return [(self.deck_cut, self.options.deck_cut), (self.head_cut, self.options.head_cut)]

    def hidden(self) -> Sequence[Control]:
        return [control for control, cut in self._cuts() if cut is None]

    def prediction(self) -> Prediction | None:
        # Which change mends the ratio is for the student to find: ask about one that does not.
        first = asked = None
        for asked in self._single_changes():
            first = first or asked
            if not self._mends(asked[1]):
                break
        else:
            asked = first
        if asked is None:
            return None
        what, after = asked
        before = show_ratio(self.ratio_before)
        text = f"The mean ratio is {before}. With {what} and nothing else, it becomes:"
        return Prediction(text, lambda: after, asks=f"the mean ratio with {what}")

    def _mends(self, ratio: Number) -> bool:
        """Whether a mean ratio, as it is printed, is inside the wanted band."""
        target = self.options.target
        return target.low <= round(nominal(ratio), 2) <= target.high

    def _single_changes(self) -> Iterator[tuple[str, Number]]:
        """Changes to guess the effect of, each with the mean ratio that it makes."""
        changes = [*self._single_cuts(), *self._other_gasket()]
        for what, choice in changes:
            with suppress(Refused):  # the piston would meet the head
                yield what, self._numbers(choice)["ratio"]

    def _other_gasket(self) -> Iterator[tuple[str, Combination]]:
        """The thinnest gasket, unless that is the one fitted."""
        thinnest = self._thinnest()
        if thinnest.gasket is not self.options.gaskets[0]:
            yield f"the {thinnest.gasket.name} gasket", thinnest

    def _single_cuts(self) -> Iterator[tuple[str, Combination]]:
        """The deepest cut of deck and of head, and the lightest."""
        parts = self.options.gaskets[0], self.options.pistons[0]
        for name, cut in (("deck", self.options.deck_cut), ("head", self.options.head_cut)):
            if cut is None:
                continue
            for depth in (cut.steps * cut.step, cut.step):
                choice = self._choice(*parts, **{f"{name}_cut": depth})
                yield f"{show(depth, self.unit)} cut off the {name}", choice

    def change(self, control: Control, value: pint.Quantity) -> None:
        now = self.choice
        cuts = (value, now.head_cut) if control is self.deck_cut else (now.deck_cut, value)
        self._choose(now.gasket, now.piston, *cuts)

    def _part_chosen(self) -> None:
        gasket, piston = self.gaskets.chosen, self.pistons.chosen
        self._choose(gasket, piston, self.choice.deck_cut, self.choice.head_cut)
        self.refresh()

    def _choose(
        self,
        gasket: GasketOption,
        piston: PistonOption,
        deck_cut: pint.Quantity = NO_LENGTH,
        head_cut: pint.Quantity = NO_LENGTH,
    ) -> None:
        choice = self._choice(gasket, piston, deck_cut, head_cut)
        self.after = _after(self.engine, self.options, choice)
        self.choice = choice

    def _choice(
        self,
        gasket: GasketOption,
        piston: PistonOption,
        deck_cut: pint.Quantity = NO_LENGTH,
        head_cut: pint.Quantity = NO_LENGTH,
    ) -> Combination:
        return choice_of(
            self.options,
            gasket=gasket.name,
            piston=piston.name,
            deck_cut=deck_cut,
            head_cut=head_cut,
        )

    def _numbers(self, choice: Combination) -> dict[str, Number]:
        after = _after(self.engine, self.options, choice)
        first = self.clearances[self.number]
        return _numbers(after, stack_of(after), first, self.clearances, self._price(choice))

    def _price(self, choice: Combination) -> float:
        return price_for_banks(self.options, choice, len(banks_of(self.whole)))

    def work_out(self) -> None:
        first, self.stack = self.clearances[self.number], stack_of(self.after)
        price = self._price(self.choice)
        self.numbers = _numbers(self.after, self.stack, first, self.clearances, price)
        self.limits = self._limits()

    def free(self) -> Sequence[Choice]:
        return self.gaskets, self.pistons

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(self.engine, (), style)

    def picture(self, style: Style) -> Picture:
        return self._draw(self.after, self._lines(), style)

    def _lines(self) -> list[LineView]:
        target, squish = self.options.target, self.numbers["squish"]
        ratio = ratio_line(self.numbers["ratio"], (target.low, target.high), aim=target.aim)
        lines = [replace(ratio, name="mean compression ratio")]
        if squish is not None:
            lines.append(squish_line(in_mm(squish), lengths_band(target.squish), unit=self.unit))
        return lines

    def _draw(self, engine: Engine, lines: Sequence[LineView], style: Style) -> Picture:
        """The engine with what is fitted, as found dashed, and the shelf beside it."""
        given = self.guess.guessed if self.guess else None
        known = engine.gasket.compressed_thickness is not None
        picture = taking_hold(
            section_view(engine),
            lines,
            found=section_view(self.engine),
            grips=[*self._grips()],
            lens=("gasket", "deck") if known else ("deck",),
            guess=None if given is None else float(nominal(given)),
            before=self.ratio_before,
            lowered=in_mm(self.choice.deck_cut) if lines else 0.0,
            high=True,
            said=self._said(lines),
            unit=self.unit,
            key=self.key,
            style=style,
        )
        foot = picture.height - (STRIP + 8) * style.frame
        draw_shelves(picture, self._shelves(), picture.width - (WIDE + 6) * style.frame, foot)
        return picture

    def _said(self, lines: Sequence[LineView]) -> list[Said]:
        if not lines:
            return []
        told = []
        for number, (line, limit) in enumerate(zip(lines, self.limits, strict=False)):
            said = said_of(line, ("ratio", "squish")[number], drawn=number == 0)
            if said.small.startswith("✓") and not limit.kept:
                said = replace(said, small="✗ not in every cylinder")
            told.append(said)
        return [*told, Said(f"price {self.numbers['price']:g}")]

    def _shelves(self) -> list[Shelf]:
        unit = self.unit
        gaskets = [
            Item(
                option.name,
                "" if thickness is None else show(thickness, unit),
                f"{option.price:g}" if option.price else "",
                thickness=None if thickness is None else in_mm(thickness),
            )
            for option in self.options.gaskets
            for thickness in [(option.gasket or self.engine.gasket).compressed_thickness]
        ]
        pistons = [
            Item(
                option.name,
                _crown(piston.net_dish, option.rise, unit),
                f"{option.price:g}" if option.price else "",
                dish=in_cc(piston.net_dish),
                rise=in_mm(option.rise),
            )
            for option in self.options.pistons
            for piston in [option.piston or self.engine.piston]
        ]
        return [
            Shelf(choice.name, items, choice.place, not choice.locked)
            for choice, items in ((self.gaskets, gaskets), (self.pistons, pistons))
        ]

    def _grips(self) -> Iterator[Grip]:
        """A handle on each face that may be cut now."""
        depths = self.choice.deck_cut, self.choice.head_cut
        for (control, cut), depth in zip(self._cuts(), depths, strict=True):
            if cut is not None and not control.locked:
                yield grip_of(control, depth, control.name)

    def _limits(self) -> list[LimitCheck]:
        """What every cylinder makes of ratio, squish and deck clearance."""
        numbers, target = self.numbers, self.options.target
        limits = [LimitCheck("ratio", tuple(numbers["ratios"]), target.low, target.high)]
        squish, band = numbers["squish"], lengths_band(target.squish)
        if squish is not None and band:
            gaps = tuple(in_mm(squish) + deeper for deeper in self.deeper)
            limits.append(LimitCheck("squish", gaps, *band, self.unit))
        first = in_mm(numbers["deck_clearance"])
        decks = tuple(first + deeper for deeper in self.deeper)
        least = in_mm(self.options.deck_clearance_min)
        return [*limits, LimitCheck("deck clearance", decks, least, math.inf, self.unit)]

    def words(self) -> str:
        numbers, choice = self.numbers, self.choice
        cuts = [
            f"{name} cut {show(depth, self.unit)}"
            for name, depth in (("deck", choice.deck_cut), ("head", choice.head_cut))
            if depth.magnitude
        ]
        fitted = f"gasket {choice.gasket.name}", f"piston {choice.piston.name}"
        squish = numbers["squish"]
        gap = "not known" if squish is None else show(squish, self.unit)
        low, high = min(numbers["ratios"]), max(numbers["ratios"])
        return (
            f"Fitted: {', '.join([*fitted, *cuts])}. Every cylinder: "
            f"{', '.join(map(_kept, self.limits))}.\n"
            f"Mean ratio {show_ratio(numbers['ratio'])}, cylinders from {show_ratio(low)} to "
            f"{show_ratio(high)}. Price {numbers['price']:g}. "
            f"Cylinder {self.number + 1}: squish clearance {gap}, deck clearance "
            f"{show(numbers['deck_clearance'], self.unit)}. {CAUTION}"
        )

    def _as_measured(self) -> Combination:
        return self._choice(self.options.gaskets[0], self.options.pistons[0])

    def _thinnest(self) -> Combination:
        def thickness(option: GasketOption) -> float:
            known = (option.gasket or self.engine.gasket).compressed_thickness
            return math.inf if known is None else in_mm(known)

        thinnest = min(self.options.gaskets[::-1], key=thickness)
        return self._choice(thinnest, self.options.pistons[0])


def lengths_band(
    limits: tuple[pint.Quantity, pint.Quantity] | None,
) -> tuple[float, float] | None:
    """Two lengths in mm, for a number line."""
    return limits and (in_mm(limits[0]), in_mm(limits[1]))


def _dial(limit: Limit, part: str, cut: Cut | None) -> Dial:
    if cut is None:
        return Dial(limit.name, part, limit, FINE, whole=(0, 0.4))
    step = {unit: round(cut.step.m_as(unit_of(unit)), 6) for unit in ("mm", "in")}
    return Dial(limit.name, part, limit, step, whole=(0, in_mm(cut.largest)))


def _named(options: tuple[Any, ...]) -> list[tuple[str, Any]]:
    return [(option.name, option) for option in options]


def _crown(dish: pint.Quantity, rise: pint.Quantity, unit: str) -> str:
    """A piston's crown in a few words."""
    if rise.magnitude:
        return f"{show(abs(rise), unit)} {'higher' if rise.magnitude > 0 else 'lower'}"
    if not dish.magnitude:
        return "flat"
    return f"{'dish' if dish.magnitude > 0 else 'dome'} {show(abs(dish), 'cc')}"


def _kept(limit: LimitCheck) -> str:
    """A limit with its sign and its word."""
    return f"{'✓' if limit.kept else '!'} {limit.what} {'kept' if limit.kept else 'BROKEN'}"


def choose_the_change(
    engine: EngineOrName = "heron-four",
    options: Options | None = None,
    *,
    projector: bool = False,
    predict: bool = True,
) -> Any:
    """Fit another gasket or piston, cut deck or head, and see ratio and squish.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        options: what could be done; by default the kit's for its own engines.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> choose_the_change("heron-four")
    <panel: Choose the change — Heron Four>
    """
    return ChooseTheChange(engine, options, projector=projector, predict=predict)
