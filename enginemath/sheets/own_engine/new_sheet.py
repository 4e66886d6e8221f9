"""`enginemath new`: a sheet in shop words, its table of readings, and the record sheet to print."""

from __future__ import annotations

import csv
import io
import json
import os
import shlex
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from enginemath.engine.limits import MOST_CYLINDERS
from enginemath.sheets.own_engine.bench_order import TOOLS, readings_to_take
from enginemath.sheets.own_engine.kept_table import log_of
from enginemath.sheets.own_engine.printed_record import printed_record
from enginemath.sheets.readings_table import COLUMNS, Row
from enginemath.units import Refused

_COLUMNS = (
    *("what", "cylinder", "group", "place", "pour", "fill", "depth", "depth unit", "depth tool"),
    *("start", "end", "reading", "unit", "tool", "left out", "note"),
)
"""Of a table that is filled in by hand: all of them, also where they are blank yet."""


def new_engine(
    path: str | os.PathLike[str], cylinders: int = 4, banks: Sequence[str] = (), unit: str = "mm"
) -> str:
    """Write a sheet of format 2, its table of readings and its printed record sheet.

    Args:
        path: of the sheet; the others stand beside it, named after it.
        cylinders: how many.
        banks: their names; the cylinders go to them in turn.
        unit: "in" or "mm", of lengths.

    Returns:
        What was written and what comes next.

    Raises:
        Refused: one of the files is there already, or cannot be written; nothing is written then.
    """
    sheet = Path(path)
    if not sheet.name:
        raise Refused(f"{sheet}: a folder; name the sheet, like bay3.toml")
    if sheet.suffix != ".toml":
        sheet = sheet.with_name(f"{sheet.name}.toml")
    table = sheet.with_name(f"{sheet.stem}-readings.csv")
    page = sheet.with_name(f"{sheet.stem}-record.html")
    if not sheet.stem.isprintable() or sheet.stem.startswith("."):
        raise Refused(f"{sheet.name!r:.80}: give the sheet a plain name, like bay3.toml")
    _refuse_unfit(cylinders, banks)
    rows = list(readings_to_take(cylinders, unit))
    text = sheet_text(sheet.stem, table.name, page.name, cylinders, banks, unit)
    write_all_or_none(
        {
            sheet: text,
            table: blank_table(rows),
            page: printed_record(sheet.stem, rows, banks_of(cylinders, banks)),
        }
    )
    typed = shlex.quote(str(sheet))
    return "\n".join(
        (
            f"{sheet}: the sheet; its tools and banks are yours to put right",
            f"{table}: the table, {len(rows)} readings in the order of the bench",
            f"{page}: the record sheet, to print and fill in by hand",
            f"Now take the readings:  enginemath record {typed}",
            "or fill in the table in a spreadsheet.",
            f"Then, or in between:    enginemath ratio --so-far {typed}",
        )
    )


def _refuse_unfit(cylinders: int, banks: Sequence[str]) -> None:
    if not 1 <= cylinders <= MOST_CYLINDERS:
        raise Refused(f"--cylinders {cylinders}: write 1 to {MOST_CYLINDERS}")
    if any(not name or not name.isprintable() for name in banks) or len({*banks}) < len(banks):
        raise Refused("--banks: write a name for each, like left,right")
    if len(banks) > cylinders:
        raise Refused(f"--banks: {len(banks)} banks for {cylinders} cylinders")


def banks_of(cylinders: int, banks: Sequence[str]) -> dict[str, list[int]]:
    """The cylinders of each bank, in turn; empty where there are none.

    >>> banks_of(4, ["left", "right"])
    {'left': [1, 3], 'right': [2, 4]}
    """
    every = range(1, cylinders + 1)
    return {name: [*every[place :: len(banks)]] for place, name in enumerate(banks)}


def write_all_or_none(files: dict[Path, str]) -> None:
    """Write new files, all or none of them.

    Raises:
        Refused: one is there already, or cannot be written; what was begun is taken back.
    """
    # The log of a table that is gone holds readings of another engine, or of this one.
    logs = [log_of(path) for path in files if path.suffix == ".csv"]
    there = next((path for path in (*files, *logs) if os.path.lexists(path)), None)
    if there is not None:
        raise Refused(f"{there}: is there already, so nothing is written; take another name")
    begun: list[Path] = []
    try:
        for path, text in files.items():
            # "x": a file that somebody makes at this very moment is not written over either.
            with path.open("x", encoding="utf-8", newline="") as file:
                begun.append(path)
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
    except (OSError, ValueError) as error:
        for path in begun:
            with suppress(OSError):
                path.unlink()
        reason = getattr(error, "strerror", None) or str(error)
        raise Refused(f"{path}: cannot be written ({reason}), so nothing is") from None


def blank_table(rows: Sequence[Row]) -> str:
    """Rows as a table with every column that a hand fills in, the blank ones too."""
    names = [name.replace(" ", "_") for name in _COLUMNS]
    assert {*_COLUMNS} == {*COLUMNS}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_COLUMNS)
    writer.writerows([getattr(row, name) or "" for name in names] for row in rows)
    return out.getvalue()


def sheet_text(
    name: str, table: str, page: str, cylinders: int, banks: Sequence[str], unit: str
) -> str:
    """The text of a new sheet, with a word on each field."""
    like = _LIKE[unit]
    parts = [
        _HEAD.format(
            name=_text(name), table=_text(table), table_name=table, page=page, sheet=f"{name}.toml"
        ),
        _tools(),
        _banks(banks_of(cylinders, banks)),
        _FOOT.format(cylinders=cylinders, **like),
    ]
    return "\n".join(map(_in_line, "\n".join(part for part in parts if part).split("\n")))


def _in_line(line: str) -> str:
    """What is said of a field stands below what is said of the others."""
    field, mark, said = line.partition("  # ")
    return f"{field.rstrip():<34}# {said.strip()}" if mark and field.strip() else line


_LIKE = {
    "in": {"rod": "5.700 in", "altitude": "2100 ft", "land": "0.240 in", "across": "3.790 in"},
    "mm": {"rod": "145.0 mm", "altitude": "640 m", "land": "6.0 mm", "across": "91.40 mm"},
}

_HEAD = """\
# An engine of your own. What stands behind # is for you; put right what is not so on your engine.
# 1. Readings: enginemath record {sheet}   (at the bench, one box after the other)
#    or fill in {table_name} in a spreadsheet, or {page} by hand.
# 2. Result:   enginemath ratio {sheet}    (while readings are missing: with --so-far)
format = 2
name = {name}        # which engine it is
readings = {table}   # its table; groups with tables of their own: ["a.csv", "b.csv"]

[record]                          # printed on every page that is made from this sheet
who = ""                          # who measures
engine_number = ""
note = ""

# The tools: a tool's own error is one and the same in all that is read with it. Where yours has a
# certificate, write what it states: limit = "0.01 mm" and division = "0.01 mm".
"""

_FOOT = """\
[cylinder]
count = {cylinders}
# rod_length = "{rod}"         # between the centres: wanted for the effective ratio

[gasket]
reuse = false                     # the next build gets a new one; true where this one goes on again

# The gap above the top ring. Take the # away where you have read it:
# [ring_land]
# height = "{land}"            # crown's edge to top ring
# diameter = "{across}"        # of the piston there: the bore less this is the gap
# filled = true                   # true: grease filled the gap while the crown was poured

# [piston]
# dish = "0 cc"                   # only where no known-depth pour is taken: dish, dome, reliefs

# [cam]
# intake_closes = "60 deg"        # after bottom dead centre
# checking_lift = "0.050 in"      # valve lift at which the cam's maker gives it

# [site]
# altitude = "{altitude}"

# [fuel]
# antiknock_index = 87            # as on the pump, (R+M)/2
"""


def _tools() -> str:
    lines = []
    for name, (kind, note) in TOOLS.items():
        if kind == "degree wheel":
            continue
        said = f"   # {note}" if note else ""
        lines += [f"[tools.{_key(name)}]", f"kind = {_text(kind)}{said}"]
        if kind == "burette":
            lines += ['size = "100 mL"', 'class = "B"']
        lines.append("")
    return "\n".join(lines)


def _banks(banks: dict[str, list[int]]) -> str:
    if not banks:
        return ""
    lines = ["# Makers count in their own way: write which cylinders stand in which bank."]
    for name, cylinders in banks.items():
        lines += ["[[bank]]", f"name = {_text(name)}", f"cylinders = {cylinders}", ""]
    return "\n".join(lines)


def _text(text: str) -> str:
    """A text as TOML writes it: as JSON does, where all of it can be printed."""
    return json.dumps(text, ensure_ascii=False)


def _key(name: str) -> str:
    return name if name.isalnum() else _text(name)
