"""A class's readings of the same chambers: groups by chambers by repeats, from a CSV file."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import pint

from enginemath.bench.how_sure.class_study import Study
from enginemath.sheets.csv_table import csv_rows
from enginemath.sheets.readings_table import Row, rows_of
from enginemath.sheets.text_file import from_file
from enginemath.units import Refused, kind, nominal, read, unit_text

COLUMNS = ("group", "cylinder", "repeat", "volume")
_ALSO_CALLED = {"chamber": "cylinder", "reading": "volume", "value": "volume"}


def read_study(path: str | os.PathLike[str]) -> Study:
    """Read a study from a CSV file.

    Args:
        path: a table of readings as beside a build sheet, of one thing: the columns what, group,
            cylinder and pour, and reading or start and end. Or one with the columns group,
            cylinder, repeat and volume, one reading a row: ``A,1,2,45.15 cc``; other columns are
            left alone. In each the unit follows the number, and empty rows do not count.

    Returns:
        The study, in the unit of the first reading.

    Raises:
        Refused: a file that cannot be read, a missing column, a cell that is empty or no number
            with a unit, a reading that is there twice or not at all. The message names file,
            row and column; the headings are row 1.
    """
    return from_file(path, study_of)


def study_of(text: str) -> Study:
    """A study from the text of a CSV file; see `read_study`.

    >>> study_of("group,chamber,repeat,reading\\nred,1,1,forty")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: row 2, column volume: "forty": write a number and its \
unit, like "92.0 mm"
    """
    rows = csv_rows(text)
    first = next(rows, (1, []))[1]
    words = [heading.strip().casefold() for heading in first]
    if "what" in words:
        return _of_table(rows_of(text))
    headings = [_ALSO_CALLED.get(word, word) for word in words]
    for name in COLUMNS:
        if name not in headings:
            raise Refused(f"row 1, column {name}: missing; write {', '.join(COLUMNS)}")
    columns = {name: headings.index(name) for name in COLUMNS}
    cells: dict[tuple[str, str], dict[str, _Reading]] = {}
    unit = None
    for number, row in rows:
        where = f"row {number}"
        group, chamber, repeat, reading = _cells(row, columns, where)
        quantity = _quantity(reading, unit, f"{where}, column volume")
        unit = unit or quantity.units
        cell = cells.setdefault((group, chamber), {})
        if repeat in cell:
            raise Refused(
                f"{where}, column repeat: group {group}, cylinder {chamber}, repeat {repeat} "
                f"is in row {cell[repeat].row} already"
            )
        cell[repeat] = _Reading(nominal(quantity.m_as(unit)), number)
    if unit is None:
        raise Refused("row 2, column group: no readings")
    return _balanced(cells, unit_text(unit), "repeat")


def _of_table(rows: list[Row]) -> Study:
    """A study from a table of readings, the fills of a pour added up."""
    used = [row for row in rows if not (row.left_out or row.is_blank)]
    whats = dict.fromkeys(row.what for row in used)
    if len(whats) > 1:
        raise Refused(
            f"row {next(r.number for r in used if r.what != used[0].what)}, column what: a study "
            f"is of one thing, and here are {' and '.join(whats)}"
        )
    cells: dict[tuple[str, str], dict[str, _Reading]] = {}
    fills: set[tuple[str, str, str, str]] = set()
    unit = None
    for row in used:
        cylinder = str(row.cylinder or "")
        for column, said in (("group", row.group), ("cylinder", cylinder), ("pour", row.pour)):
            if not said:
                raise Refused(f"row {row.number}, column {column}: nothing written")
        for column, text, sign in _ends(row):
            quantity = _quantity(text, unit, f"row {row.number}, column {column}")
            unit = unit or quantity.units
            cell = cells.setdefault((row.group, cylinder), {})
            before = cell.get(row.pour, _Reading(0.0, row.number))
            value = before.value + sign * nominal(quantity.m_as(unit))
            cell[row.pour] = _Reading(value, row.number)
        fill = row.group, cylinder, row.pour, row.fill
        if fill in fills:
            raise Refused(
                f"row {row.number}, column pour: group {row.group}, cylinder {cylinder}, pour "
                f"{row.pour} is there already; number the pours, or the fills of one pour"
            )
        fills.add(fill)
    if unit is None:
        raise Refused("row 2, column group: no readings")
    return _balanced(cells, unit_text(unit), "pour")


def _ends(row: Row) -> Iterator[tuple[str, str, int]]:
    if row.reading:
        yield "reading", row.reading, 1
        return
    for column, text, sign in (("end", row.end, 1), ("start", row.start, -1)):
        if not text:
            raise Refused(f"row {row.number}, column {column}: nothing written")
        yield column, text, sign


@dataclass(frozen=True)
class _Reading:
    value: float
    row: int


def _cells(row: list[str], columns: Mapping[str, int], where: str) -> list[str]:
    cells = [row[place] if place < len(row) else "" for place in columns.values()]
    for name, cell in zip(columns, cells, strict=True):
        if not cell:
            raise Refused(f"{where}, column {name}: nothing written")
    return cells


def _quantity(reading: str, unit: pint.Unit | None, where: str) -> pint.Quantity:
    try:
        quantity = read(reading)
    except Refused as refusal:
        raise Refused(f"{where}: {refusal}") from None
    if unit is not None and not quantity.is_compatible_with(unit):
        raise Refused(
            f"{where}: {reading} is {kind(quantity.units)}, the rows above hold {kind(unit)}"
        )
    return quantity


def _balanced(cells: dict[tuple[str, str], dict[str, _Reading]], unit: str, repeat: str) -> Study:
    """Groups by chambers by repeats, or a refusal that says which reading is not there."""
    groups = list(dict.fromkeys(group for group, _ in cells))
    chambers = list(dict.fromkeys(chamber for _, chamber in cells))
    repeats = max(len(cell) for cell in cells.values())
    last_row = max(reading.row for cell in cells.values() for reading in cell.values())
    for group in groups:
        for chamber in chambers:
            cell = cells.get((group, chamber))
            if cell is None:
                theirs = (cell for key, cell in cells.items() if key[0] == group)
                last = max(reading.row for cell in theirs for reading in cell.values())
                raise Refused(
                    f"row {last}, column cylinder: the rows of group {group} end "
                    f"here, and none is of cylinder {chamber}"
                )
            if len(cell) < repeats:
                raise Refused(
                    f"row {max(r.row for r in cell.values())}, column {repeat}: "
                    f"group {group} read cylinder {chamber} {_times(len(cell))}, "
                    f"others are read {_times(repeats)}; every group reads each equally often"
                )
    for column, count in (("group", len(groups)), ("cylinder", len(chambers)), (repeat, repeats)):
        if count < 2:
            raise Refused(f"row {last_row}, column {column}: only one; two or more tell")
    return Study(
        tuple(groups),
        tuple(chambers),
        unit,
        tuple(
            tuple(tuple(r.value for r in cells[group, chamber].values()) for chamber in chambers)
            for group in groups
        ),
    )


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"
