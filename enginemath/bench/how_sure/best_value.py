"""From all the readings of one thing to the one value with its ± that a sheet holds."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import pint
from uncertainties import ufloat

from enginemath.bench.measuring import Repeats, poured_volume
from enginemath.bench.tools import Instrument, combined, rectangular
from enginemath.sheets.class_readings import chamber_pours, deck_readings, fills, gauge_readings
from enginemath.sheets.kit_data import rows
from enginemath.units import Quantity, Refused, deviation, nominal, read, unit_text

_TABLES = {
    "chamber": "pours",
    "deck clearance": "deck",
    "poured": "known-depth",
    "known depth": "known-depth",
}
"""Where the readings stand that no gauge has read."""


def best_value(
    readings: Sequence[str | pint.Quantity], tool: Instrument, fills: int = 1
) -> pint.Quantity:
    """Mean of repeats with both of its doubts: their scatter, and what the tool may be off.

    The tool's own error is the same in every reading, so the mean does not make it smaller.

    Args:
        readings: two or more, of one thing with one tool.
        tool: see `enginemath.bench.tools`.
        fills: of the burette for each reading; its error comes with every fill.

    Returns:
        The mean with one standard uncertainty.

    Raises:
        Refused: one reading alone, or as `bench.Repeats`.

    Source: s/√n and a/√3, root sum of squares; JCGM 100:2008, 4.2, 4.3.7 and 5.1.2.

    >>> from enginemath.bench.tools import MICROMETER
    >>> on_paper(best_value(["92.00 mm", "92.02 mm", "92.01 mm"], MICROMETER))
    '92.0100 ± 0.0065 mm'
    """
    if len(readings) < 2:
        raise Refused("best value: one reading alone shows no scatter; take two more")
    repeats = Repeats.of(readings)
    unit = repeats.mean.units
    of_tool = fills * rectangular(tool.limit.m_as(unit))
    u = combined(deviation(repeats.mean.magnitude), of_tool)
    return Quantity(ufloat(nominal(repeats.mean.magnitude), u), unit)


def on_paper(quantity: pint.Quantity) -> str:
    """A value as it is written on a sheet: two digits of its ±, and no digit beyond them.

    Source: JCGM 100:2008, 7.2.6.

    >>> from enginemath.units import read
    >>> on_paper(read("46.8817 ± 0.0786 cc")), on_paper(read("88.3 mm"))
    ('46.882 ± 0.079 cc', '88.3 mm')
    """
    value, u = float(nominal(quantity.magnitude)), deviation(quantity.magnitude)
    unit = unit_text(quantity.units)
    if not u:
        return f"{value!r} {unit}"
    digits = max(0, 1 - math.floor(math.log10(u)))
    return f"{value:.{digits}f} ± {u:.{digits}f} {unit}"


def readings_of(
    engine: str, what: str, cylinder: int | None = None, leave_out: Iterable[str] = ()
) -> list[pint.Quantity]:
    """All that the class read of one thing, as lengths or volumes.

    Args:
        engine: such as ``"heron-four"``.
        what: "chamber", "deck clearance", "known depth", "poured" (above the lowered piston),
            "land clearance", or what `readings.gauge_readings` knows.
        cylinder: counted from 1; None for all cylinders.
        leave_out: letters of groups whose reading is known to be wrong.

    Raises:
        Refused: no such reading on record.

    >>> [len(readings_of("heron-four", what)) for what in ("bore", "known depth", "chamber")]
    [20, 20, 20]
    >>> len(readings_of("heron-four", "chamber", 3, leave_out="C"))
    4
    """
    if what == "rod length":
        return [*gauge_readings(engine, what).values()]
    numbers = _cylinders(engine, what) if cylinder is None else [cylinder]
    return [
        reading
        for number in numbers
        for group, reading in _by_group(engine, what, number).items()
        if group not in leave_out
    ]


def _cylinders(engine: str, what: str) -> list[int]:
    """Those that are on record in the table where the readings stand."""
    table = _TABLES.get(what, "gauge")
    return sorted({int(row["cylinder"]) for row in rows(f"{engine}-{table}.csv")})


def _by_group(engine: str, what: str, cylinder: int) -> dict[str, pint.Quantity]:
    if what == "chamber":
        return chamber_pours(engine, cylinder)
    if what == "deck clearance":
        return deck_readings(engine, cylinder)
    if what == "poured":
        poured = fills(engine, cylinder, "known-depth")
        return {group: poured_volume(every) for group, every in poured.items()}
    if what == "known depth":
        record = rows(f"{engine}-known-depth.csv")
        return {
            row["group"]: read(row["depth"]) for row in record if row["cylinder"] == str(cylinder)
        }
    if what == "land clearance":
        bores = gauge_readings(engine, "bore", cylinder)
        lands = gauge_readings(engine, "land diameter", cylinder)
        return {group: bores[group] - land for group, land in lands.items()}
    return gauge_readings(engine, what, cylinder)
