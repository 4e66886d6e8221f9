"""A build sheet as it was written down: reading it, saving it, making one from an engine."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import pint

from enginemath.buildsheet.engine import engine_from
from enginemath.buildsheet.fields import FORMAT, Fields, check_layout
from enginemath.files import SheetRefused, from_file, line_of, load_toml, write_atomically
from enginemath.parts import Engine
from enginemath.units import Quantity, nominal


@dataclass(frozen=True)
class Sheet:
    """One engine as it was written down.

    `written` holds the sheet's tables as written; two sheets are equal if these are.
    Making a sheet checks every field.

    Raises:
        SheetRefused: see `parse`.
    """

    written: Mapping[str, Any] = field(hash=False)

    def __post_init__(self) -> None:
        check_layout(self.written)
        _ = self.engine

    @property
    def name(self) -> str:
        """What the engine is called."""
        return self.written["name"]

    @cached_property
    def readings(self) -> Fields:
        """The raw readings, each checked.

        >>> readings = parse(EXAMPLE).readings
        >>> print(readings.reading("gasket", "free_thickness"), len(readings.fills))
        1.35 millimeter 2
        """
        return Fields(self.written)

    @cached_property
    def engine(self) -> Engine:
        """The engine that the readings describe."""
        return engine_from(self.readings)


EXAMPLE = """\
format = 1
name = "Bench engine, bay 3"
[cylinder]
count = 4
bore = "92.0 mm"
stroke = "88.5 mm"
rod_length = "145 mm"
[chamber]
fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]
[gasket]
bore = "93.2 mm"
compressed_thickness = "1.10 mm"
free_thickness = "1.35 mm"
[deck]
clearance = "0.35 mm"
[piston]
dish = "6.0 cc"
reliefs = "2.8 cc"
"""


def parse(text: str) -> Sheet:
    """Read a sheet's text.

    Raises:
        SheetRefused: not TOML (names the line), an unknown field, a newer format, or a
            reading that cannot be (names the field).

    >>> parse(EXAMPLE).engine.count
    4
    >>> parse(EXAMPLE.replace("92.0 mm", "3.905 mm"))
    Traceback (most recent call last):
        ...
    enginemath.files.SheetRefused: line 5: cylinder.bore: bore 3.905 mm: \
did you mean 3.905 in?
    """
    try:
        return Sheet(load_toml(text))
    except SheetRefused as refusal:
        line = refusal.line or line_of(text, refusal.field)
        raise SheetRefused(refusal.reason, refusal.field, refusal.file, line) from None


def read_sheet(path: str | os.PathLike[str]) -> Sheet:
    """Read a sheet from a file, which is never touched.

    Raises:
        SheetRefused: the file cannot be read, or as `parse`; names the file.
    """
    return from_file(path, parse)


def write_sheet(sheet: Sheet, path: str | os.PathLike[str]) -> None:
    """Save a sheet atomically: an interrupted save leaves the old file whole.

    Raises:
        SheetRefused: the file cannot be written; names it.
    """
    import tomli_w

    write_atomically(path, tomli_w.dumps(dict(sheet.written)))


def sheet_of(engine: Engine) -> Sheet:
    """Write down an engine that was made in Python.

    >>> engine = parse(EXAMPLE).engine
    >>> sheet_of(engine).written["chamber"]
    {'volume': '47.5 cc'}
    """
    cylinder, gasket, piston = engine.cylinder, engine.gasket, engine.piston
    volumes = [_text(chamber.volume) for chamber in engine.chambers]
    clearances = [_text(deck.clearance) for deck in engine.decks]
    tables: dict[str, dict[str, Any]] = {
        "cylinder": {
            "count": engine.count,
            "bore": cylinder.bore,
            "stroke": cylinder.stroke,
            "rod_length": cylinder.rod_length,
            "pin_offset": cylinder.pin_offset,
        },
        "chamber": _one_or_each("volume", volumes),
        "gasket": {
            "bore": gasket.bore,
            "volume": gasket.poured,
            "compressed_thickness": gasket.compressed_thickness,
            "free_thickness": gasket.free_thickness,
        },
        "deck": _one_or_each("clearance", clearances),
        "piston": {
            name: value
            for name in ("dish", "dome", "reliefs")
            if nominal((value := getattr(piston, name)).magnitude)
        },
    }
    if engine.ring_land:
        land = engine.ring_land
        tables["ring_land"] = {"height": land.height, "clearance": land.clearance}
    tables["cam"] = {"intake_closes": engine.intake_closes}
    tables["site"] = {"altitude": engine.altitude}
    tables["fuel"] = {"antiknock_index": engine.antiknock_index}
    written: dict[str, Any] = {"format": FORMAT, "name": engine.name}
    for table, values in tables.items():
        texts = {
            name: _text(value) if isinstance(value, Quantity) else value
            for name, value in values.items()
            if value is not None
        }
        if texts:
            written[table] = texts
    return Sheet(written)


def _one_or_each(name: str, texts: list[str]) -> dict[str, Any]:
    return {name: texts[0]} if len(set(texts)) == 1 else {f"{name}s": texts}


def _text(quantity: pint.Quantity) -> str:
    unit = f"{quantity.units:~}".replace("cu_in", "cu in").replace("m ** 2", "m²")
    magnitude = quantity.magnitude
    value, spread = nominal(magnitude), getattr(magnitude, "std_dev", 0.0)
    return f"{value!r} ± {spread!r} {unit}" if spread else f"{float(value)!r} {unit}"
