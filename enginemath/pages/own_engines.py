"""The sheets of one's own engines in the folder of the pages: found, made new, brought in."""

from __future__ import annotations

import json
import os
import re
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from enginemath.change.price_list_file import parse_options
from enginemath.sheets.own_engine.bench_record import table_names
from enginemath.sheets.own_engine.kept_table import log_of
from enginemath.sheets.own_engine.new_sheet import new_engine
from enginemath.sheets.own_engine.sharing import merge, table_of_group
from enginemath.sheets.own_engine.state import (
    price_list_of,
    sheets_in,
    sheets_last_changed,
    state_of,
)
from enginemath.sheets.readings_table import rows_of
from enginemath.sheets.text_file import load_toml, write_atomically
from enginemath.units import Refused

Reply = dict[str, Any]
_MOST_TOLD = 6
"""Engines on the map whose readings are looked at."""
_FILE = re.compile(r"[\w(][\w ().,+-]{0,100}\.(toml|csv)")
"""What a sheet or a table may be called: nothing hidden, no folder."""
_NAME = re.compile(r"[\w(][\w ().,+-]{0,58}")


def engines_of_own(folder: Path | None) -> list[Reply]:
    """The sheets of format 2 with a table of readings in a folder, the last changed first.

    Of the first few: the tables with how far each is, its next reading, and what is known so far.
    """
    if folder is None:
        return []
    sheets = sheets_last_changed(folder)
    return [*map(_told, sheets[:_MOST_TOLD]), *(_unread(path) for path in sheets[_MOST_TOLD:])]


def _told(sheet: Path) -> Reply:
    try:
        state = state_of(sheet)
    except Refused as refusal:
        return _unread(sheet) | {"trouble": str(refusal)}
    return {
        "sheet": state.sheet,
        "name": state.name,
        "ratio": state.ratio,
        "trouble": state.trouble,
        "told": list(state.told),
        "tables": [asdict(table) for table in state.tables],
    }


def _unread(sheet: Path) -> Reply:
    empty: Reply = {"ratio": "", "trouble": "", "told": [], "tables": []}
    return {"sheet": sheet.name, "name": sheet.stem, **empty}


def sheet_named(folder: Path | None, name: str) -> Path:
    """A sheet of the folder; nothing outside it is ever opened.

    Raises:
        Refused: there is none of that name.
    """
    if folder is None or Path(name).name != name or not (folder / name).is_file():
        raise Refused(f'there is no sheet "{name[:60]}" in this folder')
    return folder / name


def make_new(folder: Path | None, name: str, cylinders: int, banks: str, unit: str) -> list[Reply]:
    """A new sheet and its table, as `enginemath new` writes them."""
    name = " ".join(name.split())
    if folder is None or not _NAME.fullmatch(name):
        raise Refused("give the engine a plain name, like bay3")
    if unit not in ("in", "mm"):
        raise Refused("the unit is in or mm")
    named = [each.strip() for each in banks.split(",")] if banks.strip() else []
    try:
        new_engine(folder / f"{name}.toml", cylinders, named, unit)
    except Refused as refusal:
        raise Refused(_without_folder(str(refusal), folder)) from None
    return [{"show": "made", "sheet": f"{name}.toml"}]


def table_for(folder: Path | None, sheet: str, group: str) -> list[Reply]:
    """A table of one group's own, as `enginemath record --group` begins it, or goes on with it."""
    try:
        table = table_of_group(sheet_named(folder, sheet), group)
    except Refused as refusal:
        raise Refused(_without_folder(str(refusal), folder).replace("--group ", "group ")) from None
    return [{"show": "made", "sheet": sheet, "table": table}]


def _without_folder(says: str, folder: Path | None) -> str:
    return says.replace(f"{folder}{os.sep}", "")


def bring_in(folder: Path | None, files: str, replace: bool) -> list[Reply]:
    """Put a sheet, its tables and its price list, opened as files, into the folder.

    Args:
        folder: of the pages.
        files: JSON, texts by name.
        replace: whether files that are here with another text are replaced.

    Raises:
        Refused: no sheet, several, a table or a price list that is missing or cannot be; nothing is
            written then.
    """
    given = _texts(files)
    if folder is not None and given and all(name.endswith(".csv") for name in given):
        return _merge(folder, given)
    sheets = [name for name in given if name.endswith(".toml") and not _is_price_list(name)]
    if folder is None or len(sheets) != 1:
        raise Refused("open one sheet (.toml) together with its tables (.csv)")
    (sheet,) = sheets
    wanted = table_names(load_toml(given[sheet]), sheet)
    lacking = [name for name in wanted if name not in given and not (folder / name).is_file()]
    if lacking:
        raise Refused(f"{sheet} names {', '.join(lacking)}: open them together with it")
    for name, text in given.items():
        if _is_price_list(name):
            _refuse_unfit_list(name, text, price_list_of(Path(sheet)).name)
        elif name != sheet:
            rows_of(text, name)
    others = [
        n for n, text in given.items() if (folder / n).is_file() and _read(folder / n) != text
    ]
    if others and not replace:
        return [{"show": "clash", "name": sheet, "files": files}]
    for name, text in given.items():
        log, is_here = log_of(folder / name), (folder / name).is_file()
        write_atomically(folder / name, text)
        if log.exists() and (name in others or not is_here):
            write_atomically(log, "")  # what was typed here before is given up for the file
    return [{"show": "made", "sheet": sheet}]


def _merge(folder: Path, tables: dict[str, str]) -> list[Reply]:
    """Put tables that groups filled in elsewhere under the sheet that they are named after."""
    sheets = [
        sheet
        for sheet in sheets_in(folder)
        if all(name.startswith(f"{sheet.stem}-readings") for name in tables)
    ]
    if len(sheets) != 1:
        names = ", ".join(tables)
        raise Refused(f"{names[:120]}: no engine here goes by that name; open its sheet with it")
    with TemporaryDirectory(prefix="enginemath-") as elsewhere:
        paths = [Path(elsewhere) / name for name in tables]
        for path in paths:
            path.write_text(tables[path.name], encoding="utf-8")
        try:
            merge(sheets[0], paths)
        except Refused as refusal:
            says = _without_folder(str(refusal), Path(elsewhere))
            raise Refused(_without_folder(says, folder)) from None
    return [{"show": "made", "sheet": sheets[0].name}]


def _is_price_list(name: str) -> bool:
    return name.endswith("-options.toml")


def _refuse_unfit_list(name: str, text: str, wanted: str) -> None:
    if name != wanted:
        raise Refused(f"{name}: the price list of this engine is called {wanted}")
    try:
        parse_options(text)
    except Refused as refusal:
        raise Refused(f"{name}: {refusal}") from None


def _texts(files: str) -> dict[str, str]:
    try:
        given = json.loads(files)
    except (ValueError, RecursionError):
        raise Refused("these are no files") from None
    if not isinstance(given, dict) or not all(isinstance(text, str) for text in given.values()):
        raise Refused("these are no files")
    for name in given:
        if not _FILE.fullmatch(name):
            raise Refused(f"{name[:60]!r}: a sheet (.toml) and its tables (.csv) are wanted")
    return given


def _read(path: Path) -> str:
    return path.read_bytes().decode("utf-8", "replace")
