"""What is wanted of an engine, and what could be done to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.engine.parts import Gasket, Piston
from enginemath.units import magnitude_of, shop_unit, show
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


@dataclass(frozen=True)
class PistonOption:
    """A set of pistons that could be fitted; None is the one on the sheet."""

    name: str = AS_MEASURED
    piston: Piston | None = None
    rise: pint.Quantity = NO_LENGTH
    """Change of compression height; positive: the crown sits higher."""
    price: float = 0


@dataclass(frozen=True)
class Cut:
    """A cut of 0, step, 2 step … up to the largest; it is paid once if anything is cut."""

    step: pint.Quantity
    largest: pint.Quantity
    price: float = 0

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
class Options:
    """Everything that a plan may choose from; the parts on the sheet come first."""

    target: Target
    deck_clearance_min: pint.Quantity = NO_LENGTH
    gaskets: tuple[GasketOption, ...] = (GasketOption(),)
    pistons: tuple[PistonOption, ...] = (PistonOption(),)
    deck_cut: Cut | None = None
    head_cut: HeadCut | None = None
    tolerances: Tolerances = field(default_factory=Tolerances)

    @cached_property
    def shape(self) -> tuple[int, int, int, int]:
        """Number of choices: gaskets, pistons, deck cuts, head cuts."""
        return (
            len(self.gaskets),
            len(self.pistons),
            1 + (self.deck_cut.steps if self.deck_cut else 0),
            1 + (self.head_cut.steps if self.head_cut else 0),
        )

    @property
    def combinations(self) -> int:
        """Number of ways to combine the choices."""
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
