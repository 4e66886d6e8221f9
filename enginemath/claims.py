"""Measured against claimed: each part in its own unit and in points of ratio."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import pint

from enginemath import limits
from enginemath.limits import Limit
from enginemath.parts import Chamber, Deck, Engine, Piston
from enginemath.stack import mean, mean_ratio
from enginemath.units import Refused, kind, nominal, shop_unit, show


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
        chamber volume: claimed 46.00 cc, measured 47.50 cc (+1.50 cc), ratio -0.210
        """
        unit = "cc" if kind(self.claimed.units) == "a volume" else shop_unit(self.claimed)
        difference = self.measured - self.claimed
        sign = "+" if nominal(difference.m_as(self.claimed.units)) >= 0 else ""
        return (
            f"{self.part}: claimed {show(self.claimed, unit)}, "
            f"measured {show(self.measured, unit)} ({sign}{show(difference, unit)}), "
            f"ratio {self.ratio_points:+.3f}"
        )


@dataclass(frozen=True)
class _Claim:
    limit: Limit
    measured: Callable[[Engine], pint.Quantity | None]
    as_claimed: Callable[[Engine, pint.Quantity], Engine]


def _with_cylinder(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    return lambda engine, value: replace(engine, cylinder=replace(engine.cylinder, **{name: value}))


def _with_gasket(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    return lambda engine, value: replace(engine, gasket=replace(engine.gasket, **{name: value}))


def _with_piston(name: str) -> Callable[[Engine, pint.Quantity], Engine]:
    other = {"dish": "dome", "dome": "dish"}.get(name)
    cleared = {other: Piston().dish} if other else {}
    return lambda engine, value: replace(
        engine, piston=replace(engine.piston, **{name: value, **cleared})
    )


_CLAIMS = {
    "bore": _Claim(limits.BORE, lambda e: e.cylinder.bore, _with_cylinder("bore")),
    "stroke": _Claim(limits.STROKE, lambda e: e.cylinder.stroke, _with_cylinder("stroke")),
    "chamber volume": _Claim(
        limits.CHAMBER,
        lambda e: mean([chamber.volume for chamber in e.chambers]),
        lambda e, value: replace(e, chambers=(Chamber(value),) * e.count),
    ),
    "gasket bore": _Claim(limits.GASKET_BORE, lambda e: e.gasket.bore, _with_gasket("bore")),
    "gasket thickness": _Claim(
        limits.GASKET_THICKNESS,
        lambda e: e.gasket.compressed_thickness,
        _with_gasket("compressed_thickness"),
    ),
    "deck clearance": _Claim(
        limits.DECK_CLEARANCE,
        lambda e: mean([deck.clearance for deck in e.decks]),
        lambda e, value: replace(e, decks=(Deck(value),) * e.count),
    ),
    "dish": _Claim(limits.DISH, lambda e: e.piston.dish, _with_piston("dish")),
    "dome": _Claim(limits.DOME, lambda e: e.piston.dome, _with_piston("dome")),
    "reliefs": _Claim(limits.RELIEFS, lambda e: e.piston.reliefs, _with_piston("reliefs")),
}


def against_claims(engine: Engine, claims: Mapping[str, str | pint.Quantity]) -> list[Difference]:
    """Set a maker's claims beside the measured parts.

    Args:
        engine: as measured.
        claims: by the part's name: "bore", "stroke", "chamber volume", "gasket bore",
            "gasket thickness", "deck clearance", "dish", "dome", "reliefs".

    Returns:
        One difference a claim, the largest effect on the mean ratio first.

    Raises:
        Refused: a name that is no part, a value that cannot be, or a part never measured.

    >>> from enginemath.parts import Cylinder, Gasket
    >>> engine = Engine("demo", Cylinder("80 mm", "80 mm"), (Chamber("40 cc"),),
    ...                 Gasket("81 mm", "1 mm"), (Deck("0.2 mm"),))
    >>> print(*against_claims(engine, {"chamber volume": "38 cc", "bore": "80 mm"}), sep="\\n")
    chamber volume: claimed 38.00 cc, measured 40.00 cc (+2.00 cc), ratio -0.395
    bore: claimed 80.000 mm, measured 80.000 mm (+0.000 mm), ratio +0.000
    """
    ratio = nominal(mean_ratio(engine))
    differences = []
    for part, text in claims.items():
        claim = _CLAIMS.get(part)
        if claim is None:
            raise Refused(f"claimed {part}: no such part; known are {', '.join(_CLAIMS)}")
        claimed, measured = claim.limit.accept(text), claim.measured(engine)
        if measured is None:
            raise Refused(f"claimed {part}: was not measured, so there is nothing to compare")
        points = ratio - nominal(mean_ratio(claim.as_claimed(engine, claimed)))
        differences.append(Difference(part, claimed, measured, points))
    return sorted(differences, key=lambda difference: -abs(difference.ratio_points))
