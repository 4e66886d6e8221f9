"""What on a sheet deserves a second look: sentences for the shop, never a refusal."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Any

import pint

from enginemath.engine import dimensions, limits, rules_of_thumb
from enginemath.engine.dimensions import Dimension
from enginemath.engine.fuel import running_warnings
from enginemath.engine.limits import Limit, said
from enginemath.engine.parts import Engine, Gasket, Piston
from enginemath.engine.stack import mean, mean_ratio, stacks
from enginemath.formulas.geometry import disc_area
from enginemath.units import (
    MM,
    MM_PER_INCH,
    Quantity,
    Refused,
    best,
    in_cc,
    in_mm,
    magnitude_in,
    nominal,
    shop_unit,
    show,
    show_ratio,
)
from enginemath.units.words import numbered

DECKS_MATCHED = 0.1
"""Largest spread of the deck clearances in mm that passes without a word."""
WIDER_BY, WIDER_BY_MM = 0.15, 5.0
"""Share of the bore, or mm for a small one, by which a gasket's opening may be wider."""
OPENING_BEYOND_THE_BORE = 0.5
"""Share of the bore's area by which an opening that is not round may be larger."""
RATIO = (6.0, 24.0)
"""Ratios of petrol and diesel engines; wider than Heywood (1988) §2.2 (from memory)."""
RATIO_OF_A_DIESEL = (
    rules_of_thumb.COMPRESSION_IGNITION.low or 0.0,
    rules_of_thumb.COMPRESSION_IGNITION.high or 0.0,
)


def warnings(engine: Engine, unit: str = "") -> list[str]:
    """Say what is unusual about an engine's readings, in shop words.

    Args:
        engine: as it was read.
        unit: of lengths that are worked out, in or mm; by default that of its first bore. What was
            read is said as it was written.

    Rules of thumb: common practice, no source, where nothing else is named.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> engine = parse(EXAMPLE.replace('"0.35 mm"', '".05 in"')).engine
    >>> warnings(engine)[0]
    'deck clearance 0.05 in is unusual (0 to 0.0315 in): did you mean 0.05 mm?'
    """
    unit = unit or shop_unit(engine.cylinder.bore)
    return [
        *_unusual_parts(engine),
        *_chamber_and_dish(engine),
        *_gasket_and_bore(engine, unit),
        *_squish(engine, unit),
        *_unmatched(engine, unit),
        *_ratio(engine),
        *_other_unit(engine),
        *running_warnings(engine),
    ]


def _unusual_parts(engine: Engine) -> Iterator[str]:
    diesel = engine.is_diesel
    of_chamber = limits.CHAMBER_OF_A_DIESEL if diesel else limits.CHAMBER
    of_deck = limits.DECK_CLEARANCE_OF_A_DIESEL if diesel else limits.DECK_CLEARANCE
    looked_at: list[tuple[Limit, pint.Quantity | None]] = [
        *_of_each(engine.cylinders, bore=limits.BORE, stroke=limits.STROKE),
        *_of_each(engine.cylinders, rod_length=limits.ROD_LENGTH, pin_offset=limits.PIN_OFFSET),
        *((of_chamber, chamber.as_read) for chamber in engine.chambers),
        *_of_each(engine.gaskets, bore=limits.GASKET_BORE),
        *_of_each(engine.gaskets, compressed_thickness=limits.GASKET_THICKNESS),
        *_of_each(engine.gaskets, poured=limits.GASKET_VOLUME),
        *((of_deck, deck.clearance) for deck in engine.decks),
        *_of_each(engine.pistons, dish=limits.DISH, dome=limits.DOME, reliefs=limits.RELIEFS),
        *(pair for piston in _different(engine.pistons) for pair in _of_known_depth(piston)),
        *_of_each(engine.ring_lands, height=limits.LAND_HEIGHT, clearance=limits.LAND_CLEARANCE),
        *((limits.PRECHAMBER, chamber.prechamber) for chamber in engine.chambers),
        (limits.INTAKE_CLOSES, engine.intake_closes),
        (limits.EXHAUST_CLOSES, engine.exhaust_closes),
        (limits.ALTITUDE, engine.altitude),
    ]
    sentences = (limit.warning(value) for limit, value in looked_at if value is not None)
    yield from dict.fromkeys(sentence for sentence in sentences if sentence)


def _chamber_and_dish(engine: Engine) -> Iterator[str]:
    """A dish as large as the chamber is the chamber's number, or the two are exchanged.

    A diesel has its whole space in the piston, and an engine with a bowl there says so by a chamber
    that is next to nothing. Common practice, no source.
    """
    if engine.fuel == "diesel":
        return
    for chamber, piston in zip(engine.chambers, engine.pistons, strict=True):
        room, dish = in_cc(chamber.volume), in_cc(piston.dish)
        if piston.known_depth is not None or dish < _SMALL_DISH or room < dish / _BOWL:
            continue
        if abs(dish - room) < 0.005 * room:
            yield f"dish and chamber are both {dish:.4g} cc: was the chamber typed as the dish?"
            return
        if dish > room:
            yield f"dish {dish:.4g} cc, and chamber {room:.4g} cc: are they exchanged?"
            return


_SMALL_DISH, _BOWL = 15.0, 12.0
"""cc from which on a dish is looked at; times that a bowl holds more than the chamber over it."""


def _different(parts: Sequence[Any]) -> list[Any]:
    """The parts, one that cylinders share once."""
    return [*{id(part): part for part in parts if part is not None}.values()]


def _of_each(
    parts: Sequence[Any], **dimensions: Limit
) -> Iterator[tuple[Limit, pint.Quantity | None]]:
    for name, limit in dimensions.items():
        yield from ((limit, getattr(part, name)) for part in _different(parts))


def _of_known_depth(piston: Piston) -> Iterator[tuple[Limit, pint.Quantity]]:
    limits_of_both = limits.KNOWN_DEPTH, limits.POURED
    yield from zip(limits_of_both, piston.known_depth or (), strict=False)


def of_hanging_in(gasket: Gasket, bore: pint.Quantity, unit: str = "") -> Iterator[str]:
    """Say of a gasket that it is too small for a cylinder's bore, where it is.

    Args:
        gasket: as it would be fitted.
        bore: of the cylinder.
        unit: in which both are said; by default the shop's that wrote the gasket down.

    >>> [*of_hanging_in(Gasket("91.2 mm", "1.10 mm"), Quantity(92.0, "mm"))][0]
    "its bore 91.200 mm is smaller than the cylinder's 92.000 mm: it would hang into the cylinder"
    """
    if gasket.bore is not None and gasket.hangs_into(bore):
        unit = unit or shop_unit(gasket.bore)
        yield (
            f"its bore {show(best(gasket.bore), unit)} is smaller than the cylinder's "
            f"{show(best(bore), unit)}: it would hang into the cylinder"
        )


def _gasket_and_bore(engine: Engine, shop: str) -> Iterator[str]:
    for gasket, bore in _gaskets_on_bores(engine):
        yield from _of_gasket_and_bore(gasket, bore)
        yield from _of_thick_gasket(gasket, bore, shop)


def _gaskets_on_bores(engine: Engine) -> list[tuple[Gasket, pint.Quantity]]:
    """The pairs, one that cylinders share once."""
    bores = [cylinder.bore for cylinder in engine.cylinders]
    pairs = zip(engine.gaskets, bores, strict=True)
    return [*{(id(gasket), id(bore)): (gasket, bore) for gasket, bore in pairs}.values()]


def _of_gasket_and_bore(gasket: Gasket, bore: pint.Quantity) -> Iterator[str]:
    opening = gasket.bore
    if opening is None:
        return
    for warning in of_hanging_in(gasket, bore):
        yield f"gasket: {warning}; are they exchanged?"
    unit, wider = shop_unit(opening), in_mm(best(opening) - best(bore))
    if wider > max(WIDER_BY * in_mm(bore), WIDER_BY_MM):
        yield (
            f"gasket bore {said(opening)} is {show(best(opening - bore), unit)} larger than the "
            f"bore {said(bore)}: measure both again"
        )


def _of_thick_gasket(gasket: Gasket, bore: pint.Quantity, shop: str) -> Iterator[str]:
    """A poured gasket, spread over the bore, is as thick as a gasket can be."""
    poured = gasket.poured
    if poured is None:
        return

    def thick(volume: pint.Quantity) -> float:
        return in_mm(volume / disc_area(best(bore)))

    low, high = limits.GASKET_THICKNESS.usual or (0, 0)
    if thick(poured) <= (1 + OPENING_BEYOND_THE_BORE) * high:
        return
    tenth = Quantity(nominal(poured.magnitude) / 10, poured.units)
    meant = [one for one in (*limits.GASKET_VOLUME.taken_for(poured), tenth)
             if low <= thick(one) <= high]  # fmt: skip
    thickness = f"{thick(poured):.1f} mm"
    if shop == "in":
        thickness = f"{thick(poured) / MM_PER_INCH:.3f} in"
    yield (
        f"gasket volume {said(poured)} would be a gasket {thickness} thick on this "
        f"bore: {f'did you mean {said(meant[0])}?' if meant else 'pour it again'}"
    )


def _squish(engine: Engine, unit: str) -> Iterator[str]:
    distances = [engine.squish(number) for number in range(engine.count)]
    known = [magnitude_in(MM, distance) for distance in distances if distance is not None]
    rule = rules_of_thumb.PISTON_TO_HEAD_DIESEL if engine.is_diesel else rules_of_thumb.SQUISH
    if not known:
        return
    for place, worst in (("below", min), ("above", max)):
        distance = worst(known, key=nominal)
        if rule.place(distance) == place:
            yield rule.says(distance, unit)


def _unmatched(engine: Engine, unit: str) -> Iterator[str]:
    volumes = [in_cc(chamber.volume) for chamber in engine.chambers]
    spread = max(volumes) - min(volumes)
    if rules_of_thumb.CHAMBERS_MATCHED.place(spread) == "above":
        yield rules_of_thumb.CHAMBERS_MATCHED.says(spread)
    clearances = [in_mm(deck.clearance) for deck in engine.decks]
    apart = max(clearances) - min(clearances)
    if apart > DECKS_MATCHED:
        yield (
            f"deck clearances differ by {show(Quantity(apart, 'mm'), unit)}: read both sides "
            "of the pin again, then ask the machine shop about the deck"
        )


def _ratio(engine: Engine) -> Iterator[str]:
    """One sentence for all that are too low, and one for all that are too high."""
    low, high = _usual_ratio(engine)
    ratios = {number: nominal(stack.ratio) for number, stack in enumerate(stacks(engine), start=1)}
    too_low = {number: ratio for number, ratio in ratios.items() if ratio < low}
    too_high = {number: ratio for number, ratio in ratios.items() if ratio > high}
    where = "where engines lie"
    if engine.is_diesel:
        where = f"where diesels lie ({rules_of_thumb.COMPRESSION_IGNITION.status})"
    for odd in filter(None, (too_low, too_high)):
        yield (
            f"{numbered('cylinder', odd)}: {_ratios(odd.values())} outside {low:g} to {high:g}, "
            f"{where}: check every volume"
        )


def _usual_ratio(engine: Engine) -> tuple[float, float]:
    return RATIO_OF_A_DIESEL if engine.is_diesel else RATIO


def _ratios(ratios: Collection[float]) -> str:
    least, most = show_ratio(min(ratios)), show_ratio(max(ratios))
    return f"a ratio of {least} is" if least == most else f"ratios from {least} to {most} are"


def _other_unit(engine: Engine) -> Iterator[str]:
    """The one reading that would bring an odd ratio among the usual in another unit."""
    usual = _usual_ratio(engine)
    if _is_within(usual, nominal(mean_ratio(engine))):
        return
    found = [
        f"{dimension.limit.name} {said(value)}: did you mean {said(other)}? "
        f"The ratio would be {show_ratio(ratio)}"
        for dimension, value in _as_read(engine)
        if dimension.limit.is_usual(value)
        for other in dimension.limit.taken_for(value)
        if (ratio := _ratio_with(engine, dimension, other)) and _is_within(usual, ratio)
    ]
    if len(found) == 1:
        yield found[0]


def _as_read(engine: Engine) -> Iterator[tuple[Dimension, pint.Quantity]]:
    yield dimensions.CHAMBER, mean([chamber.as_read for chamber in engine.chambers])
    for dimension in (
        dimensions.BORE,
        dimensions.STROKE,
        dimensions.GASKET_BORE,
        dimensions.GASKET_THICKNESS,
        dimensions.DECK_CLEARANCE,
        dimensions.DISH,
        dimensions.DOME,
        dimensions.RELIEFS,
    ):
        value = dimension.of(engine)
        if value is not None:
            yield dimension, value


def _ratio_with(engine: Engine, dimension: Dimension, value: pint.Quantity) -> float | None:
    try:
        return nominal(mean_ratio(dimension.onto(engine, value)))
    except Refused:
        return None


def _is_within(usual: tuple[float, float], ratio: float) -> bool:
    low, high = usual
    return low <= ratio <= high
