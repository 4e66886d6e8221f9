"""How far an engine's readings are: each table, what is next, what all of them say together."""

from __future__ import annotations

from pathlib import Path

from enginemath.sheets.own_engine.bench_record import BenchRecord
from enginemath.sheets.own_engine.sharing import table_of_group
from enginemath.sheets.own_engine.state import (
    EngineState,
    price_list_of,
    sheets_in,
    sheets_last_changed,
    state_of,
)
from tests.sheets.own_engine.bench import fill_in, filled_eight, new_eight, shown


def test_a_new_engine_says_what_is_read_first(tmp_path: Path) -> None:
    state = state_of(new_eight(tmp_path))
    (table,) = state.tables
    assert (table.done, table.of, table.tool) == (0, 72, "dial")
    assert table.next == "deck clearance, cylinder 1, left of the pin"
    assert not state.is_read
    low, high = (float(end) for end in state.ratio.removeprefix("ratio ").split(" to "))
    assert low < 9.67 < high


def test_tables_of_groups_are_told_apart_and_make_one_ratio(tmp_path: Path) -> None:
    sheet = new_eight(tmp_path)
    names = [table_of_group(sheet, group) for group in ("A", "B")]
    fill_in(tmp_path / names[0])
    record = BenchRecord(sheet, names[1])
    for _ in range(30):
        box = record.first_open()
        assert box
        assert record.take(box, shown(record.table.row(box.number).what, box.cell)).kept
    # The last pour of B is not at its end: it is no reading yet, and spoils nothing.
    start = next(b for b in record.boxes if b.cell == "start")
    assert record.take(start, "0.2").kept
    state = state_of(sheet)
    assert [(t.group, t.done, t.of) for t in state.tables] == [
        ("", 0, 72), ("A", 72, 72), ("B", 31, 72)
    ]  # fmt: skip
    assert [bool(table.next) for table in state.tables] == [True, False, True]
    assert state.is_read
    assert state.ratio.startswith("ratio 9.67 ± 0.")


def test_what_was_put_back_is_told_and_a_reading_that_cannot_be_is_named(tmp_path: Path) -> None:
    sheet = filled_eight(tmp_path)
    table = tmp_path / "bay3-readings.csv"
    before = table.read_text()
    record = BenchRecord(sheet)
    assert record.take(record.boxes[0], "0.0215").kept
    table.write_text(before.replace(",0.0210,", ",,", 1))  # an older one, saved over it
    (told,) = state_of(sheet).told
    assert "0.0215" in told
    table.write_text(before.replace("3.5010", "3.5O10", 1))
    state = state_of(sheet)
    assert "3.5O10" in state.trouble
    assert (state.so_far, state.ratio, state.is_read) == (None, "", False)


def test_the_engine_that_was_written_last_comes_first(tmp_path: Path) -> None:
    first, last = new_eight(tmp_path, "bay9"), new_eight(tmp_path, "bay1")
    (tmp_path / "bay9-options.toml").write_text("format = 1\n[target]\nratio = [9, 10]\n")
    (tmp_path / "old.toml").write_text('format = 1\nname = "without a table"\n')
    assert sheets_in(tmp_path) == [last, first]
    assert price_list_of(first).is_file()
    record = BenchRecord(first)
    assert record.take(record.boxes[0], "0.0210").kept
    assert sheets_last_changed(tmp_path) == [first, last]


def test_a_ratio_without_any_uncertainty_has_no_sign_of_one() -> None:
    from enginemath.sheets.own_engine.known import SoFar

    exact = SoFar((), (9.6, 9.6), 9.6, None)
    assert EngineState("a.toml", "a", (), exact).ratio == "ratio 9.60"
