"""What one part must become for a wanted ratio, and how far that part alone can go."""

from __future__ import annotations

import pint

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.parts import NOTHING, Engine
from enginemath.engine.stack import Stack, stack_of
from enginemath.formulas.compression import clearance_for, height_of, part_for
from enginemath.units import Number, Refused, in_mm, nominal, show, show_ratio


def clearance_for_ratio(stack: Stack, ratio: float) -> pint.Quantity:
    """Clearance volume for a wanted ratio.

        Vc = Vs/(r − 1)

    Args:
        stack: one cylinder's volumes; only the swept volume Vs counts.
        ratio: r, wanted, above 1.

    Returns:
        Volume, in cc.

    Raises:
        Refused: the ratio is not above 1, or higher than any engine has.

    Source: `compression.clearance_for`.

    >>> from enginemath.units import read
    >>> stack = Stack(*map(read, ("588.3135 cc", "47.5 cc", "7.5 cc", "2.33 cc", "8.8 cc")))
    >>> print(show(clearance_for_ratio(stack, 10), "cc"))
    65.37 cc
    """
    return clearance_for(_wanted(ratio), stack.swept)


def chamber_for_ratio(engine: Engine, ratio: float, number: int = 0) -> pint.Quantity:
    """Chamber volume that gives a wanted ratio in one cylinder.

        chamber = Vs/(r − 1) − (gasket + deck + crown + crevice)

    Args:
        engine: as measured.
        ratio: r, wanted, above 1.
        number: of the cylinder, from 0.

    Returns:
        Volume, in cc.

    Raises:
        Refused: no chamber can; the message names the highest ratio in reach.

    Source: `compression.part_for`.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(chamber_for_ratio(parse(EXAMPLE).engine, 9.5), "cc"))
    50.58 cc
    """
    return _part_in_reach(engine, number, "chamber", ratio, limits.CHAMBER)


def gasket_thickness_for_ratio(engine: Engine, ratio: float, number: int = 0) -> pint.Quantity:
    """Compressed gasket thickness, on the gasket's own bore, for a wanted ratio.

        t = V/(π/4·d²), with V = Vs/(r − 1) − (chamber + deck + crown + crevice)

    d is the gasket's bore.

    Args:
        engine: as measured.
        ratio: r, wanted, above 1.
        number: of the cylinder, from 0.

    Returns:
        A length, in mm.

    Raises:
        Refused: the gasket's bore is unknown, no thickness can give the ratio, or the piston
            would meet the head.

    Source: `compression.part_for` and `compression.height_of`.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(gasket_thickness_for_ratio(parse(EXAMPLE).engine, 9.5), "mm"))
    1.552 mm
    """
    if engine.gasket.bore is None:
        raise Refused("gasket bore: not known, so a thickness cannot be worked out")
    volume = _part(engine, number, "gasket", ratio)
    if nominal(volume.magnitude) <= 0:
        bare = stack_of(engine, number).with_part("gasket", NOTHING)
        raise Refused(
            f"ratio {show_ratio(ratio)}: no gasket is thin enough; even with none at all "
            f"the ratio is {show_ratio(nominal(bare.ratio))}"
        )
    thickness = height_of(volume, engine.gasket.bore).to("mm")
    _refuse_contact(engine.decks[number].clearance, thickness, ratio)
    return _within(limits.GASKET_THICKNESS, thickness, ratio)


def deck_clearance_for_ratio(engine: Engine, ratio: float, number: int = 0) -> pint.Quantity:
    """Deck clearance that gives a wanted ratio in one cylinder.

        c = V/(π/4·b²), with V = Vs/(r − 1) − (chamber + gasket + crown + crevice)

    b is the bore.

    Args:
        engine: as measured.
        ratio: r, wanted, above 1.
        number: of the cylinder, from 0.

    Returns:
        A length, in mm; positive below the deck.

    Raises:
        Refused: the piston would have to meet the head, or leave the bore.

    Source: `compression.part_for` and `compression.height_of`.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(deck_clearance_for_ratio(parse(EXAMPLE).engine, 9.5), "mm"))
    0.814 mm
    """
    volume = _part(engine, number, "deck", ratio)
    clearance = height_of(volume, engine.cylinder.bore).to("mm")
    thickness = engine.gasket.compressed_thickness
    if thickness is not None:
        _refuse_contact(clearance, thickness, ratio)
    return _within(limits.DECK_CLEARANCE, clearance, ratio)


def crown_for_ratio(engine: Engine, ratio: float, number: int = 0) -> pint.Quantity:
    """Crown volume for a wanted ratio.

        crown = Vs/(r − 1) − (chamber + gasket + deck + crevice)

    Args:
        engine: as measured.
        ratio: r, wanted, above 1.
        number: of the cylinder, from 0.

    Returns:
        Volume, in cc: positive a dish, negative a dome; valve reliefs are in it.

    Raises:
        Refused: no dish and no dome that can be gives it.

    Source: `compression.part_for`.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(crown_for_ratio(parse(EXAMPLE).engine, 9.5), "cc"))
    11.88 cc
    """
    crown = _part(engine, number, "crown", ratio)
    is_dish = nominal(crown.magnitude) >= 0
    _within(*((limits.DISH, crown) if is_dish else (limits.DOME, -crown)), ratio)
    return crown


def dish_for_ratio(engine: Engine, ratio: float, number: int = 0) -> pint.Quantity:
    """Dish, beside the reliefs there are, that gives a wanted ratio.

        dish = crown − reliefs

    Args:
        engine: as measured.
        ratio: wanted, above 1.
        number: of the cylinder, from 0.

    Returns:
        Volume, in cc, not negative.

    Raises:
        Refused: a dome would be needed; the message says how large.

    Source: `crown_for_ratio`, less the reliefs.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(dish_for_ratio(parse(EXAMPLE).engine, 9.5), "cc"))
    9.08 cc
    """
    dish = crown_for_ratio(engine, ratio, number) - engine.piston.reliefs.to("cc")
    if nominal(dish.magnitude) < 0:
        raise Refused(
            f"ratio {show_ratio(ratio)}: a flat crown is not enough; "
            f"it takes a dome of {show(-dish, 'cc')}"
        )
    return dish


def _refuse_contact(clearance: pint.Quantity, thickness: pint.Quantity, ratio: float) -> None:
    if in_mm(clearance + thickness) <= 0:
        raise Refused(
            f"ratio {show_ratio(ratio)}: the piston would stand {show(-clearance, 'mm')} above "
            f"the deck under a gasket of {show(thickness, 'mm')}: it would meet the head"
        )


def _wanted(ratio: float) -> float:
    if not 1 < ratio <= limits.HIGHEST_RATIO:
        raise Refused(
            f"ratio {ratio:g}: a compression ratio lies above 1, and not above "
            f"{limits.HIGHEST_RATIO:g}"
        )
    return ratio


def _part(engine: Engine, number: int, name: str, ratio: Number) -> pint.Quantity:
    stack = stack_of(engine, number)
    return part_for(_wanted(ratio), stack.swept, stack.clearance - stack.parts[name])


def _part_in_reach(
    engine: Engine, number: int, name: str, ratio: float, limit: Limit
) -> pint.Quantity:
    volume = _part(engine, number, name, ratio)
    if nominal(volume.magnitude) <= 0:
        without = stack_of(engine, number).with_part(name, NOTHING)
        raise Refused(
            f"ratio {show_ratio(ratio)}: no {name} is small enough; "
            f"the other parts alone give {show_ratio(nominal(without.ratio))}"
        )
    return _within(limit, volume, ratio)


def _within(limit: Limit, value: pint.Quantity, ratio: float) -> pint.Quantity:
    if not limit.can_be(nominal(value.m_as(limit.unit))):
        raise Refused(
            f"ratio {show_ratio(ratio)}: it takes a {limit.name} of {show(value, limit.unit)}, "
            f"outside what an engine can have ({limit.bounds})"
        )
    return value
