"""Sheets of format 2: what they read, what they refuse, each with its row or field."""

# ruff: noqa: E501

from __future__ import annotations

import json
import math
import time
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.engine.stack import stacks
from enginemath.sheets import Sheet, parse, read_sheet, sheet_of, write_sheet
from enginemath.sheets.bench_sheet import MissingReadings
from enginemath.sheets.ratio_report import sheet_report
from enginemath.sheets.readings_table import read_table, rows_of, table_text, write_table
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import deviation, in_cc, in_mm, nominal, read, shop_unit

SHEET = """\
format = 2
name = "Bay 3"
readings = "bay3.csv"
[record]
date = 2026-11-20
who = "groups A and B"
[tools.burette]
kind = "burette"
size = "50 mL"
class = "B"
[tools.dial]
kind = "dial indicator"
[tools.mic]
kind = "micrometer"
[[bank]]
name = "left"
cylinders = [1]
[[bank]]
name = "right"
cylinders = [2]
[cylinder]
count = 2
stroke = "88.50 ± 0.03 mm"
[gasket]
bore = "93.2 mm"
compressed_thickness = "1.10 ± 0.02 mm"
"""
TABLE = """\
what,cylinder,group,place,pour,fill,depth,depth tool,start,end,reading,tool,left out,note
bore,1,A,top,,,,,,,92.01 mm,mic,,
bore,1,A,bottom,,,,,,,92.00 mm,mic,,
bore,2,A,top,,,,,,,92.03 mm,mic,,
bore,2,A,bottom,,,,,,,92.02 mm,mic,,
deck clearance,1,A,front,,,,,,,0.33 mm,dial,,
deck clearance,1,A,rear,,,,,,,0.37 mm,dial,,
deck clearance,2,A,front,,,,,,,0.30 mm,dial,,
deck clearance,2,A,rear,,,,,,,0.38 mm,dial,,
chamber,1,A,,1,1,,,0.60 mL,25.00 mL,,burette,,
chamber,1,A,,1,2,,,0.00 mL,23.10 mL,,burette,,
chamber,1,B,,1,1,,,0.10 mL,47.70 mL,,burette,,
chamber,2,A,,1,1,,,0.20 mL,47.10 mL,,burette,,
chamber,2,B,,1,1,,,0.20 mL,47.15 mL,,burette,,
chamber,2,B,,2,1,,,0.20 mL,40.00 mL,,burette,plug leaked,
known depth,1,A,,1,1,12.70 mm,dial,0.20 mL,47.00 mL,,burette,,
known depth,1,A,,1,2,12.70 mm,dial,0.20 mL,46.60 mL,,burette,,
"""


def sheet(text: str = SHEET, table: str = TABLE) -> Sheet:
    return parse(text, tables={"bay3.csv": table})


def test_it_reads_what_the_bench_held() -> None:
    engine = sheet().engine
    assert [in_mm(cylinder.bore) for cylinder in engine.cylinders] == pytest.approx(
        [92.005, 92.025]
    )
    assert [in_mm(deck.clearance) for deck in engine.decks] == pytest.approx([0.35, 0.34])
    chambers = [in_cc(chamber.volume) for chamber in engine.chambers]
    assert chambers == pytest.approx([47.55, 46.925])
    assert engine.banks == ("left", "right")
    assert engine.pistons[0].known_depth is not None


def test_rows_left_out_are_shown_and_not_used() -> None:
    report = sheet_report(sheet())
    assert report["left_out"] == ["row 15, chamber of cylinder 2: plug leaked"]
    assert report["record"] == {"date": "2026-11-20", "who": "groups A and B"}


def test_the_dial_s_offset_cancels_between_deck_and_known_depth() -> None:
    """Deck and depth read with one dial: their difference does not know the dial's offset. With
    another tool for the depth both errors are there."""
    one = stacks(sheet().engine)[0]
    fine = SHEET.replace('kind = "dial indicator"\n', 'kind = "dial indicator"\nlimit = "0.2 mm"\n')
    coarse_dial = stacks(sheet(fine).engine)[0]
    other = SHEET.replace("[tools.mic]", '[tools.other]\nkind = "dial indicator"\n[tools.mic]')
    apart = stacks(sheet(other, TABLE.replace("12.70 mm,dial", "12.70 mm,other")).engine)[0]
    u = deviation(one.clearance.magnitude)
    assert deviation(coarse_dial.clearance.magnitude) == pytest.approx(u, rel=0.002)
    assert deviation(apart.clearance.magnitude) > 1.05 * u


def test_the_burette_s_error_adds_up_between_chamber_and_crown() -> None:
    """0.1 mL each fill, rectangular: fills of chamber (1.5 on the mean) and crown (2) together."""
    clearance = stacks(sheet().engine)[0].clearance.magnitude
    of_burette = [
        abs(slope) * source.std_dev
        for source, slope in clearance.derivatives.items()
        if source.tag.name == "burette"
    ]
    assert of_burette == pytest.approx([3.5 * 0.1 / 3**0.5])


def test_what_one_cylinder_lacks_is_taken_from_the_others_and_said() -> None:
    said = sheet().warnings
    assert any("known depth: not read on cylinder 2" in line for line in said)


def test_a_deck_read_on_one_side_leans_as_far_as_the_others() -> None:
    """Half of 0.08 mm, rectangular, beside the dial; the mean of both sides knows nothing of it."""
    rows = [line for line in TABLE.splitlines() if not line.startswith("deck clearance,1,A,rear")]
    one_side = sheet(table="\n".join(rows))
    rocks = [
        max(
            source.std_dev * 3**0.5
            for source in deck.clearance.magnitude.derivatives
            if source.tag.name == "rock of the piston"
        )
        for deck in one_side.engine.decks
    ]
    assert rocks == pytest.approx([0.04, 0.04])
    said = "of cylinder 1: read on one side of the pin alone; taken to lean as far as the others"
    assert any(said in line for line in one_side.warnings)
    alone = "\n".join(line for line in rows if ",rear," not in line)
    assert any("is not in its ±; read the other" in w for w in sheet(table=alone).warnings)
    over_the_pin = alone.replace("front", "over the pin")
    assert not any("one side" in line for line in sheet(table=over_the_pin).warnings)


def test_results_and_readings_that_agree_stand_together() -> None:
    both = SHEET.replace("count = 2\n", 'count = 2\nbore = "92.01 ± 0.02 mm"\n')
    assert nominal(sheet(both).engine.cylinder.bore.m_as("mm")) == pytest.approx(92.005)
    apart = SHEET.replace("count = 2\n", 'count = 2\nbore = ["92.01 ± 0.02 mm", "92.30 mm"]\n')
    with pytest.raises(SheetRefused, match=r"cylinder.bore: 92.300 mm written, and 92.02.* from"):
        sheet(apart)


def test_every_missing_reading_is_named_at_once_in_bench_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bare = 'format = 2\nname = "x"\nreadings = "bay3.csv"\n[cylinder]\ncount = 2\n'
    path = tmp_path / "x.toml"
    path.write_text(bare)
    (tmp_path / "bay3.csv").write_text("what,cylinder,reading\nchamber,2,47 cc\n")
    assert main(["ratio", str(path)]) == 2
    out, error = capsys.readouterr()
    assert not out
    assert error.count("\n") == 1
    assert error.endswith(
        "readings missing: bore, stroke or depth at bdc, deck clearance, chamber (cylinder 1), "
        "gasket bore, compressed thickness\n"
    )
    (tmp_path / "bay3.csv").write_text(
        "what,cylinder,reading,depth,pour\nknown depth,1,86 cc,6 mm,1\nknown depth,1,113 cc,10 mm,2\n"
        "known depth,1,113.1 cc,10 mm,3\n"
    )
    assert main(["ratio", str(path)]) == 2
    assert "readings missing: bore, stroke or depth at bdc, deck" in capsys.readouterr()[1]
    assert main(["ratio", str(path), "--so-far"]) == 0
    assert "blunder" not in capsys.readouterr()[0]
    (tmp_path / "bay3.csv").write_text("what,cylinder,reading\nchamber,2,47 cc\n")
    assert main(["ratio", str(path), "--so-far", "--json"]) == 0
    so_far = json.loads(capsys.readouterr().out)
    assert so_far["missing"][3] == "chamber (cylinder 1)"
    assert so_far["cylinders"][1]["chamber_cc"] == 47
    assert so_far["ratio_range"] is None


def test_the_range_so_far_holds_the_ratio_that_comes_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "x.toml"
    path.write_text(SHEET)
    whole = TABLE.splitlines(keepends=True)
    (tmp_path / "bay3.csv").write_text("".join(row for row in whole if "chamber" not in row))
    assert main(["ratio", str(path), "--so-far", "--json"]) == 0
    so_far = json.loads(capsys.readouterr().out)
    low, high = so_far["ratio_range"]
    assert so_far["missing"] == ["chamber"]
    assert so_far["assumed"] == ["chamber 6 to 14 % of the swept volume"]
    (tmp_path / "bay3.csv").write_text(TABLE)
    assert main(["ratio", str(path), "--so-far", "--json"]) == 0
    there = json.loads(capsys.readouterr().out)
    assert there["missing"] == []
    assert low < there["compression_ratio"] < high
    assert main(["ratio", str(path), "--so-far"]) == 0
    assert "Compression ratio" in capsys.readouterr().out


def changed(old: str, new: str) -> str:
    assert old in TABLE
    return TABLE.replace(old, new, 1)


TABLES = {
    "wrong header": (changed("what,cyl", "what,zyl"), "row 1: column 'zylinder': unknown; did you mean cylinder?"),
    "a column twice": (changed("group,place", "group,group"), "row 1: column group: stands twice"),
    "no what": (changed("what,cylinder", "note,cylinder").replace(",note\n", "\n"), "row 1: column what: missing"),
    "no reading": ("what,cylinder\nbore,1\n", "row 1: column reading, or start and end: missing"),
    "empty": ("", "bay3.csv: empty"),
    "unknown thing": (changed("bore,1", "boer,1"), "row 2, what: 'boer': unknown; did you mean bore?"),
    "a unit that does not fit": (changed("92.01 mm", "92.01 cc"), "row 2, reading: bore 92.01 cc: a length is wanted"),
    "no unit": (changed("92.01 mm", "92.01"), "row 2, reading: bore \"92.01\": no unit"),
    "not in tools": (changed("92.01 mm,mic", "92.01 mm,mike"), "row 2, tool: 'mike': not in [tools]; there are burette, dial and mic"),
    "a burette for a length": (changed("92.01 mm,mic", "92.01 mm,burette"), "row 2, tool: burette: a 50 mL burette, class B does not measure a length"),
    "cylinder 9 of 2": (changed("bore,1", "bore,9"), "row 2, cylinder: 9: the engine has 2 cylinders"),
    "cylinder in words": (changed("bore,1", "bore,one"), "row 2, cylinder: 'one': write the cylinder's number"),
    "all and one": (changed("bore,1", "bore,"), "row 2, cylinder: bore for all cylinders, and row 3"),
    "backwards": (changed("0.60 mL,25.00 mL", "25.00 mL,0.60 mL"), "row 10, end: chamber: the fill runs backwards"),
    "nothing poured": (changed("0.60 mL,25.00 mL", "0.60 mL,0.60 mL"), "row 10, end: chamber: start and end both read 0.60 mL; nothing was poured"),
    "no start": (changed("0.60 mL,25.00 mL", ",25.00 mL"), "row 10, start: missing; a fill has a start and an end"),
    "twice under one pour": (changed("chamber,1,A,,1,2", "chamber,1,A,,1,1"), "row 11: group A read chamber of cylinder 1 twice under one pour, first in row 10"),
    "start for a length": (changed("92.01 mm,mic", ",mic").replace("bore,1,A,top,,,,,,", "bore,1,A,top,,,,,92.01 mm,"), "row 2, start: bore is read, not poured"),
    "no depth": (changed("12.70 mm,dial,0.20 mL,47.00", ",dial,0.20 mL,47.00").replace("12.70 mm,dial,0.20 mL,46.60", ",,0.20 mL,46.60"), "row 16, depth: missing"),
    "two depths": (changed("12.70 mm,dial,0.20 mL,46.60", "12.80 mm,dial,0.20 mL,46.60"), "row 17, depth: 12.80 mm, and 12.70 mm in row 16"),
    "decimal comma": (changed("92.01 mm", '"92,01 mm"'), "row 2, reading: bore \"92,01 mm\": write a decimal point, not a comma (92.01"),
    "decimal comma between semicolons": (changed("92.01 mm", "92,01 mm").replace(",", ";").replace("92;01", "92,01"), "row 2, reading: bore \"92,01 mm\": write a decimal point"),
    "no column for the depth": ("\n".join(",".join(row.split(",")[:6] + row.split(",")[7:]) for row in TABLE.splitlines()), "row 16, depth: missing; how far the edge stood below the deck"),
    "no column for the end": ("\n".join(",".join(row.split(",")[:9] + row.split(",")[10:]) for row in TABLE.splitlines()), "row 10, end: missing; a fill has a start and an end"),
    "no column for the fill": ("\n".join(",".join(row.split(",")[:5] + row.split(",")[6:]) for row in TABLE.splitlines()), "row 11: group A read chamber of cylinder 1 twice under one pour"),
    "a fraction that is none": (changed("92.01 mm", "3 5⁄0 in"), "row 2, reading: bore \"3 5⁄0 in\": no such fraction"),
    "a tool in inches of liquid": (changed("0.60 mL", "0.60 in"), "row 10, start: "),
    "decimal comma without quotes": (changed("92.01 mm,mic,,", "92,01 mm,mic,,"), "row 2: 15 cells for 14 columns; is a comma inside"),
    "an open quote": (changed("92.01 mm", '"92.01 mm'), "row 2: a quote is not closed"),
    "the heading again": (TABLE + TABLE, "row 18: the heading stands again: two tables were saved one below the other"),
    "two people's versions": (changed("bore,2", "<<<<<<< mine\nbore,2"), "line 4: two people saved this file at once"),
    "no bore at all like that": (changed("92.01 mm", "3.905 mm"), "row 2, reading: bore 3.905 mm: did you mean 3.905 in?"),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_a_bad_table_is_refused_with_its_row(name: str) -> None:
    table, said = TABLES[name]
    with pytest.raises(SheetRefused) as refused:
        sheet(table=table)
    assert said in str(refused.value)
    assert str(refused.value).startswith("bay3.csv")
    assert "\n" not in str(refused.value)


SHEETS = {
    "two banks, one cylinder": ('cylinders = [2]', 'cylinders = [1, 2]', "bank[2].cylinders[1]: cylinder 1: stands in bank left already"),
    "a bank's cylinder 3 of 2": ('cylinders = [2]', 'cylinders = [3]', "bank[2].cylinders[1]: 3: the engine has cylinders 1 to 2"),
    "left out of banks": ('[[bank]]\nname = "right"\ncylinders = [2]\n', '', "bank: cylinder 2: in no bank"),
    "an unknown kind": ('kind = "micrometer"', 'kind = "micromter"', "tools.mic.kind: micromter: the kit does not know this kind; did you mean micrometer?"),
    "a burette without size": ('size = "50 mL"\n', '', "tools.burette.size: burette: its size is missing"),
    "a limit of zero": ('kind = "micrometer"', 'kind = "micrometer"\nlimit = "0 mm"', "tools.mic.limit: limit 0 mm"),
    "a tool's unknown field": ('kind = "micrometer"', 'kind = "micrometer"\nlimt = "1 mm"', "tools.mic.limt: unknown; did you mean limit?"),
    "too few in a list": ('bore = "93.2 mm"', 'bore = ["93.2 mm"]', "gasket.bore: 1 value: a list of 2 is wanted"),
    "an item of a list": ('bore = "93.2 mm"', 'bore = ["93.2 mm", "93.2 cc"]', "gasket.bore[2]: gasket bore 93.2 cc"),
    "a head of wood": ('[gasket]', '[head]\nmaterial = "wood"\n[gasket]', 'head.material: \'wood\': write "iron" or "aluminium"'),
    "no such table of readings": ('"bay3.csv"', '"bay4.csv"', "bay4.csv: cannot be read"),
    "a table elsewhere": ('"bay3.csv"', '"../bay3.csv"', "readings: '../bay3.csv': the table stands beside the sheet"),
    "an unknown field": ('[gasket]', '[gasket]\nthickness = "1 mm"', "gasket.thickness: unknown"),
    "two people's versions": ('[gasket]', '=======\n[gasket]', "two people saved this file at once"),
    "the same table twice": ('[gasket]', '[gasket]\nbore = "93 mm"\n[gasket]', "gasket: written twice, first on line"),
    "reuse in words": ('[gasket]', '[gasket]\nreuse = "no"', "gasket.reuse: 'no': write true or false"),
}  # fmt: skip


@pytest.mark.parametrize("name", SHEETS)
def test_a_bad_sheet_is_refused_with_its_field(name: str) -> None:
    old, new, said = SHEETS[name]
    assert old in SHEET
    with pytest.raises(SheetRefused) as refused:
        sheet(SHEET.replace(old, new, 1))
    assert said in str(refused.value)


def test_spreadsheets_save_it_as_they_like() -> None:
    plain = stacks(sheet().engine)[0].ratio
    for table in (
        "\ufeff" + TABLE,
        TABLE.replace(",", ";"),
        TABLE.replace(",", "\t"),
        "sep=;\n" + TABLE.replace(",", ";"),
        TABLE.replace("\n", "\r\n"),
        TABLE.replace("bore,1,A,top", '"bore","1","A","top"'),
        TABLE.replace("\nchamber,1,A,,1,1", "\n,,,,,,,,,,,,,\n\nchamber,1,A,,1,1"),
        TABLE.replace("what,cylinder", "What , Cylinder"),
    ):
        again = stacks(sheet(table=table).engine)[0].ratio
        assert nominal(again) == nominal(plain)
        assert deviation(again) == pytest.approx(deviation(plain))


def test_blank_rows_wait_for_their_reading() -> None:
    with pytest.raises(MissingReadings, match=r"chamber \(cylinder 2\)"):
        sheet(table="\n".join(row for row in _emptied("chamber,2")))


def _emptied(start: str) -> list[str]:
    """The table with the cells of some rows still to be filled in."""
    rows = []
    for row in TABLE.splitlines():
        cells = row.split(",")
        if row.startswith(start):
            cells[8:11] = ["", "", ""]
        rows.append(",".join(cells))
    return rows


def test_a_hundred_thousand_rows_are_read_in_seconds() -> None:
    many = "".join(f"bore,1,A,top,,,,,,,92.0{n % 10} mm,mic,,\n" for n in range(100_000))
    began = time.process_time()
    cylinder = sheet(table=TABLE + many).engine.cylinder
    assert time.process_time() - began < 10
    assert in_mm(cylinder.bore) == pytest.approx(92.045, abs=0.001)


def test_sheet_and_table_read_back_as_they_were_saved(tmp_path: Path) -> None:
    (tmp_path / "bay3.csv").write_text(TABLE, encoding="utf-8")
    path = tmp_path / "bay3.toml"
    write_sheet(sheet(), path)
    again = read_sheet(path)
    assert again == sheet()
    assert again.engine.count == 2
    rows = rows_of(TABLE)
    write_table(rows, tmp_path / "copy.csv")
    copied = read_table(tmp_path / "copy.csv")
    assert [row.reading for row in copied] == [row.reading for row in rows]
    assert rows_of(table_text(rows), "copy.csv") == copied


def test_format_1_says_the_same_under_format_2() -> None:
    """Every field of format 1 may be given; only the way to the interval is another."""
    from enginemath.sheets import EXAMPLE

    one, two = parse(EXAMPLE), parse(EXAMPLE.replace("format = 1", "format = 2"))
    assert [nominal(a.ratio) for a in stacks(one.engine)] == [
        nominal(b.ratio) for b in stacks(two.engine)
    ]


def test_warnings_fall_silent_when_the_sheet_answers() -> None:
    asked = SHEET.replace(
        "[gasket]",
        '[cam]\nintake_closes = "60 deg"\n[fuel]\nantiknock_index = 91\n[gasket]',
    ).replace('stroke = "', 'rod_length = "145 mm"\nstroke = "')
    assert any("valve lift not stated" in line for line in sheet_report(sheet(asked))["warnings"])
    answered = asked.replace(
        "[fuel]", 'checking_lift = "0.1 mm"\n[head]\nmaterial = "aluminium"\n[fuel]'
    )
    said = sheet_report(sheet(answered))["warnings"]
    assert not any("valve lift" in line and "not stated" in line for line in said)
    assert not any("iron head" in line for line in said)
    diesel = answered.replace("antiknock_index = 91", 'kind = "diesel"\nantiknock_index = 91')
    assert not any("pump fuel" in line for line in sheet_report(sheet(diesel))["warnings"])


def test_a_blunder_is_named_with_its_rows() -> None:
    more = "".join(f"chamber,1,C,,{n},1,,,0.10 mL,47.7{n} mL,,burette,,\n" for n in range(3))
    said = sheet(table=TABLE + more + "chamber,1,D,,1,1,,,0.10 mL,40.70 mL,,burette,,\n").warnings
    assert any(line.startswith("row 21: chamber of cylinder 1, group D: 40.60 cc") for line in said)


def test_without_clearance_a_draw_is_refused_and_said() -> None:
    wild = SHEET.replace('bore = "93.2 mm"', 'bore = "93.2 ± 18 mm"')
    report = sheet_report(sheet(wild))
    assert "Monte Carlo" in report["uncertainty_method"]
    low, high = report["interval_95"]
    assert 1 < low < report["compression_ratio"] < high
    wilder = SHEET.replace("[gasket]", '[piston]\ndish = "1 ± 30 cc"\n[gasket]')
    table = "".join(row for row in TABLE.splitlines(keepends=True) if "known" not in row)
    found = sheet_report(sheet(wilder, table))
    assert "leave no clearance above the piston, cannot be" in found["uncertainty_method"]
    assert found["interval_95"][0] > 1


def test_an_engine_with_parts_of_its_own_is_written_down_as_format_2() -> None:
    engine = sheet().engine
    again = sheet_of(engine)
    assert again.written["format"] == 2
    assert again.engine.banks == engine.banks
    for one, other in zip(stacks(engine), stacks(again.engine), strict=True):
        assert nominal(one.ratio) == pytest.approx(nominal(other.ratio), rel=1e-12)


def test_the_whole_clearance_through_the_plug_hole_is_a_check() -> None:
    pour = "plug hole pour,1,A,,1,1,,,0.00 mL,{} mL,,burette,,\n"
    clearance = nominal(stacks(sheet().engine)[0].clearance.magnitude)
    agrees = (
        TABLE
        + pour.format("33.00")
        + f"plug hole pour,1,A,,1,2,,,,,{clearance - 33:.2f} mL,burette,,\n"
    )
    assert not any("plug hole" in line for line in sheet(table=agrees).warnings)
    too_little = TABLE + pour.format("33.00") + "plug hole pour,1,A,,1,2,,,,,28.00 mL,burette,,\n"
    (said,) = [line for line in sheet(table=too_little).warnings if "plug hole" in line]
    assert said.startswith("cylinder 1: 61.00 ± ")
    gap = clearance - 61.0
    height = 10 * gap / (math.pi / 4 * 9.2005**2)
    assert f"{gap:.2f} cc less than the sum, as much as {height:.3f} mm of deck clearance" in said
    assert f"or {gap:.2f} cc of chamber or crown" in said


def test_several_sheets_side_by_side(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bay3.csv").write_text(TABLE, encoding="utf-8")
    names = ["a.toml", "b.toml"]
    for name in names:
        (tmp_path / name).write_text(SHEET.replace("Bay 3", f"<{name}>"), encoding="utf-8")
    paths = [str(tmp_path / name) for name in names]
    assert main(["ratio", *paths, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [report["name"] for report in found] == ["<a.toml>", "<b.toml>"]
    table, page = tmp_path / "out.csv", tmp_path / "out.html"
    files = ["--csv", str(table), "--html", str(page), "--units", "in"]
    assert main(["ratio", *paths, *files]) == 0
    assert len(capsys.readouterr().out.splitlines()) >= 3
    rows = [row.split(",") for row in table.read_text("utf-8").splitlines()]
    assert len(rows) == 5
    column = rows[0].index("squish_in")
    squish = found[0]["cylinders"][0]["squish_mm"]
    assert float(rows[1][column]) == pytest.approx(squish / 25.4)
    said = page.read_text("utf-8")
    assert "&lt;a.toml&gt;" in said
    assert "<a.toml>" not in said
    assert said.count("<svg") == 2
    assert main(["ratio", *paths, "--csv", str(tmp_path / "bay3.csv")]) == 2
    assert "is a sheet or its readings" in capsys.readouterr().err
    assert (tmp_path / "bay3.csv").read_text("utf-8") == TABLE
    (tmp_path / "b.toml").write_text(SHEET.replace("count = 2", "count = 1"), encoding="utf-8")
    assert main(["ratio", *paths, "--json"]) == 2
    out, error = capsys.readouterr()
    assert not out
    assert "b.toml" in error or "bay3.csv" in error


@pytest.mark.parametrize("poured_on", ["1", "2", "1 and 2"])
def test_a_crown_is_the_same_under_a_wider_bore(poured_on: str) -> None:
    """What a known-depth pour leaves of its own disc is the piston's, whichever bore it runs in."""
    bores = {1: 90.0, 2: 90.5}
    head = "what,cylinder,pour,depth,reading\n"
    rows = "".join(f"bore,{n},,,{bore} mm\n" for n, bore in bores.items())
    for n in map(int, poured_on.split(" and ")):
        for pour, depth in enumerate((10.0, 12.0) if n == 1 else (11.0,), start=1):
            poured = math.pi / 4 * bores[n] ** 2 * depth / 1000 + 4.0
            rows += f"known depth,{n},{pour},{depth} mm,{poured:.9f} cc\n"
    rows += "chamber,,1,,45 cc\nstroke,,,,80 mm\ndeck clearance,,,,0.4 mm\n"
    rows += "gasket bore,,,,91.5 mm\ncompressed thickness,,,,1.0 mm\n"
    text = 'format = 2\nname = "x"\nreadings = "t.csv"\n[cylinder]\ncount = 2\n'
    cylinders = sheet_report(parse(text, None, {"t.csv": head + rows}))["cylinders"]
    assert [each["crown_cc"] for each in cylinders] == pytest.approx([4.0, 4.0], abs=1e-6)


@pytest.mark.parametrize(("unit", "size"), [("in", 25.4), ("mm", 1.0)])
def test_a_blunder_is_said_in_the_unit_in_which_it_was_read(unit: str, size: float) -> None:
    head = "what,cylinder,reading\n"
    lengths = [("bore", n, mm) for n in (1, 2, 3) for mm in (90.01, 90.02, 90.015, 90.02)]
    lengths += [("bore", 1, 93.0), ("stroke", 1, 80.0), ("stroke", 2, 80.0), ("stroke", 3, 84.0)]
    lengths += [
        ("deck clearance", 0, 0.4),
        ("gasket bore", 0, 91.5),
        ("compressed thickness", 0, 1),
    ]
    rows = "".join(f"{what},{n or ''},{mm / size:.4f} {unit}\n" for what, n, mm in lengths)
    text = 'format = 2\nname = "x"\nreadings = "t.csv"\n[cylinder]\ncount = 3\n'
    sheet = parse(text, None, {"t.csv": f"{head}{rows}chamber,,45 cc\n"})
    blunder, unlike = sheet.warnings[:2]
    assert "is a blunder" in blunder
    assert "the middle of the other" in unlike
    other = {"in": "mm", "mm": "in"}[unit]
    assert f" {unit}" in blunder
    assert f" {unit}" in unlike
    assert f" {other}" not in blunder.replace(" in row", "") + unlike


def test_one_reading_with_another_gauge_does_not_make_it_another_shop() -> None:
    rows = "bore,86.36 mm\nbore,3.4001 in\nbore,3 2/5 in\nbore,3.4002 in\nstroke,80 mm\n"
    rows += "deck clearance,0.010 in\nchamber,45 cc\ngasket bore,3.45 in\n"
    text = 'format = 2\nname = "x"\nreadings = "t.csv"\n[cylinder]\ncount = 1\n'
    table = f"what,reading\n{rows}compressed thickness,0.040 in\n"
    engine = parse(text, None, {"t.csv": table}).engine
    assert shop_unit(engine.cylinder.bore) == "in"
    assert shop_unit(engine.cylinder.stroke) == "mm"
    assert in_mm(engine.cylinder.bore) == pytest.approx(
        (86.36 * 2 + 3.4001 * 25.4 + 3.4002 * 25.4) / 4
    )


def test_so_far_names_the_line_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "x.toml"
    path.write_text('format = 2\nname = "x"\n[cylinder]\ncount = 1\nbore = "92,0 mm"\n')
    said = []
    for words in ([], ["--so-far"]):
        assert main(["ratio", str(path), *words]) == 2
        said.append(capsys.readouterr().err)
    assert said[0] == said[1]
    assert "x.toml, line 5: cylinder.bore: " in said[0]


@pytest.mark.parametrize(
    ("cell", "inches"),
    [("3 1/2", 3.5), ("3 29⁄32", 3.90625), ("3½", 3.5), ("3 ½", 3.5), ("7/2", 3.5), ("3.5", 3.5)],
)
def test_a_fraction_gets_the_unit_of_its_row(cell: str, inches: float) -> None:
    (row,) = rows_of(f"what,reading,unit\nbore,{cell},in\n")
    assert read(row.reading).m_as("in") == inches
