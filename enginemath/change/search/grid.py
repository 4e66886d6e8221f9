"""A bank's cylinders and all that could be done to them, as bare numbers in mm and cc."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

from enginemath.change.fitting import with_bore, with_rod, with_stroke
from enginemath.change.job import Bank, Job
from enginemath.change.price_list import TOUCH, Options
from enginemath.engine.limits import CHAMBER
from enginemath.engine.parts import Cylinder, Engine, Gasket
from enginemath.formulas.compression import clearance_for, clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.units import MM3_PER_CC, Refused, in_cc, in_mm
from enginemath.units.any_number import where

PRICE_STEPS = 10_000

AnyNumber = Any
"""A float, or a NumPy array of floats: the formulas here take both."""


Value = TypeVar("Value")


@dataclass(frozen=True)
class Kind:
    """Cylinders of a bank that are alike in everything; a number for each of the parts offered."""

    share: float
    """Share of all the engine's cylinders."""
    chamber: float
    deck: float
    """Deck clearance as measured."""
    gaskets: Sequence[float]
    """Volumes."""
    thicknesses: Sequence[float]
    """Of the gaskets; infinite where one is not known."""
    thickness: float
    """Of the gasket as measured."""
    bores: Sequence[float]
    """With each of the pistons."""
    crowns: Sequence[float]
    crevices: Sequence[float]
    lifts: Sequence[float]
    """How much higher the piston comes with each pair of rods and crank."""
    swept: Sequence[float]
    """With each piston and each pair of rods and crank, these running fastest."""


@dataclass(frozen=True)
class Row:
    """Parts and a deck cut, as numbers; or many at once, as arrays.

    All that can be asked of a row holds for its worst cylinder. What a head cut takes off the
    chambers is negative, like all that makes a volume smaller.
    """

    place: AnyNumber
    """Number among all combinations of the bank, counted from 0, without a head cut."""
    price: AnyNumber
    """The price in ten-thousandths, whole, so that equal sums are equal."""
    metal: AnyNumber
    lowest_deck: AnyNumber
    highest_deck: AnyNumber
    lowest_squish: AnyNumber
    """Infinite where it is not known."""
    highest_squish: AnyNumber
    valve_room: AnyNumber
    """How much nearer the valves may still come to the pistons; infinite without a limit."""
    least: AnyNumber
    """Least that may be added to every chamber: below it a ratio is above the band, in cc."""
    most: AnyNumber
    """Most that may be added: above it a ratio is below the band."""
    near: AnyNumber
    """Least that would bring a cylinder onto the aim."""
    far: AnyNumber
    """Most that would bring a cylinder onto the aim."""


@dataclass(frozen=True)
class Face:
    """The cuts of one face."""

    step: float
    """In mm."""
    count: int
    """Number of depths that places count, from none to the largest."""
    steps: Any
    """The depths that may be chosen, in steps, the least first: a collection, or an array."""
    price: int
    area: float = 0.0
    """Open area of a chamber at the face, in mm²."""

    def depth(self, step: AnyNumber) -> AnyNumber:
        """A depth in mm."""
        return step * self.step

    def added(self, step: AnyNumber) -> AnyNumber:
        """What a cut adds to a chamber, in cc; not positive."""
        return -self.area * self.depth(step) / MM3_PER_CC

    def paid(self, step: AnyNumber) -> AnyNumber:
        """What a cut costs: its setup, if anything is cut."""
        return self.price * (step > 0)


@dataclass(frozen=True)
class Grid:
    """A bank and the choices for it; best values only, without uncertainties."""

    kinds: Sequence[Kind]
    gasket_prices: Sequence[int]
    piston_prices: Sequence[int]
    rises: Sequence[float]
    pockets: Sequence[float]
    """How much deeper the valve pockets of each piston are; minus infinity where not known."""
    bottom_prices: Sequence[int]
    """Of each pair of rods and crank."""
    deck: Face
    head: Face
    band: tuple[float, float]
    aim: float
    valves: float
    """Least that may still be taken from piston to valve; infinite without a limit."""
    largest_swept: float

    @property
    def parts_shape(self) -> tuple[int, int, int]:
        """Number of gaskets, pistons, and pairs of rods and crank."""
        return len(self.gasket_prices), len(self.piston_prices), len(self.bottom_prices)

    @property
    def parts_count(self) -> int:
        """Number of ways to combine the parts."""
        return math.prod(self.parts_shape)

    @property
    def combinations(self) -> int:
        """Number of ways to combine parts and cuts."""
        return self.parts_count * len(self.deck.steps) * len(self.head.steps)

    def parts(self) -> Iterator[tuple[int, int, int]]:
        """Every combination of a gasket, a piston, and a pair of rods and crank."""
        gaskets, pistons, bottoms = self.parts_shape
        for gasket in range(gaskets):
            for piston in range(pistons):
                for bottom in range(bottoms):
                    yield gasket, piston, bottom

    def row(self, gasket: AnyNumber, piston: AnyNumber, bottom: AnyNumber, step: AnyNumber) -> Row:
        """Parts, by their numbers, and a deck cut in steps."""
        _, pistons, bottoms = self.parts_shape
        low, high = self.band
        depth = self.deck.depth(step)
        worst: list[tuple[AnyNumber, ...]] = []
        for kind in self.kinds:
            deck = self._deck(kind, piston, bottom, depth)
            volume = self._volume(kind, gasket, piston, deck)
            squish = kind.thicknesses[gasket] + deck
            swept = kind.swept[piston * bottoms + bottom]
            room = math.inf
            if self.valves < math.inf:
                thicker = kind.thicknesses[gasket] - kind.thickness
                room = self.valves + self.pockets[piston] + (deck - kind.deck) + thicker
            worst.append(
                (
                    deck,
                    squish,
                    room,
                    clearance_for(high + TOUCH, swept) - volume,
                    clearance_for(max(low - TOUCH, 1 + TOUCH), swept) - volume,
                    clearance_for(self.aim, swept) - volume,
                )
            )
        decks, squishes, rooms, least, most, on_aim = zip(*worst, strict=True)
        room, at_least = _lowest(rooms), _highest(least)
        if self.valves < math.inf:
            deepest = -self.head.area * (room + TOUCH) / MM3_PER_CC
            at_least = where(at_least > deepest, at_least, deepest)
        place = (gasket * pistons + piston) * bottoms + bottom
        return Row(
            place=(place * self.deck.count + step) * self.head.count,
            price=self.gasket_prices[gasket]
            + self.piston_prices[piston]
            + self.bottom_prices[bottom]
            + self.deck.paid(step),
            metal=depth,
            lowest_deck=_lowest(decks),
            highest_deck=_highest(decks),
            lowest_squish=_lowest(squishes),
            highest_squish=_highest(squishes),
            valve_room=room,
            least=at_least,
            most=_lowest(most),
            near=_lowest(on_aim),
            far=_highest(on_aim),
        )

    def _deck(
        self, kind: Kind, piston: AnyNumber, bottom: AnyNumber, depth: AnyNumber
    ) -> AnyNumber:
        return kind.deck - self.rises[piston] - kind.lifts[bottom] - depth

    @staticmethod
    def _volume(kind: Kind, gasket: AnyNumber, piston: AnyNumber, deck: AnyNumber) -> AnyNumber:
        """Clearance volume before the head is cut."""
        return clearance_volume(
            kind.chamber,
            kind.gaskets[gasket],
            disc(kind.bores[piston], deck) / MM3_PER_CC,
            kind.crowns[piston],
            kind.crevices[piston],
        )

    def numbers(self, place: AnyNumber) -> tuple[AnyNumber, ...]:
        """Gasket, piston, pair of rods and crank, deck and head cut in steps, of a place."""
        found: list[AnyNumber] = []
        _, pistons, bottoms = self.parts_shape
        for count in (self.head.count, self.deck.count, bottoms, pistons):
            rest = place // count
            found.insert(0, place - rest * count)
            place = rest
        return (place, *found)

    def volumes(
        self, gasket: AnyNumber, piston: AnyNumber, bottom: AnyNumber, step: AnyNumber
    ) -> list[tuple[AnyNumber, AnyNumber]]:
        """Swept volume, and clearance volume before the head is cut, of each kind of cylinder."""
        depth, at = self.deck.depth(step), piston * self.parts_shape[2] + bottom
        return [
            (
                kind.swept[at],
                self._volume(kind, gasket, piston, self._deck(kind, piston, bottom, depth)),
            )
            for kind in self.kinds
        ]

    def ratios(self, numbers: Sequence[AnyNumber]) -> list[AnyNumber]:
        """Ratio of each kind of cylinder, for the numbers of parts and cuts."""
        *row, head_step = numbers
        added = self.head.added(head_step)
        return [compression_ratio(swept, volume + added) for swept, volume in self.volumes(*row)]

    def cylinders(self, numbers: Sequence[int]) -> list[tuple[float, float, float, float]]:
        """Share, ratio, deck and squish clearance of each kind of cylinder."""
        gasket, piston, bottom, step, _ = numbers
        depth = self.deck.depth(step)
        decks = [self._deck(kind, piston, bottom, depth) for kind in self.kinds]
        return [
            (kind.share, ratio, deck, kind.thicknesses[gasket] + deck)
            for kind, ratio, deck in zip(self.kinds, self.ratios(numbers), decks, strict=True)
        ]

    def ratio_share(
        self, volumes: Sequence[tuple[AnyNumber, AnyNumber]], added: AnyNumber
    ) -> AnyNumber:
        """What the bank adds to the mean ratio over all the engine's cylinders.

        Args:
            volumes: of each kind; see `volumes`.
            added: to every chamber by the head cut; not positive.
        """
        mean: AnyNumber = 0.0
        for kind, (swept, volume) in zip(self.kinds, volumes, strict=True):
            mean = mean + kind.share * compression_ratio(swept, volume + added)
        return mean

    def leaves_a_chamber(self, head_step: AnyNumber) -> AnyNumber:
        """Whether a head cut leaves the smallest chamber; deeper ones never do."""
        smallest = min(kind.chamber for kind in self.kinds)
        return smallest + self.head.added(head_step) >= min(smallest, CHAMBER.low)


def _lowest(numbers: Sequence[AnyNumber]) -> AnyNumber:
    lowest, *others = numbers
    for number in others:
        lowest = where(number < lowest, number, lowest)
    return lowest


def _highest(numbers: Sequence[AnyNumber]) -> AnyNumber:
    highest, *others = numbers
    for number in others:
        highest = where(number > highest, number, highest)
    return highest


def grids_of(job: Job) -> list[Grid]:
    """The grids of a job, one for each bank; parts are paid with the first. Worked out once."""
    known: list[Grid] = vars(job).setdefault("_grids", [])
    if not known:
        first, *others = [_grid(job, bank) for bank in job.banks]
        known += [first, *(_with_parts_paid(grid) for grid in others)]
    return known


def _with_parts_paid(grid: Grid) -> Grid:
    gaskets, pistons, bottoms = grid.parts_shape
    return replace(
        grid,
        gasket_prices=[0] * gaskets,
        piston_prices=[0] * pistons,
        bottom_prices=[0] * bottoms,
    )


def _grid(job: Job, bank: Bank) -> Grid:
    options = job.options
    deck_cut, head_cut = options.deck_cut, options.head_cut
    kinds = _kinds(job.engine, options, bank)
    return Grid(
        kinds=kinds,
        gasket_prices=[_whole(option.price) for option in options.gaskets],
        piston_prices=[_whole(option.price) for option in options.pistons],
        rises=[in_mm(option.rise) for option in options.pistons],
        pockets=[
            0.0
            if option.piston is None
            else -math.inf
            if option.deeper_pockets is None
            else in_mm(option.deeper_pockets)
            for option in options.pistons
        ],
        bottom_prices=[
            _whole(rods.price) + _whole(crank.price)
            for rods in options.rods
            for crank in options.cranks
        ],
        deck=Face(
            in_mm(deck_cut.step) if deck_cut else 0.0,
            1 + (deck_cut.steps if deck_cut else 0),
            bank.deck,
            _whole(deck_cut.price) if deck_cut else 0,
        ),
        head=Face(
            in_mm(head_cut.step) if head_cut else 0.0,
            1 + (head_cut.steps if head_cut else 0),
            bank.head,
            _whole(head_cut.price) if head_cut else 0,
            head_cut.open_area.m_as("mm**2") if head_cut else 0.0,
        ),
        band=(options.target.low, options.target.high),
        aim=options.target.aim,
        valves=min(
            (in_mm(valve.measured) - in_mm(valve.least) for valve in options.valves),
            default=math.inf,
        ),
        largest_swept=max(max(kind.swept) for kind in kinds),
    )


def _kinds(engine: Engine, options: Options, bank: Bank) -> list[Kind]:
    """Cylinders that are alike in everything count as one kind, the smallest chamber first."""
    found = [_kind(engine, options, place) for place in bank.places]
    counts = Counter(tuple(_frozen(kind)) for kind in found)
    first = {tuple(_frozen(kind)): kind for kind in reversed(found)}
    return [
        Kind(**{**vars(first[key]), "share": count / engine.count})
        for key, count in sorted(counts.items(), key=lambda pair: repr(pair[0]))
    ]


def _frozen(kind: Kind) -> Iterator[Any]:
    for each in fields(kind):
        value = getattr(kind, each.name)
        yield tuple(value) if isinstance(value, list) else value


def _kind(engine: Engine, options: Options, place: int) -> Kind:
    cylinder, land = engine.cylinders[place], engine.ring_lands[place]
    own = engine.gaskets[place]
    gaskets = [option.gasket or own for option in options.gaskets]
    pistons = [option.piston or engine.pistons[place] for option in options.pistons]
    bored = [
        with_bore(cylinder, option.overbore) if option.overbore.magnitude else cylinder
        for option in options.pistons
    ]
    bottoms = [
        _bottom(cylinder, rods.length, crank.stroke)
        for rods in options.rods
        for crank in options.cranks
    ]

    def with_strokes(bored: Cylinder) -> list[float]:
        return [in_cc(Cylinder(bored.bore, stroke).swept) for stroke, _ in bottoms]

    return Kind(
        share=0.0,
        chamber=in_cc(engine.chambers[place].volume),
        deck=in_mm(engine.decks[place].clearance),
        gaskets=[in_cc(gasket.volume) for gasket in gaskets],
        thicknesses=[_thickness(gasket) for gasket in gaskets],
        thickness=_thickness(own),
        bores=_of_each(bored, lambda each: in_mm(each.bore)),
        crowns=[in_cc(piston.crown) for piston in pistons],
        crevices=_of_each(bored, lambda each: in_cc(land.volume(each.bore)) if land else 0.0),
        lifts=[lift for _, lift in bottoms],
        swept=[swept for volumes in _of_each(bored, with_strokes) for swept in volumes],
    )


def _of_each(bored: Sequence[Cylinder], number: Callable[[Cylinder], Value]) -> list[Value]:
    """A number of each cylinder, worked out once for one that stands there many times."""
    known = {id(cylinder): cylinder for cylinder in bored}
    found = {key: number(cylinder) for key, cylinder in known.items()}
    return [found[id(cylinder)] for cylinder in bored]


def _bottom(cylinder: Cylinder, length: Any, stroke: Any) -> tuple[Any, float]:
    """Stroke, and how much higher the piston comes; without end where rod and crank do not go."""
    lift = 0.0
    try:
        if length is not None:
            cylinder, up = with_rod(cylinder, length)
            lift += in_mm(up)
        if stroke is not None:
            cylinder, up = with_stroke(cylinder, stroke)
            lift += in_mm(up)
    except Refused:
        return cylinder.stroke, math.inf
    return cylinder.stroke, lift


def _thickness(gasket: Gasket) -> float:
    thickness = gasket.compressed_thickness
    return math.inf if thickness is None else in_mm(thickness)


def _whole(price: float) -> int:
    return round(price * PRICE_STEPS)
