"""What is wanted of an engine, and what could be done to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.engine import limits
from enginemath.engine.parts import Gasket, Piston
from enginemath.units import in_mm, magnitude_of, shop_unit, show
from enginemath.units.columns import in_columns

AS_MEASURED = "as measured"
"""Name of the part that is on the sheet: always a choice, at no price."""
TOUCH = 1e-9
"""How far a ratio or a length in mm may be beyond its limit and still count as on it."""


@dataclass(frozen=True)
class Target:
    """The band that every cylinder's ratio must lie in, and the squish that goes with it."""

    low: float
    high: float
    aim: float
    squish: tuple[pint.Quantity, pint.Quantity] | None = None


@dataclass(frozen=True)
class GasketOption:
    """A gasket that could be fitted; None is the one on the sheet."""

    name: str = AS_MEASURED
    gasket: Gasket | None = None
    price: float = 0
    stock: int | None = None
    """Sets on the shelf; None where nobody counts."""


@dataclass(frozen=True)
class PistonOption:
    """A set of pistons that could be fitted; None is the one on the sheet."""

    name: str = AS_MEASURED
    piston: Piston | None = None
    rise: pint.Quantity = NO_LENGTH
    """Change of compression height; positive: the crown sits higher."""
    price: float = 0
    overbore: pint.Quantity = NO_LENGTH
    """How much wider the bore has to be, on the diameter."""
    deeper_pockets: pint.Quantity | None = None
    """How much deeper the valve pockets are; None where it is not known."""
    stock: int | None = None


@dataclass(frozen=True)
class RodOption:
    """A set of rods that could be fitted; without a length those on the sheet."""

    name: str = AS_MEASURED
    length: pint.Quantity | None = None
    price: float = 0
    stock: int | None = None


@dataclass(frozen=True)
class CrankOption:
    """A crank that could be fitted; without a stroke the one on the sheet."""

    name: str = AS_MEASURED
    stroke: pint.Quantity | None = None
    price: float = 0
    stock: int | None = None


@dataclass(frozen=True)
class Cut:
    """A cut of 0, step, 2 step … up to the largest; each bank's setup is paid if it is cut."""

    step: pint.Quantity
    largest: pint.Quantity
    price: float = 0
    clean_up: pint.Quantity = NO_LENGTH
    """The least cut that leaves the whole face new; a cut that is made is no less."""
    needed: bool = False
    """Whether the face has to be cut."""

    @property
    def steps(self) -> int:
        """Number of steps beside no cut at all.

        >>> from enginemath.units import read
        >>> Cut(read("0.1 mm"), read("0.3 mm")).steps, Cut(read("0.1 mm"), read("0.38 mm")).steps
        (3, 3)
        """
        return math.floor(magnitude_of(self.largest / self.step) + 1e-9)


@dataclass(frozen=True)
class HeadCut(Cut):
    """A cut of the head, with the open area of one chamber at its face."""

    open_area: pint.Quantity = field(kw_only=True)


@dataclass(frozen=True)
class Tolerances:
    """Standard uncertainties of the work done: a length each, zero where none is stated."""

    deck_cut: pint.Quantity = NO_LENGTH
    head_cut: pint.Quantity = NO_LENGTH
    compressed_thickness: pint.Quantity = NO_LENGTH
    """The tolerance of a new gasket; the one on the sheet has its own."""


@dataclass(frozen=True)
class Minimums:
    """The least that the maker allows: of the block, crank to deck, and of the head."""

    block: pint.Quantity | None = None
    head: pint.Quantity | None = None
    source: str = ""
    """Where they were looked up, in words."""


@dataclass(frozen=True)
class Heights:
    """Heights as measured; None where one is not known."""

    block: pint.Quantity | None = None
    head: pint.Quantity | None = None


@dataclass(frozen=True)
class ValveClearance:
    """From piston to valve: as measured, and the least that is wanted."""

    valve: str
    measured: pint.Quantity
    least: pint.Quantity


@dataclass(frozen=True)
class BankOption:
    """What is known of one bank alone; None: as for all banks."""

    name: str
    heights: Heights = field(default_factory=Heights)
    deck_clean_up: pint.Quantity | None = None
    head_clean_up: pint.Quantity | None = None


@dataclass(frozen=True)
class Options:
    """Everything that a plan may choose from; the parts on the sheet come first."""

    target: Target
    deck_clearance_min: pint.Quantity = NO_LENGTH
    gaskets: tuple[GasketOption, ...] = (GasketOption(),)
    pistons: tuple[PistonOption, ...] = (PistonOption(),)
    deck_cut: Cut | None = None
    head_cut: HeadCut | None = None
    tolerances: Tolerances = field(default_factory=Tolerances)
    rods: tuple[RodOption, ...] = (RodOption(),)
    cranks: tuple[CrankOption, ...] = (CrankOption(),)
    minimums: Minimums = field(default_factory=Minimums)
    heights: Heights = field(default_factory=Heights)
    valves: tuple[ValveClearance, ...] = ()
    banks: tuple[BankOption, ...] = ()
    least_deck_is_written: bool = True
    """Whether somebody wrote how high a piston may stand, or zero is only the usual."""

    @property
    def limits_the_deck(self) -> bool:
        """Whether there is a least deck clearance; without one the squish decides."""
        return in_mm(self.deck_clearance_min) > limits.DECK_CLEARANCE.low

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Number of choices: gaskets, pistons, rods, cranks, deck cuts, head cuts of a bank."""
        return (
            len(self.gaskets),
            len(self.pistons),
            len(self.rods),
            len(self.cranks),
            1 + (self.deck_cut.steps if self.deck_cut else 0),
            1 + (self.head_cut.steps if self.head_cut else 0),
        )

    @property
    def combinations(self) -> int:
        """Number of ways to combine the choices, with one bank and its cuts."""
        return math.prod(self.shape)


def price_list(options: Options) -> str:
    """What could be fitted and cut, with its price, as a table.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.change.price_list_file import read_options
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
    return "\n".join(in_columns(list(_rows(options))))


def _rows(options: Options) -> Iterator[tuple[str, str, str, str]]:
    for option in options.gaskets:
        if option.gasket is not None:
            yield "gasket", option.name, _gasket(option), f"{option.price:g}"
    for choice in options.pistons:
        if choice.piston is not None:
            yield "piston", choice.name, _piston(choice), f"{choice.price:g}"
    for rods in options.rods:
        if rods.length is not None:
            length = show(rods.length, shop_unit(rods.length))
            yield "rods", rods.name, f"length {length}", f"{rods.price:g}"
    for crank in options.cranks:
        if crank.stroke is not None:
            stroke = show(crank.stroke, shop_unit(crank.stroke))
            yield "crank", crank.name, f"stroke {stroke}", f"{crank.price:g}"
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
    if option.overbore.magnitude:
        crown += f", overbore {show(option.overbore, shop_unit(option.overbore))}"
    rise, unit = option.rise, shop_unit(option.rise)
    if not rise.magnitude:
        return crown
    return f"{crown}, sits {show(abs(rise), unit)} {'higher' if rise.magnitude > 0 else 'lower'}"
