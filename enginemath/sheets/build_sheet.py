"""A build sheet as it was written down: reading it, saving it, making one from an engine."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import pint

from enginemath.bench.measuring import known_depth_crown
from enginemath.engine.parts import NOTHING, SHARED, Cylinder, Engine
from enginemath.engine.stack import stacks
from enginemath.formulas.geometry import disc_area
from enginemath.sheets.engine_from_sheet import engine_from
from enginemath.sheets.fields import FORMAT, NEWEST_FORMAT, Fields, check_sheet
from enginemath.sheets.readings_table import text_of
from enginemath.sheets.text_file import (
    SheetRefused,
    clear_half_written,
    from_file,
    lines_from,
    load_toml,
    write_atomically,
)
from enginemath.units import (
    CC,
    Quantity,
    Refused,
    best,
    deviation,
    in_cc,
    kind,
    nominal,
    read,
    shop_unit,
    show,
    unit_text,
)

if TYPE_CHECKING:
    from enginemath.sheets.bench_sheet import BenchFields


@dataclass(frozen=True)
class Sheet:
    """One engine as it was written down.

    `written` holds the sheet's tables as written; two sheets are equal if these are.
    Making a sheet checks every field.

    Raises:
        SheetRefused: see `parse`.
    """

    written: Mapping[str, Any] = field(hash=False)
    folder: Path | None = field(default=None, compare=False, repr=False)
    """Where the sheet's table of readings stands; None: where the program was started."""
    tables: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)
    """Texts of tables by their names, in place of files."""

    def __post_init__(self) -> None:
        check_sheet(self.written)
        if self.is_of_readings:
            from enginemath.sheets.bench_layout import check_bench_sheet

            check_bench_sheet(self.written)
        _ = self.engine

    @property
    def is_of_readings(self) -> bool:
        """Whether the sheet is of format 2, which holds readings, tools and banks."""
        return self.written["format"] > FORMAT

    @property
    def table_names(self) -> list[str]:
        """Names of its tables of readings; of format 2 alone."""
        names = self.written.get("readings", [])
        return [names] if isinstance(names, str) else list(names)

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
        if self.is_of_readings:
            from enginemath.sheets.bench_sheet import BenchFields

            return BenchFields(self.written, self.folder, self.tables)
        return Fields(self.written)

    @cached_property
    def engine(self) -> Engine:
        """The engine that the readings describe."""
        if self.is_of_readings:
            from enginemath.sheets.bench_engine import bench_engine

            return bench_engine(cast("BenchFields", self.readings))
        return engine_from(self.readings)

    @property
    def warnings(self) -> list[str]:
        """What in the table of readings deserves a second look; of format 2 alone."""
        if not self.is_of_readings:
            return []
        fields = cast("BenchFields", self.readings)
        return [*fields.warnings(), *_of_plug_hole_pours(fields, self.engine)]


def _of_plug_hole_pours(fields: BenchFields, engine: Engine) -> Iterator[str]:
    """Where the whole clearance, poured through the plug hole, is not the sum of its parts."""
    pairs = zip(stacks(engine), engine.cylinders, strict=True)
    for number, (stack, cylinder) in enumerate(pairs, start=1):
        poured = fields.measured.value("plug hole pour", number)
        if poured is None:
            continue
        gap = poured.to(CC) - stack.clearance
        if abs(nominal(gap.magnitude)) > 2 * deviation(gap.magnitude):
            yield (
                f"cylinder {number}: {show(poured, 'cc')} poured through the plug hole, and the "
                f"parts add up to {show(stack.clearance, 'cc')}: {_of_the_sum(gap, cylinder)}; "
                "further apart than both their ±: was air trapped, or is a part wrong?"
            )


def _of_the_sum(gap: pint.Quantity, cylinder: Cylinder) -> str:
    """How far a pour is from the sum, and how much that would be of each part."""
    most, least = show(abs(best(gap)), "cc"), "less" if nominal(gap.magnitude) < 0 else "more"
    unit = shop_unit(cylinder.bore)
    height = show(abs(best(gap)) / disc_area(best(cylinder.bore)), unit)
    return (
        f"{most} {least} than the sum, as much as {height} of deck clearance or gasket, or "
        f"{most} of chamber or crown"
    )


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


def parse(text: str, folder: Path | None = None, tables: Mapping[str, str] | None = None) -> Sheet:
    """Read a sheet's text.

    Args:
        text: TOML of format 1 or 2.
        folder: in which the sheet's table of readings stands.
        tables: texts of tables by their names, in place of files.

    Raises:
        SheetRefused: not TOML (names the line), an unknown field, a newer format, or a
            reading that cannot be (names the field).

    >>> parse(EXAMPLE).engine.count
    4
    >>> parse(EXAMPLE.replace("92.0 mm", "3.905 mm"))
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: line 5: cylinder.bore: bore 3.905 mm: \
did you mean 3.905 in?
    """
    with lines_from(text):
        return Sheet(load_toml(text), folder, tables or {})


def read_sheet(path: str | os.PathLike[str]) -> Sheet:
    """Read a sheet from a file, which is never touched.

    Raises:
        SheetRefused: the file cannot be read, or as `parse`; names the file.
    """
    return from_file(path, lambda text: parse(text, Path(path).parent))


def write_sheet(sheet: Sheet, path: str | os.PathLike[str]) -> None:
    """Save a sheet atomically: an interrupted save leaves the old file whole.

    Its tables of readings are put beside it where they are not there yet.

    Raises:
        SheetRefused: the file cannot be written, or another table of a table's name is there;
            names it.
    """
    import tomli_w

    folder = Path(path).parent
    for name, text in _tables_elsewhere(sheet, folder):
        write_atomically(folder / name, text)
    write_atomically(path, tomli_w.dumps(dict(sheet.written)))
    clear_half_written(os.path.dirname(os.path.realpath(path)))


def _tables_elsewhere(sheet: Sheet, folder: Path) -> Iterator[tuple[str, str]]:
    """The tables of readings that do not stand in the folder, by their names."""
    for name in sheet.table_names:
        there, from_file = folder / name, (sheet.folder or Path()) / name
        in_memory = sheet.tables.get(name)
        if in_memory is None and there.resolve() == from_file.resolve():
            continue
        text = text_of(from_file) if in_memory is None else in_memory
        if not there.exists():
            yield name, text
        elif text_of(there) != text:
            raise SheetRefused(
                "holds other readings; save the sheet to another folder", file=str(there)
            )


def sheet_of(engine: Engine) -> Sheet:
    """Write down an engine that was made in Python.

    >>> engine = parse(EXAMPLE).engine
    >>> sheet_of(engine).written["chamber"]
    {'volume': '47.5 cc'}
    """
    tables: dict[str, dict[str, Any]] = {
        "cylinder": {
            "count": engine.count,
            **_shared_or_each(engine, "cylinder", "bore", "stroke", "rod_length", "pin_offset"),
        },
        "chamber": _one_or_each("volume", [chamber.volume for chamber in engine.chambers]),
        "gasket": {
            **_shared_or_each(engine, "gasket", "bore", "compressed_thickness", "free_thickness"),
            **_shared_or_each(engine, "gasket", "poured", as_="volume"),
        },
        "deck": _one_or_each("clearance", [deck.clearance for deck in engine.decks]),
        "piston": _crown(engine),
        "ring_land": _shared_or_each(engine, "ring_land", "height", "clearance"),
    }
    tables["cam"] = {"intake_closes": engine.intake_closes, "checking_lift": engine.checking_lift}
    tables["site"] = {"altitude": engine.altitude}
    tables["head"] = {"material": engine.head}
    tables["fuel"] = {"antiknock_index": engine.antiknock_index, "kind": engine.fuel}
    if engine.is_two_stroke:
        tables["cylinder"] |= {"strokes": 2, "exhaust_closes": engine.exhaust_closes}
    if any(chamber.prechamber is not None for chamber in engine.chambers):
        tables["chamber"] = _with_prechambers(engine)
    answers = (
        *(engine.checking_lift, engine.head, engine.fuel, engine.is_two_stroke),
        "prechamber" in tables["chamber"],
    )
    alike = all(map(engine.shares, SHARED)) and not engine.banks and not any(answers)
    written: dict[str, Any] = {"format": FORMAT if alike else NEWEST_FORMAT, "name": engine.name}
    if engine.banks:
        written["bank"] = _banks(engine)
    for table, values in tables.items():
        texts = {
            name: _text(value) if isinstance(value, Quantity) else value
            for name, value in values.items()
            if value is not None
        }
        if texts:
            written[table] = texts
    return Sheet(written)


def _shared_or_each(engine: Engine, part: str, *names: str, as_: str = "") -> dict[str, Any]:
    """Fields of a part that all cylinders share, or a list of each cylinder's own."""
    if engine.shares(part):
        shared = getattr(engine, part)
        return {} if shared is None else {as_ or name: getattr(shared, name) for name in names}
    found: dict[str, Any] = {}
    for name in names:
        values = [getattr(own, name, None) for own in getattr(engine, SHARED[part])]
        if all(value is not None for value in values):
            found[as_ or name] = [_text(value) for value in values]
    return found


def _with_prechambers(engine: Engine) -> dict[str, Any]:
    """What stands at the head's face, and what behind a throat."""
    behind = [chamber.prechamber or NOTHING for chamber in engine.chambers]
    at_the_face = [
        chamber.volume - volume for chamber, volume in zip(engine.chambers, behind, strict=True)
    ]
    return {
        "volume": [_text(volume) for volume in at_the_face],
        "prechamber": [_text(volume) for volume in behind],
    }


def _banks(engine: Engine) -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "cylinders": [n for n, bank in enumerate(engine.banks, start=1) if bank == name],
        }
        for name in dict.fromkeys(engine.banks)
    ]


def _crown(engine: Engine) -> dict[str, Any]:
    """The known-depth readings where the crown is what they give; else its volumes.

    The crown by known depth is sure or unsure together with the bore, and so it stays.
    """
    if not engine.shares("piston"):
        return _crowns(engine)
    piston = engine.piston
    if piston.known_depth and not in_cc(piston.reliefs):
        depth, poured = piston.known_depth
        crown = known_depth_crown(poured, engine.cylinder.bore, depth).to(CC)
        if _is_same_reading(crown, piston.crown):
            return {"known_depth": {"depth": _text(depth), "poured": _text(poured)}}
    volumes = {name: getattr(piston, name) for name in ("dish", "dome", "reliefs")}
    return {
        name: volume for name, volume in volumes.items() if not _is_same_reading(volume, NOTHING)
    }


def _crowns(engine: Engine) -> dict[str, Any]:
    """Each piston's own: all by known depth, or volumes; a flat one has none of each."""
    if all(piston.known_depth for piston in engine.pistons):
        pairs = [piston.known_depth for piston in engine.pistons if piston.known_depth]
        found: dict[str, Any] = {
            "known_depth": [{"depth": _text(d), "poured": _text(p)} for d, p in pairs]
        }
        if all(_is_same_reading(piston.reliefs, piston.crown) for piston in engine.pistons):
            return {**found, "flat": True}
        if any(in_cc(piston.reliefs) for piston in engine.pistons):
            found["reliefs"] = [_text(piston.reliefs) for piston in engine.pistons]
        return found
    return _shared_or_each(engine, "piston", "dish", "dome", "reliefs")


def _one_or_each(name: str, readings: list[pint.Quantity]) -> dict[str, Any]:
    """One reading that all cylinders share, or one for each."""
    first, *others = readings
    if all(_is_same_reading(first, other) for other in others):
        return {name: first}
    return {f"{name}s": [_text(reading) for reading in readings]}


def _is_same_reading(one: pint.Quantity, other: pint.Quantity) -> bool:
    """Two readings that happen to agree are still two where each has its own uncertainty."""
    gap = (one - other).magnitude
    return abs(nominal(gap)) < _DUST and deviation(gap) < _DUST


def _text(quantity: pint.Quantity) -> str:
    """A reading as `read` takes it back, in its own unit or else in one that a shop writes."""
    value, spread = float(nominal(quantity.magnitude)), float(deviation(quantity.magnitude))
    unit = unit_text(quantity.units)
    text = f"{value!r} ± {spread!r} {unit}" if spread else f"{value!r} {unit}"
    try:
        read(text)
    except Refused:
        return _text(quantity.to(_SHOP_UNITS[kind(quantity.units)]))
    return text


_DUST = 1e-12
"""What floats leave of a difference that is none."""

_SHOP_UNITS = {"a length": "mm", "a volume": "cc", "an angle": "degree"}
