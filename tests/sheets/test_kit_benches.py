"""The kit's own engines: format 2, all readings in one table each."""

from __future__ import annotations

import csv
import io

import pytest

from enginemath.bench.how_sure.class_study import Study
from enginemath.engine.stack import stacks
from enginemath.sheets import kit_data, parse, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.ratio_report import sheet_report
from enginemath.sheets.readings_table import read_table
from enginemath.sheets.study_file import read_study, study_of
from enginemath.units import Refused, nominal
from tests.old_doors.kit import averages

ENGINES = ["heron-one", "heron-four", "heron-eight"]


@pytest.mark.parametrize("engine", ENGINES)
def test_the_readings_come_to_the_round_averages_that_were_written_before(engine: str) -> None:
    """So a class that works by hand finds what the lessons print."""
    now, then = read_sheet(path(f"{engine}.toml")), read_sheet(averages(engine))
    assert now.is_of_readings
    assert not then.is_of_readings
    for found, written in zip(stacks(now.engine), stacks(then.engine), strict=True):
        assert nominal(found.swept.m_as("cc")) == pytest.approx(
            nominal(written.swept.m_as("cc")), rel=1e-9
        )
        for part, volume in written.parts.items():
            assert nominal(found.parts[part].m_as("cc")) == pytest.approx(
                nominal(volume.m_as("cc")), abs=0.001
            )
        assert nominal(found.ratio) == pytest.approx(nominal(written.ratio), abs=0.0003)


@pytest.mark.parametrize("engine", ENGINES)
def test_a_known_part_of_the_crown_is_told_apart(engine: str) -> None:
    now, then = read_sheet(path(f"{engine}.toml")).engine, read_sheet(averages(engine)).engine
    for name in ("dish", "dome", "reliefs") if engine != "heron-eight" else ("dome",):
        cc = nominal(getattr(then.piston, name).m_as("cc"))
        assert nominal(getattr(now.piston, name).m_as("cc")) == pytest.approx(cc, abs=0.001)


def with_every_reading(engine: str) -> str:
    """The table with nothing left out."""
    rows = kit_data.rows(f"{engine}-readings.csv")
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    writer.writerows({**row, "left out": ""} for row in rows)
    return out.getvalue()


@pytest.mark.parametrize(
    ("engine", "slip"),
    [
        ("heron-four", "chamber of cylinder 3, group C"),
        ("heron-eight", "chamber of cylinder 5, group B"),
    ],
)
def test_the_planted_slips_are_named_and_no_others(engine: str, slip: str) -> None:
    text = path(f"{engine}.toml").read_text(encoding="utf-8")
    kept = parse(text, tables={f"{engine}-readings.csv": with_every_reading(engine)})
    blunders = [text for text in sheet_report(kept)["warnings"] if "blunder" in text]
    assert len(blunders) == 1
    assert slip in blunders[0]
    left_out = sheet_report(read_sheet(path(f"{engine}.toml")))
    assert not [text for text in left_out["warnings"] if "blunder" in text]
    assert all(slip.split(",")[0] in row for row in left_out["left_out"])
    assert len(left_out["left_out"]) == 2, "both fills of the pour"


@pytest.mark.parametrize("engine", ENGINES)
def test_nothing_at_the_bench_is_taken_as_exact(engine: str) -> None:
    report = sheet_report(read_sheet(path(f"{engine}.toml")))
    assert report["taken_as_exact"] == []
    assert report["budget"][0]["source"] == "burette"
    assert sum(line["share"] for line in report["budget"]) == pytest.approx(1)
    assert all(row.tool for row in read_table(path(f"{engine}-readings.csv")))


def test_the_class_study_is_of_the_same_table() -> None:
    rows = read_table(path("class-chambers.csv"))
    assert {row.what for row in rows} == {"chamber"}
    study = read_study(path("class-chambers.csv"))
    assert (study.groups, study.chambers, study.repeats) == (tuple("ABCDE"), tuple("1234"), 3)
    assert study.readings[0][0] == (45.40, 45.15, 45.00)


IN_FILLS = """\
what,group,cylinder,pour,fill,start,end,left out
chamber,A,1,1,1,0.50 mL,24.50 mL,
chamber,A,1,1,2,0.00 mL,20.00 mL,
chamber,A,1,2,1,0.10 mL,44.20 mL,
chamber,A,2,1,1,0.00 mL,45.00 mL,
chamber,A,2,2,1,0.00 mL,45.10 mL,
chamber,A,2,3,1,0.00 mL,48.10 mL,the plate leaked
chamber,B,1,1,1,0.00 mL,44.10 mL,
chamber,B,1,2,1,0.00 mL,44.30 mL,
chamber,B,2,1,1,0.00 mL,45.20 mL,
chamber,B,2,2,1,0.00 mL,45.00 mL,
"""


def test_a_study_adds_the_fills_of_a_pour_up() -> None:
    study: Study = study_of(IN_FILLS)
    assert study.unit == "mL"
    assert study.readings[0] == (pytest.approx((44.0, 44.1)), pytest.approx((45.0, 45.1)))


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("chamber,A,1,2", "bore,A,1,2", "row 4, column what"),
        ("chamber,A,1,2,1", "chamber,A,1,1,1", "row 4, column pour"),
        ("chamber,A,2,2,1", "chamber,,2,2,1", "row 6, column group"),
        ("0.10 mL,44.20 mL", "0.10 mL,", "row 4, column end"),
        ("0.10 mL,44.20 mL", "0.10 mL,44.20 mm", "row 4, column end"),
        ("0.10 mL,44.20 mL", "0.10 mL,forty", "row 4, column end"),
        ("chamber,B,2,2,1,0.00 mL,45.00 mL,", "", "row 10, column pour"),
    ],
)
def test_a_study_that_is_not_whole_is_refused_with_its_row(old: str, new: str, where: str) -> None:
    assert old in IN_FILLS
    with pytest.raises(Refused, match=where):
        study_of(IN_FILLS.replace(old, new, 1))
