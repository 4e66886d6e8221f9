"""What is wanted of an engine, and what could be done to it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.engine.parts import Gasket, Piston
from enginemath.units import magnitude_of

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
    """Of a new gasket; the one on the sheet has its own."""


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
