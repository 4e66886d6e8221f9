"""Tables of several groups under one sheet, and the table of after the work."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from enginemath.sheets.own_engine.bench_record import read_written, table_names
from enginemath.sheets.own_engine.kept_table import seen
from enginemath.sheets.own_engine.new_sheet import blank_table, write_all_or_none
from enginemath.sheets.readings_table import Row, read_table
from enginemath.sheets.text_file import SheetRefused, load_toml, write_atomically
from enginemath.units import Refused
from enginemath.units.columns import in_columns

_READINGS = re.compile(r'^readings[ \t]*=[ \t]*("[^"\n]*"|\[[^\]]*\])', re.M)


def table_of_group(sheet: Path, group: str) -> str:
    """The table of one group, made from the sheet's first where it is not there yet.

    Args:
        sheet: the file.
        group: as it is to stand in the column `group`.

    Returns:
        Its name; the sheet names it from now on.

    Raises:
        Refused: a group's name that cannot be, or a file that cannot be written.
    """
    group = " ".join(group.split())
    plain = re.sub(r"[^A-Za-z0-9]+", "-", group).strip("-").casefold()[:40]
    if not plain or not group.isprintable():
        raise Refused(f"--group {group!r:.40}: write a plain name, like A")
    names = table_names(read_written(sheet), sheet.name)
    own = f"{sheet.stem}-readings-{plain}.csv"
    if not (sheet.parent / own).exists():
        rows = [_blank(row, group) for row in _once(read_table(sheet.parent / names[0]))]
        write_all_or_none({sheet.parent / own: blank_table(rows)})
    theirs = {row.group for row in read_table(sheet.parent / own)}
    if theirs != {group}:
        said = ", ".join(sorted(theirs)) or "nobody"
        raise Refused(f"--group {group}: {own} is the table of {said}; take another name")
    if own not in names:
        _name_tables(sheet, [*names, own])
    return own


def _blank(row: Row, group: str) -> Row:
    unit = row.unit or _unit_of(row.reading or row.end)
    return row._replace(
        group=group, depth="", start="", end="", reading="", left_out="", note="", unit=unit,
        depth_unit=row.depth_unit or _unit_of(row.depth),
    )  # fmt: skip


def _unit_of(text: str) -> str:
    found = re.search(r"[A-Za-z]+\s*$", text)
    return found[0].strip() if found else ""


def _once(rows: Sequence[Row]) -> list[Row]:
    """One row for each place: where several groups read it, the first of them."""
    first: dict[tuple[Any, ...], str] = {}
    for row in rows:
        first.setdefault((row.what, row.cylinder), row.group)
    return [row for row in rows if first[row.what, row.cylinder] == row.group]


def _name_tables(sheet: Path, names: Sequence[str]) -> None:
    """Write the list of tables into the sheet, and touch nothing else in it."""
    looked_at = seen(sheet)
    text = sheet.read_text(encoding="utf-8-sig")
    listed = ", ".join(json.dumps(name, ensure_ascii=False) for name in names)
    changed = _READINGS.sub(lambda _: f"readings = [{listed}]", text, count=1)
    before, after = load_toml(text), load_toml(changed)
    if {**before, "readings": list(names)} != after:
        raise SheetRefused(f"write readings = [{listed}] yourself", "readings", sheet.name)
    if seen(sheet) != looked_at:
        raise SheetRefused("somebody saved it at this very moment: do it again", file=sheet.name)
    write_atomically(sheet, changed)


def merge(sheet: Path, tables: Sequence[Path]) -> str:
    """Put tables that were filled in at other machines under one sheet.

    Args:
        sheet: the file; it names the tables from now on.
        tables: files; one that lies elsewhere is copied beside the sheet.

    Returns:
        What each group read of the same thing, side by side.

    Raises:
        Refused: a table that cannot be, or that would be written over another; nothing is changed.
    """
    names = table_names(read_written(sheet), sheet.name)
    copies: dict[Path, str] = {}
    for table in tables:
        beside = sheet.parent / table.name
        read_table(table)
        text = table.read_text(encoding="utf-8-sig")
        elsewhere = os.path.realpath(table.parent) != os.path.realpath(sheet.parent)
        if elsewhere and beside.exists():
            if beside.read_text(encoding="utf-8-sig") != text:
                raise Refused(
                    f"{table}: {table.name} is there already, with other readings; give each "
                    "group's table a name of its own (record --group)"
                )
        elif elsewhere:
            copies[beside] = text
        if table.name not in names:
            names.append(table.name)
    every = _rows_of_all(sheet.parent, names, copies)
    _refuse_same_name(every, names)
    write_all_or_none(copies)
    _name_tables(sheet, names)
    lines = side_by_side([row for rows in every.values() for row in rows])
    return "\n".join([f"{sheet}: readings from {', '.join(names)}", *lines])


def _rows_of_all(
    folder: Path, names: Sequence[str], copies: dict[Path, str]
) -> dict[str, list[Row]]:
    from enginemath.sheets.readings_table import rows_of

    return {
        name: rows_of(copies[folder / name], name)
        if folder / name in copies
        else read_table(folder / name)
        for name in names
    }


def _refuse_same_name(every: dict[str, list[Row]], names: Sequence[str]) -> None:
    """Two tables under one group's name are no two readings of the same pour."""
    of: dict[tuple[Any, ...], Row] = {}
    for name in names:
        for row in every[name]:
            if row.is_blank or row.left_out:
                continue
            key = row.what, row.cylinder, row.group, row.place, row.pour, row.fill
            first = of.setdefault(key, row)
            if first.file != row.file:
                who = f"group {row.group}" if row.group else "no group"
                raise row.refusal(
                    f"{first.file} has the same reading ({row.what}, cylinder {row.cylinder}) "
                    f"under {who} too: write who read it in the column group of each",
                    "group",
                )


def side_by_side(rows: Sequence[Row]) -> list[str]:
    """One line for each place, a column for each group that read it."""
    groups = list(dict.fromkeys(row.group for row in rows if not row.is_blank))
    if len(groups) < 2:
        return ["read by one group so far"]
    cells: dict[tuple[str, ...], dict[str, str]] = {}
    for row in rows:
        if not row.is_blank and not row.left_out:
            key = row.what, str(row.cylinder or ""), row.place, row.pour, row.fill
            shown = row.reading or f"{row.start} to {row.end}"
            cells.setdefault(key, {})[row.group] = shown
    table: list[tuple[str, ...]] = [
        ("reading", "cylinder", "place", *(group or "no group" for group in groups))
    ]
    for (what, cylinder, place, pour, fill), read in cells.items():
        about = ", ".join(filter(None, (place, pour and f"pour {pour}", fill and f"fill {fill}")))
        table.append((what, cylinder, about, *(read.get(group, "") for group in groups)))
    return in_columns(table, right=range(3, 3 + len(groups)))


def after_work(sheet: Path, old: Path) -> None:
    """A new sheet for what is found after the work, its table blank, the old one named in it.

    Args:
        sheet: the new file; where it is there already, it is left as it is.
        old: the sheet of before, in the same folder.

    Raises:
        Refused: the old sheet cannot be, lies elsewhere, or a file cannot be written.
    """
    if os.path.realpath(sheet.parent) != os.path.realpath(old.parent):
        raise Refused(f"--after {old}: lay it beside {sheet.name}")
    if os.path.realpath(sheet) == os.path.realpath(old):
        raise Refused(f"--after {old}: the found values go into a sheet of their own")
    written = read_written(old)
    if sheet.exists():
        named = read_written(sheet).get("record", {}).get("before")
        if named != old.name:
            raise Refused(
                f"{sheet}: is there already, and of before it names {named or 'no sheet'}; take "
                "another name"
            )
        return
    rows: list[Row] = []
    for name in table_names(written, old.name):
        rows += read_table(old.parent / name)
    table = f"{sheet.stem}-readings.csv"
    text = _READINGS.sub(
        lambda _: f"readings = {json.dumps(table, ensure_ascii=False)}",
        old.read_text(encoding="utf-8-sig"), count=1,
    )  # fmt: skip
    before = f"before = {json.dumps(old.name, ensure_ascii=False)}"
    text = (
        re.sub(r"^\[record\][^\n]*$", lambda m: f"{m[0]}\n{before}", text, count=1, flags=re.M)
        if "record" in written
        else f"{text.rstrip()}\n\n[record]\n{before}\n"
    )
    found = load_toml(text)
    kept = {**written, "readings": table,
            "record": {**written.get("record", {}), "before": old.name}}  # fmt: skip
    if found != kept:
        raise SheetRefused(f"cannot be copied: write {before} under [record] yourself",
                           "record", old.name)  # fmt: skip
    blank = [_blank(row, "") for row in _once(rows)]
    write_all_or_none({sheet: text, sheet.parent / table: blank_table(blank)})
