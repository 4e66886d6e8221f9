"""The data that come with the kit: where they are, and their rows."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Literal

from enginemath.sheets.number_table import NumberTable
from enginemath.units import Refused

_PACKAGE = Path(__file__).parents[1]


def kit_folder(kind: Literal["lessons", "datasets"]) -> Path:
    """Folder of the lessons or of the data, in a clone or in an installed kit.

    Args:
        kind: ``"lessons"`` or ``"datasets"``.

    Returns:
        The folder.

    Raises:
        Refused: the folder is missing.

    >>> kit_folder("datasets").name
    'datasets'
    """
    # Inside the package first: beside an installed package, the same name may be a stranger's.
    for folder in (_PACKAGE / "_kit" / kind, _PACKAGE.parent / kind):
        if folder.is_dir():
            return folder
    raise Refused(f'the folder "{kind}" of the kit is missing: install the kit again')


def names() -> list[str]:
    """Names of all data files, sorted.

    >>> "heron-four.toml" in names()
    True
    """
    folder = kit_folder("datasets")
    return sorted(file.name for file in folder.iterdir() if file.suffix in (".csv", ".toml"))


def path(name: str) -> Path:
    """Where a data file is.

    Args:
        name: of the file, with its ending.

    Returns:
        The file.

    Raises:
        Refused: no data file of that name; the message lists the names.

    >>> path("heron-four.toml").name
    'heron-four.toml'
    """
    known = names()
    if name not in known:
        raise Refused(f'no data file "{name}"; there are: {", ".join(known)}')
    return kit_folder("datasets") / name


def rows(name: str) -> list[dict[str, str]]:
    """Rows of a CSV file, as text by column.

    Args:
        name: of the file, with its ending; or, of an engine's readings, one method's alone:
            ``heron-four-pours.csv``, ``-deck``, ``-known-depth`` or ``-gauge``.

    Returns:
        One dictionary a row.

    Raises:
        Refused: no such file, or not a CSV file.

    >>> rows("heron-one-pours.csv")[0]
    {'group': 'A', 'cylinder': '1', 'fill': '1', 'start': '0.45 mL', 'end': '9.65 mL'}
    """
    part = _PART.fullmatch(name)
    if part:
        return _part_of(rows(f"{part['engine']}-readings.csv"), part["method"])
    file = path(name)
    if file.suffix != ".csv":
        raise Refused(f'"{name}" is a sheet, not a table; only a .csv file has rows')
    with file.open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


_PART = re.compile(r"(?P<engine>heron-\w+)-(?P<method>pours|deck|known-depth|gauge)\.csv")
"""Names of one method's readings; all of an engine's stand in one table."""
_METHODS = {
    "pours": ("chamber", ("group", "cylinder", "fill", "start", "end")),
    "deck": ("deck clearance", ("group", "cylinder", "side", "reading")),
    "known-depth": ("known depth", ("group", "cylinder", "depth", "fill", "start", "end")),
}
_BY_GAUGE = ("group", "cylinder", "what", "reading")


def _part_of(every: list[dict[str, str]], method: str) -> list[dict[str, str]]:
    """The rows of one method, with its own columns alone."""
    if method in _METHODS:
        what, columns = _METHODS[method]
        chosen = [{**row, "side": row["place"]} for row in every if row["what"] == what]
    else:
        others = {what for what, _ in _METHODS.values()}
        columns, chosen = _BY_GAUGE, [row for row in every if row["what"] not in others]
    return [{name: row[name] for name in columns} for row in chosen]


def cars() -> NumberTable:
    """The 205 cars of 1985 as a table of numbers; bore and stroke are missing in four rows.

    Returns:
        Table with the columns row, cylinders, bore_in, stroke_in, engine_size_cuin,
        compression_ratio, fuel (gas or diesel) and aspiration (std or turbo).

    Source: UCI "Automobile", J. Schlimmer (1987); see datasets/README.md.

    >>> len(cars().known())
    201
    """
    return NumberTable.read(path("cars-1985.csv"))
