"""What stands on a sheet of `format = 2` beside its fields: rows, tools, banks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from enginemath.bench.tools import Instrument, instrument
from enginemath.sheets.bench_layout import TOOL
from enginemath.sheets.readings_table import Row, read_table, rows_of
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.sheets.toml_table import Table
from enginemath.units.words import numbered


def rows_beside(
    written: Mapping[str, Any], folder: Path | None, tables: Mapping[str, str]
) -> list[Row]:
    names = written.get("readings", [])
    names = [names] if isinstance(names, str) else names
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        raise SheetRefused(
            f'{short(names)}: the name of a table is wanted, like "readings.csv", or a list',
            field="readings",
        )
    rows: list[Row] = []
    for name in names:
        if name in tables:
            rows += rows_of(tables[name], name)
            continue
        path = Path(name)
        if path.is_absolute() or ".." in path.parts:
            raise SheetRefused(
                f"{short(name)}: the table stands beside the sheet", field="readings"
            )
        rows += read_table((folder or Path()) / path)
    return rows


def tools_of(written: Any) -> dict[str, Instrument]:
    """The sheet's tools by their names."""
    if not isinstance(written, Mapping):
        raise SheetRefused(f"{short(written)}: write [tools.burette] and so on", field="tools")
    found = {}
    for name, given in written.items():
        if not isinstance(given, Mapping):
            raise SheetRefused(
                f'{short(given)}: write [tools.{name}] and below it kind = "…"',
                field=f"tools.{name}",
            )
        table = Table(f"tools.{name}", given)
        table.only(TOOL)
        for key in given:
            if not isinstance(given[key], str):
                raise table.refusal(key, f"{short(given[key])}: write it in quotes")
        kind = table.written("kind")
        if kind is None:
            raise table.refusal("kind", 'missing; like "burette" or "micrometer"')
        with within(f"tools.{name}"):
            found[name] = instrument(
                " ".join(kind.split()).casefold(),
                size=table.written("size"),
                grade=table.written("class"),
                limit=table.written("limit"),
                division=table.written("division"),
            )
    return found


def banks_of(tables: Sequence[Table], count: int) -> tuple[str, ...]:
    """The bank of each cylinder, in their order; empty where no bank is named."""
    if not tables:
        return ()
    of: dict[int, str] = {}
    for table in tables:
        name, cylinders = table.written("name"), table.written("cylinders")
        if not isinstance(name, str) or not name.strip():
            raise table.refusal("name", 'missing; like "left"')
        if name in of.values():
            raise table.refusal("name", f"{short(name)}: two banks have this name")
        if not isinstance(cylinders, list) or not cylinders:
            raise table.refusal("cylinders", "missing; a list of numbers, like [1, 3, 5, 7]")
        for place, number in enumerate(cylinders, start=1):
            item = f"cylinders[{place}]"
            if type(number) is not int or not 1 <= number <= count:
                raise table.refusal(item, f"{short(number)}: the engine has cylinders 1 to {count}")
            if number in of:
                raise table.refusal(item, f"cylinder {number}: stands in bank {of[number]} already")
            of[number] = name
    without = [n for n in range(1, count + 1) if n not in of]
    if without:
        raise SheetRefused(f"{numbered('cylinder', without)}: in no bank", field="bank")
    return tuple(of[n] for n in range(1, count + 1))
