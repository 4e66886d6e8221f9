"""A student who works an engine by hand and makes mistakes.

Written from the school's table of mistakes, step by step and apart from the library, so that the
diagnosis has somebody else to listen to.
"""

from __future__ import annotations

import math
from collections.abc import Collection

from tests.answers.drawn_engines import Drawn

CUBIC_INCH = 16.387064
RATIO = ("compression_ratio", "effective_ratio")
QUANTITIES = (
    *RATIO,
    "clearance_volume",
    "swept_volume",
    "displacement",
    "gasket_volume",
    "deck_volume",
    "crown_volume",
)

_CLEARANCE_OR_RATIO = (*RATIO, "clearance_volume")
_CONVERSION = (*RATIO, "swept_volume", "displacement", "gasket_volume", "deck_volume")
MEANS = {
    "radius-for-diameter": _CONVERSION,
    "forgot-plus-one": RATIO,
    "whole-engine-for-one-cylinder": (*RATIO, "swept_volume"),
    "gasket-forgotten": _CLEARANCE_OR_RATIO,
    "gasket-uncompressed": (*_CLEARANCE_OR_RATIO, "gasket_volume"),
    "cylinder-bore-for-gasket-bore": (*_CLEARANCE_OR_RATIO, "gasket_volume"),
    "dish-subtracted": (*_CLEARANCE_OR_RATIO, "crown_volume"),
    "dome-added": (*_CLEARANCE_OR_RATIO, "crown_volume"),
    "crown-forgotten": (*_CLEARANCE_OR_RATIO, "crown_volume"),
    "reliefs-forgotten": (*_CLEARANCE_OR_RATIO, "crown_volume"),
    "deck-forgotten": _CLEARANCE_OR_RATIO,
    "deck-sign": (*_CLEARANCE_OR_RATIO, "deck_volume"),
    "depth-at-bdc-as-stroke": (*RATIO, "swept_volume", "displacement"),
    "deck-counted-twice-in-pour": (*_CLEARANCE_OR_RATIO, "crown_volume"),
    "crevice-forgotten": _CLEARANCE_OR_RATIO,
    "cubic-inches-as-cc": _CONVERSION,
    "inch-factor-not-cubed": _CONVERSION,
    "inch-factor-squared": _CONVERSION,
    "thousand-slip": _CONVERSION,
    "inches-as-mm": (*_CLEARANCE_OR_RATIO, "gasket_volume"),
    "crank-radius-as-stroke": (*RATIO, "swept_volume", "displacement"),
    "start-reading-not-subtracted": _CLEARANCE_OR_RATIO,
    "refill-not-counted": _CLEARANCE_OR_RATIO,
    "ratio-upside-down": RATIO,
    "rod-ignored": ("effective_ratio",),
    "angle-from-tdc": ("effective_ratio",),
    "ratio-scaled-not-volume": ("effective_ratio",),
}
"""Where each mistake of the plan has meaning."""

_FACTOR = {
    "radius-for-diameter": 4.0,
    "cubic-inches-as-cc": 1 / CUBIC_INCH,
    "inch-factor-not-cubed": 2.54 / CUBIC_INCH,
    "inch-factor-squared": 2.54**2 / CUBIC_INCH,
    "thousand-slip": 10.0,
}


def answer(
    engine: Drawn, quantity: str, mistakes: Collection[str] = (), decimals: int | None = None
) -> float:
    """What the student gets; `decimals`: volumes in cc are rounded so on the way."""
    made = set(mistakes)

    def kept(volume: float) -> float:
        return (
            volume
            if decimals is None
            else math.floor(volume * 10**decimals + 0.5 + 1e-9) / 10**decimals
        )

    def disc(diameter: float, height: float, asked_in: str) -> float:
        volume = math.pi * (diameter / 2) ** 2 * height / 1000
        by_swept = asked_in == "swept_volume" and quantity in (*RATIO, asked_in, "displacement")
        for mistake, factor in _FACTOR.items():
            if mistake in made and (by_swept or quantity == asked_in):
                volume *= factor
        return volume

    stroke = engine.stroke
    if "depth-at-bdc-as-stroke" in made:
        stroke += sum(engine.decks) / engine.count
    if "crank-radius-as-stroke" in made:
        stroke /= 2
    swept = kept(disc(engine.bore, stroke, "swept_volume"))

    if engine.gasket_volume is not None:
        gasket = kept(engine.gasket_volume)
    else:
        thickness = engine.free if "gasket-uncompressed" in made else engine.thickness
        if "inches-as-mm" in made:
            thickness /= 25.4
        across = engine.bore if "cylinder-bore-for-gasket-bore" in made else engine.gasket_bore
        gasket = kept(disc(across, thickness, "gasket_volume"))
    if quantity == "gasket_volume":
        return gasket
    decks = [kept(disc(engine.bore, deck, "deck_volume")) for deck in engine.decks]
    poured_decks = decks
    if "deck-sign" in made:
        decks = [-deck for deck in decks]
    if quantity == "deck_volume":
        return sum(decks) / engine.count

    if engine.known_depth is not None:
        crown = engine.poured - math.pi / 4 * engine.bore**2 * engine.known_depth / 1000
    else:
        crown = engine.dish - engine.dome
    crown = kept(crown)
    if ("dish-subtracted" in made and crown > 0) or ("dome-added" in made and crown < 0):
        crown = -crown
    if "crown-forgotten" in made:
        crown = 0.0
    if "reliefs-forgotten" not in made:
        crown += kept(engine.reliefs)
    twice = "deck-counted-twice-in-pour" in made
    if quantity == "crown_volume":
        return crown + (sum(poured_decks) / engine.count if twice else 0.0)

    chambers = list(engine.chambers)
    if engine.fills:
        fills = engine.fills[-1:] if "refill-not-counted" in made else engine.fills
        starts_count = "start-reading-not-subtracted" not in made
        chambers = [
            sum(end - (start if starts_count else 0.0) for start, end in fills)
        ] * engine.count
    land = engine.bore - engine.land_clearance
    crevice = kept(math.pi / 4 * (engine.bore**2 - land**2) * engine.land_height / 1000)

    clearances = []
    for number in range(engine.count):
        clearance = kept(chambers[number]) + crown
        if "gasket-forgotten" not in made:
            clearance += gasket
        if "deck-forgotten" not in made:
            clearance += decks[number]
        if twice:
            clearance += poured_decks[number]
        if "crevice-forgotten" not in made:
            clearance += crevice
        clearances.append(clearance)
    if quantity == "clearance_volume":
        return sum(clearances) / engine.count
    if quantity == "displacement":
        return swept * engine.count
    if "whole-engine-for-one-cylinder" in made:
        swept *= engine.count
    if quantity == "swept_volume":
        return swept

    share = 1.0
    if quantity == "effective_ratio":
        radius, closes = stroke / 2, engine.closes
        angle = math.radians(closes if "angle-from-tdc" in made else 180 - closes)
        if "rod-ignored" in made:
            drop = radius * (1 - math.cos(angle))
        else:
            lean = math.sqrt(engine.rod**2 - (radius * math.sin(angle)) ** 2)
            drop = radius + engine.rod - radius * math.cos(angle) - lean
        share = drop / stroke
    ratios = []
    for clearance in clearances:
        scaled = "ratio-scaled-not-volume" in made
        above = swept if scaled else kept(swept * share)
        ratio = above / clearance + (0 if "forgot-plus-one" in made else 1)
        ratio *= share if scaled else 1
        ratios.append(1 / ratio if "ratio-upside-down" in made else ratio)
    return sum(ratios) / len(ratios)


def can_make(engine: Drawn, quantity: str, mistake: str) -> bool:
    """Whether the mistake has meaning for the quantity and changes this engine's answer."""
    if quantity not in MEANS[mistake] or (quantity == "effective_ratio" and engine.closes is None):
        return False
    if mistake == "gasket-uncompressed" and engine.free is None:
        return False
    round_gasket = engine.gasket_volume is None
    if mistake in ("inches-as-mm", "cylinder-bore-for-gasket-bore") and not round_gasket:
        return False
    right, wrong = answer(engine, quantity), answer(engine, quantity, {mistake})
    return abs(wrong - right) > 1e-9 * max(1.0, abs(right))
