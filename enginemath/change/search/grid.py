"""An engine and all that could be done to it, as bare numbers in mm and cc."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from enginemath.change.price_list import Cut, Options
from enginemath.engine.parts import Engine, Gasket
from enginemath.engine.stack import stacks
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.units import MM3_PER_CC, in_cc, in_mm

PRICE_STEPS = 10_000


@dataclass(frozen=True)
class Grid:
    """An engine and the choices for it; best values only, without uncertainties."""

    gaskets: Choices
    pistons: Choices
    deck_cuts: Choices
    head_cuts: Choices
    swept: float
    rest: Array
    """What no choice touches of the clearance volume, in cc: one for each kind of cylinder."""
    share: Array
    """Share of the cylinders that are of each kind."""
    decks: Array
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

    def rows(self, gaskets: slice, pistons: slice, deck_cuts: slice) -> Choices:
        """Combinations of some gaskets, pistons and deck cuts."""
        return self.gaskets[gaskets].times(self.pistons[pistons]).times(self.deck_cuts[deck_cuts])

    def at(self, *numbers: Array) -> Choices:
        """Some combinations, by the numbers of their gaskets, pistons, deck cuts and head cuts."""
        axes = (self.gaskets, self.pistons, self.deck_cuts, self.head_cuts)
        chosen = (vars(choices[n]).values() for choices, n in zip(axes, numbers, strict=True))
        return Choices(*(sum(shares) for shares in zip(*chosen, strict=True)))

    def ratios(self, clearance: Array) -> list[Array]:
        """Ratio of each kind of cylinder, from what the choices add to the clearance volume."""
        return [compression_ratio(self.swept, clearance + rest) for rest in self.rest]

    def mean_ratio(self, clearance: Array) -> Array:
        """Mean ratio over the cylinders, from what the choices add to the clearance volume."""
        mean = 0.0
        for ratio, share in zip(self.ratios(clearance), self.share, strict=True):
            mean = mean + share * ratio
        return mean

    def thinned(self, finest: float) -> Grid:
        """The same grid with cuts in no finer steps than `finest`, in mm."""
        return replace(
            self,
            deck_cuts=_thinned(self.deck_cuts, finest),
            head_cuts=_thinned(self.head_cuts, finest),
        )


def grid_of(engine: Engine, options: Options) -> Grid:
    """The grid of an engine and the options for it."""
    bore = in_mm(engine.cylinder.bore)
    gaskets = [option.gasket or engine.gasket for option in options.gaskets]
    pistons = [option.piston or engine.piston for option in options.pistons]
    rises = np.array([in_mm(option.rise) for option in options.pistons])
    deck_cuts, head_cuts = _depths(options.deck_cut), _depths(options.head_cut)
    area = options.head_cut.open_area.m_as("mm**2") if options.head_cut else 0.0
    untouched = [
        clearance_volume(in_cc(stack.chamber), 0.0, in_cc(stack.deck), crevice=in_cc(stack.crevice))
        for stack in stacks(engine)
    ]
    kinds, counts = np.unique(untouched, return_counts=True)
    after_gasket, after_piston, after_deck_cut = (
        math.prod(options.shape[axis:]) for axis in (1, 2, 3)
    )
    return Grid(
        gaskets=_choices(
            [option.price for option in options.gaskets],
            after_gasket,
            clearance=[in_cc(gasket.volume) for gasket in gaskets],
            squish=[_thickness(gasket) for gasket in gaskets],
        ),
        pistons=_choices(
            [option.price for option in options.pistons],
            after_piston,
            clearance=np.array([in_cc(piston.crown) for piston in pistons])
            - disc(bore, rises) / MM3_PER_CC,
            deck=-rises,
            squish=-rises,
        ),
        deck_cuts=_choices(
            _paid_once(options.deck_cut, deck_cuts),
            after_deck_cut,
            clearance=-disc(bore, deck_cuts) / MM3_PER_CC,
            deck=-deck_cuts,
            squish=-deck_cuts,
            metal=deck_cuts,
        ),
        head_cuts=_choices(
            _paid_once(options.head_cut, head_cuts),
            1,
            clearance=-area * head_cuts / MM3_PER_CC,
            metal=head_cuts,
        ),
        swept=in_cc(engine.cylinder.swept),
        rest=kinds,
        share=counts / engine.count,
        decks=np.array([in_mm(deck.clearance) for deck in engine.decks]),
        smallest_chamber=min(in_cc(chamber.volume) for chamber in engine.chambers),
    )


def _choices(
    price: Any, stride: int, clearance: Any, deck: Any = 0, squish: Any = 0, metal: Any = 0
) -> Choices:
    nothing = np.zeros(len(price))
    return Choices(
        place=np.arange(len(price)) * stride,
        clearance=nothing + clearance,
        deck=nothing + deck,
        squish=nothing + squish,
        price=np.round(np.multiply(price, float(PRICE_STEPS))),
        metal=nothing + metal,
    )


def _depths(cut: Cut | None) -> Array:
    return np.arange(cut.steps + 1) * in_mm(cut.step) if cut else np.zeros(1)


def _paid_once(cut: Cut | None, depths: Array) -> Array:
    return np.where(depths > 0, cut.price if cut else 0.0, 0.0)


def _thinned(cuts: Choices, finest: float) -> Choices:
    step = cuts.metal[1] if len(cuts) > 1 else finest
    return cuts[:: max(1, int(finest / step + 1e-9))]


def _thickness(gasket: Gasket) -> float:
    thickness = gasket.compressed_thickness
    return float("nan") if thickness is None else in_mm(thickness)


Array = Any
"""A NumPy array of floats."""


@dataclass(frozen=True)
class Choices:
    """Some choices, or some combinations of choices."""

    place: Array
    """Number among all combinations, counted from 0, where nothing else is chosen."""
    clearance: Array
    """What is added to the clearance volume, in cc."""
    deck: Array
    """What is added to the deck clearance, in mm."""
    squish: Array
    """What is added to the squish clearance, in mm; not a number where it is not known."""
    price: Array
    """The price in ten-thousandths, whole, so that equal sums are equal."""
    metal: Array
    """The metal removed, in mm."""

    def __len__(self) -> int:
        return len(self.place)

    def __getitem__(self, which: Array | slice) -> Choices:
        return Choices(*(column[which] for column in vars(self).values()))

    def times(self, others: Choices) -> Choices:
        """Every combination of these with others; the others run fastest.

        >>> thin, thick = (np.full(1, height) for height in (0.7, 1.1))
        >>> gaskets = Choices(*[np.array([0.7, 1.1])] * 6)
        >>> cuts = Choices(*[np.array([0.0, -0.1, -0.2])] * 6)
        >>> gaskets.times(cuts).squish.round(1).tolist()
        [0.7, 0.6, 0.5, 1.1, 1.0, 0.9]
        """
        pairs = zip(vars(self).values(), vars(others).values(), strict=True)
        return Choices(*(np.add.outer(mine, theirs).ravel() for mine, theirs in pairs))
