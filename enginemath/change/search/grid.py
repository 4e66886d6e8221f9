"""An engine and all that could be done to it, as bare numbers in mm and cc."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from enginemath.change.price_list import Cut, Options, PistonOption
from enginemath.engine.limits import CHAMBER
from enginemath.engine.parts import Engine, Gasket, Piston
from enginemath.engine.stack import stacks
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc, disc_area
from enginemath.units import MM3_PER_CC, in_cc, in_mm

PRICE_STEPS = 10_000

AnyNumber = Any
"""A float, or a NumPy array of floats: the formulas here take both."""


@dataclass(frozen=True)
class Choices:
    """A choice or a combination of choices, as numbers; or many at once, as arrays."""

    place: AnyNumber
    """Number among all combinations, counted from 0, where nothing else is chosen."""
    clearance: AnyNumber
    """What is added to the clearance volume, in cc."""
    deck: AnyNumber
    """What is added to the deck clearance, in mm."""
    squish: AnyNumber
    """What is added to the squish clearance, in mm; infinite where it is not known."""
    price: AnyNumber
    """The price in ten-thousandths, whole, so that equal sums are equal."""
    metal: AnyNumber
    """The metal removed, in mm."""

    def __add__(self, other: Choices) -> Choices:
        """These choices and others together.

        >>> gasket = Choices(0, 7.0, 0.0, 1.1, 260_000, 0.0)
        >>> cut = Choices(2, -1.2, -0.2, -0.2, 900_000, 0.2)
        >>> round((gasket + cut).squish, 9)
        0.9
        """
        pairs = zip(vars(self).values(), vars(other).values(), strict=True)
        return Choices(*(mine + more for mine, more in pairs))


class Axis(Protocol):
    """The choices of one kind, by number."""

    def __len__(self) -> int: ...

    def __iter__(self) -> Iterator[Choices]: ...

    def __getitem__(self, number: AnyNumber, /) -> Choices: ...


@dataclass(frozen=True)
class Grid:
    """An engine and the choices for it; best values only, without uncertainties."""

    gaskets: Axis
    pistons: Axis
    deck_cuts: Axis
    head_cuts: Axis
    swept: float
    rest: Sequence[float]
    """What no choice touches of the clearance volume, in cc: one for each kind of cylinder, the
    smallest first."""
    share: Sequence[float]
    """Share of the cylinders that are of each kind."""
    decks: Sequence[float]
    """Deck clearance of each cylinder as measured, in mm."""
    smallest_chamber: float

    @property
    def rows_shape(self) -> tuple[int, int, int]:
        """Number of gaskets, pistons and deck cuts."""
        return len(self.gaskets), len(self.pistons), len(self.deck_cuts)

    @property
    def combinations(self) -> int:
        """Number of ways to combine the choices."""
        return math.prod(self.rows_shape) * len(self.head_cuts)

    def rows(self) -> Iterator[Choices]:
        """Every combination of a gasket, a piston and a deck cut."""
        for gasket in self.gaskets:
            for piston in self.pistons:
                parts = gasket + piston
                for cut in self.deck_cuts:
                    yield parts + cut

    def at(self, numbers: Sequence[int]) -> Choices:
        """One combination, by the numbers of its gasket, piston, deck cut and head cut."""
        gasket, piston, deck_cut, head_cut = numbers
        parts = self.gaskets[gasket] + self.pistons[piston]
        return parts + self.deck_cuts[deck_cut] + self.head_cuts[head_cut]

    def leaves_a_chamber(self, head_cut: Choices) -> AnyNumber:
        """Whether the head is not cut away."""
        return self.smallest_chamber + head_cut.clearance >= CHAMBER.low

    def ratios(self, clearance: AnyNumber) -> list[AnyNumber]:
        """Ratio of each kind of cylinder, from what the choices add to the clearance volume."""
        return [compression_ratio(self.swept, clearance + rest) for rest in self.rest]

    def mean_ratio(self, clearance: AnyNumber) -> AnyNumber:
        """Mean ratio over the cylinders, from what the choices add to the clearance volume."""
        mean = 0.0
        for ratio, share in zip(self.ratios(clearance), self.share, strict=True):
            mean = mean + share * ratio
        return mean


def grid_of(engine: Engine, options: Options) -> Grid:
    """The grid of an engine and the options for it."""
    bore = in_mm(engine.cylinder.bore)
    head_area = options.head_cut.open_area.m_as("mm**2") if options.head_cut else 0.0
    after_gasket, after_piston, after_deck_cut = (
        math.prod(options.shape[axis:]) for axis in (1, 2, 3)
    )
    untouched = Counter(
        clearance_volume(in_cc(stack.chamber), 0.0, in_cc(stack.deck), crevice=in_cc(stack.crevice))
        for stack in stacks(engine)
    )
    kinds = sorted(untouched)
    return Grid(
        gaskets=[
            _gasket(number * after_gasket, option.price, option.gasket or engine.gasket)
            for number, option in enumerate(options.gaskets)
        ],
        pistons=[
            _piston(number * after_piston, option, option.piston or engine.piston, bore)
            for number, option in enumerate(options.pistons)
        ],
        deck_cuts=Cuts(options.deck_cut, after_deck_cut, disc_area(bore), lowers_deck=1),
        head_cuts=Cuts(options.head_cut, 1, head_area, lowers_deck=0),
        swept=in_cc(engine.cylinder.swept),
        rest=kinds,
        share=[untouched[kind] / engine.count for kind in kinds],
        decks=[in_mm(deck.clearance) for deck in engine.decks],
        smallest_chamber=min(in_cc(chamber.volume) for chamber in engine.chambers),
    )


def _gasket(place: int, price: float, gasket: Gasket) -> Choices:
    thickness = gasket.compressed_thickness
    return Choices(
        place,
        clearance=in_cc(gasket.volume),
        deck=0.0,
        squish=math.inf if thickness is None else in_mm(thickness),
        price=_whole(price),
        metal=0.0,
    )


def _piston(place: int, option: PistonOption, piston: Piston, bore: float) -> Choices:
    rise = in_mm(option.rise)
    return Choices(
        place,
        clearance=in_cc(piston.crown) - disc(bore, rise) / MM3_PER_CC,
        deck=-rise,
        squish=-rise,
        price=_whole(option.price),
        metal=0.0,
    )


def _whole(price: float) -> int:
    return round(price * PRICE_STEPS)


@dataclass(frozen=True)
class Cuts:
    """A cut of 0, 1, 2 … steps; with an array of numbers, many of them at once.

    >>> from enginemath.units import read
    >>> heads = Cuts(Cut(read("0.1 mm"), read("0.3 mm"), 85), stride=1, area=4000.0, lowers_deck=0)
    >>> [(round(cut.clearance, 3), cut.price) for cut in heads]
    [(-0.0, 0), (-0.4, 850000), (-0.8, 850000), (-1.2, 850000)]
    """

    cut: Cut | None
    stride: int
    """Places from one depth to the next."""
    area: float
    """What the cut takes volume away over, in mm²."""
    lowers_deck: float
    """How far the deck comes down for each mm: 1 of a deck cut, 0 of a head cut."""

    def __len__(self) -> int:
        return 1 + (self.cut.steps if self.cut else 0)

    def __iter__(self) -> Iterator[Choices]:
        return map(self.__getitem__, range(len(self)))

    def __getitem__(self, number: AnyNumber) -> Choices:
        step, price = (in_mm(self.cut.step), _whole(self.cut.price)) if self.cut else (0.0, 0)
        depth = number * step
        lower = -self.lowers_deck * depth
        return Choices(
            place=number * self.stride,
            clearance=-self.area * depth / MM3_PER_CC,
            deck=lower,
            squish=lower,
            price=price * (number > 0),  # paid once if anything is cut
            metal=depth,
        )
