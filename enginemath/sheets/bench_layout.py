"""What a build sheet of `format = 2` may hold: its tables, fields and words."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any, NamedTuple

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.sheets.text_file import SheetRefused, short
from enginemath.sheets.toml_table import check_layout
from enginemath.sheets.what_is_read import WHATS


class Field(NamedTuple):
    """A field of the sheet, and what the table of readings calls it."""

    table: str
    name: str
    limit: Limit
    what: str = ""

    @property
    def path(self) -> str:
        """As a refusal names it: ``cylinder.bore``."""
        return f"{self.table}.{self.name}"


FIELDS = {
    field.path: field
    for field in (
        Field("cylinder", "bore", limits.BORE, "bore"),
        Field("cylinder", "stroke", limits.STROKE, "stroke"),
        Field("cylinder", "rod_length", limits.ROD_LENGTH, "rod length"),
        Field("cylinder", "pin_offset", limits.PIN_OFFSET, "pin offset"),
        Field("chamber", "volume", limits.CHAMBER, "chamber"),
        Field("chamber", "prechamber", limits.PRECHAMBER, "prechamber"),
        Field("gasket", "bore", limits.GASKET_BORE, "gasket bore"),
        Field("gasket", "compressed_thickness", limits.GASKET_THICKNESS, "compressed thickness"),
        Field("gasket", "free_thickness", limits.GASKET_THICKNESS, "free thickness"),
        Field("gasket", "volume", limits.GASKET_VOLUME),
        Field("deck", "clearance", limits.DECK_CLEARANCE, "deck clearance"),
        Field("deck", "depth_at_bdc", limits.DEPTH_AT_BDC, "depth at bdc"),
        Field("deck", "block_height", limits.BLOCK_HEIGHT, "block height"),
        Field("piston", "dish", limits.DISH, "dish"),
        Field("piston", "dome", limits.DOME, "dome"),
        Field("piston", "reliefs", limits.RELIEFS, "reliefs"),
        Field("piston", "compression_height", limits.COMPRESSION_HEIGHT, "compression height"),
        Field("ring_land", "height", limits.LAND_HEIGHT, "land height"),
        Field("ring_land", "clearance", limits.LAND_CLEARANCE),
        Field("ring_land", "diameter", limits.LAND_DIAMETER, "land diameter"),
        Field("cam", "intake_closes", limits.INTAKE_CLOSES, "intake closes"),
        Field("cylinder", "exhaust_closes", limits.EXHAUST_CLOSES, "exhaust closes"),
    )
}
"""Every field that is one text with a unit for all cylinders, or a list of them."""

ONE_FOR_ALL = {
    "cam": {"checking_lift": limits.CHECKING_LIFT},
    "site": {"altitude": limits.ALTITUDE},
}
_OTHER_FIELDS = {
    "cylinder": {"count", "strokes"},
    "chamber": {"volumes", "fills"},
    "gasket": {"reuse"},
    "deck": {"clearances"},
    "piston": {"known_depth", "flat"},
    "ring_land": {"filled"},
    "head": {"material"},
    "fuel": {"antiknock_index", "kind"},
}
PLURALS = {"chamber.volume": "volumes", "deck.clearance": "clearances"}
"""Fields whose list stands under a name of its own in format 1."""
BESIDE = ("format", "name", "readings", "record", "tools")
LAYOUT: dict[str, set[str]] = {"bank": {"name", "cylinders"}}
for _field in FIELDS.values():
    LAYOUT.setdefault(_field.table, set()).add(_field.name)
for _table, _names in (*ONE_FOR_ALL.items(), *_OTHER_FIELDS.items()):
    LAYOUT.setdefault(_table, set()).update(_names)
CLAIMED = {
    what.replace(" ", "_"): what for what in WHATS if what not in ("known depth", "plug hole pour")
}
"""What a sheet may hold as claimed by its maker, and what the table of readings calls it."""
LAYOUT["claimed"] = {*CLAIMED}
TOOL = ("kind", "size", "class", "limit", "division", "note")
HEADS = ("iron", "aluminium")
FUELS = ("petrol", "diesel", "ethanol", "methanol", "gas", "racing petrol")


def check_bench_sheet(written: Mapping[str, Any]) -> None:
    """Refuse tables and fields that format 2 does not know."""
    check_layout(written, LAYOUT, beside=BESIDE, lists=("bank",))
    record = written.get("record", {})
    if not isinstance(record, Mapping):
        raise SheetRefused(f"{short(record)}: a table is wanted, [record]", field="record")
    for name, value in record.items():
        if not isinstance(value, (str, int, float, datetime.date, datetime.time)):
            raise SheetRefused(f"{short(value)}: a text is wanted", field=f"record.{name}")
