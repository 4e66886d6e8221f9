"""How far the readings of an engine have come, table by table, and what they say so far."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from enginemath.sheets.own_engine.bench_record import BenchRecord
from enginemath.sheets.own_engine.known import SoFar, known_so_far
from enginemath.units import Refused

MOST_SHEETS = 100
"""That are looked at in a folder."""


@dataclass(frozen=True)
class TableState:
    """One table of an engine.

    Args:
        table: its file's name.
        group: who reads; empty where nobody is named.
        done: readings that are taken, or left out with a reason.
        of: readings that it asks for.
        next: name of the next one; empty where all are taken.
        tool: with which that is read.
    """

    table: str
    group: str
    done: int
    of: int
    next: str = ""
    tool: str = ""


@dataclass(frozen=True)
class EngineState:
    """What there is of an engine.

    Args:
        sheet: its file's name.
        name: of the engine.
        tables: in the order of the sheet.
        so_far: what all of them say together; None where a reading cannot be.
        trouble: why it cannot be; empty where nothing is wrong.
        told: what was put back into a table, in sentences.
    """

    sheet: str
    name: str
    tables: tuple[TableState, ...]
    so_far: SoFar | None
    trouble: str = ""
    told: tuple[str, ...] = ()

    @property
    def is_read(self) -> bool:
        """Whether the ratio needs no reading more."""
        return self.so_far is not None and self.so_far.ratio is not None

    @property
    def ratio(self) -> str:
        """The ratio with its ±, or its range while readings are missing; empty for neither.

        >>> EngineState("a.toml", "a", (), SoFar((), (9.6, 9.8), 9.7, 0.05)).ratio
        'ratio 9.70 ± 0.05'
        >>> EngineState("a.toml", "a", (), SoFar((), (6.0, 19.1))).ratio
        'ratio 6.0 to 19.1'
        """
        found = self.so_far
        if found is None:
            return ""
        if found.ratio is None:
            low, high = found.ends
            return f"ratio {low:.1f} to {high:.1f}"
        return f"ratio {found.ratio:.2f} ± {found.u:.2f}" if found.u else f"ratio {found.ratio:.2f}"


def sheets_in(folder: Path) -> list[Path]:
    """The sheets of format 2 with a table of readings that lie in a folder, by name."""
    found = []
    for path in sorted(folder.glob("*.toml"))[:MOST_SHEETS]:
        try:
            with path.open(encoding="utf-8", errors="replace") as file:
                start = file.read(20_000)
        except OSError:
            continue
        if re.search(r"^format *= *2\b", start, re.M) and re.search(r"^readings *=", start, re.M):
            found.append(path)
    return found


def sheets_last_changed(folder: Path) -> list[Path]:
    """The same, the one first in which, or in whose tables, something was written last."""
    return sorted(sheets_in(folder), key=lambda sheet: (-_written(sheet), sheet.name))


def _written(sheet: Path) -> int:
    beside = [sheet, *sheet.parent.glob(f"{sheet.stem}-readings*")]
    return max(path.stat().st_mtime_ns for path in beside)


def price_list_of(sheet: Path) -> Path:
    """Where the shop's price list for an engine stands: beside its sheet, named after it."""
    return sheet.with_name(f"{sheet.stem}-options.toml")


def state_of(sheet: Path) -> EngineState:
    """Look at a sheet and all its tables.

    Args:
        sheet: the file, of format 2.

    Raises:
        SheetRefused: a sheet or a table that cannot be read at all; names the file.
    """
    first = BenchRecord(sheet)
    records = [first, *(BenchRecord(sheet, name) for name in first.other_names)]
    texts: dict[str, str] = {}
    for record in records:
        texts |= record.tables()
    told = tuple(said for record in records for said in record.table.told)
    tables = tuple(map(_table, records))
    so_far, trouble = _so_far(sheet.read_text("utf-8-sig"), sheet.parent, tuple(texts.items()))
    return EngineState(sheet.name, first.name, tables, so_far, trouble, told)


def _table(record: BenchRecord) -> TableState:
    counts = list(record.progress())
    next_one = record.first_open()
    return TableState(
        record.table.path.name,
        record.group,
        sum(done for _, done, _, _ in counts),
        sum(of for _, _, of, _ in counts),
        record.name_of(next_one) if next_one else "",
        record.tool(next_one) if next_one else "",
    )


@lru_cache(64)
def _so_far(
    text: str, folder: Path, tables: tuple[tuple[str, str], ...]
) -> tuple[SoFar | None, str]:
    """What the texts say; the same texts are worked out once."""
    texts: Mapping[str, str] = dict(tables)
    try:
        return known_so_far(text, folder, texts), ""
    except Refused as refusal:
        return None, str(refusal)
