"""The fields of a build sheet: which there are, and how each is read."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

import pint

from enginemath.bench.how_sure.labels import named
from enginemath.bench.measuring import Fill
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.sheets.toml_table import Table, check_format, check_layout, reading_of, table_of
from enginemath.units import Refused, in_cc
from enginemath.units.words import count as count_of

FORMAT, NEWEST_FORMAT = 1, 2

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
_LAYOUT = {
    table: {*READINGS.get(table, ()), *_OTHER_FIELDS.get(table, ())}
    for table in (*READINGS, *_OTHER_FIELDS)
}
_KNOWN_DEPTH = {"depth": limits.KNOWN_DEPTH, "poured": limits.POURED}
_BOTH_OF_A_KNOWN_DEPTH = 'write { depth = "…", poured = "…" }'
_NEEDED = ("cylinder", "chamber", "gasket", "deck")
_ANY_OF = (
    ("cylinder.count",),
    ("cylinder.bore",),
    ("cylinder.stroke", "deck.depth_at_bdc"),
    ("deck.clearance", "deck.clearances", "deck.depth_at_bdc"),
    ("chamber.volume", "chamber.volumes", "chamber.fills"),
    ("gasket.bore", "gasket.volume"),
    ("gasket.compressed_thickness", "gasket.volume"),
)
"""What the ratio needs, in the order of the bench: one of each."""


def check_sheet(written: Mapping[str, Any]) -> None:
    """Refuse a wrong format, and tables and fields that the format does not know."""
    check_format(written, "sheet", NEWEST_FORMAT)
    _check_name(written.get("name"))
    if written["format"] != FORMAT:
        return
    check_layout(written, _LAYOUT, beside=("format", "name"))
    lacking = missing_fields(written)
    if len({name.partition(".")[0] for name in lacking}) > 1:
        raise SheetRefused(f"missing: {', '.join(lacking)}", field=lacking[0].partition(".")[0])
    for table in _NEEDED:
        if table not in written:
            raise SheetRefused("missing", field=table)


def missing_fields(written: Mapping[str, Any]) -> list[str]:
    """The fields of format 1 that the ratio needs and a sheet has not, in the order of the bench.

    >>> missing_fields({"cylinder": {"count": 4, "bore": "92 mm"}, "deck": {"clearance": "0 mm"}})
    ['cylinder.stroke', 'chamber.volume', 'gasket.bore', 'gasket.compressed_thickness']
    """

    def has(*names: str) -> bool:
        tables = (
            (written.get(table), field) for table, _, field in (n.partition(".") for n in names)
        )
        return any(isinstance(table, Mapping) and field in table for table, field in tables)

    return [names[0] for names in _ANY_OF if not has(*names)]


def _check_name(name: Any) -> None:
    if name is None or name == "":
        raise SheetRefused("missing; say which engine it is", field="name")
    if not isinstance(name, str) or not name.strip():
        raise SheetRefused(f"{short(name)}: say in words which engine it is", field="name")


class Fields:
    """The readings of a sheet, each checked once, when it is asked for."""

    def __init__(self, written: Mapping[str, Any]):
        self.written = written
        self._tables = {name: table_of(written, name) for name in _LAYOUT}
        self._read: dict[tuple[str, str], pint.Quantity | None] = {}

    def table(self, name: str) -> Table:
        """One table; empty where the sheet has none."""
        return self._tables[name]

    def reading(self, table: str, name: str) -> pint.Quantity | None:
        """One reading, or None where the sheet has none.

        Raises:
            SheetRefused: it cannot be; names the field.
        """
        if (table, name) not in self._read:
            limit = READINGS[table][name]
            value = self.table(table).reading(name, limit)
            self._read[table, name] = None if value is None else named(value, limit.name)
        return self._read[table, name]

    def needed(self, table: str, name: str) -> pint.Quantity:
        """One reading that the sheet must have."""
        value = self.reading(table, name)
        if value is None:
            raise self.table(table).refusal(name, "missing")
        return value

    def readings(self, table: str, name: str, count: int) -> list[pint.Quantity] | None:
        """One reading for each cylinder: from `name` for all, or from a list `names`."""
        single, each = self.reading(table, name), self.table(table).written(f"{name}s")
        if each is None:
            return None if single is None else [single] * count
        field = f"{table}.{name}s"
        if single is not None:
            raise SheetRefused(f"give {name} for all cylinders or {name}s, not both", field=field)
        if not isinstance(each, list) or len(each) != count:
            found = count_of(len(each), "value") if isinstance(each, list) else short(each)
            raise SheetRefused(
                f"{found}: a list of {count} is wanted, one for each cylinder", field=field
            )
        limit, values = READINGS[table][name], []
        for number, text in enumerate(each, start=1):
            with within(f"{field}[{number}]"):
                values.append(named(reading_of(text, limit), f"{limit.name}, cylinder {number}"))
        return values

    @cached_property
    def fills(self) -> tuple[Fill, ...]:
        """The burette's fills for the chamber; empty where the sheet has none."""
        pairs = self.table("chamber").written("fills")
        if pairs is None:
            return ()
        if not isinstance(pairs, list) or not pairs:
            raise SheetRefused(
                f'{short(pairs)}: write [["start", "end"], …], like [["0.60 mL", "25.00 mL"]]',
                field="chamber.fills",
            )
        if len(pairs) > limits.MOST_FILLS:
            raise SheetRefused(
                f"{len(pairs)} fills; at most {limits.MOST_FILLS} are read", field="chamber.fills"
            )
        fills = []
        for number, pair in enumerate(pairs, start=1):
            with within(f"chamber.fills[{number}]"):
                if not isinstance(pair, list) or len(pair) != 2:
                    raise Refused(f"{short(pair)}: a start and an end reading are wanted")
                readings = [reading_of(text, limits.BURETTE_READING) for text in pair]
                for reading, end in zip(readings, ("start", "end"), strict=True):
                    named(reading, f"fill {number}, {end}")
                fills.append(Fill(*readings))
        return tuple(fills)

    @property
    def fills_in_cc(self) -> tuple[tuple[float, float], ...]:
        """Start and end of each fill of a chamber that all cylinders share; empty without."""
        return tuple((in_cc(fill.start), in_cc(fill.end)) for fill in self.fills)

    @cached_property
    def known_depth(self) -> tuple[pint.Quantity, pint.Quantity] | None:
        """Depth and poured volume of the known-depth method, or None."""
        piston = self.table("piston")
        pair = piston.written("known_depth")
        if pair is None:
            return None
        if not isinstance(pair, Mapping):
            raise piston.refusal("known_depth", f"{short(pair)}: {_BOTH_OF_A_KNOWN_DEPTH}")
        if len(piston) > 1:
            others = " and ".join(name for name in piston if name != "known_depth")
            raise piston.refusal(
                "known_depth", f"the pour holds the whole crown already; leave out {others}"
            )
        pour = Table("piston.known_depth", pair)
        pour.only(_KNOWN_DEPTH)
        depth, poured = (_of_a_known_depth(pour, name) for name in _KNOWN_DEPTH)
        return depth, poured

    @property
    def count(self) -> int:
        """Number of cylinders."""
        cylinder = self.table("cylinder")
        if cylinder.written("count") is None:
            raise cylinder.refusal("count", "missing; say how many cylinders")
        return cylinder.whole_number("count", 1, limits.MOST_CYLINDERS)

    @property
    def antiknock_index(self) -> float | None:
        """Antiknock index of the fuel, (R+M)/2, or None."""
        fuel = self.table("fuel")
        if fuel.written("antiknock_index") is None:
            return None
        return fuel.number("antiknock_index", *limits.ANTIKNOCK_INDEX, like="87")


def _of_a_known_depth(pour: Table, name: str) -> pint.Quantity:
    limit = _KNOWN_DEPTH[name]
    value = pour.reading(name, limit)
    if value is None:
        raise pour.refusal(name, f"missing; {_BOTH_OF_A_KNOWN_DEPTH}")
    return named(value, limit.name)
