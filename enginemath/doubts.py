"""What on a sheet deserves a second look: sentences for the shop, never a refusal."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath import limits, rules
from enginemath.fuel import running_doubts
from enginemath.limits import Limit
from enginemath.parts import Engine
from enginemath.stack import stacks
from enginemath.units import best, in_cc, in_mm, nominal, shop_unit, show, show_ratio

DECKS_MATCHED = 0.1
"""Largest spread of the deck clearances in mm that passes without a word."""
RATIO = (6.0, 24.0)
"""Ratios of petrol and diesel engines; wider than Heywood (1988) §2.2 (from memory)."""


def doubts(engine: Engine) -> list[str]:
    """Say what is unusual about an engine's readings, in shop words.

    Rules of thumb: common practice, no source, where nothing else is named.

    >>> from enginemath.buildsheet import EXAMPLE, parse
    >>> engine = parse(EXAMPLE.replace('"0.35 mm"', '".05 in"')).engine
    >>> doubts(engine)[0]
    'deck clearance 0.05 in is unusual (0 to 0.8 mm): did you mean 0.05 mm?'
    """
    return [
        *_unusual_parts(engine),
        *_gasket_inside_the_bore(engine),
        *_squish(engine),
        *_unmatched(engine),
        *_ratio(engine),
        *running_doubts(engine),
    ]


def _unusual_parts(engine: Engine) -> Iterator[str]:
    cylinder, gasket, piston, land = (
        engine.cylinder,
        engine.gasket,
        engine.piston,
        engine.ring_land,
    )
    looked_at: list[tuple[Limit, object]] = [
        (limits.BORE, cylinder.bore),
        (limits.STROKE, cylinder.stroke),
        (limits.ROD_LENGTH, cylinder.rod_length),
        (limits.PIN_OFFSET, cylinder.pin_offset),
        *((limits.CHAMBER, chamber.volume) for chamber in engine.chambers),
        (limits.GASKET_BORE, gasket.bore),
        (limits.GASKET_THICKNESS, gasket.compressed_thickness),
        (limits.GASKET_VOLUME, gasket.poured),
        *((limits.DECK_CLEARANCE, deck.clearance) for deck in engine.decks),
        (limits.DISH, piston.dish),
        (limits.DOME, piston.dome),
        (limits.RELIEFS, piston.reliefs),
        (limits.LAND_HEIGHT, land and land.height),
        (limits.LAND_CLEARANCE, land and land.clearance),
        (limits.INTAKE_CLOSES, engine.intake_closes),
        (limits.ALTITUDE, engine.altitude),
    ]
    said = (limit.warning(value) for limit, value in looked_at if value is not None)
    yield from dict.fromkeys(sentence for sentence in said if sentence)


def _gasket_inside_the_bore(engine: Engine) -> Iterator[str]:
    bore, opening = engine.cylinder.bore, engine.gasket.bore
    if opening is not None and in_mm(opening - bore) < 0:
        unit = shop_unit(opening)
        yield (
            f"gasket bore {show(best(opening), unit)} is smaller than the bore "
            f"{show(best(bore), unit)}: the gasket would hang into the cylinder; "
            "are they exchanged?"
        )


def _squish(engine: Engine) -> Iterator[str]:
    distances = [engine.squish(number) for number in range(engine.count)]
    known = [in_mm(distance) for distance in distances if distance is not None]
    places = {rules.SQUISH.place(mm): mm for mm in sorted(known)}
    for place in ("below", "above"):
        if place in places:
            yield rules.SQUISH.says(places[place])


def _unmatched(engine: Engine) -> Iterator[str]:
    volumes = [in_cc(chamber.volume) for chamber in engine.chambers]
    spread = max(volumes) - min(volumes)
    if rules.CHAMBERS_MATCHED.place(spread) == "above":
        yield rules.CHAMBERS_MATCHED.says(spread)
    clearances = [in_mm(deck.clearance) for deck in engine.decks]
    if max(clearances) - min(clearances) > DECKS_MATCHED:
        yield (
            f"deck clearances differ by {max(clearances) - min(clearances):.3f} mm: read both "
            "sides of the pin again, then ask the machine shop about the deck"
        )


def _ratio(engine: Engine) -> Iterator[str]:
    low, high = RATIO
    for number, stack in enumerate(stacks(engine), start=1):
        ratio = nominal(stack.ratio)
        if not low <= ratio <= high:
            yield (
                f"cylinder {number}: a ratio of {show_ratio(ratio)} is outside {low:g} to "
                f"{high:g}, where engines lie: check every volume"
            )
