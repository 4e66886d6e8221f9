"""The fields of a build sheet: which there are, and how each is read."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cached_property
from typing import Any

import pint

from enginemath.bench.how_sure.labels import named
from enginemath.bench.measuring import Fill
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.units import Refused

FORMAT = 1

READINGS: dict[str, dict[str, Limit]] = {
    "cylinder": {
        "bore": limits.BORE,
        "stroke": limits.STROKE,
        "rod_length": limits.ROD_LENGTH,
        "pin_offset": limits.PIN_OFFSET,
    },
    "chamber": {"volume": limits.CHAMBER},
    "gasket": {
        "bore": limits.GASKET_BORE,
        "compressed_thickness": limits.GASKET_THICKNESS,
        "free_thickness": limits.GASKET_THICKNESS,
        "volume": limits.GASKET_VOLUME,
    },
    "deck": {"clearance": limits.DECK_CLEARANCE, "depth_at_bdc": limits.DEPTH_AT_BDC},
    "piston": {"dish": limits.DISH, "dome": limits.DOME, "reliefs": limits.RELIEFS},
    "ring_land": {"height": limits.LAND_HEIGHT, "clearance": limits.LAND_CLEARANCE},
    "cam": {"intake_closes": limits.INTAKE_CLOSES},
    "site": {"altitude": limits.ALTITUDE},
}
"""Every field that is one text with a unit."""

_OTHER_FIELDS = {
    "cylinder": {"count"},
    "chamber": {"volumes", "fills"},
    "deck": {"clearances"},
    "piston": {"known_depth"},
    "fuel": {"antiknock_index"},
}
_KNOWN_DEPTH = {"depth": limits.KNOWN_DEPTH, "poured": limits.POURED}
_BOTH_OF_A_KNOWN_DEPTH = 'write { depth = "…", poured = "…" }'
_TABLES = {*READINGS, *_OTHER_FIELDS}
_NEEDED = ("cylinder", "chamber", "gasket", "deck")


def check_layout(fields: Mapping[str, Any]) -> None:
    """Refuse a wrong format, and tables and fields that the format does not know."""
    check_format(fields, "sheet")
    _check_name(fields.get("name"))
    for table, content in fields.items():
        if table in ("format", "name"):
            continue
        if table not in _TABLES:
            raise SheetRefused(unknown(table, _TABLES | {"format", "name"}), field=table)
        if not isinstance(content, Mapping):
            raise SheetRefused(f"{short(content)}: a table is wanted, [{table}]", field=table)
        known = {*READINGS.get(table, ()), *_OTHER_FIELDS.get(table, ())}
        for name in content:
            if name not in known:
                raise SheetRefused(unknown(name, known), field=f"{table}.{name}")
    for table in _NEEDED:
        if table not in fields:
            raise SheetRefused("missing", field=table)


def _check_name(name: Any) -> None:
    if name is None or name == "":
        raise SheetRefused("missing; say which engine it is", field="name")
    if not isinstance(name, str) or not name.strip():
        raise SheetRefused(f"{short(name)}: say in words which engine it is", field="name")


def check_format(fields: Mapping[str, Any], what: str) -> None:
    """Refuse a file without a format, and one from a newer kit."""
    found = fields.get("format")
    if found is None:
        raise SheetRefused(f"missing; write format = {FORMAT} on the first line", field="format")
    if type(found) is not int or found < 1:
        raise SheetRefused(f"{short(found)}: write format = {FORMAT}", field="format")
    if found > FORMAT:
        raise SheetRefused(
            f"{short(found)}: this kit reads format {FORMAT}; the {what} is from a newer kit",
            field="format",
        )


def unknown(name: str, known: set[str]) -> str:
    """What to say of a field that is not known."""
    close = get_close_matches(name, known, n=1, cutoff=0.7)
    return f"unknown; did you mean {close[0]}?" if close else "unknown; no such field"


def as_text(value: Any) -> str:
    """A reading must be text: a bare number has no unit."""
    if not isinstance(value, str):
        raise Refused(f'{short(value)}: write the number and its unit in quotes, like "92.0 mm"')
    return value


def _of_a_known_depth(pair: Mapping[str, Any], name: str) -> pint.Quantity:
    with within(f"piston.known_depth.{name}"):
        if name not in pair:
            raise Refused(f"missing; {_BOTH_OF_A_KNOWN_DEPTH}")
        limit = _KNOWN_DEPTH[name]
        return named(limit.accept(as_text(pair[name])), limit.name)


class Fields:
    """The readings of a sheet, each checked when it is asked for."""

    def __init__(self, written: Mapping[str, Any]):
        self.written = written
        self._read: dict[tuple[str, str], pint.Quantity] = {}

    def table(self, name: str) -> Mapping[str, Any]:
        """One table as written; empty where the sheet has none."""
        return self.written.get(name, {})

    def reading(self, table: str, name: str) -> pint.Quantity | None:
        """One reading, or None where the sheet has none.

        Raises:
            SheetRefused: it cannot be; names the field.
        """
        value = self.table(table).get(name)
        if value is None:
            return None
        if (table, name) not in self._read:
            limit = READINGS[table][name]
            with within(f"{table}.{name}"):
                self._read[table, name] = named(limit.accept(as_text(value)), limit.name)
        return self._read[table, name]

    def needed(self, table: str, name: str) -> pint.Quantity:
        """One reading that the sheet must have."""
        value = self.reading(table, name)
        if value is None:
            raise SheetRefused("missing", field=f"{table}.{name}")
        return value

    def readings(self, table: str, name: str, count: int) -> list[pint.Quantity] | None:
        """One reading for each cylinder: from `name` for all, or from a list `names`."""
        single, each = self.reading(table, name), self.table(table).get(f"{name}s")
        if each is None:
            return None if single is None else [single] * count
        field = f"{table}.{name}s"
        if single is not None:
            raise SheetRefused(f"give {name} for all cylinders or {name}s, not both", field=field)
        if not isinstance(each, list) or len(each) != count:
            found = f"{len(each)} values" if isinstance(each, list) else short(each)
            raise SheetRefused(
                f"{found}: a list of {count} is wanted, one for each cylinder", field=field
            )
        limit, values = READINGS[table][name], []
        for number, text in enumerate(each, start=1):
            with within(f"{field}[{number}]"):
                values.append(
                    named(limit.accept(as_text(text)), f"{limit.name}, cylinder {number}")
                )
        return values

    @cached_property
    def fills(self) -> tuple[Fill, ...]:
        """The burette's fills for the chamber; empty where the sheet has none."""
        pairs = self.table("chamber").get("fills")
        if pairs is None:
            return ()
        if not isinstance(pairs, list) or not pairs:
            raise SheetRefused(
                f'{short(pairs)}: write [["start", "end"], …], like [["0.60 mL", "25.00 mL"]]',
                field="chamber.fills",
            )
        fills = []
        for number, pair in enumerate(pairs, start=1):
            with within(f"chamber.fills[{number}]"):
                if not isinstance(pair, list) or len(pair) != 2:
                    raise Refused(f"{short(pair)}: a start and an end reading are wanted")
                readings = [limits.BURETTE_READING.accept(as_text(text)) for text in pair]
                for reading, end in zip(readings, ("start", "end"), strict=True):
                    named(reading, f"fill {number}, {end}")
                fills.append(Fill(*readings))
        return tuple(fills)

    @cached_property
    def known_depth(self) -> tuple[pint.Quantity, pint.Quantity] | None:
        """Depth and poured volume of the known-depth method, or None."""
        piston = self.table("piston")
        pair = piston.get("known_depth")
        if pair is None:
            return None
        with within("piston.known_depth"):
            if not isinstance(pair, Mapping):
                raise Refused(f"{short(pair)}: {_BOTH_OF_A_KNOWN_DEPTH}")
            if len(piston) > 1:
                others = " and ".join(name for name in piston if name != "known_depth")
                raise Refused(f"the pour holds the whole crown already; leave out {others}")
            for name in pair:
                if name not in _KNOWN_DEPTH:
                    raise Refused(unknown(name, set(_KNOWN_DEPTH)), field=name)
        depth, poured = (_of_a_known_depth(pair, name) for name in _KNOWN_DEPTH)
        return depth, poured

    @property
    def count(self) -> int:
        """Number of cylinders."""
        count = self.table("cylinder").get("count")
        if count is None:
            raise SheetRefused("missing; say how many cylinders", field="cylinder.count")
        if type(count) is not int or not 1 <= count <= limits.MOST_CYLINDERS:
            raise SheetRefused(
                f"{short(count)}: write a whole number from 1 to {limits.MOST_CYLINDERS}, "
                "without quotes",
                field="cylinder.count",
            )
        return count

    @property
    def antiknock_index(self) -> float | None:
        """Antiknock index of the fuel, (R+M)/2, or None."""
        index = self.table("fuel").get("antiknock_index")
        if index is None:
            return None
        low, high = limits.ANTIKNOCK_INDEX
        if (
            isinstance(index, bool)
            or not isinstance(index, (int, float))
            or not low <= index <= high
        ):
            raise SheetRefused(
                f"{short(index)}: write a number from {low} to {high}, like 87",
                field="fuel.antiknock_index",
            )
        return index
