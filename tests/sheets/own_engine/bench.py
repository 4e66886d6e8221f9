"""An invented eight on the bench: what its tools show in each box."""

from __future__ import annotations

import csv
from pathlib import Path

from enginemath.sheets.own_engine.bench_record import BenchRecord
from enginemath.sheets.own_engine.new_sheet import new_engine

SHOWN = {
    "deck clearance": "0.0210",
    "depth at bdc": "3.5010",
    "bore": "4.0005",
    "known depth": {"depth": "0.3500", "start": "0.2", "end": "77.6"},
    "chamber": {"start": "0.20", "end": "64.40"},
    "gasket bore": "4.100",
    "compressed thickness": "0.0410",
}
"""By hand the ratio is 9.67; see `test_new_sheet`."""


def new_eight(folder: Path, name: str = "bay3") -> Path:
    """Sheet and table of a new eight in two banks, in inches."""
    new_engine(folder / f"{name}.toml", 8, ["left", "right"], "in")
    return folder / f"{name}.toml"


def shown(what: str, cell: str) -> str:
    """What the tool shows in a box."""
    found = SHOWN[what]
    return found if isinstance(found, str) else found[cell]


def filled_eight(folder: Path, name: str = "bay3") -> Path:
    """The same with every reading in its table, as a spreadsheet leaves it."""
    sheet = new_eight(folder, name)
    fill_in(folder / f"{name}-readings.csv")
    return sheet


def fill_in(table: Path) -> None:
    """Write into every blank cell of a table, as a hand does in a spreadsheet: bare numbers."""
    with table.open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    for row in rows:
        found = SHOWN[row[0]]
        for cell, value in ({"reading": found} if isinstance(found, str) else found).items():
            row[head.index(cell)] = row[head.index(cell)] or value
    with table.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *rows])


def read_all(record: BenchRecord) -> int:
    """Take every reading that is still to be taken; how many."""
    taken = 0
    while box := record.first_open():
        entry = record.take(box, shown(record.table.row(box.number).what, box.cell))
        assert entry.kept, entry
        taken += 1
    return taken
