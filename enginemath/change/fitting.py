"""Other parts in the engine: gasket, pistons, rods, crank, and a larger bore."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pint

from enginemath.bench.measuring import bore_after_overbore
from enginemath.change.changed import changed, in_shop_unit
from enginemath.change.cut_limits import RISE
from enginemath.engine import limits
from enginemath.engine.parts import Cylinder, Engine, Gasket, Piston
from enginemath.formulas import geometry
from enginemath.units import Refused


def fit_gasket(engine: Engine, gasket: Gasket) -> Engine:
    """Fit another gasket.

    Raises:
        Refused: a gasket so thin that a piston would meet the head.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> print(show(fit_gasket(parse(EXAMPLE).engine, Gasket("93.2 mm", "0.70 mm")).squish(), "mm"))
    1.050 mm
    """
    return changed(engine, "another gasket", gasket=gasket)


def fit_piston(engine: Engine, piston: Piston, rise: str | pint.Quantity = "0 mm") -> Engine:
    """Fit other pistons.

    Args:
        engine: before the change.
        piston: the new crown.
        rise: change of compression height, a length; positive: the crown sits higher.

    Raises:
        Refused: a crown that would meet the head, or that leaves nothing to burn in.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> engine = fit_piston(parse(EXAMPLE).engine, Piston(reliefs="2.8 cc"), rise="0.20 mm")
    >>> print(show(engine.decks[0].clearance, "mm"), show(engine.piston.crown, "cc"))
    0.150 mm 2.80 cc
    """
    return changed(engine, "other pistons", piston=piston, lift=RISE.accept(rise))


def fit_rods(engine: Engine, rod_length: str | pint.Quantity) -> Engine:
    """Fit rods of another length: the pistons come as much higher as the rods are longer.

    Raises:
        Refused: the present rods' length is not known, or a piston would meet the head.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> print(show(fit_rods(parse(EXAMPLE).engine, "145.2 mm").decks[0].clearance, "mm"))
    0.150 mm
    """
    length = limits.ROD_LENGTH.accept(rod_length)
    return _other_cylinders(
        engine,
        f"rod length {in_shop_unit(length)}",
        [with_rod(c, length) for c in engine.cylinders],
    )


def change_stroke(engine: Engine, stroke: str | pint.Quantity) -> Engine:
    """Fit a crank of another stroke: the pistons come higher by half of what the stroke grows.

    Args:
        engine: before the change.
        stroke: new travel of the piston, a length.

    Raises:
        Refused: a stroke that cannot be, or one that stands a piston into the head.

    Source: slider-crank at top dead centre. A pin offset, where the rods are known, is allowed for.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> engine = change_stroke(parse(EXAMPLE).engine, "88.9 mm")
    >>> print(show(engine.decks[0].clearance, "mm"), show(engine.cylinder.swept, "cc"))
    0.150 mm 590.97 cc
    """
    travel = limits.STROKE.accept(stroke)
    lifted = [with_stroke(cylinder, travel) for cylinder in engine.cylinders]
    return _other_cylinders(engine, f"stroke {in_shop_unit(travel)}", lifted)


Lifted = tuple[Cylinder, pint.Quantity]
"""A cylinder with other parts, and how much higher its piston comes."""


def with_rod(cylinder: Cylinder, length: pint.Quantity) -> Lifted:
    """A cylinder with a rod of another length, and how much higher its piston then comes.

    Raises:
        Refused: the present rod's length is not known, or the new one is too short.
    """
    radius = cylinder.crank_radius
    new = replace(cylinder, rod_length=length)
    return new, _pin_at_top(new, radius) - _pin_at_top(cylinder, radius)


def with_stroke(cylinder: Cylinder, stroke: pint.Quantity) -> Lifted:
    """A cylinder with another stroke, and how much higher its piston then comes.

    Raises:
        Refused: the rod is too short for the stroke.
    """
    new = replace(cylinder, stroke=stroke)
    if cylinder.rod_length is None:
        return new, (stroke - cylinder.stroke) / 2
    at_top = _pin_at_top(new, new.crank_radius)
    return new, at_top - _pin_at_top(cylinder, cylinder.crank_radius)


def with_bore(cylinder: Cylinder, over: pint.Quantity) -> Cylinder:
    """A cylinder bored out for the next size of piston.

    Raises:
        Refused: an overbore that cannot be.
    """
    return replace(cylinder, bore=bore_after_overbore(cylinder.bore, over))


def _other_cylinders(engine: Engine, cause: str, lifted: Sequence[Lifted]) -> Engine:
    cylinders = tuple(cylinder for cylinder, _ in lifted)
    lifts = [lift for _, lift in lifted]
    return changed(engine, cause, cylinder=cylinders[0], cylinders=cylinders, lift=lifts)


def bore_out(engine: Engine, over: str | pint.Quantity) -> Engine:
    """Bore the cylinders out for the next size of piston, with the same crown and ring land.

    Args:
        engine: before the change.
        over: overbore on the diameter, a length.

    Returns:
        A new engine; swept volume, deck volume and crevice grow, the chambers stay.

    Raises:
        Refused: an overbore that cannot be, or a bore wider than the gasket's opening.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.units import show
    >>> print(show(bore_out(parse(EXAMPLE).engine, "0.50 mm").cylinder.swept, "cc"))
    594.73 cc
    """
    cylinders = tuple(with_bore(cylinder, over) for cylinder in engine.cylinders)
    for cylinder, gasket in zip(cylinders, engine.gaskets, strict=True):
        opening = gasket.bore
        if opening is not None and gasket.hangs_into(cylinder.bore):
            raise Refused(
                f"overbore: the bore becomes {in_shop_unit(cylinder.bore)}, the gasket's opening "
                f"is {in_shop_unit(opening)}: the gasket would hang into the cylinder; "
                "fit a larger one first"
            )
    return changed(engine, "overbore", cylinder=cylinders[0], cylinders=cylinders)


def _pin_at_top(cylinder: Cylinder, crank_radius: pint.Quantity) -> pint.Quantity:
    """Height of the piston pin above the crank's centre at top dead centre."""
    return geometry.reach(cylinder.rod_length + crank_radius, cylinder.pin_offset)
