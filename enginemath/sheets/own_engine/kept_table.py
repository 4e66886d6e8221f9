"""A table of readings that is filled in one cell at a time, each on disk before the next.

Every entry is first appended to a log beside the table, flushed and synced; then the table is
written anew, whole or not at all. Whatever ends the program between two steps, the log has it: an
entry that the table lacks, because it was not reached or because somebody saved an older table
over it, is put back and said.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from enginemath.sheets.readings_table import COLUMNS, Row, rows_of, text_of
from enginemath.sheets.text_file import SheetRefused, write_atomically
from enginemath.units import Refused

Key = tuple[str, ...]
_KEY = ("what", "cylinder", "group", "place", "pour", "fill")
CELLS = ("depth", "start", "end", "reading", "left out", "note")
"""Columns that are filled in."""
_TOLD = 3
"""Cells that are named one by one; of more, how many they are."""


class Disagrees(Refused):
    """A cell was written by somebody else since it was shown: nothing is written over it.

    `there` is what stands in it.
    """

    def __init__(self, there: str, place: str):
        super().__init__(f"{place}: somebody else wrote {there} here in the meantime")
        self.there = there


@dataclass(frozen=True)
class Entry:
    """One entry of the log."""

    key: Key
    column: str
    text: str
    when: str


class KeptTable:
    """A table and its log.

    Args:
        path: of the table.

    Raises:
        SheetRefused: the table cannot be read.

    `told` says what was put back, and where table and log differ; it is emptied by whoever has
    read it. `trouble` says why the table, other than the log, cannot be written just now.
    """

    def __init__(self, path: Path):
        self.path = path
        self.log = log_of(path)
        self.told: list[str] = []
        self.trouble = ""
        self._seen: tuple[int, ...] | None = None
        self._log_seen: tuple[int, ...] | None = None
        self.look_again()

    # Reading

    @property
    def text(self) -> str:
        """The whole table as it stands."""
        return _as_text(self._head, self._cells, self._parted)

    @property
    def rows(self) -> list[Row]:
        """Its rows."""
        return list(self._rows)

    def row(self, number: int) -> Row:
        """The row with a number, as a spreadsheet counts.

        Raises:
            Refused: there is none.
        """
        found = next((row for row in self._rows if row.number == number), None)
        if found is None:
            raise Refused(f"row {number}: the table has no such reading")
        return found

    def look_again(self) -> bool:
        """Read the table if it or its log was changed elsewhere; whether it was."""
        if self._seen is not None and (self._seen, self._log_seen) == self._look():
            return False
        # Looked at first, read after: a change in between is a change still to be seen. A table
        # that cannot be read is not taken as seen: it is told of again, and never written over.
        found = self._look()
        self._read(text_of(self.path))
        self._seen, self._log_seen = found
        self._put_back()
        return True

    def _look(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        return seen(self.path), seen(self.log)

    def _read(self, text: str) -> None:
        self._rows = rows_of(text, self.path.name)
        text = text.removeprefix("\ufeff")
        head = text.lstrip("\r\n").partition("\n")[0]
        self._parted = ";" if head.count(";") > head.count(",") else ","
        cells = list(csv.reader(io.StringIO(text, newline=""), delimiter=self._parted))
        first = next(n for n, row in enumerate(cells) if any(map(str.strip, row)))
        self._head = [" ".join(name.split()).casefold().replace("_", " ") for name in cells[first]]
        self._cells = {n: row for n, row in enumerate(cells, start=1) if n > first + 1}

    # Keys: what a row is, wherever it stands

    def _keys(self) -> dict[int, Key]:
        met: Counter[Key] = Counter()
        found = {}
        for row in self._rows:
            key = tuple(str(getattr(row, name) or "") for name in _KEY)
            met[key] += 1
            found[row.number] = (*key, str(met[key]))
        return found

    def key(self, number: int) -> Key:
        """What a row is, wherever in the table it stands."""
        return self._keys()[number]

    # Writing

    def keep(self, number: int, cells: Mapping[str, str], before: Mapping[str, str]) -> None:
        """Write cells of one row; when this returns, they are on disk.

        Args:
            number: of the row.
            cells: new texts by column.
            before: what stood there when they were asked for.

        Raises:
            Disagrees: somebody else has written another text there since.
            OSError: the disk does not take it; nothing is changed then.
        """
        key = self.key(number)
        if self.look_again():
            number = self._number_of(key)
        row = self.row(number)
        for column, text in cells.items():
            there = cell_of(row, column)
            if there and there not in (text, before.get(column, "")):
                raise Disagrees(there, _place(key))
        now = datetime.now().isoformat(timespec="seconds")
        self._append([Entry(key, column, text, now) for column, text in cells.items()])
        if self.look_again():
            return  # saved by another at this very moment: the log has put ours in again
        for column, text in cells.items():
            self._set(number, column, text)
        self._write_table()

    def add_rows(self, after: int, rows: list[Row]) -> None:
        """Put blank rows below a row.

        Raises:
            OSError: the table cannot be written.
        """
        self.look_again()
        width = len(self._head)
        for row in rows:
            for name in ("pour", "fill"):
                if getattr(row, name) and name not in self._head:
                    self._head.append(name)
                    width += 1
        new = [_cells_of(row, self._head) for row in rows]
        order = sorted(self._cells)
        every = [self._cells[n] for n in order]
        at = order.index(after) + 1
        every[at:at] = new
        text = _as_text(self._head, dict(enumerate(every)), self._parted)
        write_atomically(self.path, text)
        self._seen = seen(self.path)
        self._read(text)

    def _number_of(self, key: Key) -> int:
        found = next((n for n, each in self._keys().items() if each == key), None)
        if found is None:
            raise Refused(f"{_place(key)}: is no longer in the table")
        return found

    def _set(self, number: int, column: str, text: str) -> None:
        if column not in self._head:
            self._head.append(column)
        cells = self._cells[number]
        place = self._head.index(column)
        cells += [""] * (place + 1 - len(cells))
        cells[place] = text

    def _write_table(self) -> None:
        """The table follows the log; where it cannot, the log has it and the table waits."""
        text = self.text
        self._read(text)
        try:
            write_atomically(self.path, text)
        except SheetRefused as refusal:
            self.trouble = (
                f"{self.path.name} {refusal.reason}: the reading is kept in {self.log.name}, and "
                "goes into the table as soon as that can be written"
            )
            return
        self.trouble = ""
        self._seen = seen(self.path)

    # The log

    def _append(self, entries: list[Entry]) -> None:
        """Append, flush and sync; what is taken back on the way leaves the log as it was."""
        lines = "".join(
            json.dumps({**dict(zip(_KEY, each.key, strict=False)), "nth": each.key[-1],
                        "column": each.column, "text": each.text, "at": each.when},
                       ensure_ascii=False) + "\n"
            for each in entries
        )  # fmt: skip
        with self.log.open("ab") as file:
            size = file.tell()
            # A line that a killed program left half written is closed, so that it spoils no other.
            lead = "" if size == 0 or _ends_a_line(self.log) else "\n"
            try:
                file.write((lead + lines).encode())
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                with suppress(OSError):
                    os.truncate(self.log, size)
                raise
        now = seen(self.log)
        before = self._log_seen[1] if self._log_seen else 0
        ours_alone = now and now[1] == before + len((lead + lines).encode())
        self._log_seen = now if ours_alone else (0,)  # else it has to be read again

    def _entries(self) -> Iterator[Entry]:
        try:
            content = self.log.read_bytes()
        except FileNotFoundError:
            return
        except OSError as error:
            self.told.append(f"{self.log.name}: cannot be read ({error.strerror})")
            return
        for line in content.split(b"\n"):
            try:
                found = json.loads(line)
                key = (*(str(found[name]) for name in _KEY), str(found["nth"]))
                entry = Entry(key, str(found["column"]), str(found["text"]), str(found["at"]))
            except (ValueError, LookupError, TypeError):
                continue  # half a line, from a program that was killed while it wrote
            if entry.column in COLUMNS:
                yield entry

    def _put_back(self) -> None:
        """What the log has and the table has not goes in again; where they differ, it is said."""
        last: dict[tuple[Key, str], Entry] = {}
        for entry in self._entries():
            last[entry.key, entry.column] = entry
        if not last:
            return
        numbers = {key: number for number, key in self._keys().items()}
        lacking, other = [], []
        for (key, column), entry in last.items():
            number = numbers.get(key)
            there = cell_of(self.row(number), column) if number else ""
            if number is None or there == entry.text:
                continue
            if there:
                other.append((entry, there))
            else:
                self._set(number, column, entry.text)
                lacking.append(entry)
        now = datetime.now().isoformat(timespec="seconds")
        if other:
            with suppress(OSError):
                self._append([Entry(e.key, e.column, there, now) for e, there in other])
        if lacking:
            self._write_table()
        self._tell(lacking, other)

    def _tell(self, lacking: list[Entry], other: list[tuple[Entry, str]]) -> None:
        name = self.path.name
        if len(lacking) > _TOLD:
            self.told.append(f"{len(lacking)} readings were missing in {name} and are back in it")
        else:
            self.told += [
                f"{_place(entry.key)}: {entry.text} was missing in {name} and is back in it"
                for entry in lacking
            ]
        self.told += [
            f"{_place(entry.key)}: {name} now says {there}; here {entry.text} was written on "
            f"{entry.when.replace('T', ' at ')[:19]}. The table counts; type it again if that is "
            "wrong"
            for entry, there in other[:_TOLD]
        ]
        if len(other) > _TOLD:
            self.told.append(f"and {len(other) - _TOLD} more that {name} says otherwise")


def log_of(table: Path) -> Path:
    """The log beside a table."""
    return table.with_name(f"{table.stem}.kept.jsonl")


def cell_of(row: Row, column: str) -> str:
    """What stands in a column of a row."""
    return str(getattr(row, column.replace(" ", "_")) or "")


def _cells_of(row: Row, head: list[str]) -> list[str]:
    return [cell_of(row, column) if column in COLUMNS else "" for column in head]


def _place(key: Key) -> str:
    what, cylinder, group, place, pour, fill, _ = key
    parts = [
        what,
        f"cylinder {cylinder}" if cylinder else "",
        place,
        f"pour {pour}" if pour else "",
        f"fill {fill}" if fill else "",
        f"group {group}" if group else "",
    ]
    return ", ".join(filter(None, parts))


def _as_text(head: list[str], cells: Mapping[int, list[str]], parted: str) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n", delimiter=parted)
    writer.writerow(head)
    width = len(head)
    for number in sorted(cells):
        row = [*cells[number], *[""] * (width - len(cells[number]))]
        writer.writerow(row if any(map(str.strip, row)) else [])
    return out.getvalue()


def seen(path: Path) -> tuple[int, ...]:
    """By what a change of a file is seen; empty where there is none."""
    try:
        found = path.stat()
    except OSError:
        return ()
    return found.st_mtime_ns, found.st_size, found.st_ino


def _ends_a_line(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
