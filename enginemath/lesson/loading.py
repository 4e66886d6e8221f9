"""Opening the kit's sheets, price lists and studies by their short names."""

from __future__ import annotations

import atexit
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from tempfile import TemporaryDirectory

from enginemath.bench.how_sure.class_study import Study
from enginemath.change.price_list import Options
from enginemath.change.price_list_file import read_options
from enginemath.sheets import Sheet, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.study_file import read_study


def load_sheet(name: str) -> Sheet:
    """Open one of the kit's build sheets by its short name: ``"heron-four"``.

    Raises:
        Refused: no such sheet.

    >>> load_sheet("heron-four").name
    'Heron Four'
    """
    return read_sheet(path(f"{name}.toml"))


def load_options(name: str) -> Options:
    """Open the price list of one of the kit's engines by its short name: ``"heron-four"``.

    Raises:
        Refused: no such list.

    >>> load_options("heron-four").target.aim
    9.25
    """
    return read_options(path(f"{name}-options.toml"))


def load_study(name: str) -> Study:
    """Open the class's readings of the same chambers by their short name: ``"class-chambers"``.

    Raises:
        Refused: no such readings.

    >>> load_study("class-chambers").groups
    ('A', 'B', 'C', 'D', 'E')
    """
    return read_study(path(f"{name}.csv"))


_folder: ContextVar[Path | None] = ContextVar("folder", default=None)


@contextmanager
def working_in(folder: Path | None) -> Iterator[None]:
    """Within, what a student keeps lies in a folder; in None, in the one that Python runs in."""
    before = _folder.set(folder)
    try:
        yield
    finally:
        _folder.reset(before)


def work_folder() -> Path:
    """Where a student's own sheets lie: beside the notebook, or in the folder of the pages."""
    return _folder.get() or Path.cwd()


def scratch_folder() -> Path:
    """A fresh folder for files that need not be kept; it goes when the notebook is closed."""
    folder = TemporaryDirectory(prefix="enginemath-", ignore_cleanup_errors=True)
    atexit.register(folder.cleanup)
    return Path(folder.name)
