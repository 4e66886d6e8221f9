"""What one more reading of an engine should give, by the readings on record; how far it may lie."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from enginemath.bench.how_sure.averaging import Reading, odd_ones
from enginemath.bench.how_sure.distributions import coverage_factor
from enginemath.bench.tools import Instrument
from enginemath.formulas.geometry import disc_area
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.build_sheet import Sheet
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import MM3_PER_CC, deviation, in_cc, in_mm, unit_of

COVERAGE = 0.999
"""Share of careful readings that lie within what is allowed."""
_ENOUGH = 3
"""Degrees of freedom from which on the scatter of the record is believed."""
PLAIN_TOOLS = {"mm": 0.1, "cc": 0.3}
"""What a plain tool in a learner's hand may be off where the record shows no scatter; common
practice, no source."""
_SHARE = {"mm": 0.0, "cc": 0.01}
"""The same as a share of what is read, besides: of a pour, by its meniscus and a wet plate."""


@dataclass(frozen=True)
class Expected:
    """What one more reading should give.

    Args:
        value: by the record, in mm or cc.
        allowed: how far, either way, a careful reading may lie from it.
    """

    value: float
    allowed: float

    def allows(self, reading: float) -> bool:
        """Whether a reading in mm or cc is no blunder."""
        return abs(reading - self.value) <= self.allowed * (1 + 1e-9)


def expected_reading(sheet: Sheet, what: str, cylinder: int) -> Expected | None:
    """What one more reading of a cylinder should give.

    A blunder on record is left out. How far a reading may lie comes from the scatter of those on
    record and from the limits of the tools, twice: theirs, and that of the tool in hand.

    Args:
        sheet: with a table of readings, or with the results themselves.
        what: one of `WHATS`; of a known depth, the pour less the disc down to that depth.
        cylinder: counted from 1.

    Returns:
        In mm or cc; None where the sheet says nothing of it.

    Source: Student's t of one reading more, 99.9 %; common practice, after JCGM 100:2008, 3.4.7.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets import read_sheet
    >>> sheet = read_sheet(path("heron-four.toml"))
    >>> bore = expected_reading(sheet, "bore", 1)
    >>> bore.allows(88.35), bore.allows(88.85)
    (True, False)
    """
    fields = sheet.readings
    if isinstance(fields, BenchFields):
        cells = fields.measured.repeats(what)
        if cells:
            return _from_table(cells, fields.tools, WHATS[what].limit.unit, cylinder)
    return _from_results(sheet, what, cylinder)


def _from_table(
    cells: Mapping[int, Sequence[Reading]],
    tools: Mapping[str, Instrument],
    unit: str,
    cylinder: int,
) -> Expected:
    odd = (
        {id(each.reading) for each in odd_ones(cells)}
        if any(map(_several, cells.values()))
        else set()
    )
    kept = {key: [r for r in every if id(r) not in odd] for key, every in cells.items()}
    values = {key: [reading.value for reading in every] for key, every in kept.items()}
    own = values.get(cylinder) or values.get(0)
    means = [fmean(every) for every in values.values()]
    value = fmean(own) if own else fmean(means)
    unlike = stdev(means) if not own and len(means) > 1 else 0.0
    squares = math.fsum((each - fmean(every)) ** 2 for every in values.values() for each in every)
    degrees = sum(len(every) - 1 for every in values.values())
    if degrees >= _ENOUGH:
        spread = (squares / degrees * (1 + 1 / len(own or means)) + unlike**2) ** 0.5
        of_hands = coverage_factor(COVERAGE, degrees) * spread
    else:
        of_hands = _plain(value, unit) + 3 * unlike
    readings = [reading for every in kept.values() for reading in every]
    return Expected(value, math.hypot(of_hands, *_of_tools(readings, tools, unit)))


def _several(readings: Sequence[Reading]) -> bool:
    return len(readings) > 2


def _of_tools(
    readings: Sequence[Reading], tools: Mapping[str, Instrument], unit: str
) -> tuple[float, float]:
    """The limits of the tools on record and in hand, and a division of each."""
    limits = [
        math.hypot(
            *(
                times * float(tools[name].limit.m_as(unit_of(unit)))
                for name, times in r.tools.items()
            )
        )
        for r in readings
    ]
    return 2**0.5 * max(limits), 12**0.5 * max(reading.floor for reading in readings)


def _plain(value: float, unit: str) -> float:
    return PLAIN_TOOLS[unit] + _SHARE[unit] * abs(value)


def _from_results(sheet: Sheet, what: str, cylinder: int) -> Expected | None:
    """From a result as it is written on the sheet, with its ± where it has one."""
    engine = sheet.engine
    place = engine.place(cylinder)
    block, gasket = engine.cylinders[place], engine.gaskets[place]
    piston, land = engine.pistons[place], engine.ring_lands[place]
    clearance = engine.decks[place].clearance
    result = {
        "bore": block.bore,
        "stroke": block.stroke,
        "depth at bdc": block.stroke + clearance,
        "deck clearance": clearance,
        "chamber": engine.chambers[place].volume,
        "gasket bore": gasket.bore,
        "compressed thickness": gasket.compressed_thickness,
        "free thickness": gasket.free_thickness,
        "dish": piston.dish,
        "dome": piston.dome,
        "reliefs": piston.reliefs,
        "land height": land and land.height,
        "land diameter": land and block.bore - land.clearance,
    }.get(what)
    if what == "known depth" and piston.known_depth:
        depth, poured = piston.known_depth
        below = in_cc(poured) - disc_area(in_mm(block.bore)) * in_mm(depth) / MM3_PER_CC
        return Expected(below, _plain(in_cc(poured), "cc") + 3 * deviation(poured.m_as("cc")))
    if result is None:
        return None
    unit = WHATS[what].limit.unit
    value = in_mm(result) if unit == "mm" else in_cc(result)
    return Expected(value, _plain(value, unit) + 3 * deviation(result.m_as(unit_of(unit))))
