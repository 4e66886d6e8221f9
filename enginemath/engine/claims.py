"""Measured against claimed: each part in its own unit and in points of ratio."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import pint

from enginemath.engine import dimensions, limits
from enginemath.engine.dimensions import Dimension
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Engine
from enginemath.engine.stack import Stack, mean, mean_ratio, stacks
from enginemath.formulas.compression import compression_ratio
from enginemath.units import Refused, kind, nominal, shop_unit, show, signed


@dataclass(frozen=True)
class Difference:
    """One claim beside what was measured."""

    part: str
    claimed: pint.Quantity
    measured: pint.Quantity
    ratio_points: float
    """What the difference does to the ratio: with the part as measured less with it as claimed."""

    def __str__(self) -> str:
        """One line for the shop.

        >>> from enginemath.units import read
        >>> print(Difference("chamber volume", read("46 cc"), read("47.5 cc"), -0.2101))
        chamber volume: claimed 46.00 cc, measured 47.50 cc (+1.50 cc), ratio −0.210
        """
        unit = "cc" if kind(self.claimed.units) == "a volume" else shop_unit(self.claimed)
        difference = self.measured - self.claimed
        sign = "+" if nominal(difference.m_as(self.claimed.units)) >= 0 else ""
        return (
            f"{self.part}: claimed {show(self.claimed, unit)}, "
            f"measured {show(self.measured, unit)} ({sign}{show(difference, unit)}), "
            f"ratio {signed(self.ratio_points, 3)}"
        )


@dataclass(frozen=True)
class _Volume:
    """A volume that a hand calculation works out on its way to the ratio."""

    limit: Limit
    of: Callable[[Stack], pint.Quantity]


def _thickness_that_counts(engine: Engine) -> pint.Quantity | None:
    """None where the opening was poured: its volume then stands, however thick the gasket is."""
    gasket = engine.gasket
    return None if gasket.poured is not None else gasket.compressed_thickness


_PARTS = {
    "bore": dimensions.BORE,
    "stroke": dimensions.STROKE,
    "chamber volume": dimensions.CHAMBER,
    "gasket bore": dimensions.GASKET_BORE,
    "gasket thickness": dimensions.GASKET_THICKNESS._replace(of=_thickness_that_counts),
    "deck clearance": dimensions.DECK_CLEARANCE,
    "dish": dimensions.DISH,
    "dome": dimensions.DOME,
    "reliefs": dimensions.RELIEFS,
}
_VOLUMES = {
    "swept volume": _Volume(limits.SWEPT, lambda stack: stack.swept),
    "gasket volume": _Volume(limits.GASKET_VOLUME, lambda stack: stack.gasket),
    "deck volume": _Volume(limits.DECK_VOLUME, lambda stack: stack.deck),
    "crown volume": _Volume(limits.CROWN, lambda stack: stack.crown),
    "clearance volume": _Volume(limits.CLEARANCE, lambda stack: stack.clearance),
}


def against_claims(engine: Engine, claims: Mapping[str, str | pint.Quantity]) -> list[Difference]:
    """Set what is claimed, by a maker or by a hand calculation, beside what was measured.

    Args:
        engine: as measured.
        claims: by name: "bore", "stroke", "chamber volume", "gasket bore",
            "gasket thickness", "deck clearance", "dish", "dome", "reliefs", or a volume on the
            way to the ratio: "swept volume", "gasket volume", "deck volume", "crown volume",
            "clearance volume".

    Returns:
        One difference a claim, the largest effect on the mean ratio first.

    Raises:
        Refused: a name that is no part, a value that cannot be, or a part never measured.

    >>> from enginemath.engine.parts import Chamber, Cylinder, Deck, Gasket
    >>> engine = Engine("demo", Cylinder("80 mm", "80 mm"), (Chamber("40 cc"),),
    ...                 Gasket("81 mm", "1 mm"), (Deck("0.2 mm"),))
    >>> print(*against_claims(engine, {"chamber volume": "38 cc", "bore": "80 mm"}), sep="\\n")
    chamber volume: claimed 38.00 cc, measured 40.00 cc (+2.00 cc), ratio −0.395
    bore: claimed 80.000 mm, measured 80.000 mm (+0.000 mm), ratio +0.000
    """
    ratio = nominal(mean_ratio(engine))
    differences = []
    for part, claimed in _accepted(claims).items():
        measured = _measured(engine, part)
        if measured is None:
            raise Refused(f"claimed {part}: was not measured, so there is nothing to compare")
        points = ratio - _ratio_as_claimed(engine, {part: claimed})
        differences.append(Difference(part, claimed, measured, points))
    return sorted(differences, key=lambda difference: -abs(difference.ratio_points))


def left_over(engine: Engine, claims: Mapping[str, str | pint.Quantity], ratio: float) -> float:
    """Points of a claimed ratio that the claimed parts and volumes do not make.

    What is left over is a slip in the arithmetic.

    Args:
        engine: as measured; stands in for what is not claimed.
        claims: see `against_claims`.
        ratio: claimed.

    Returns:
        The claimed ratio less the ratio that follows from the claims.

    >>> from enginemath.engine.parts import Chamber, Cylinder, Deck, Gasket
    >>> engine = Engine("demo", Cylinder("80 mm", "80 mm"), (Chamber("40 cc"),),
    ...                 Gasket("81 mm", "1 mm"), (Deck("0.2 mm"),))
    >>> round(left_over(engine, {"swept volume": "402.12 cc", "clearance volume": "46 cc"}, 9.9), 2)
    0.16
    """
    return ratio - _ratio_as_claimed(engine, _accepted(claims))


def _accepted(claims: Mapping[str, str | pint.Quantity]) -> dict[str, pint.Quantity]:
    return {name: _known(name).limit.accept(claimed) for name, claimed in claims.items()}


def _measured(engine: Engine, name: str) -> pint.Quantity | None:
    if name in _PARTS:
        return _PARTS[name].of(engine)
    return mean([_VOLUMES[name].of(stack) for stack in stacks(engine)])


def _known(name: str) -> Dimension | _Volume:
    known: dict[str, Dimension | _Volume] = {**_PARTS, **_VOLUMES}
    if name not in known:
        raise Refused(f"claimed {name}: no such part; known are {', '.join(known)}")
    return known[name]


def _ratio_as_claimed(engine: Engine, claims: Mapping[str, pint.Quantity]) -> float:
    for name, part in _PARTS.items():
        if name in claims:
            engine = part.onto(engine, claims[name])
    volumes = {name.split()[0]: claims[name].to("cc") for name in _VOLUMES if name in claims}
    clearance = volumes.pop("clearance", None)
    ratios = []
    for stack in stacks(engine):
        claimed = replace(stack, **volumes)
        ratios.append(
            compression_ratio(claimed.swept, claimed.clearance if clearance is None else clearance)
        )
    return nominal(mean(ratios).m_as(""))
