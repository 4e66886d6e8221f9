"""Lesson 06: the crown's volume by the known-depth method."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pint

from enginemath.bench.measuring import known_depth_crown, what_the_crown_is
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.at_depth import at_depth
from enginemath.drawing.pouring.by_hand import LIFTED
from enginemath.drawing.pouring.head_on_bench import STRETCHES
from enginemath.drawing.pouring.known_depth import KnownDepthView
from enginemath.engine import limits
from enginemath.engine.dimensions import NET_DISH
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of
from enginemath.formulas.geometry import disc
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.dial import Dial
from enginemath.panels.frame.engine_panel import EnginePanel
from enginemath.panels.frame.engines import EngineOrName
from enginemath.panels.frame.guess import Prediction
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.hands import grip_of, grips_of
from enginemath.panels.frame.setting import Entry, Setting
from enginemath.panels.frame.tap import Tap
from enginemath.units import CC, Number, Refused, in_cc, in_mm, read, show, show_ratio

DEPTH = Dial("known depth", "swept", limits.KNOWN_DEPTH, dial.FINE, whole=(1, 30))
POURED = Dial("poured", "swept", limits.POURED, {"cc": 0.05}, reach=30)
START = {"mm": read("12.00 mm"), "in": read("0.500 in")}
FLOWS = 2.0
"""How much faster than in the chamber the water runs: there is more to fill."""
BURETTE = 50.0
"""Capacity in mL; it is refilled as often as the pour needs."""


def dish_and_dome_numbers(
    bore: str | pint.Quantity, depth: str | pint.Quantity, poured: str | pint.Quantity
) -> dict[str, Number]:
    """The numbers of the panel `dish_and_dome`, without the panel.

    Args:
        bore: a length.
        depth: deck to the crown's edge, a length.
        poured: volume above the piston, edge sealed with grease.

    Returns:
        Volumes by name: the disc that a flat piston would take, what was poured, and the
        crown: positive a dish, negative a dome.

    >>> numbers = dish_and_dome_numbers("92.0 mm", "12.70 mm", "93.2 cc")
    >>> {name: show(volume, "cc") for name, volume in numbers.items()}
    {'disc': '84.42 cc', 'poured': '93.20 cc', 'crown': '8.78 cc'}
    """
    width, down = limits.BORE.accept(bore), limits.KNOWN_DEPTH.accept(depth)
    volume = limits.POURED.accept(poured)
    return {
        "disc": disc(width, down).to(CC),
        "poured": volume,
        "crown": known_depth_crown(volume, width, down).to(CC),
    }


class DishAndDome(EnginePanel):
    title = "Dish and dome"
    large = True
    dials = (dial.CROWN, dial.RELIEFS, dial.BORE)
    moved = ("engine", "depth", "ran")

    def __init__(self, engine: EngineOrName, *, projector: bool, predict: bool):
        self.depth = START["mm"]
        self.depth_control = Control(DEPTH, self.depth, "mm", self.move)
        self.poured_control = Control(POURED, read("1 cc"), "mm", self.move)
        self.asks = predict
        self.grease = HandPiece("line of grease", "grease", (0, STRETCHES), unit="strokes",
                                moved=self._prepare)  # fmt: skip
        self.plate = HandPiece("clear plate", "plate", (0, 1), unit="mm", moved=self._lower)
        self.tap = Tap(self._run)
        self.ran = 0.0
        super().__init__(
            engine,
            predict=predict,
            projector=projector,
            extra=[
                self.depth_control,
                self.grease,
                self.plate,
                self.tap,
                self.poured_control,
            ],
        )

    def prediction(self) -> Prediction:
        text = (
            f"{show(self.depth, self.unit)} down, {show(self.poured, 'cc')} fill the space. "
            "How much is the crown? (a dome is negative)"
        )
        return Prediction(text, lambda: self.engine.piston.crown, "cc", asks="the crown")

    @property
    def poured(self) -> pint.Quantity:
        """What fills the space above the piston, its edge sealed, in cc."""
        return disc(self.engine.cylinder.bore, self.depth).to(CC) + self.engine.piston.crown

    @property
    def lost(self) -> pint.Quantity:
        """What runs down beside the piston where the grease was forgotten, in cc."""
        return (0 if self.grease.at >= STRETCHES else 1) * stack_of(self.engine).crevice.to(CC)

    @property
    def by_hand(self) -> bool:
        """Whether the bench work is the student's: nothing is told yet."""
        return self.asks and not (self.guess and self.guess.given)

    def change(self, control: Control, value: pint.Quantity) -> None:
        self.ran = 0.0
        if control is self.depth_control:
            self.depth = value
        elif control is self.poured_control:
            self._pour(value)
        else:
            super().change(control, value)
        POURED.limit.accept(self.poured)
        lowest = self.engine.cylinder.stroke + self.engine.decks[0].clearance
        if in_mm(self.depth) > in_mm(lowest):
            raise Refused(
                f"known depth {show(self.depth, self.unit)}: deeper than the piston goes, "
                f"{show(lowest, self.unit)} at bottom dead centre"
            )
        if control is self.depth_control and self.by_hand:
            self._open()  # what was laid is smeared along the bore

    def move(self, control: Control, value: pint.Quantity) -> None:
        super().move(control, value)
        if control is self.poured_control:
            self.controls_by_dial[dial.CROWN].follow(self.engine.piston.net_dish)
        else:
            self.poured_control.follow(self.poured)

    def hidden(self) -> Sequence[Control]:
        if self.answer_is_shown:
            return super().hidden()
        shown = () if self.full else (self.poured_control,)
        return [*shown, *(self.controls_by_dial[part] for part in (dial.CROWN, dial.RELIEFS))]

    def free(self) -> Sequence[Setting]:
        return [self.depth_control, self.grease, self.plate]

    @property
    def full(self) -> bool:
        """Whether enough has run to fill the space, or the answer tells it."""
        return bool(self.answer_is_shown or self.ran >= in_cc(self.poured + self.lost) - 1e-9)

    def _prepare(self, _: float) -> None:
        self.refresh()

    def _lower(self, at: float) -> None:
        """Put the plate on; with it off the bore is wiped dry."""
        if at <= 1:
            self.plate.put(0)
        else:
            self.ran = 0.0
            self.tap.shut()
        self.refresh()

    def _run(self, cc: float) -> None:
        self.ran = min(self.ran + FLOWS * cc, in_cc(self.poured + self.lost))
        self.refresh()

    def _show(self) -> None:
        if not self.by_hand and self.plate.at > 0:  # nothing was poured: it is done for them
            self._seal()
        up, told = self.plate.at > 0, self.answer_is_shown
        self.grease.shown = up or told
        self.plate.shown = not told
        self.tap.shown = not self.full and not up
        if self.full:
            self.tap.shut()
        super()._show()

    def _keep(self, setting: Setting, entry: Entry) -> None:
        if isinstance(setting, Tap):
            self.kept = setting.kept_in(self.kept)
            return
        super()._keep(setting, entry)

    def _open(self) -> None:
        self.grease.put(0)
        self.plate.put(self.plate.high)

    def _seal(self) -> None:
        self.grease.put(STRETCHES)
        self.plate.put(0)

    def _pour(self, value: pint.Quantity) -> None:
        crown = known_depth_crown(value, self.engine.cylinder.bore, self.depth).to(CC)
        dish = NET_DISH.limit.accept(crown - self.engine.piston.reliefs)
        self.engine = NET_DISH.onto(self.engine, dish)

    def start_from(self, engine: Engine) -> None:
        self.engine, self.depth = engine, START[self.unit]
        self.ran = 0.0
        self.plate.high = self.plate.first = round(LIFTED * in_mm(engine.cylinder.bore))
        if self.by_hand:
            self._open()
        else:
            self._seal()
        self.tap.shut()
        while in_cc(engine.piston.crown) < -in_cc(self.poured):  # a dome of half the space
            self.depth += START[self.unit]
        self.started = self.depth
        self.depth_control.restart(self.depth)
        self.poured_control.restart(self.poured)

    def picture(self, style: Style) -> Picture:
        return self._draw(style, answered=True)

    def picture_before_guess(self, style: Style) -> Picture:
        return self._draw(style, answered=False)

    def _draw(self, style: Style, answered: bool) -> Picture:
        piston = self.engine.piston
        poured = in_cc(self.poured + self.lost) if self.full else self.ran
        view = KnownDepthView(
            bore=in_mm(self.engine.cylinder.bore),
            depth=in_mm(self.depth),
            poured=poured,
            reading=poured - BURETTE * (poured // BURETTE),
            dish=in_cc(piston.net_dish),
            reliefs=in_cc(piston.reliefs),
            capacity=BURETTE,
            grease=int(self.grease.at),
            plate=self.plate.at,
            crevice=in_cc(stack_of(self.engine).crevice),
        )
        grips = [each.grip() for each in (self.grease, self.plate) if each.shown]
        if self.plate.at > 0 or answered:
            untouched = self.by_hand and self.depth == self.started and not self.grease.at
            depth = grip_of(self.depth_control, self.depth, "depth")
            grips.append(replace(depth, first=untouched))
        if answered:
            crown = self.controls_by_dial[dial.CROWN]
            grips += grips_of([crown], self.engine)
        elif self.tap.shown:
            grips.append(self.tap.grip())
        return at_depth(view, tap=self.tap.at, tell=answered, grips=grips, unit=self.unit,
                        key=self.key, style=style)  # fmt: skip

    def words_before_guess(self) -> str:
        if self.plate.at > 0:
            if not self.grease.at:
                return ""
            laid = "✓" if self.grease.at >= STRETCHES else "·"
            return f"{laid}\u00a0line\u00a0of\u00a0grease   ·\u00a0plate\u00a0on\u00a0top"
        if not self.full:
            return "Not full yet: hold the tap and turn it." if self.ran else ""
        ran = show(self.poured + self.lost, "cc")
        if self.grease.at < STRETCHES:
            return (
                f"{ran} ran until it was full. {self._forgotten()} Lift the plate, lay the grease."
            )
        return f"{ran} ran until it was full: would a flat piston take more, or less?"

    def _forgotten(self) -> str:
        """What the forgotten grease does to the reading."""
        lost = show(self.lost, "cc") if self.lost.magnitude else "Some"
        return f"{lost} of it ran down beside the piston: no grease closes the gap."

    def words(self) -> str:
        piston = self.engine.piston
        poured = self.poured + self.lost
        numbers = dish_and_dome_numbers(self.engine.cylinder.bore, self.depth, poured)
        if self.grease.at < STRETCHES:
            return (
                f"Poured {show(numbers['poured'], 'cc')} less bore area × depth "
                f"{show(numbers['disc'], 'cc')}: the crown {what_the_crown_is(numbers['crown'])}. "
                f"That is too much: {self._forgotten()}"
            )
        plate = (
            "The dome stands above the edge: no plate will lie flat, only the known depth works."
            if piston.dome.magnitude
            else f"Nothing stands above the edge: a flat plate works too and reads "
            f"{show(piston.crown, 'cc')}."
        )
        return (
            f"Poured {show(numbers['poured'], 'cc')} less bore area × depth "
            f"{show(numbers['disc'], 'cc')}: the crown {what_the_crown_is(numbers['crown'])}. "
            f"{plate} Compression ratio {show_ratio(self.stack.ratio)}."
        )


def dish_and_dome(
    engine: EngineOrName = "heron-four", *, projector: bool = False, predict: bool = True
) -> Any:
    """Show a piston down a known depth, and what the pour above it says of its crown.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        projector: large type and high contrast.
        predict: hide the answer until a guess is given.

    >>> dish_and_dome("heron-eight")
    <panel: Dish and dome — Heron Eight>
    """
    return DishAndDome(engine, projector=projector, predict=predict)
