"""What in a table of readings deserves a second look: a blunder is not an uncertainty."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from statistics import median

import pint

from enginemath.bench.how_sure.averaging import odd_ones
from enginemath.sheets.measured import Measured, is_side
from enginemath.sheets.what_is_read import READ_ON_EACH, WHATS
from enginemath.units import Quantity, deviation, magnitude_in, nominal, show, unit_of
from enginemath.units.words import numbered

UNLIKE_THE_OTHERS = {"cc": 0.1, "mm": 0.01}
"""Share by which a cylinder may differ from the middle of the others; common practice, no
source."""
_COARSE = {"cc": 0.5, "mm": 0.1}
"""What a reading may be apart in any case; common practice, no source."""
_ALIKE = ("free thickness", "rod length", "stroke", "pin offset")
"""What the shop takes as alike without a word."""
_EACH_ITS_OWN = ("deck clearance", "known depth", "pin offset")
"""What may differ from cylinder to cylinder by more than a share of itself."""


def second_look(measured: Measured, claims: Mapping[str, pint.Quantity]) -> list[str]:
    """All that deserves a second look, each said in shop words.

    Args:
        measured: what the readings say.
        claims: what the maker, or an older sheet, says, by what is read, and "crown": dish
            positive, dome negative, reliefs added.
    """
    return [
        *(said for what in measured.whats for said in _odd(measured, what)),
        *(said for what in measured.whats for said in _unlike_the_others(measured, what)),
        *_against_claims(measured, claims),
        *_taken_from_others(measured),
        *_read_on_one_side(measured),
    ]


def _odd(measured: Measured, what: str) -> Iterator[str]:
    """Readings that their repeats' scatter does not explain."""
    said, cells = _in_shop_unit(measured, what), measured.repeats(what)
    if what == "known depth" and not all(map(measured.area, cells)):
        return  # no bore yet: pours from other depths differ by more than their scatter
    for odd in odd_ones(cells):
        cylinder = f" of cylinder {odd.key}" if odd.key else ""
        group = f", group {odd.reading.group}" if odd.reading.group else ""
        yield (
            f"{numbered('row', odd.reading.rows)}: {what}{cylinder}{group}: "
            f"{said(odd.reading.value)} is a blunder and no scatter: the others say "
            f"{said(odd.others)}, and their scatter allows ± {said(odd.allowed)}. "
            "Read it again, or write why under left out"
        )


def _unlike_the_others(measured: Measured, what: str) -> Iterator[str]:
    """Cylinders that are unlike all others."""
    found = {key: nominal(value) for key, value in measured.means(what).items()}
    unit, said = WHATS[what].limit.unit, _in_shop_unit(measured, what)
    if unit not in UNLIKE_THE_OTHERS or len(found) < 3 or what in _EACH_ITS_OWN:
        return
    for key, value in found.items():
        middle = median(other for name, other in found.items() if name != key)
        if abs(value - middle) > UNLIKE_THE_OTHERS[unit] * abs(middle) + _COARSE[unit]:
            yield (
                f"{what} of cylinder {key}: {said(value)}, and the middle of the other "
                f"cylinders is {said(middle)}: {_meant(what)}"
            )


def _against_claims(measured: Measured, claims: Mapping[str, pint.Quantity]) -> Iterator[str]:
    """What was read and is far from what is claimed.

    A claim with a ± allows three times what both ± make together; one without, as much as one
    cylinder may be apart from the others.
    """
    for what, claim in claims.items():
        read = "known depth" if what == "crown" else what
        for key, value in measured.means(read).items():
            unit, said = WHATS[read].limit.unit, _in_shop_unit(measured, read)
            claimed = magnitude_in(unit_of(unit), claim)
            size, given = float(nominal(claimed)), deviation(claimed)
            allowed = UNLIKE_THE_OTHERS.get(unit, 0.0) * abs(size) + _COARSE.get(unit, 5.0)
            if given:
                allowed = 3 * math.hypot(given, deviation(value))
            if abs(nominal(value) - size) <= allowed:
                continue
            whose = f" of cylinder {key}" if key else ""
            yield (
                f"{what}{whose}: {said(float(nominal(value)))} read, and "
                f"{said(size)} claimed: no scatter is so large. Is it another part? "
                f"If not: {_meant(read)}"
            )


def _taken_from_others(measured: Measured) -> Iterator[str]:
    """What was not read on every cylinder and is taken to be like that of the others."""
    for what in measured.whats:
        missing = measured.not_read(what)
        if missing and what not in (*READ_ON_EACH, *_ALIKE):
            yield (
                f"{what}: not read on {numbered('cylinder', missing)}; "
                "taken as the mean of the others"
            )


def _read_on_one_side(measured: Measured) -> Iterator[str]:
    """Cylinders whose deck clearance was read on one side of the pin alone."""
    places: dict[int, set[str]] = defaultdict(set)
    for row in measured.rows_of("deck clearance"):
        places[row.cylinder].add(row.place)
    alone = [key for key, read in places.items() if len(read) == 1 and all(map(is_side, read))]
    if not alone:
        return
    whose = f" of {numbered('cylinder', alone)}" if all(alone) else ""
    said = "taken to lean as far as the others were seen to"
    if len(alone) == len(places):
        said = "how far the piston leans is not in its ±; read the other side too"
    yield f"deck clearance{whose}: read on one side of the pin alone; {said}"


def _meant(what: str) -> str:
    if WHATS[what].is_poured:
        return "is a fill missing, or a start not taken off?"
    return "read it again"


def _in_shop_unit(measured: Measured, what: str) -> Callable[[float], str]:
    """Prints mm or cc in the unit in which such a thing was read."""
    own = WHATS[what].limit.unit
    unit = measured.shop_unit(what) if own == "mm" else own
    return lambda value: show(Quantity(value, unit_of(own)), unit)
