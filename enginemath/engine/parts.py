"""The nouns: the parts of an engine that decide its compression ratio.

A part accepts text with a unit or a quantity, refuses what cannot be, and knows its volume.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from typing import Any, TypeVar

import pint

from enginemath.engine import limits
from enginemath.engine.limits import Limit, said
from enginemath.formulas import geometry
from enginemath.units import (
    CC,
    MM,
    MM3_PER_CC,
    Number,
    Quantity,
    Refused,
    as_quantity,
    best,
    in_cc,
    in_mm,
    magnitude_in,
    shop_unit,
    show,
)

NOTHING = Quantity(0, CC)


def _mm(length: pint.Quantity) -> Number:
    return magnitude_in(MM, length)


def _cc(mm3: Number) -> pint.Quantity:
    return Quantity(mm3 / MM3_PER_CC, CC)


def _accept(part: Any, **bounds: Limit) -> None:
    may_be_left_out = {each.name for each in fields(part) if each.default is None}
    for name, limit in bounds.items():
        value = getattr(part, name)
        if value is None and name in may_be_left_out:
            continue
        object.__setattr__(part, name, limit.accept(value))


@dataclass(frozen=True)
class Cylinder:
    """Bore and stroke, and the rod where a crank angle matters.

    Args:
        bore: a length.
        stroke: travel of the piston, a length.
        rod_length: centre to centre, a length, or None.
        pin_offset: of the piston pin from the centre line, a length of either sign.

    Raises:
        Refused: a length that cannot be, or a rod too short for the stroke.

    >>> print(show(Cylinder("92.0 mm", "88.5 mm").swept, "cc"))
    588.31 cc
    """

    bore: pint.Quantity
    stroke: pint.Quantity
    rod_length: pint.Quantity | None = None
    pin_offset: pint.Quantity = field(default_factory=lambda: Quantity(0, MM))

    def __post_init__(self) -> None:
        _accept(
            self,
            bore=limits.BORE,
            stroke=limits.STROKE,
            rod_length=limits.ROD_LENGTH,
            pin_offset=limits.PIN_OFFSET,
        )
        if self.rod_length is None:
            return
        spare = in_mm(self.rod_length) - in_mm(self.stroke) / 2
        if spare <= abs(in_mm(self.pin_offset)):
            unit = shop_unit(self.rod_length)
            raise Refused(
                f"rod length {show(self.rod_length, unit)}: shorter than half the stroke "
                f"({show(self.stroke / 2, unit)}); the crank could not turn",
                field="rod_length",
            )

    @cached_property
    def swept(self) -> pint.Quantity:
        """Swept volume of one cylinder, in cc."""
        return _cc(geometry.disc(_mm(self.bore), _mm(self.stroke)))

    @cached_property
    def crank_radius(self) -> pint.Quantity:
        """Radius that the crank turns on, in mm; needs the rod."""
        radius = geometry.crank_radius(_mm(self.stroke), _mm(self._rod()), _mm(self.pin_offset))
        return Quantity(radius, MM)

    def piston_drop(self, angle: Any) -> pint.Quantity:
        """Piston below its top dead centre at a crank angle after it, in mm; needs the rod.

        >>> cylinder = Cylinder("92.0 mm", "88.5 mm", rod_length="145 mm")
        >>> print(show(cylinder.piston_drop(90.0), "mm"))
        51.167 mm
        """
        lengths = _mm(self.crank_radius), _mm(self._rod())
        return Quantity(geometry.piston_drop(*lengths, angle, _mm(self.pin_offset)), MM)

    def _rod(self) -> pint.Quantity:
        if self.rod_length is None:
            raise Refused("rod length: needed for anything with a crank angle, and not given")
        return self.rod_length


@dataclass(frozen=True)
class Chamber:
    """Chamber in the head, plug and valves in, up to the head's face.

    Args:
        volume: of all that is in the head, a prechamber included.
        prechamber: the part of it that stands behind a throat, a volume; None without one.
        in_a_flat_head: whether there may be none, as in the flat head of a diesel.

    >>> print(show(Chamber("47.5 cc").volume, "cc"))
    47.50 cc
    """

    volume: pint.Quantity
    prechamber: pint.Quantity | None = None
    in_a_flat_head: bool = False
    as_read: pint.Quantity = field(init=False, repr=False, compare=False)
    """The volume in the unit it came with."""

    def __post_init__(self) -> None:
        can_be = limits.CHAMBER_OF_A_DIESEL if self.in_a_flat_head else limits.CHAMBER
        _accept(self, volume=can_be, prechamber=limits.PRECHAMBER)
        if self.prechamber is not None and in_cc(self.volume - self.prechamber) < -1e-9:
            raise Refused(
                f"prechamber {show(self.prechamber, 'cc')}: larger than all that is in the head "
                f"({show(self.volume, 'cc')})",
                field="prechamber",
            )
        object.__setattr__(self, "as_read", self.volume)
        object.__setattr__(self, "volume", self.volume.to(CC))


@dataclass(frozen=True)
class Gasket:
    """Head gasket as it stands under the bolts: its opening and its compressed thickness.

    Args:
        bore: of the opening, a length; larger than the cylinder's bore.
        compressed_thickness: a length.
        poured: the opening's volume, for an opening that is not round; replaces the bore.
        free_thickness: before tightening, a length; only to recognise the slip of using it.

    >>> print(show(Gasket("93.2 mm", "1.10 mm").volume, "cc"))
    7.50 cc
    """

    bore: pint.Quantity | None = None
    compressed_thickness: pint.Quantity | None = None
    poured: pint.Quantity | None = None
    free_thickness: pint.Quantity | None = None

    def __post_init__(self) -> None:
        _accept(
            self,
            bore=limits.GASKET_BORE,
            compressed_thickness=limits.GASKET_THICKNESS,
            poured=limits.GASKET_VOLUME,
            free_thickness=limits.GASKET_THICKNESS,
        )
        if self.poured is None:
            self._refuse_half_a_gasket()
        elif self.bore is not None:
            raise Refused("give a gasket's bore or its volume, not both", field="volume")
        if self.free_thickness is not None and self.compressed_thickness is not None:
            free, compressed = best(self.free_thickness), best(self.compressed_thickness)
            if in_mm(free) < in_mm(compressed) * (1 - 1e-12):
                unit = shop_unit(free)
                raise Refused(
                    f"a gasket thinner free ({show(free, unit)}) than compressed "
                    f"({show(compressed, unit)}): are they exchanged?",
                    field="free_thickness",
                )

    def hangs_into(self, bore: pint.Quantity) -> bool:
        """Whether the opening is smaller than a cylinder's bore, so that its edge hangs in.

        >>> Gasket("91.2 mm", "1.10 mm").hangs_into(as_quantity("92.0 mm"))
        True
        """
        return self.bore is not None and in_mm(best(self.bore) - best(bore)) < 0

    def _refuse_half_a_gasket(self) -> None:
        needed = {"bore": self.bore, "compressed_thickness": self.compressed_thickness}
        missing = [name for name, value in needed.items() if value is None]
        if missing:
            raise Refused(
                f"{' and '.join(missing).replace('_', ' ')} missing: give a gasket's bore and "
                "its compressed thickness, or its volume",
                field=missing[0] if len(missing) == 1 else "",
            )

    @cached_property
    def volume(self) -> pint.Quantity:
        """Volume of the opening, in cc."""
        if self.poured is not None:
            return self.poured.to(CC)
        return _cc(geometry.disc(_mm(self.bore), _mm(self.compressed_thickness)))


@dataclass(frozen=True)
class Deck:
    """Where the piston stops at top dead centre: positive is below the deck.

    >>> print(show(Deck("0.35 mm").volume("92.0 mm"), "cc"))
    2.33 cc
    """

    clearance: pint.Quantity

    def __post_init__(self) -> None:
        _accept(self, clearance=limits.DECK_CLEARANCE)

    def volume(self, bore: str | pint.Quantity) -> pint.Quantity:
        """Volume between the piston's edge and the deck, in cc; negative above the deck."""
        return _cc(geometry.disc(_mm(as_quantity(bore)), _mm(self.clearance)))


@dataclass(frozen=True)
class Piston:
    """What the crown adds to the clearance: a dish, or a dome taken away, and valve reliefs.

    All are positive volumes; at most one of dish and dome.

    >>> print(show(Piston(dish="6.0 cc", reliefs="2.8 cc").crown, "cc"))
    8.80 cc
    >>> print(show(Piston(dome="4.5 cc", reliefs="1.5 cc").crown, "cc"))
    −3.00 cc
    """

    dish: pint.Quantity = NOTHING
    dome: pint.Quantity = NOTHING
    reliefs: pint.Quantity = NOTHING
    known_depth: tuple[pint.Quantity, pint.Quantity] | None = field(
        default=None, init=False, repr=False, compare=False
    )
    """Depth and poured volume that the crown was worked out from, where it was."""

    def __post_init__(self) -> None:
        _accept(self, dish=limits.DISH, dome=limits.DOME, reliefs=limits.RELIEFS)
        if in_cc(self.dish) and in_cc(self.dome):
            raise Refused(
                "a dish and a dome at once; enter the one that is left over", field="dome"
            )

    @classmethod
    def with_crown(
        cls,
        crown: pint.Quantity,
        known_depth: tuple[pint.Quantity, pint.Quantity] | None = None,
        reliefs: pint.Quantity | None = None,
    ) -> Piston:
        """A piston whose whole crown volume is known.

        Args:
            crown: a volume; positive is a dish, negative a dome.
            known_depth: the depth and the poured volume that it was worked out from.
            reliefs: what of the crown are valve reliefs; all of it where the piston is flat.

        >>> print(show(Piston.with_crown(Quantity(-4.5, "cc")).dome, "cc"))
        4.50 cc
        >>> print(show(Piston.with_crown(10.1 * CC, reliefs=1.7 * CC).dish, "cc"))
        8.40 cc
        """
        if reliefs is crown:
            piston = cls(reliefs=crown)
        else:
            net = crown if reliefs is None else crown - reliefs
            cut = {} if reliefs is None else {"reliefs": reliefs}
            piston = cls(dish=net, **cut) if in_cc(net) >= 0 else cls(dome=-net, **cut)
        object.__setattr__(piston, "known_depth", known_depth)
        return piston

    @cached_property
    def net_dish(self) -> pint.Quantity:
        """The dish without the reliefs, a volume; negative for a dome.

        >>> print(show(Piston(dome="4.5 cc", reliefs="1.5 cc").net_dish, "cc"))
        −4.50 cc
        """
        return self.dish - self.dome

    @cached_property
    def crown(self) -> pint.Quantity:
        """What the crown adds to the clearance, in cc: dish positive, dome negative."""
        return (self.net_dish + self.reliefs).to(CC)


@dataclass(frozen=True)
class RingLand:
    """The ring-shaped gap round the piston, from its edge down to the top ring.

    Args:
        height: edge to top ring, a length.
        clearance: bore less land diameter (diametral), a length.

    >>> print(show(RingLand("6.0 mm", "0.60 mm").volume("92.0 mm"), "cc"))
    0.52 cc
    """

    height: pint.Quantity
    clearance: pint.Quantity

    def __post_init__(self) -> None:
        _accept(self, height=limits.LAND_HEIGHT, clearance=limits.LAND_CLEARANCE)

    def volume(self, bore: str | pint.Quantity) -> pint.Quantity:
        """Volume of the crevice, in cc."""
        outer = _mm(as_quantity(bore))
        return _cc(geometry.annulus(outer, outer - _mm(self.clearance), _mm(self.height)))


SHARED = {
    "cylinder": "cylinders",
    "gasket": "gaskets",
    "piston": "pistons",
    "ring_land": "ring_lands",
}
"""Parts that cylinders often have alike, and the fields that hold one for each cylinder."""


@dataclass(frozen=True)
class Engine:
    """Cylinders with their parts: a chamber and a deck each, the others shared or one each.

    A part that is put in for all, as in ``replace(engine, gasket=thin)``, is then every
    cylinder's; ``with_each`` changes every cylinder's own.

    Args:
        cylinder, gasket, piston, ring_land: of cylinder 1, and of all that have none of their own.
        chambers: one for each cylinder, in cylinder order.
        decks: one for each cylinder, in cylinder order.
        intake_closes: angle after bottom dead centre, or None.
        altitude: of the shop above sea level, a length, or None.
        antiknock_index: of the fuel, (R+M)/2, or None.
        checking_lift: valve lift at which the intake closing was read, a length, or None.
        strokes: of one working cycle, 4 or 2.
        exhaust_closes: of a two-stroke, angle after bottom dead centre, or None.
        head: what the head is made of, "iron" or "aluminium"; None where nobody said.
        fuel: "petrol", "diesel" or another word; None where nobody said.
        cylinders, gaskets, pistons, ring_lands: one for each cylinder; without, all share.
        banks: name of each cylinder's bank; without, all stand in one.

    Raises:
        Refused: chambers and decks that do not match, a piston that meets the head, a
            dish larger than the swept volume, or a port on an engine that has none.

    >>> engine = Engine("demo", Cylinder("80 mm", "80 mm"), (Chamber("40 cc"),) * 2,
    ...     Gasket("81 mm", "1 mm"), (Deck("0.2 mm"),) * 2,
    ...     cylinders=(Cylinder("80 mm", "80 mm"), Cylinder("80.5 mm", "80 mm")))
    >>> print(*(show(cylinder.swept, "cc") for cylinder in engine.cylinders))
    402.12 cc 407.17 cc
    """

    name: str
    cylinder: Cylinder
    chambers: tuple[Chamber, ...]
    gasket: Gasket
    decks: tuple[Deck, ...]
    piston: Piston = field(default_factory=Piston)
    ring_land: RingLand | None = None
    intake_closes: pint.Quantity | None = None
    altitude: pint.Quantity | None = None
    antiknock_index: float | None = None
    checking_lift: pint.Quantity | None = None
    head: str | None = None
    fuel: str | None = None
    cylinders: tuple[Cylinder, ...] = ()
    gaskets: tuple[Gasket, ...] = ()
    pistons: tuple[Piston, ...] = ()
    ring_lands: tuple[RingLand | None, ...] = ()
    banks: tuple[str, ...] = ()
    strokes: int = 4
    exhaust_closes: pint.Quantity | None = None

    def __post_init__(self) -> None:
        _accept(
            self,
            intake_closes=limits.INTAKE_CLOSES,
            altitude=limits.ALTITUDE,
            checking_lift=limits.CHECKING_LIFT,
            exhaust_closes=limits.EXHAUST_CLOSES,
        )
        self._refuse_other_strokes()
        if not self.chambers or len(self.chambers) != len(self.decks):
            raise Refused(
                f"{len(self.chambers)} chambers and {len(self.decks)} deck clearances: "
                "one of each is needed for every cylinder"
            )
        for shared, each in SHARED.items():
            object.__setattr__(self, each, self._one_each(shared, each))
        if self.banks and len(self.banks) != self.count:
            raise Refused(f"{len(self.banks)} banks named for {self.count} cylinders")
        for number in range(self.count):
            self._refuse_contact(number)
            self._refuse_bottomless_dish(number)

    def _refuse_other_strokes(self) -> None:
        if self.strokes not in (2, 4):
            raise Refused(f"strokes {self.strokes!r:.20}: write 2 or 4", field="cylinder.strokes")
        if self.exhaust_closes is not None and self.strokes == 4:
            raise Refused(
                "the closing of the exhaust traps the charge of a two-stroke alone: "
                "leave it out, or say strokes = 2",
                field="cylinder.exhaust_closes",
            )
        if self.intake_closes is not None and self.strokes == 2:
            raise Refused(
                "a two-stroke's charge is trapped where its exhaust closes: leave this out, and "
                "give cylinder.exhaust_closes",
                field="cam.intake_closes",
            )

    @property
    def is_two_stroke(self) -> bool:
        """Whether every second stroke is a working one."""
        return self.strokes == 2

    @property
    def is_diesel(self) -> bool:
        """Whether the charge lights by compression."""
        return self.fuel == "diesel"

    @property
    def traps_at(self) -> pint.Quantity | None:
        """Angle after bottom dead centre from which the charge is shut in; None: not known.

        A four-stroke's intake closes then, a two-stroke's exhaust.
        """
        return self.exhaust_closes if self.is_two_stroke else self.intake_closes

    def _one_each(self, shared: str, each: str) -> tuple[Any, ...]:
        """The parts of all cylinders: their own, or the one that was put in for all."""
        for_all, own = getattr(self, shared), getattr(self, each)
        if not own or (own[0] is not for_all and own[0] != for_all):
            return (for_all,) * self.count
        if len(own) == self.count:
            return own
        if all(part is own[0] for part in own):
            return (for_all,) * self.count
        raise Refused(
            f"{len(own)} {each.replace('_', ' ')} for {self.count} cylinders: one of each is needed"
        )

    @property
    def count(self) -> int:
        """Number of cylinders."""
        return len(self.chambers)

    def place(self, cylinder: int) -> int:
        """Place, counted from 0, of a cylinder that a shop counts from 1.

        Raises:
            Refused: the engine has no such cylinder.
        """
        if cylinder not in range(1, self.count + 1):
            raise Refused(f"cylinder {cylinder!r:.20}: there are {self.count}, counted from 1")
        return cylinder - 1

    @property
    def displacement(self) -> pint.Quantity:
        """Swept volume of all cylinders, in cc."""
        if self.shares("cylinder"):
            return self.count * self.cylinder.swept
        volumes = [cylinder.swept for cylinder in self.cylinders]
        return sum(volumes[1:], volumes[0])

    def shares(self, part: str) -> bool:
        """Whether all cylinders have one and the same part, named as in `SHARED`.

        >>> Engine("demo", Cylinder("80 mm", "80 mm"), (Chamber("40 cc"),) * 2,
        ...     Gasket("81 mm", "1 mm"), (Deck("0.2 mm"),) * 2).shares("gasket")
        True
        """
        own = getattr(self, SHARED[part])
        return all(one is own[0] for one in own)

    def squish(self, number: int = 0) -> pint.Quantity | None:
        """Squish clearance of a cylinder (counted from 0), a length; None if it is not known.

        Source: deck clearance + compressed gasket thickness.
        """
        thickness = self.gaskets[number].compressed_thickness
        return None if thickness is None else self.decks[number].clearance + thickness

    def _refuse_contact(self, number: int) -> None:
        squish = self.squish(number)
        if squish is not None and in_mm(squish) <= 0:
            thickness = self.gaskets[number].compressed_thickness
            unit = shop_unit(thickness)
            above = show(-self.decks[number].clearance, unit)
            raise Refused(
                f"cylinder {number + 1}: the piston stands {above} above the deck, the gasket is "
                f"{show(thickness, unit)}: the piston would meet the head",
                field=f"decks[{number + 1}]",
            )

    def _refuse_bottomless_dish(self, number: int) -> None:
        piston, swept = self.pistons[number], self.cylinders[number].swept
        dish = piston.dish
        if in_cc(dish) > in_cc(swept):
            small = (one for one in limits.DISH.taken_for(dish) if in_cc(one) < in_cc(swept))
            meant = next(small, None)
            asked = f"did you mean {said(meant)}?" if meant is not None else "measure it again"
            read = show(dish, "cc") if piston.known_depth else said(dish)
            raise Refused(
                f"dish {read}: larger than the swept volume ({show(best(swept), 'cc')}), "
                f"and no piston is so deep: {asked}",
                field="piston.dish",
            )


Part = TypeVar("Part")


def plain(part: Part) -> Part:
    """A part, and all parts in it, without uncertainties; worked out once for each."""
    if "_plain" not in vars(part):
        vars(part)["_plain"] = _without_spread(part, {})
    found: Part = vars(part)["_plain"]
    return found


def _without_spread(part: Any, done: dict[int, Any]) -> Any:
    given = (f.name for f in fields(part) if f.init)
    return replace(part, **{name: _plain(getattr(part, name), done) for name in given})


def _plain(value: Any, done: dict[int, Any]) -> Any:
    """A value without its uncertainty; a part that cylinders share is worked out once."""
    if isinstance(value, Quantity):
        return best(value)
    if isinstance(value, tuple):
        return tuple(_plain(each, done) for each in value)
    if not is_dataclass(value):
        return value
    if id(value) not in done:
        done[id(value)] = _without_spread(value, done)
    return done[id(value)]


def one_cylinder(engine: Engine, number: int) -> Engine:
    """One cylinder of an engine, counted from 0, as an engine of its own.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> one_cylinder(parse(EXAMPLE).engine, 3).count
    1
    """
    own: dict[str, Any] = dict.fromkeys(SHARED.values(), ())
    own.update({part: getattr(engine, each)[number] for part, each in SHARED.items()})
    return replace(
        engine,
        chambers=(engine.chambers[number],),
        decks=(engine.decks[number],),
        banks=engine.banks[number : number + 1],
        **own,
    )


def with_each(engine: Engine, part: str, change: Callable[[Any], Any]) -> Engine:
    """An engine with one of its parts changed in every cylinder; a shared one stays shared.

    Args:
        engine: as it is.
        part: "cylinder", "gasket", "piston" or "ring_land".
        change: gives the new part for an old one.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> engine = with_each(parse(EXAMPLE).engine, "gasket", lambda _: Gasket("93 mm", "1.5 mm"))
    >>> print(show(engine.gaskets[3].volume, "cc"))
    10.19 cc
    """
    if engine.shares(part):
        own = (change(getattr(engine, part)),) * engine.count
    else:
        own = tuple(change(each) for each in getattr(engine, SHARED[part]))
    return replace(engine, **{part: own[0], SHARED[part]: own})
