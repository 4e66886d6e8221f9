"""Lengths and volumes with their spread, from the readings on the bench."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

import pint
from uncertainties import ufloat

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.formulas import geometry
from enginemath.units import (
    CC,
    Number,
    Quantity,
    Refused,
    as_quantity,
    in_cc,
    in_mm,
    nominal,
    show,
)

BOROSILICATE = Quantity(9.9e-6, "1 / kelvin")
"""Cubic expansion of borosilicate glass 3.3; ISO 4787 (from memory)."""
SODA_LIME = Quantity(27e-6, "1 / kelvin")
"""Cubic expansion of soda-lime glass; ISO 4787 (from memory)."""
WATER = Quantity(2.1e-4, "1 / kelvin")
"""Cubic expansion of water at 20 °C; EURACHEM/CITAC QUAM, example A1."""
MARKED_AT = Quantity(20.0, "degC")
"""Temperature at which a burette's scale is true; ISO 385 (from memory)."""


@dataclass(frozen=True)
class Fill:
    """One run of the burette, from a start reading down to an end reading.

    A burette is read downwards: zero is at the top.

    >>> print(show(Fill("0.60 mL", "25.00 mL").volume, "cc"))
    24.40 cc
    >>> Fill("25.00 mL", "0.60 mL")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: burette: the end 0.60 mL is above the start 25.00 mL; exchanged?
    """

    start: pint.Quantity
    end: pint.Quantity

    def __post_init__(self) -> None:
        for name in ("start", "end"):
            reading = limits.BURETTE_READING.accept(getattr(self, name))
            object.__setattr__(self, name, reading)
        if nominal(self.volume.magnitude) <= 0:
            readings = show(self.end, "ml"), show(self.start, "ml")
            if readings[0] == readings[1]:
                raise Refused(f"burette: start and end both read {readings[0]}; nothing was poured")
            raise Refused(
                f"burette: the end {readings[0]} is above the start {readings[1]}; exchanged?"
            )

    @property
    def volume(self) -> pint.Quantity:
        """What ran out.

            V = end − start

        Returns:
            Volume, in cc; always positive.

        Source: a burette is read downwards; ISO 385 (from memory).

        >>> print(show(Fill("0.60 mL", "25.00 mL").volume, "cc"))
        24.40 cc
        """
        return self.end.to(CC) - self.start.to(CC)


def poured_volume(fills: Iterable[Fill]) -> pint.Quantity:
    """Volume of a pour that took one or several fills.

        V = (end₁ − start₁) + (end₂ − start₂) + …

    Args:
        fills: in any order; the burette is refilled between them.

    Returns:
        Volume, in cc.

    Raises:
        Refused: no fill.

    Source: the sum of the fills.

    >>> fills = [Fill("0.60 mL", "25.00 mL"), Fill("0.00 mL", "23.10 mL")]
    >>> print(show(poured_volume(fills), "cc"))
    47.50 cc
    """
    volumes = [fill.volume for fill in fills]
    if not volumes:
        raise Refused("burette: no fill recorded")
    return sum(volumes[1:], volumes[0])


@dataclass(frozen=True)
class Repeats:
    """Several readings of one thing: their mean, their spread, how sure the mean is.

    >>> chamber = Repeats.of(["47.4 cc", "47.6 cc", "47.5 cc"])
    >>> print(show(chamber.mean, "cc"), "from", chamber.count)
    47.50 ± 0.06 cc from 3
    """

    count: int
    mean: pint.Quantity
    """The mean, with the standard uncertainty s/√n where there are two or more readings."""
    spread: pint.Quantity
    """Sample standard deviation s of one reading; zero for a single reading."""
    range: pint.Quantity
    """Largest less smallest."""

    @classmethod
    def of(cls, readings: Sequence[str | pint.Quantity], limit: Limit | None = None) -> Repeats:
        """Average readings of one thing.

            s² = Σ(xᵢ − x̄)²/(n − 1), u(x̄) = s/√n

        Args:
            readings: xᵢ, one or more, texts or quantities of one kind, in any unit.
            limit: what the thing can be; optional.

        Returns:
            Mean with its standard uncertainty, spread s and range, in the unit of the first
            reading.

        Raises:
            Refused: no reading, one that cannot be read, or different kinds of thing.

        Source: JCGM 100:2008, 4.2.

        >>> chamber = Repeats.of(["47.4 cc", "47.6 cc", "47.5 cc"])
        >>> print(show(chamber.mean, "cc"), "| s", show(chamber.spread, "cc"))
        47.50 ± 0.06 cc | s 0.10 cc
        """
        if not readings:
            raise Refused("no reading to average")
        accept = limit.accept if limit else as_quantity
        quantities = [accept(reading) for reading in readings]
        unit = quantities[0].units
        if any(not q.is_compatible_with(unit) for q in quantities):
            raise Refused("readings of different kinds cannot be averaged")
        values = [nominal(q.m_as(unit)) for q in quantities]
        s = stdev(values) if len(values) > 1 else 0.0
        mean: Number = fmean(values)
        if s:
            mean = ufloat(mean, s / len(values) ** 0.5)
        return cls(
            count=len(values),
            mean=Quantity(mean, unit),
            spread=Quantity(s, unit),
            range=Quantity(max(values) - min(values), unit),
        )


def at_temperature(
    volume: Number, warmer: Number, glass: Number = BOROSILICATE, liquid: Number = 0 * WATER
) -> Number:
    """What a burette delivered, corrected for temperature.

        V = V₀·(1 + γ·ΔT)

    If liquid, burette and head share one temperature the liquid's expansion cancels and only
    the glass counts; a liquid that warms up between burette and head grows besides.

    Args:
        volume: V₀, read on the scale, a volume.
        warmer: ΔT, temperature difference, positive where it is warmer. For the glass: burette
            less 20 °C. For a liquid that changes: head less burette.
        glass: γ, cubic expansion of the burette, per kelvin; 0 to leave it out.
        liquid: γ, cubic expansion of the liquid, per kelvin; 0 where it does not warm up.

    Returns:
        Volume, in the unit of `volume`.

    Source: ISO 4787 (from memory).

    >>> print(show(at_temperature(Quantity(50.0, "cc"), Quantity(10, "kelvin")), "cc"))
    50.00 cc
    >>> expanded = at_temperature(Quantity(100, "cc"), Quantity(4, "kelvin"), liquid=WATER, glass=0)
    >>> round(expanded.m_as("cc"), 3)
    100.084
    """
    return volume * (1 + (glass + liquid) * warmer)


def water_density(celsius: Number) -> Number:
    """Density of water at atmospheric pressure, to weigh a pour instead of reading it.

        ρ = a₅·(1 − (t + a₁)²·(t + a₂)/(a₃·(t + a₄)))

    a₁ = −3.983035, a₂ = 301.797, a₃ = 522528.9, a₄ = 69.34881 (all for t in °C) and
    a₅ = 999.974950 kg/m³.

    Args:
        celsius: t, temperature, a bare number in °C, 0 to 40.

    Returns:
        A bare number in kg/m³ (g per litre).

    Source: Tanaka et al., Metrologia 38 (2001) 301 (coefficients from memory).

    >>> round(water_density(20.0), 3)
    998.207
    """
    t = celsius
    bend = (t - 3.983035) * (t - 3.983035) * (t + 301.797)
    return 999.974950 * (1 - bend / (522528.9 * (t + 69.34881)))


def known_depth_crown(poured: Number, bore: Number, depth: Number) -> Number:
    """Crown volume by the known-depth method: it works for every crown.

        crown = poured − π/4·b²·depth

    Lower the piston a known depth, seal its edge with grease, pour to the deck.

    Args:
        poured: volume above the piston; it holds the ring-land crevice unless grease fills it.
        bore: b, a length.
        depth: deck to piston edge, a length.

    Returns:
        Volume: positive is a dish, negative a dome; valve reliefs are in it.

    Source: what was poured, less the disc that a flat crown would leave; common practice, no
    source.

    >>> crown = known_depth_crown(Quantity(93.2, "cc"), Quantity(92, "mm"), Quantity(12.7, "mm"))
    >>> print(show(crown, "cc"))
    8.78 cc
    """
    return poured - geometry.disc(bore, depth)


def what_the_crown_is(crown: pint.Quantity) -> str:
    """Say in words what a crown volume means.

    Args:
        crown: a volume; positive is a dish, negative a dome.

    Returns:
        The sign, the volume in cc and the shape, in one line.

    Source: common practice, no source.

    >>> what_the_crown_is(Quantity(-4.5, "cc"))
    'reads negative, −4.50 cc: a dome, it takes volume away'
    """
    cc = in_cc(crown)
    if cc < 0:
        return f"reads negative, {show(crown, 'cc')}: a dome, it takes volume away"
    if cc > 0:
        return f"reads positive, {show(crown, 'cc')}: a dish or reliefs, they add volume"
    return "reads zero: flat"


def flat_plate_crown(poured: Number, top: pint.Quantity | None = None) -> Number:
    """Dish volume by the flat-plate method: it works only where nothing stands above the edge.

        crown = poured

    Args:
        poured: volume under the plate, positive.
        top: highest point of the crown above its edge, a length; refused if it is positive.

    Returns:
        Volume, positive: a dish.

    Raises:
        Refused: the crown stands above its edge.

    Source: common practice, no source.

    >>> print(show(flat_plate_crown(Quantity(6.0, "cc"), top=Quantity(0, "mm")), "cc"))
    6.00 cc
    >>> flat_plate_crown(Quantity(6.0, "cc"), top=Quantity(1.2, "mm"))
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: the crown stands 1.200 mm above its edge: no plate will lie \
flat; lower the piston a known depth and pour
    """
    if top is not None and in_mm(top) > 0:
        raise Refused(
            f"the crown stands {show(top, 'mm')} above its edge: no plate will lie flat; "
            "lower the piston a known depth and pour"
        )
    return poured


def deck_clearance(one_side: str | pint.Quantity, other_side: str | pint.Quantity) -> pint.Quantity:
    """Deck clearance of a piston that rocks: the mean of both sides of the pin.

        c = (one side + other side)/2

    Args:
        one_side: a length, read on one side of the pin's axis; positive below the deck.
        other_side: a length, read on the other side; positive below the deck.

    Returns:
        A length, good to half the rock, ``|one_side − other_side| / 2``.

    Raises:
        Refused: a reading that no deck clearance can have.

    Source: common practice, no source.

    >>> print(show(deck_clearance("0.30 mm", "0.40 mm"), "mm"))
    0.350 mm
    """
    one, other = (limits.DECK_CLEARANCE.accept(side) for side in (one_side, other_side))
    return (one + other) / 2


def bore_after_overbore(stated: str | pint.Quantity, over: str | pint.Quantity) -> pint.Quantity:
    """Bore after boring out: as stated, plus the overbore on the diameter.

        b = stated + over

    Args:
        stated: bore before boring out, a length.
        over: what the diameter grows by, a length.

    Returns:
        A length.

    Raises:
        Refused: a bore or an overbore that cannot be.

    Source: the sum of both; common practice, no source.

    >>> print(show(bore_after_overbore("3.900 in", "30 thou"), "in"))
    3.9300 in
    """
    return limits.BORE.accept(limits.BORE.accept(stated) + limits.OVERBORE.accept(over))
