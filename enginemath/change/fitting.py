"""Other parts in the engine: gasket, pistons, rods, crank, and a larger bore."""

from __future__ import annotations

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
    old = engine.cylinder
    radius = old.crank_radius
    new = replace(old, rod_length=length)
    lift = _pin_at_top(new, radius) - _pin_at_top(old, radius)
    return changed(engine, f"rod length {in_shop_unit(length)}", cylinder=new, lift=lift)


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
    old = engine.cylinder
    new = replace(old, stroke=travel)
    if old.rod_length is None:
        lift = (new.stroke - old.stroke) / 2
    else:
        lift = _pin_at_top(new, new.crank_radius) - _pin_at_top(old, old.crank_radius)
    return changed(engine, f"stroke {in_shop_unit(travel)}", cylinder=new, lift=lift)


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
    bore = bore_after_overbore(engine.cylinder.bore, over)
    opening = engine.gasket.bore
    if opening is not None and engine.gasket.hangs_into(bore):
        raise Refused(
            f"overbore: the bore becomes {in_shop_unit(bore)}, the gasket's opening is "
            f"{in_shop_unit(opening)}: the gasket would hang into the cylinder; "
            "fit a larger one first"
        )
    return changed(engine, "overbore", cylinder=replace(engine.cylinder, bore=bore))


def _pin_at_top(cylinder: Cylinder, crank_radius: pint.Quantity) -> pint.Quantity:
    """Height of the piston pin above the crank's centre at top dead centre."""
    return geometry.reach(cylinder.rod_length + crank_radius, cylinder.pin_offset)
