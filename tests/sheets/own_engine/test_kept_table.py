"""Nothing that was entered is lost: killed at every write, disk full, saved over from elsewhere."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from enginemath.sheets.own_engine.bench_record import BenchRecord, Box
from enginemath.sheets.own_engine.kept_table import Disagrees, KeptTable
from enginemath.sheets.text_file import SheetRefused
from tests.sheets.own_engine.bench import new_eight

ENTRIES = ("0.0210", "0.0215", "0.0205")


def enter(record: BenchRecord, text: str) -> None:
    box = record.first_open()
    assert box
    assert record.take(box, text).kept


def entered(sheet: Path) -> list[str]:
    """The readings that stand in the table, after it was opened again."""
    return [row.reading for row in BenchRecord(sheet).rows if row.reading]


class Killed(BaseException):
    """The program ends here and now."""


class Disk:
    """Counts what is asked of the disk, and ends the program before or in the middle of one."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, at: int):
        self.done, self.at = 0, at
        for name in ("fsync", "replace", "truncate"):
            monkeypatch.setattr(os, name, self._counted(getattr(os, name)))
        # Bytes reach the log through its own file; there the program may end half way too.
        original = Path.open

        def open_counted(path: Path, mode: str = "r", *how: Any, **more: Any) -> Any:
            file = original(path, mode, *how, **more)
            return _Torn(file, self) if mode == "ab" else file

        monkeypatch.setattr(Path, "open", open_counted)

    def _counted(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*given: Any, **more: Any) -> Any:
            self.step()
            return call(*given, **more)

        return counted

    def step(self) -> None:
        self.done += 1
        if self.done == self.at:
            raise Killed


class _Torn:
    """A log's file that takes half a line when the program ends."""

    def __init__(self, file: Any, disk: Disk):
        self._file, self._disk = file, disk

    def write(self, data: bytes) -> None:
        self._file.write(data[: len(data) // 2])
        self._file.flush()
        self._disk.step()
        self._file.write(data[len(data) // 2 :])

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)

    def __enter__(self) -> _Torn:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()


def test_killed_at_every_write_at_most_the_entry_being_typed_is_lost(
    tmp_path: Path,
) -> None:
    at, ended = 1, False
    while not ended:
        folder = tmp_path / str(at)
        folder.mkdir()
        record = BenchRecord(new_eight(folder))
        acknowledged: list[str] = []
        with pytest.MonkeyPatch.context() as patch:
            Disk(patch, at)
            try:
                for text in ENTRIES:
                    enter(record, text)
                    acknowledged.append(f"{text} in")
                ended = True
            except Killed:
                pass
        found = entered(folder / "bay3.toml")
        assert found[: len(acknowledged)] == acknowledged, at
        assert len(found) <= len(acknowledged) + 1, at
        # And it goes on from there, also after a line that was written half.
        again = BenchRecord(folder / "bay3.toml")
        for text in ENTRIES[len(found) :]:
            enter(again, text)
        assert entered(folder / "bay3.toml") == [f"{text} in" for text in ENTRIES], at
        at += 1
    assert at > 4 * len(ENTRIES)  # log written, log synced, table synced, table replaced


def test_a_full_disk_is_told_and_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = BenchRecord(new_eight(tmp_path))
    enter(record, "0.0210")
    before = record.table.text, record.table.log.read_bytes()

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    box = record.first_open()
    assert box
    with pytest.raises(OSError, match="No space left"):
        record.take(box, "0.0215")
    monkeypatch.undo()
    assert (record.table.path.read_text(), record.table.log.read_bytes()) == before
    assert record.first_open() == box
    enter(record, "0.0215")
    assert entered(record.sheet) == ["0.0210 in", "0.0215 in"]


def test_where_only_the_log_has_room_the_table_follows_later(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    enter(record, "0.0210")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "replace", _refuses)
        enter(record, "0.0215")
        assert "kept in bay3-readings.kept.jsonl" in record.table.trouble
        assert "0.0215" not in record.table.path.read_text()
    enter(record, "0.0205")
    assert not record.table.trouble
    assert entered(record.sheet) == ["0.0210 in", "0.0215 in", "0.0205 in"]


def _refuses(*_: object) -> None:
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def test_an_older_table_saved_over_it_loses_nothing(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    older = record.table.path.read_text()
    enter(record, "0.0210")
    enter(record, "0.0215")
    # A spreadsheet that was open all the time saves: with one reading of its own, and not ours.
    lines = older.split("\n")
    lines[3] = lines[3].replace(",,in,dial", ",0.0199,in,dial")
    record.table.path.write_text("\n".join(lines))
    with pytest.raises(Disagrees):  # the box that is open has been filled in meanwhile
        enter(record, "0.0205")
    enter(record, "0.0205")
    assert any("missing in bay3-readings.csv and is back" in said for said in record.table.told)
    found = entered(record.sheet)
    assert found == ["0.0210 in", "0.0215 in", "0.0199 in", "0.0205 in"]


def test_a_table_that_was_broken_elsewhere_is_never_written_over(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    enter(record, "0.0210")
    broken = "what;reading;colour\nbore;0,5;\n"
    record.table.path.write_text(broken)
    for _ in range(2):  # told as often as it is tried
        with pytest.raises(SheetRefused, match="column 'colour'"):
            enter(record, "0.0215")
    assert record.table.path.read_text() == broken


def test_two_who_write_the_same_box_are_told(tmp_path: Path) -> None:
    mine, theirs = BenchRecord(new_eight(tmp_path)), BenchRecord(tmp_path / "bay3.toml")
    box = mine.first_open()
    assert box
    enter(theirs, "0.0220")
    with pytest.raises(Disagrees, match=r"somebody else wrote 0\.0220 in here"):
        mine.take(box, "0.0210")
    assert entered(mine.sheet) == ["0.0220 in"]
    # Their other entries and mine stand side by side.
    enter(mine, "0.0215")
    theirs.table.look_again()
    enter(theirs, "0.0205")
    assert entered(mine.sheet) == ["0.0220 in", "0.0215 in", "0.0205 in"]


def test_table_and_log_that_differ_are_told_once_and_the_table_counts(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    enter(record, "0.0210")
    table = record.table.path
    table.write_text(table.read_text().replace("0.0210 in", "0.0212 in"))
    opened = KeptTable(table)
    (said,) = opened.told
    assert "now says 0.0212 in; here 0.0210 in was written on" in said
    assert not KeptTable(table).told
    assert entered(record.sheet) == ["0.0212 in"]


def test_a_table_keeps_its_form(tmp_path: Path) -> None:
    sheet = new_eight(tmp_path)
    table = tmp_path / "bay3-readings.csv"
    table.write_text(
        "what;cylinder;reading;tool\n\nbore;2;4.001 in;bore gauge\nbore;1;;bore gauge\n"
    )
    record = BenchRecord(sheet)
    assert record.first_open() == Box(4, "reading")
    record.leave_out(Box(4, "reading"), "ridge not cut")
    assert table.read_text() == (
        "what;cylinder;reading;tool;left out\n\nbore;2;4.001 in;bore gauge;\n"
        "bore;1;;bore gauge;ridge not cut\n"
    )


def test_lines_in_the_log_that_are_no_entries_do_no_harm(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    record.table.log.write_text('{"what": 1}\nnot JSON\n[]\n{"column": "what"}\n"half')
    enter(record, "0.0210")
    assert entered(record.sheet) == ["0.0210 in"]
