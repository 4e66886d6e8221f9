"""An engine whose readings are being taken: its boxes in order, and what is said of an entry."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import fmean
from typing import Any

from enginemath.formulas.geometry import disc
from enginemath.sheets.bench_layout import check_bench_sheet
from enginemath.sheets.fields import Fields, check_sheet
from enginemath.sheets.own_engine.bench_order import TAKINGS, Taking
from enginemath.sheets.own_engine.kept_table import KeptTable, cell_of
from enginemath.sheets.own_engine.kept_table import seen as _seen
from enginemath.sheets.own_engine.slips import (
    Cell,
    Slip,
    read_cell,
    unlike_the_other_side,
    unlikely,
    unlikely_pour,
)
from enginemath.sheets.readings_table import Row, read_table, table_text
from enginemath.sheets.text_file import SheetRefused, from_file, load_toml
from enginemath.sheets.toml_table import tables_of
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import MM3_PER_CC, Refused

OF_SWEPT = (0.02, 0.35)
"""A chamber beside the swept volume, of a petrol engine. Common practice, no source."""
AS_BEFORE = "as before the work"
"""Note of a reading that was taken over."""


@dataclass(frozen=True)
class Box:
    """One number to be read: the row of the table, and "depth", "start", "end" or "reading"."""

    number: int
    cell: str


@dataclass(frozen=True)
class Entry:
    """What became of an entry: kept, or asked about before it is."""

    kept: Cell | None
    slip: Slip | None = None
    cell: Cell | None = None


class BenchRecord:
    """A sheet and the table that is filled in.

    Args:
        sheet: of format 2.
        table: its own table; by default the first that the sheet names.

    Raises:
        SheetRefused: a sheet or a table that cannot be; names the file.
    """

    def __init__(self, sheet: Path, table: str = ""):
        self.sheet = sheet
        self._seen = _seen(sheet)
        self.written = read_written(sheet)
        names = table_names(self.written, sheet.name)
        own = table or names[0]
        if own not in names:
            raise SheetRefused(f"{own}: the sheet does not name this table", file=sheet.name)
        self.table = KeptTable(sheet.parent / own)
        self.other_names = [name for name in names if name != own]
        self.count = Fields(self.written).count
        self._before = self._rows_before()

    def look_again(self) -> bool:
        """Read sheet and table again where they were changed elsewhere; whether one was.

        Raises:
            SheetRefused: what stands there now cannot be.
        """
        seen = _seen(self.sheet)
        if seen != self._seen:
            written = read_written(self.sheet)
            names = table_names(written, self.sheet.name)
            self.other_names = [name for name in names if name != self.table.path.name]
            self.written, self._seen = written, seen
            self.count = Fields(written).count
            self._before = self._rows_before()
        return self.table.look_again()

    # The engine

    @property
    def name(self) -> str:
        """Of the engine."""
        return str(self.written["name"])

    @property
    def banks(self) -> dict[str, list[int]]:
        """The cylinders of each bank; all under an empty name where the sheet has no banks."""
        tables = tables_of(self.written, "bank")
        named = {str(t.written("name")): list(t.written("cylinders") or []) for t in tables}
        return named or {"": [*range(1, self.count + 1)]}

    @property
    def group(self) -> str:
        """Who reads."""
        return next((row.group for row in self.table.rows), "")

    def others(self) -> list[Row]:
        """What other groups wrote into their tables."""
        rows: list[Row] = []
        for name in self.other_names:
            rows += read_table(self.sheet.parent / name)
        return rows

    # Rows and boxes

    @property
    def rows(self) -> list[Row]:
        """Of the own table."""
        return self.table.rows

    def taking(self, row: Row) -> Taking:
        """How a row is read."""
        return TAKINGS.get(row.what) or Taking(row.what, row.tool, "")

    def cells(self, row: Row) -> tuple[str, ...]:
        """Which numbers a row wants."""
        if row.what not in WHATS or not WHATS[row.what].is_poured or row.reading:
            return ("reading",)
        if row.what != "known depth":
            return ("start", "end")
        same = [r for r in self.rows if _pour_of(r) == _pour_of(row)]
        return ("depth", "start", "end") if row.number == same[0].number else ("start", "end")

    @property
    def boxes(self) -> list[Box]:
        """All boxes in the order of the table."""
        return [Box(row.number, cell) for row in self.rows for cell in self.cells(row)]

    def is_done(self, row: Row) -> bool:
        """Whether a row has all its numbers, or a reason why it has none."""
        return bool(row.left_out) or all(cell_of(row, cell) for cell in self.cells(row))

    def first_open(self, after: Box | None = None) -> Box | None:
        """The next box without a number, from one on and then from the beginning."""
        boxes = self.boxes
        start = boxes.index(after) + 1 if after in boxes else 0
        for box in [*boxes[start:], *boxes[:start]]:
            row = self.table.row(box.number)
            if not row.left_out and not cell_of(row, box.cell):
                return box
        return None

    def name_of(self, box: Box) -> str:
        """The trade's name of a box: ``chamber, cylinder 3, pour 1, start``."""
        row = self.table.row(box.number)
        return ", ".join(filter(None, (row.what, self.where(row), self._which(row, box.cell))))

    def where(self, row: Row) -> str:
        """Where a row is read: cylinder, place, pour."""
        taking = self.taking(row)
        of = f"cylinder {row.cylinder}" if row.cylinder else taking.where
        pours = f"pour {row.pour}" if row.pour else ""
        fills = f"fill {row.fill}" if row.fill else ""
        return ", ".join(filter(None, (of, row.place, pours, fills, self._again(row))))

    def _again(self, row: Row) -> str:
        nth = self.table.key(row.number)[-1]
        return "" if nth == "1" else f"reading {nth}"

    @staticmethod
    def _which(row: Row, cell: str) -> str:
        return cell if WHATS[row.what].is_poured and not row.reading else ""

    def unit(self, box: Box) -> str:
        """Of a bare number in a box: as the table says, as its like was written, or the shop's."""
        row = self.table.row(box.number)
        said = row.depth_unit if box.cell == "depth" else row.unit
        if said:
            return said
        limit = WHATS[row.what].limit
        if box.cell in ("start", "end") or (limit.unit == "cc" and box.cell != "depth"):
            return "mL"
        if limit.unit == "deg":
            return "deg"
        lengths = (r.depth or r.reading for r in self.rows if WHATS[r.what].limit.unit != "cc")
        return next((u for text in lengths if (u := _unit_in(text))), "mm")

    def tool(self, box: Box) -> str:
        """The tool with which a box is read."""
        row = self.table.row(box.number)
        return row.depth_tool if box.cell == "depth" else row.tool or self.taking(row).tool

    # Entries

    def read(self, box: Box, text: str) -> Cell:
        """Read a text as it stands in a box.

        Raises:
            Refused: no reading.
        """
        return read_cell(text, box.cell, self.table.row(box.number).what, self.unit(box))

    def take(self, box: Box, text: str, sure: bool = False, shown: str | None = None) -> Entry:
        """Take an entry; when it returns as kept, it is on disk.

        Args:
            box: where.
            text: as typed.
            sure: whether what looks like a slip is right all the same.
            shown: what stood in the box when it was asked for; by default what stands in it.

        Raises:
            Refused: no reading, or nothing that an engine can have.
            Disagrees: somebody else wrote another text there in the meantime.
            OSError: the disk does not take it.
        """
        cell = self.read(box, text)
        slip = None if sure else self._slip(box, cell)
        if cell.cannot and (slip is None or not slip.meant):
            raise Refused(cell.cannot)
        if slip:
            return Entry(None, slip, cell)
        self._keep(box, {box.cell: cell.text, "left out": ""}, shown)
        return Entry(cell)

    def clear(self, box: Box) -> None:
        """Take a reading out again."""
        self._keep(box, {box.cell: ""})

    def leave_out(self, box: Box, why: str) -> None:
        """Leave a row out, with a reason."""
        why = " ".join(why.split())
        if not why:
            raise Refused("say why, in a few words: the reason stands in the table")
        self._keep(box, {"left out": why})

    def _keep(self, box: Box, cells: Mapping[str, str], shown: str | None = None) -> None:
        row = self.table.row(box.number)
        before = {column: cell_of(row, column) for column in cells}
        new = {column: text for column, text in cells.items() if text != before[column]}
        if shown is not None:
            before[box.cell] = shown
        if new:
            self.table.keep(box.number, new, before)

    def add(self, box: Box, kind: str) -> Box:
        """A row more below one: the burette filled "again", or the same thing read "anew".

        Raises:
            SheetRefused: the table cannot be written.
        """
        row = self.table.row(box.number)
        blank = row._replace(depth="", start="", end="", reading="", left_out="", note="")
        same = [r for r in self.rows if r.what == row.what and r.cylinder == row.cylinder]
        if kind == "fill":
            fills = [r for r in same if _pour_of(r) == _pour_of(row)]
            row, blank = fills[-1], blank._replace(fill=str(len(fills) + 1))
        elif row.pour:
            pours = [int(r.pour) for r in same if r.pour.isdigit()]
            row, blank = same[-1], blank._replace(pour=str(max(pours, default=0) + 1), fill="")
        self.table.add_rows(row.number, [blank])
        new = row.number + 1
        return Box(new, self.cells(self.table.row(new))[0])

    # Slips

    def values(self, row: Row, cell: str) -> list[float]:
        """The same thing as far as it was read elsewhere, mm or cc; a pour's whole volume."""
        others = [
            r for r in self.rows if r.what == row.what and r is not row and not r.left_out
            and r.number != row.number
        ]  # fmt: skip
        if cell in ("start", "end"):
            return [v for r in others if (v := self.poured(r)) is not None]
        return [v for r in others if (v := self.value(r, cell)) is not None]

    def value(self, row: Row, cell: str) -> float | None:
        """One number of a row in mm, cc or degrees; None where there is none that can be read."""
        text = cell_of(row, cell)
        if not text:
            return None
        try:
            return read_cell(text, cell, row.what, self.unit(Box(row.number, cell))).value
        except Refused:
            return None

    def poured(self, row: Row) -> float | None:
        """Volume of a fill, cc."""
        if row.reading:
            return self.value(row, "reading")
        start, end = self.value(row, "start"), self.value(row, "end")
        return None if start is None or end is None else end - start

    def _slip(self, box: Box, cell: Cell) -> Slip | None:
        row = self.table.row(box.number)
        others = self.values(row, box.cell)
        if box.cell in ("start", "end"):
            fills = [r for r in self.rows if _pour_of(r) == _pour_of(row)]
            several = [r for r in self.rows if r.what == row.what and r.fill]
            if len(fills) > 1 or several:
                others = []  # a fill is a part of a pour: nothing to hold it against
            start = self.value(row, "start")
            usual = self._usual_chamber() if row.what == "chamber" and not several else None
            return unlikely_pour(cell, box.cell, start, others, row.what, usual)
        slip = unlikely(cell, row.what, box.cell, others)
        if slip is None and row.what == "deck clearance" and row.place:
            for other in self.rows:
                is_twin = other.cylinder == row.cylinder and other.place != row.place
                value = self.value(other, "reading") if other.what == row.what else None
                if is_twin and value is not None and not other.left_out:
                    slip = slip or unlike_the_other_side(cell, value, row.cylinder)
        return slip

    def _usual_chamber(self) -> tuple[float, float] | None:
        """What a chamber holds, cc, beside what the piston sweeps; None before that is read."""
        if self.written.get("fuel", {}).get("kind") == "diesel":
            return None
        means = {}
        for what in ("bore", "depth at bdc", "deck clearance"):
            rows = [row for row in self.rows if row.what == what and not row.left_out]
            read = [value for row in rows if (value := self.value(row, "reading")) is not None]
            if not read:
                return None
            means[what] = fmean(read)
        stroke = means["depth at bdc"] - means["deck clearance"]
        swept = disc(means["bore"], stroke) / MM3_PER_CC
        return OF_SWEPT[0] * swept, OF_SWEPT[1] * swept

    # Before the work

    @property
    def sheet_before(self) -> Path | None:
        """The sheet of before the work; None where this one names none."""
        name = str(self.written.get("record", {}).get("before", ""))
        return self.sheet.parent / name if name else None

    def _rows_before(self) -> dict[tuple[str, ...], Row]:
        old = self.sheet_before
        if old is None:
            return {}
        name = str(self.written["record"]["before"])
        if Path(name).name != name:
            raise SheetRefused(f"{name!r:.80}: the sheet of before stands beside this one",
                               "record.before", self.sheet.name)  # fmt: skip
        found: dict[tuple[str, ...], Row] = {}
        for table in table_names(read_written(old), old.name):
            for row in read_table(old.parent / table):
                if not row.is_blank and not row.left_out:
                    found.setdefault(_without_group(row), row)
        return found

    def before(self, box: Box) -> str:
        """What stood in a box before the work; empty where nothing did."""
        found = self._before.get(_without_group(self.table.row(box.number)))
        return cell_of(found, box.cell) if found else ""

    @property
    def is_after_work(self) -> bool:
        """Whether a sheet of before the work is named."""
        return bool(self._before)

    def as_before(self, box: Box) -> int:
        """Take over what the work did not touch: all boxes of this kind; how many."""
        what, taken = self.table.row(box.number).what, 0
        for each in self.boxes:
            row = self.table.row(each.number)
            text = self.before(each)
            if row.what == what and text and not cell_of(row, each.cell) and not row.left_out:
                self._keep(each, {each.cell: text, "note": AS_BEFORE})
                taken += 1
        return taken

    # What is known

    def tables(self) -> dict[str, str]:
        """The texts of all tables, a pour that is not at its end yet as one not yet begun."""
        name = self.table.path.name
        return {name: table_text([self._whole(row) for row in self.rows])}

    def _whole(self, row: Row) -> Row:
        if all(cell_of(row, cell) for cell in self.cells(row)):
            return row
        return row._replace(start="", end="", reading="")

    def progress(self) -> Iterator[tuple[str, int, int, str]]:
        """Of each kind: its name, how many boxes have a number, how many there are, the tool."""
        order = dict.fromkeys(row.what for row in self.rows)
        for what in order:
            rows = [row for row in self.rows if row.what == what]
            boxes = [(row, cell) for row in rows for cell in self.cells(row)]
            done = sum(bool(row.left_out or cell_of(row, cell)) for row, cell in boxes)
            tools = dict.fromkeys(
                name for row in rows for name in (row.depth_tool, row.tool) if name
            )
            yield what, done, len(boxes), " and ".join(tools)


def read_written(sheet: Path) -> dict[str, Any]:
    """The tables of a sheet of format 2, checked as far as they go without readings.

    Raises:
        SheetRefused: names the file, the line and the field.
    """

    def checked(text: str) -> dict[str, Any]:
        written = load_toml(text)
        if written.get("format") == 1:
            raise SheetRefused("a sheet of format 1 has no table: write format = 2", "format")
        check_sheet(written)
        check_bench_sheet(written)
        return written

    return from_file(sheet, checked)


def table_names(written: Mapping[str, Any], sheet: str) -> list[str]:
    """The tables that a sheet names, each beside it."""
    names = written.get("readings", [])
    found = [names] if isinstance(names, str) else names
    if not isinstance(found, Sequence) or not found or not all(isinstance(n, str) for n in found):
        raise SheetRefused(
            'no table: write readings = "…-readings.csv", or begin with enginemath new',
            "readings",
            sheet,
        )
    for name in found:
        if Path(name).name != name:
            raise SheetRefused(
                f"{name!r:.80}: the table stands beside the sheet", "readings", sheet
            )
    return list(found)


def _pour_of(row: Row) -> tuple[str, int, str, str, str]:
    return row.what, row.cylinder, row.group, row.place, row.pour


def _without_group(row: Row) -> tuple[str, ...]:
    return row.what, str(row.cylinder), row.place, row.pour, row.fill


def _unit_in(text: str) -> str:
    found = re.search(r"(in|mm|thou)\s*$", text)
    return {"thou": "in"}.get(found[1], found[1]) if found else ""
