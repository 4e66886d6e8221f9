"""The height budget: how crank, rod and piston fill the block, from the crank's centre line up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import pint

from enginemath.formulas import geometry
from enginemath.units import Quantity, best, deviation, in_mm, shop_unit, show

BLOCK, STROKE, ROD = "deck.block_height", "cylinder.stroke", "cylinder.rod_length"
PISTON, DECK = "piston.compression_height", "deck.clearance"
HEIGHTS = (BLOCK, STROKE, ROD, PISTON, DECK)
"""All that stands in the budget, named as on the sheet."""
AGREE = Quantity(0.05, "mm")
"""How far block height and the sum of its parts may be apart beside their ±; common practice, no
source."""
_NO_OFFSET = Quantity(0.0, "mm")

Known = Mapping[str, pint.Quantity]
"""Lengths by the names of `HEIGHTS`."""


def missing_height(known: Known, pin_offset: pint.Quantity = _NO_OFFSET) -> pint.Quantity:
    """The one length of the budget that is not known, from the four that are.

        block height = stroke/2 + rod + compression height + deck clearance

    Args:
        known: four of `HEIGHTS`.
        pin_offset: of the piston pin, a length; then rod and crank stand askew at top dead centre.

    Returns:
        A length; the deck clearance is negative where the piston stands above the deck.

    Source: rod and crank in one line at top dead centre; see `geometry.reach`.

    >>> known = {BLOCK: "212.50 mm", STROKE: "88.5 mm", ROD: "145 mm", PISTON: "22.90 mm"}
    >>> print(missing_height({name: Quantity(text) for name, text in known.items()}).round(6))
    0.35 millimeter
    """
    (wanted,) = (name for name in HEIGHTS if name not in known)
    if wanted == BLOCK:
        return _pin(known, pin_offset) + known[PISTON] + known[DECK]
    if wanted in (PISTON, DECK):
        other = DECK if wanted == PISTON else PISTON
        return known[BLOCK] - _pin(known, pin_offset) - known[other]
    pin = known[BLOCK] - known[PISTON] - known[DECK]
    straight = (pin * pin + pin_offset * pin_offset) ** 0.5
    if wanted == ROD:
        return straight - known[STROKE] / 2
    return 2 * (straight - known[ROD])


def _pin(known: Known, pin_offset: pint.Quantity) -> pint.Quantity:
    """Height of the piston pin over the crank's centre line at top dead centre."""
    if not pin_offset.magnitude:
        return known[STROKE] / 2 + known[ROD]
    radius = geometry.crank_radius(known[STROKE], known[ROD], pin_offset)
    return geometry.reach(known[ROD] + radius, pin_offset)


def disagreements(cylinders: Sequence[Known], pin_offset: pint.Quantity) -> Iterator[str]:
    """Say where block height and its parts do not go together, of the cylinder that is worst.

    Args:
        cylinders: what is known of each; only where all of `HEIGHTS` are can they be checked.
        pin_offset: of the piston pin, a length.
    """
    apart = []
    for number, known in enumerate(cylinders, start=1):
        if len(known) < len(HEIGHTS):
            continue
        parts = {name: length for name, length in known.items() if name != BLOCK}
        together = missing_height(parts, pin_offset)
        gap = known[BLOCK] - together
        if abs(in_mm(gap)) > in_mm(AGREE) + 2 * deviation(gap.m_as("mm")) + 1e-9:
            apart.append((abs(in_mm(gap)), number, together, gap))
    if not apart:
        return
    _, number, together, gap = max(apart, key=lambda one: (one[0], -one[1]))
    known, unit = cylinders[number - 1], shop_unit(cylinders[number - 1][BLOCK])
    half = show(best(known[STROKE]) / 2, unit)
    rod, piston, deck, sum_, off = (
        show(best(length), unit)
        for length in (known[ROD], known[PISTON], known[DECK], together, abs(best(gap)))
    )
    others = f" (and {len(apart) - 1} more)" if len(apart) > 1 else ""
    yield (
        f"cylinder {number}{others}: block height {show(best(known[BLOCK]), unit)}, and half the "
        f"stroke {half}, rod {rod}, compression height {piston} and deck clearance {deck} add up "
        f"to {sum_}: {off} too {'much' if in_mm(gap) > 0 else 'little'} for their ±; "
        "measure again what was taken from a box or a book"
    )
