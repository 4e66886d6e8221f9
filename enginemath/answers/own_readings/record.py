"""One cylinder on record: what a student reads of it, what it should give, what is told."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from typing import Any

import pint

from enginemath.answers.by_hand.readings import Readings, readings_of_cylinder
from enginemath.answers.own_readings.boxes import (
    MOST_FILLS,
    READABLE,
    UNITS,
    ReadingBox,
    ToRead,
    said_of,
)
from enginemath.sheets import Sheet
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.one_more_reading import Expected, expected_reading
from enginemath.sheets.readings_table import Row
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import Refused, best, nominal, shop_unit, show

_SPARE = 1
"""Fills that have a box beyond those on record: another hand starts elsewhere."""
_FILLS_OF_NOBODY = 3
_OF_GASKET = ("gasket bore", "compressed thickness", "free thickness")


@dataclass(frozen=True)
class Record:
    """One cylinder of an engine as it stands on record.

    Args:
        readings: of this cylinder, as plain numbers.
        to_read: what a student reads, in the order of the bench.
        expected: what each of these should give.
        told: what a student is told besides: words, and the value as it is written.
    """

    readings: Readings
    to_read: tuple[ToRead, ...]
    expected: Mapping[str, Expected]
    told: tuple[tuple[str, str], ...]

    @cached_property
    def boxes(self) -> tuple[ReadingBox, ...]:
        """Every box, in the order in which they are filled."""
        return tuple(box for thing in self.to_read for box in thing.boxes)

    @property
    def is_blank(self) -> bool:
        """Whether nothing is known of what is read."""
        return not self.expected

    def as_dict(self) -> dict[str, Any]:
        """Plain data, from which `record_from` makes it again."""
        return {
            "readings": asdict(self.readings),
            "to_read": [asdict(thing) for thing in self.to_read],
            "expected": {what: asdict(each) for what, each in self.expected.items()},
            "told": [list(row) for row in self.told],
        }


def record_from(data: Mapping[str, Any]) -> Record:
    """A record from its plain data.

    Raises:
        ValueError, TypeError, KeyError, AttributeError: it is something else.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> record = record_of(parse(EXAMPLE), 1)
    >>> record_from(record.as_dict()) == record
    True
    """
    numbers: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value
        for name, value in data["readings"].items()
    }
    readings = Readings(**numbers)
    readings = replace(readings, fills=tuple((start, end) for start, end in readings.fills))
    to_read = tuple(ToRead(**thing) for thing in data["to_read"])
    expected = {what: Expected(**each) for what, each in data["expected"].items()}
    _check(readings, to_read, expected)
    return Record(readings, to_read, expected, tuple((w, value) for w, value in data["told"]))


def _check(readings: Readings, to_read: Sequence[ToRead], expected: Mapping[str, Expected]) -> None:
    """Refuse numbers that are none, and things that nobody reads.

    Raises:
        ValueError, TypeError: says nothing more; whoever reads the data knows what it is.
    """
    numbers = [*vars(readings).values(), *(map(vars, expected.values()))]
    if not all(n is None or math.isfinite(n) for each in numbers for n in _flat(each)):
        raise ValueError
    for thing in to_read:
        fits = thing.what in READABLE and thing.unit in UNITS and thing.sides in (1, 2)
        if not fits or thing.fills not in range(MOST_FILLS + 1):
            raise ValueError


def _flat(value: Any) -> Iterator[Any]:
    if isinstance(value, dict):
        value = tuple(value.values())
    if not isinstance(value, tuple):
        yield value
        return
    for each in value:
        yield from _flat(each)


def record_of_text(text: str) -> Record:
    """A record from its plain data as JSON, wherever that was kept.

    Raises:
        Refused: it is something else.

    >>> record_of_text("{}")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: what is read of this engine cannot be found: take the sheet anew
    """
    try:
        return record_from(json.loads(text))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise Refused("what is read of this engine cannot be found: take the sheet anew") from None


def record_of(sheet: Sheet, cylinder: int) -> Record:
    """What stands on record of a cylinder.

    What the table of readings holds is read again by the student; what is only written on the
    sheet is told. A sheet without such a table holds results: then all of them are read again.

    Args:
        sheet: an engine with all that its ratio needs.
        cylinder: counted from 1.

    >>> from enginemath.sheets import read_sheet
    >>> from enginemath.sheets.kit_data import path
    >>> record = record_of(read_sheet(path("heron-four.toml")), 3)
    >>> [thing.what for thing in record.to_read][:4]
    ['bore', 'depth at bdc', 'deck clearance', 'chamber']
    >>> record.told
    (('cylinders', '4'),)
    """
    readings = readings_of_cylinder(sheet, cylinder)
    used = _used(sheet, readings, cylinder)
    table = _in_table(sheet)
    asked = [what for what in used if not table or what in table]
    expected = {what: each for what in asked if (each := expected_reading(sheet, what, cylinder))}
    to_read = tuple(_to_read(sheet, what, used[what]) for what in asked if what in expected)
    told = {"cylinders": f"{readings.count}"}
    told |= {said_of(what): _shown(value) for what, value in used.items() if what not in expected}
    if "known depth" in used and "known depth" not in expected:
        told["poured at the known depth"] = f"{readings.poured:.2f} cc"
    if readings.gasket_poured is not None:
        told["gasket's opening, poured"] = f"{readings.gasket_poured:.2f} cc"
    return Record(readings, to_read, expected, tuple(told.items()))


def _shown(value: pint.Quantity) -> str:
    return show(best(value), shop_unit(value) if value.is_compatible_with("mm") else "cc")


def _in_table(sheet: Sheet) -> set[str]:
    """What the table of readings holds; empty where there is none."""
    fields = sheet.readings
    if not isinstance(fields, BenchFields):
        return set()
    return {what for what in WHATS if what in fields.measured}


def _used(sheet: Sheet, r: Readings, cylinder: int) -> dict[str, pint.Quantity]:
    """What the volumes and the ratio are worked out from, and its value on the sheet."""
    engine, table, place = sheet.engine, _in_table(sheet), cylinder - 1
    block, gasket = engine.cylinders[place], engine.gaskets[place]
    piston, land = engine.pistons[place], engine.ring_lands[place]
    deck = engine.decks[place].clearance
    used = {"bore": block.bore}
    if "depth at bdc" in table and "stroke" not in table:
        used["depth at bdc"] = block.stroke + deck
    else:
        used["stroke"] = block.stroke
        if "depth at bdc" in table and "deck clearance" not in table:
            used["depth at bdc"] = block.stroke + deck
    if "depth at bdc" not in used or "stroke" not in used:
        used["deck clearance"] = deck
    used["chamber"] = engine.chambers[place].volume
    if r.gasket_poured is None:
        thicknesses = gasket.compressed_thickness, gasket.free_thickness
        of_gasket = zip(_OF_GASKET, (gasket.bore, *thicknesses), strict=True)
        used |= {what: value for what, value in of_gasket if value is not None}
    if piston.known_depth:
        used["known depth"] = piston.known_depth[0]
    else:
        crown = {"dish": piston.dish, "dome": piston.dome, "reliefs": piston.reliefs}
        used |= {what: volume for what, volume in crown.items() if nominal(volume.magnitude)}
    if land is not None:
        used |= {"land height": land.height, "land diameter": block.bore - land.clearance}
    return used


def _to_read(sheet: Sheet, what: str, value: pint.Quantity) -> ToRead:
    fields = sheet.readings
    rows = fields.measured.rows_of(what) if isinstance(fields, BenchFields) else ()
    unit = shop_unit(value) if value.is_compatible_with("mm") else "cc"
    sides = 2 if what == "deck clearance" and _is_rocked(rows) else 1
    fills = _fills(rows) if what in ("chamber", "known depth") else 0
    tools = [row.tool for row in rows if row.tool]
    named = fields.tools[tools[0]].name if tools and isinstance(fields, BenchFields) else ""
    return ToRead(what, unit, sides, fills, named)


def _is_rocked(rows: Sequence[Row]) -> bool:
    """Whether both sides of the pin are read; so does who has only results."""
    return not rows or len({row.place for row in rows}) > 1


def _fills(rows: Sequence[Row]) -> int:
    """How many fills have boxes, with one to spare; 0 where the record holds volumes alone."""
    if not rows:
        return _FILLS_OF_NOBODY
    if not any(row.start for row in rows):
        return 0
    pours = Counter((row.cylinder, row.group, row.place, row.pour) for row in rows)
    return min(max(pours.values()) + _SPARE, MOST_FILLS)
