"""The table of readings beside a sheet: one row a reading, as a spreadsheet saves it."""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from enginemath.sheets.csv_table import how_parted
from enginemath.sheets.text_file import (
    SheetRefused,
    plain_file,
    refuse_two_versions,
    short,
    write_atomically,
)
from enginemath.sheets.toml_table import unknown

LARGEST_TABLE = 50_000_000


class Row(NamedTuple):
    """One reading as it was written; what a column does not say is empty.

    Args:
        number: of the row, as a spreadsheet counts: the header is row 1.
        what: was read, such as "bore".
        cylinder: counted from 1; 0 where the reading holds for all.
        group: who read it.
        place: where it was read.
        pour, fill: numbers, for pours in several fills.
        depth, depth_unit, depth_tool: of a known-depth pour: how far the piston stood below the
            deck.
        start, end: of a burette's fill.
        reading: of any other tool.
        unit: of start, end and reading where they are bare numbers.
        tool: a name from the sheet's ``[tools]``.
        left_out: why the reading is not used; empty where it is.
        note: free text.
        file: name of the table.
    """

    number: int
    what: str
    cylinder: int = 0
    group: str = ""
    place: str = ""
    pour: str = ""
    fill: str = ""
    depth: str = ""
    depth_unit: str = ""
    depth_tool: str = ""
    start: str = ""
    end: str = ""
    reading: str = ""
    unit: str = ""
    tool: str = ""
    left_out: str = ""
    note: str = ""
    file: str = ""

    def refusal(self, reason: str, column: str = "") -> SheetRefused:
        """What is wrong with this row, to be raised."""
        field = f"row {self.number}, {column}" if column else f"row {self.number}"
        return SheetRefused(reason, field, self.file)

    @property
    def is_blank(self) -> bool:
        """Whether nothing was read yet: a row that waits for its reading."""
        return not (self.start or self.end or self.reading)

    @property
    def so_far(self) -> Row:
        """The row as it counts while readings are taken: half a fill is none yet."""
        half = bool(self.start) != bool(self.end) and not self.reading
        return self._replace(start="", end="") if half else self


COLUMNS = tuple(name.replace("_", " ") for name in Row._fields if name not in ("number", "file"))
"""Headers of the table, in its order."""


def rows_of(text: str, file: str = "") -> list[Row]:
    """Read a table of readings; comma, semicolon or tab between the cells.

    A bare number gets the unit of its row, where the table has a column for it.

    Args:
        text: of the file.
        file: its name, for what is refused.

    Returns:
        Its rows, blank lines left out.

    Raises:
        SheetRefused: a header that is not known, one that is missing or stands twice, a row with
            too many cells, a cylinder that is no number; names the file and the row.

    >>> rows_of("what,cylinder,reading,tool\\nbore,3,92.01 mm,micrometer")[0].reading
    '92.01 mm'
    >>> rows_of("what,cylinder,reading,unit\\nbore,3,92.01,mm")[0].reading
    '92.01 mm'
    >>> rows_of("what;cylinder;reading\\nbore;three;92.01 mm", "bay3.csv")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: bay3.csv: row 2, cylinder: 'three': write the \
cylinder's number, or leave it empty for all
    """
    text = text.removeprefix("\ufeff")
    if "\0" in text:
        raise SheetRefused("not a table of text", file=file)
    refuse_two_versions(text, file)
    text, delimiter, before = how_parted(text)
    cells = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = width = 0
    places: tuple[str, ...] = ()
    header: list[str] = []
    found: list[Row] = []
    try:
        for number, row in enumerate(cells, start=1 + before):
            if not any(map(str.strip, row)):
                continue
            if not places:
                places, width, header = _places(row, number, file), len(row), row
            elif row == header:
                raise SheetRefused(
                    "the heading stands again: two tables were saved one below the other; keep "
                    "one, or save them apart and name both under readings",
                    f"row {number}",
                    file,
                )
            else:
                found.append(_row(row, number, places, width, delimiter, file))
    except csv.Error:
        raise SheetRefused(
            "a quote is not closed, or letters follow one that is: put quotes at both ends of the "
            "cell, or none",
            f"row {number + 1}",
            file,
        ) from None
    if not places:
        raise SheetRefused(
            f"empty; the first row names the columns: {', '.join(COLUMNS)}", file=file
        )
    return found


def _places(header: Sequence[str], number: int, file: str) -> tuple[str, ...]:
    """The fields of a row in the order of the columns."""
    names = [" ".join(name.split()).casefold().replace("_", " ") for name in header]
    while names and not names[-1]:
        names.pop()
    for place, name in enumerate(names):
        if name not in COLUMNS:
            raise SheetRefused(
                f"column {short(header[place].strip())}: {_unknown(name)}",
                f"row {number}",
                file,
            )
        if name in names[:place]:
            raise SheetRefused(f"column {name}: stands twice", f"row {number}", file)
    if "what" not in names:
        raise SheetRefused("column what: missing; it says what was read", f"row {number}", file)
    if "reading" not in names and not {"start", "end"} <= {*names}:
        raise SheetRefused(
            "column reading, or start and end: missing; there the reading stands",
            f"row {number}",
            file,
        )
    return tuple(name.replace(" ", "_") for name in names)


def _unknown(name: str) -> str:
    said = unknown(name, COLUMNS)
    return said if "mean" in said else f"unknown; the columns are {', '.join(COLUMNS)}"


def _row(
    cells: Sequence[str],
    number: int,
    places: Sequence[str],
    width: int,
    delimiter: str,
    file: str,
) -> Row:
    if len(cells) > width:
        said = f"{len(cells)} cells for {width} columns"
        if delimiter == ",":
            said += "; is a comma inside a reading or a note? Write a decimal point, and put quotes"
        raise SheetRefused(said, f"row {number}", file)
    given: dict[str, Any] = {
        place: cell.strip() for place, cell in zip(places, cells, strict=False)
    }
    cylinder = given.pop("cylinder", "")
    given.setdefault("what", "")
    is_number = cylinder.isascii() and cylinder.isdigit() and len(cylinder) < 4
    if cylinder and not (is_number and int(cylinder)):
        raise Row(number, "", file=file).refusal(
            f"{cylinder!r:.30}: write the cylinder's number, or leave it empty for all",
            "cylinder",
        )
    for column, of in _WITH_UNIT.items():
        unit = given.get(of)
        if unit and _BARE.fullmatch(given.get(column, "")):
            given[column] += f" {unit}"
    return Row(number, cylinder=int(cylinder or 0), file=file, **given)


_BARE = re.compile(
    r"[+\-−]?(?:[0-9]+\.?[0-9]*|\.[0-9]+|(?:[0-9]+ ?)?(?:[0-9]+[/⁄][0-9]+|[¼-¾⅐-⅞]))"
    r"(?: *(?:±|\+/-) *[0-9.]+)?"
)
_WITH_UNIT = {"depth": "depth_unit", "start": "unit", "end": "unit", "reading": "unit"}


def read_table(path: str | os.PathLike[str]) -> list[Row]:
    """Read a table from a file, which is never touched.

    Raises:
        SheetRefused: the file cannot be read, or as `rows_of`; names the file.
    """
    return rows_of(text_of(path), Path(path).name)


def text_of(path: str | os.PathLike[str]) -> str:
    """The text of a table's file, which is never touched.

    Raises:
        SheetRefused: the file cannot be read; names it.
    """
    file = str(path)
    try:
        with plain_file(path) as handle:
            content = handle.read(LARGEST_TABLE + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetRefused(f"cannot be read ({reason})", file=file) from None
    if len(content) > LARGEST_TABLE:
        raise SheetRefused("too large for a table of readings", file=file)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetRefused(
            "not a text file in UTF-8; save it again from the spreadsheet as CSV UTF-8", file=file
        ) from None


def table_text(rows: Iterable[Row]) -> str:
    """Rows as the text of a table; columns that are empty in all of them are left out.

    >>> print(table_text([Row(2, "bore", 1, reading="92.01 mm")]), end="")
    what,cylinder,reading
    bore,1,92.01 mm
    """
    every = list(rows)
    names = [name.replace(" ", "_") for name in COLUMNS]
    used = [name for name in names if name == "what" or any(getattr(r, name) for r in every)]
    if not {"reading", "start"} & {*used}:
        used.append("reading")
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(name.replace("_", " ") for name in used)
    for row in every:
        writer.writerow(getattr(row, name) or "" for name in used)
    return out.getvalue()


def write_table(rows: Iterable[Row], path: str | os.PathLike[str]) -> None:
    """Save a table atomically: an interrupted save leaves the old file whole.

    Raises:
        SheetRefused: the file cannot be written; names it.
    """
    write_atomically(path, table_text(rows))
