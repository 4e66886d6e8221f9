"""Lesson 05: compressed thickness, gasket bore, deck clearance on both sides, squish."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pint

from enginemath.bench.measuring import deck_clearance
from enginemath.drawing.cylinder.both_sides import both_sides
from enginemath.drawing.cylinder.overview import overview
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine import limits
from enginemath.engine.parts import Deck, Engine, one_cylinder, plain
from enginemath.engine.stack import Stack, stack_of
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import FINE, Dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName, engine_of, fuel_band
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hands import grip_of, grips_of
from enginemath.panels.frame.setting import Setting
from enginemath.units import Number, Refused, in_mm, nominal, read, show, show_ratio

ONE_SIDE = Dial("deck, one side", "deck", limits.DECK_CLEARANCE, FINE, whole=(-0.5, 1.5))
OTHER_SIDE = Dial("deck, other side", "deck", limits.DECK_CLEARANCE, FINE, whole=(-0.5, 1.5))
RATIO, SQUISH = "the ratio", "the squish"
MOVED = {"mm": read("0.30 mm"), "in": read("12 thou")}


def gasket_and_deck_numbers(
    engine: EngineOrName = "heron-four",
    *,
    one_side: str | pint.Quantity | None = None,
    other_side: str | pint.Quantity | None = None,
) -> dict[str, Number]:
    """The numbers of the panel `gasket_and_deck`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine; its cylinder 1 counts.
        one_side, other_side: deck readings on both sides of the pin, lengths; by default both
            are the engine's deck clearance.

    Returns:
        Gasket and deck volume, deck and squish clearance as quantities, the ratio as a bare
        number, and the ratio that the free thickness would give (None where it is not known).

    >>> numbers = gasket_and_deck_numbers("heron-four", one_side="0.33 mm", other_side="0.43 mm")
    >>> show(numbers["deck_clearance"], "mm"), show_ratio(numbers["ratio"])
    ('0.380 mm', '8.68')
    """
    one = one_cylinder(plain(engine_of(engine)), 0)
    stands = one.decks[0].clearance
    clearance = deck_clearance(
        stands if one_side is None else one_side, stands if other_side is None else other_side
    )
    one = replace(one, decks=(Deck(clearance),))
    return _numbers(one, stack_of(one))


def _numbers(engine: Engine, volumes: Stack) -> dict[str, Number]:
    gasket = engine.gasket
    free = None
    if gasket.free_thickness is not None:
        as_free = replace(gasket, compressed_thickness=gasket.free_thickness)
        free = volumes.with_part("gasket", as_free.volume).ratio
    return {
        "gasket": volumes.gasket,
        "deck": volumes.deck,
        "deck_clearance": engine.decks[0].clearance,
        "squish": engine.squish(),
        "ratio": volumes.ratio,
        "ratio_with_free_thickness": free,
    }


class GasketAndDeck(EnginePanel):
    title = "Gasket and deck"
    pictures = (SQUISH, RATIO)
    dials = (dial.THICKNESS, dial.GASKET_BORE, dial.BORE)
    moved = ("engine", "readings")

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        start = one_cylinder(plain(engine_of(engine)), 0).decks[0].clearance
        self.sides = [Control(side, start, "mm", self.move) for side in (ONE_SIDE, OTHER_SIDE)]
        super().__init__(engine, predict=predict, projector=projector, extra=self.sides)

    def prediction(self) -> Prediction:
        change, after = self._change()
        text = f"The ratio is {show_ratio(stack_of(self.engine).ratio)}. With {change}, it becomes:"
        return Prediction(text, lambda: stack_of(after).ratio, asks=f"the ratio with {change}")

    def _change(self) -> tuple[str, Engine]:
        """What to guess the effect of: a thinner gasket, where there can be one."""
        by = MOVED[self.unit]
        shown = show(by, self.unit)
        if self.engine.gasket.compressed_thickness is None:
            lower = Deck(self.engine.decks[0].clearance + by)
            return f"the piston {shown} lower", replace(self.engine, decks=(lower,))
        try:
            return f"a gasket {shown} thinner, compressed", self._with_gasket(-by)
        except Refused:
            return f"a gasket {shown} thicker, compressed", self._with_gasket(by)

    def _with_gasket(self, thicker: pint.Quantity) -> Engine:
        gasket = self.engine.gasket
        thickness = gasket.compressed_thickness + thicker
        other = replace(gasket, compressed_thickness=thickness, free_thickness=None)
        return replace(self.engine, gasket=other)

    def start_from(self, engine: Engine) -> None:
        super().start_from(engine)
        self.found = engine
        self.large = engine.gasket.compressed_thickness is not None
        stands = engine.decks[0].clearance
        self.readings = [stands, stands]
        for side in self.sides:
            side.restart(stands)

    def free(self) -> Sequence[Setting]:
        return self.sides if self.shows.chosen == SQUISH else ()

    def move(self, control: Control, value: pint.Quantity) -> None:
        super().move(control, value)
        for side, reading in zip(self.sides, self.readings, strict=True):
            if side is not control:
                side.follow(reading)

    def change(self, control: Control, value: pint.Quantity) -> None:
        if control not in self.sides:
            super().change(control, value)
            return
        if not self.answer_is_shown:  # it rocks about its pin: the mean stays
            other = 2 * self.found.decks[0].clearance - value
            self.readings = [value if side is control else other for side in self.sides]
            return
        readings = [
            value if side is control else reading
            for side, reading in zip(self.sides, self.readings, strict=True)
        ]
        self.engine = replace(self.engine, decks=(Deck(deck_clearance(*readings)),))
        self.readings = readings

    def picture(self, style: Style) -> Picture:
        return self._draw(style, answered=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, answered=False)

    def _draw(self, style: Style, *, answered: bool) -> Picture:
        ratio = ratio_line(self.stack.ratio, fuel_band(self.whole))
        squish = self.engine.squish()
        how: Any = {"unit": self.unit, "key": self.key, "style": style}
        if squish is None:
            lines = [ratio] if answered else []
            return overview(self.engine, self.stack, *lines, **how)
        view, found = section_view(self.engine), section_view(self.found)
        thickness = [self.controls_by_dial[dial.THICKNESS]]
        if self.shows.chosen == RATIO:
            given = self.guess.guessed if self.guess else None
            return taking_hold(
                view,
                [ratio] if answered else [],
                found=found,
                grips=grips_of(thickness, self.engine),
                held="gasket",
                lens=("gasket", "deck"),
                guess=None if given is None else float(nominal(given)),
                before=nominal(stack_of(self.found).ratio),
                **how,
            )
        free, (left, right) = self.engine.gasket.free_thickness, self.readings
        sides = [
            replace(grip_of(control, reading), part=part)
            for part, control, reading in zip(
                ("left", "right"), self.sides, self.readings, strict=True
            )
            if not control.locked
        ]
        touched = any(side != self.found.decks[0].clearance for side in self.readings)
        if sides and not answered and not touched:
            sides[0] = replace(sides[0], first=True)
        return both_sides(
            view,
            (in_mm(left), in_mm(right)),
            squish_line(in_mm(squish), unit=self.unit) if answered else None,
            free=in_mm(free) if answered and free is not None else None,
            found=found,
            grips=[*grips_of(thickness, self.engine), *sides],
            **how,
        )

    def words_before_guess(self) -> str:
        rock = abs(self.readings[0] - self.readings[1])
        if not rock.magnitude:
            return ""
        mean = show(self.found.decks[0].clearance, self.unit)
        return f"The piston rocks {show(rock, self.unit)}: the mean of both sides stays {mean}."

    def words(self) -> str:
        numbers, unit = _numbers(self.engine, self.stack), self.unit
        rock = abs(self.readings[0] - self.readings[1])
        told = [
            f"Gasket {show(numbers['gasket'], 'cc')}; deck clearance "
            f"{show(numbers['deck_clearance'], unit)}, the mean of both sides",
        ]
        if rock.magnitude:
            told[0] += f" (the piston rocks {show(rock, unit)})"
        told[0] += (
            f", {show(numbers['deck'], 'cc')}; compression ratio {show_ratio(numbers['ratio'])}."
        )
        if numbers["squish"] is not None:
            told.append(
                f"Squish clearance {show(numbers['squish'], unit)} = deck clearance + compressed "
                "thickness; its band is common practice with steel rods, no source."
            )
        if numbers["ratio_with_free_thickness"] is not None:
            told.append(
                f"The free thickness, {show(self.engine.gasket.free_thickness, unit)}, taken by "
                f"mistake would give {show_ratio(nominal(numbers['ratio_with_free_thickness']))}."
            )
        return " ".join(told) + self.hanging_in()


def gasket_and_deck(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show what gasket and deck clearance add, and the squish clearance between them.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> gasket_and_deck("heron-four")
    <panel: Gasket and deck — Heron Four>
    """
    return GasketAndDeck(engine, projector=projector, predict=predict)
