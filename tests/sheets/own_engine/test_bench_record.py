"""Readings taken box after box: order, names, slips, groups, and what the work left."""

from __future__ import annotations

from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets.own_engine.bench_order import NEEDED, TAKINGS
from enginemath.sheets.own_engine.bench_record import AS_BEFORE, BenchRecord, Box
from enginemath.sheets.own_engine.known import known_so_far
from enginemath.sheets.own_engine.sharing import after_work, merge, table_of_group
from enginemath.sheets.so_far import report_so_far
from enginemath.units import Refused
from tests.sheets.own_engine.bench import fill_in, filled_eight, new_eight, read_all, shown


@pytest.fixture
def record(tmp_path: Path) -> BenchRecord:
    """All is read but what a test takes out again."""
    return BenchRecord(filled_eight(tmp_path))


@pytest.fixture
def blank(tmp_path: Path) -> BenchRecord:
    return BenchRecord(new_eight(tmp_path))


def box_of(record: BenchRecord, name: str) -> Box:
    return next(box for box in record.boxes if record.name_of(box) == name)


def asked(record: BenchRecord, name: str, text: str) -> tuple[str, str]:
    """What is asked of an entry, and what was perhaps meant; it is not taken."""
    box = box_of(record, name)
    before = record.table.text
    entry = record.take(box, text)
    assert entry.slip, entry
    assert record.table.text == before
    return entry.slip.asks, entry.slip.meant


DECK_3 = "deck clearance, cylinder 3, left of the pin"
END_3 = "chamber, cylinder 3, pour 1, end"


def test_boxes_stand_in_bench_order_under_their_trade_names(record: BenchRecord) -> None:
    names = [record.name_of(box) for box in record.boxes]
    assert len(names) == len({*names}) == 72
    assert names[0] == "deck clearance, cylinder 1, left of the pin"
    assert END_3 in names
    assert [what for what, *_ in record.progress()] == [*NEEDED]
    assert all(TAKINGS[what].how for what in TAKINGS)


def test_what_is_known_narrows_to_the_ratio(blank: BenchRecord) -> None:
    def ends() -> tuple[float, float]:
        text = blank.sheet.read_text()
        return known_so_far(text, blank.sheet.parent, blank.tables()).ends

    first = ends()
    assert read_all(blank) == 72
    last = ends()
    assert first[0] < last[0] < last[1] < first[1]
    assert last[1] - last[0] < 0.3
    report = report_so_far(blank.sheet)
    assert report["compression_ratio"] == pytest.approx(9.665, abs=0.003)


def test_half_a_pour_is_none_yet(record: BenchRecord) -> None:
    record.clear(box_of(record, END_3))
    text = record.sheet.read_text()
    found = known_so_far(text, record.sheet.parent, record.tables())
    assert found.missing == ("chamber (cylinder 3)",)
    # Nor to the command, on a day that ended in the middle of a pour.
    assert report_so_far(record.sheet)["missing"] == ["chamber (cylinder 3)"]
    record.take(box_of(record, END_3), "64.4")
    assert record.take(record.add(box_of(record, END_3), "again"), "0.2").kept
    assert report_so_far(record.sheet)["missing"] == []


@pytest.mark.parametrize(
    ("name", "text", "asks", "meant"),
    [
        (DECK_3, "0.40", "0.40 in among 0.021 in", "0.040 in"),
        (DECK_3, "0.54", "0.54 in among 0.021 in", "0.54 mm"),
        (DECK_3, "21", "21 in among 0.021 in", "0.021 in"),
        (DECK_3, "8 mm", "8 mm among 0.53 mm", "0.8 mm"),
        (DECK_3, "-0.021", "-0.021 in among 0.021 in", "0.021 in"),
        (DECK_3, "0.040", "the two sides of cylinder 3 are 0.019 in apart: more than a piston "
         "rocks. Read both again", ""),
        ("bore, cylinder 3, top", "40.005", "40.005 in among 4.000 in", "4.0005 in"),
        ("bore, cylinder 3, top", "4.0005 mm", "4.0005 mm among 101.61 mm", "4.0005 in"),
        ("bore, cylinder 3, top", "4.5005", "4.5005 in among 4.000 in", ""),
        ("compressed thickness, at the fire ring, middle", "0.41", "0.41 in among 0.041 in",
         "0.041 in"),
        (END_3, "6.440", "a pour of 6.24 cc among 64.20 cc", "64.40 mL"),
        (END_3, "0.1", "the pour runs from 0.2 to 0.1 mL: a burette is read downwards. Are start "
         "and end exchanged", ""),
        ("chamber, cylinder 3, pour 1, start", "64.4", "64.4 mL at the start: a burette is filled "
         "to its zero at the top. Is that the end", ""),
    ],
)  # fmt: skip
def test_a_slip_is_asked_about_and_what_was_meant_is_offered(
    name: str, text: str, asks: str, meant: str, record: BenchRecord
) -> None:
    assert asked(record, name, text) == (asks, meant)
    if meant:
        kept = record.take(box_of(record, name), meant, sure=True).kept
        assert kept
        assert kept.text == meant


def test_the_first_pour_is_held_against_what_the_piston_sweeps(tmp_path: Path) -> None:
    """π/4·4.0005²·3.48 in³ are 716.8 cc: a chamber of 6.24 cc would be a ratio beyond 60."""
    record = BenchRecord(new_eight(tmp_path))
    end = "chamber, cylinder 1, pour 1, end"
    while (box := record.first_open()) and record.name_of(box) != end:
        assert record.take(box, shown(record.table.row(box.number).what, box.cell)).kept
    assert asked(record, end, "6.44") == (
        "a pour of 6.24 cc where 14.3 to 251 cc is usual", "64.4 mL"
    )  # fmt: skip
    assert record.take(box_of(record, end), "64.40").kept


def test_who_is_sure_is_believed_unless_no_engine_can_have_it(record: BenchRecord) -> None:
    kept = record.take(box_of(record, DECK_3), "0.060", sure=True).kept
    assert kept
    assert kept.text == "0.060 in"
    with pytest.raises(Refused, match="did you mean"):
        record.take(box_of(record, DECK_3), "0.40", sure=True)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing written yet"),
        ("0,021", "a comma: write 0.021 with a point"),
        ("about 20", "not a reading; write the number, like 0.021"),
        ("0.021 cc", "deck clearance"),
        ("0.021 inn", "inn"),
    ],
)
def test_what_is_no_reading_is_refused_in_words(text: str, says: str, record: BenchRecord) -> None:
    with pytest.raises(Refused, match=says):
        record.take(box_of(record, DECK_3), text)


@pytest.mark.parametrize("text", ["0.021", "0.021 in", '0.021"', "21 thou", "0.53 mm", ".021"])
def test_any_unit_is_taken(text: str, record: BenchRecord) -> None:
    assert record.take(box_of(record, DECK_3), text).kept


def test_left_out_is_kept_shown_and_not_used(record: BenchRecord) -> None:
    record.leave_out(box_of(record, "bore, cylinder 3, top"), "ridge not cut")
    report = report_so_far(record.sheet)
    assert report["left_out"] == ["row 32, bore of cylinder 3: ridge not cut"]
    with pytest.raises(Refused, match="say why"):
        record.leave_out(box_of(record, "bore, cylinder 3, top"), " ")


def test_a_small_burette_is_filled_again_and_the_fills_add_up(record: BenchRecord) -> None:
    end = box_of(record, END_3)
    record.take(end, "40.2", sure=True)
    new = record.add(end, "fill")
    assert record.name_of(new) == "chamber, cylinder 3, pour 1, fill 2, start"
    assert record.take(new, "0").kept
    assert record.take(Box(new.number, "end"), "24.2").kept
    found = known_so_far(record.sheet.read_text(), record.sheet.parent, record.tables())
    assert found.ratio == pytest.approx(9.665, abs=0.003)


def test_a_pour_or_a_reading_is_taken_once_more(record: BenchRecord) -> None:
    again = record.add(box_of(record, END_3), "again")
    assert record.name_of(again) == "chamber, cylinder 3, pour 2, start"
    once_more = record.add(box_of(record, "bore, cylinder 3, top"), "again")
    assert record.name_of(once_more) == "bore, cylinder 3, top, reading 2"
    assert record.first_open() == once_more


class TestGroups:
    def test_each_fills_in_a_table_of_its_own_that_the_sheet_names(self, tmp_path: Path) -> None:
        sheet = new_eight(tmp_path)
        said = sheet.read_text()
        for group in ("A", "B"):
            record = BenchRecord(sheet, table_of_group(sheet, group))
            assert record.group == group
            fill_in(record.table.path)
        report = report_so_far(sheet)
        assert report["missing"] == []
        assert report["compression_ratio"] == pytest.approx(9.665, abs=0.003)
        listed = '["bay3-readings.csv", "bay3-readings-a.csv", "bay3-readings-b.csv"]'
        assert sheet.read_text() == said.replace('"bay3-readings.csv"   ', listed, 1).replace(
            f"{listed} ", f"{listed}    "
        )

    def test_names_that_make_one_file_name_are_told_apart(self, tmp_path: Path) -> None:
        sheet = new_eight(tmp_path)
        assert (
            table_of_group(sheet, "A 1") == "bay3-readings-a-1.csv" == table_of_group(sheet, "A 1")
        )
        assert table_of_group(sheet, "../x/..") == "bay3-readings-x.csv"
        for group in ("a-1", "Ä", " "):
            with pytest.raises(Refused, match="--group"):
                table_of_group(sheet, group)

    def test_two_machines_come_together(self, tmp_path: Path) -> None:
        ours, theirs = tmp_path / "ours", tmp_path / "theirs"
        for folder in (ours, theirs):
            folder.mkdir()
            new_eight(folder)
        fill_in(ours / table_of_group(ours / "bay3.toml", "A"))
        other = BenchRecord(theirs / "bay3.toml", table_of_group(theirs / "bay3.toml", "B"))
        other.take(box_of(other, "deck clearance, cylinder 1, left of the pin"), "0.0225")
        fill_in(other.table.path)
        told = merge(ours / "bay3.toml", [theirs / "bay3-readings-b.csv"])
        assert "bay3-readings-b.csv" in told
        line = next(line for line in told.splitlines() if "left of the pin" in line)
        assert line.split()[-4:] == ["0.0210", "in", "0.0225", "in"]
        assert report_so_far(ours / "bay3.toml")["missing"] == []
        record = BenchRecord(ours / "bay3.toml", "bay3-readings-a.csv")
        assert {row.group for row in record.others() if not row.is_blank} == {"B"}

    def test_two_tables_of_one_name_are_refused_and_nothing_changes(self, tmp_path: Path) -> None:
        ours, theirs = tmp_path / "ours", tmp_path / "theirs"
        for folder in (ours, theirs):
            folder.mkdir()
            filled_eight(folder)
        (theirs / "bay3-readings.csv").rename(theirs / "other.csv")
        before = (ours / "bay3.toml").read_text()
        with pytest.raises(Refused, match="under no group too"):
            merge(ours / "bay3.toml", [theirs / "other.csv"])
        (theirs / "other.csv").write_text("what,reading\nbore,4 in\n")
        (theirs / "other.csv").rename(theirs / "bay3-readings.csv")
        with pytest.raises(Refused, match="is there already"):
            merge(ours / "bay3.toml", [theirs / "bay3-readings.csv"])
        assert (ours / "bay3.toml").read_text() == before
        assert not (ours / "other.csv").exists()


class TestAfterTheWork:
    def test_found_values_stand_beside_those_of_before(self, tmp_path: Path) -> None:
        old = filled_eight(tmp_path)
        new = tmp_path / "bay3-after.toml"
        after_work(new, old)
        record = BenchRecord(new)
        assert record.is_after_work
        box = box_of(record, DECK_3)
        assert record.before(box) == "0.0210 in"
        assert record.first_open() == record.boxes[0]
        assert record.take(box, "0.0110").kept
        assert record.as_before(box_of(record, "bore, cylinder 1, top")) == 24
        row = record.table.row(box_of(record, "bore, cylinder 8, bottom").number)
        assert (row.reading, row.note) == ("4.0005 in", AS_BEFORE)
        after_work(new, old)  # another day: as it was left
        assert BenchRecord(new).table.row(box.number).reading == "0.0110 in"

    def test_what_cannot_be_is_refused(self, tmp_path: Path) -> None:
        old = new_eight(tmp_path)
        with pytest.raises(Refused, match="a sheet of their own"):
            after_work(old, old)
        with pytest.raises(Refused, match="names no sheet"):
            after_work(new_eight(tmp_path, "other"), old)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (('readings = "bay3-readings.csv"', ""), "no table: write readings"),
        (("bay3-readings.csv", "gone.csv"), "gone.csv: cannot be read"),
        (("bay3-readings.csv", "../bay3-readings.csv"), "the table stands beside the sheet"),
        (("format = 2", "format = 1"), "format 1 has no table"),
    ],
)
def test_a_sheet_that_cannot_be_recorded_is_refused_before_a_page_opens(
    change: tuple[str, str], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = new_eight(tmp_path)
    sheet.write_text(sheet.read_text().replace(*change))
    assert main(["record", str(sheet), "--no-browser"]) == 2
    assert says in capsys.readouterr().err
