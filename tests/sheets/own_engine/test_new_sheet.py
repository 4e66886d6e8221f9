"""`enginemath new`: three files or none; what they ask for is what the ratio needs."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets import read_sheet
from enginemath.sheets.bench_sheet import MissingReadings
from enginemath.sheets.so_far import report_so_far
from enginemath.units import Refused
from tests.sheets.own_engine.bench import fill_in

NAMES = ("bay3.toml", "bay3-readings.csv", "bay3-record.html")


def new(folder: Path, *options: str) -> int:
    return main(["new", str(folder / "bay3.toml"), *options])


def test_all_that_the_ratio_needs_has_a_row_and_nothing_else_is_missing(tmp_path: Path) -> None:
    assert new(tmp_path, "--cylinders", "8", "--banks", "left,right", "--units", "in") == 0
    with pytest.raises(MissingReadings) as missing:
        read_sheet(tmp_path / "bay3.toml")
    assert missing.value.names == (
        *("bore", "stroke or depth at bdc", "deck clearance", "chamber", "gasket bore"),
        *("compressed thickness", "known depth"),
    )
    assert report_so_far(tmp_path / "bay3.toml")["ratio_range"] is None
    fill_in(tmp_path / NAMES[1])
    report = report_so_far(tmp_path / "bay3.toml")
    # By hand, π/4·d²·h with 1 in³ = 16.387064 cc: swept 716.64, deck 4.325, gasket 8.870,
    # crown 77.4 − 72.09 = 5.31, chamber 64.2; (716.64 + 82.71) / 82.71.
    assert report["missing"] == []
    assert report["compression_ratio"] == pytest.approx(9.665, abs=0.003)
    assert {cylinder["bank"] for cylinder in report["cylinders"]} == {"left", "right"}


@pytest.mark.parametrize("there", [*NAMES, "bay3-readings.kept.jsonl"])
def test_where_one_of_the_files_is_there_none_is_written(
    there: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / there).write_text("mine")
    assert new(tmp_path) == 2
    said = capsys.readouterr()
    assert there in said.err
    assert "nothing is written" in said.err
    assert not said.out
    assert said.err.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == [there]
    assert (tmp_path / there).read_text() == "mine"


@pytest.mark.parametrize(
    "options",
    [
        ("--cylinders", "25"),
        ("--banks", "left,left"),
        ("--banks", "left,"),
        ("--cylinders", "1", "--banks", "a,b"),
    ],
)
def test_an_engine_that_cannot_be_is_refused_in_one_sentence(
    options: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert new(tmp_path, *options) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not [*tmp_path.iterdir()]


def test_a_folder_that_is_not_there_or_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    from enginemath.sheets.own_engine.new_sheet import new_engine

    with pytest.raises(Refused, match="cannot be written"):
        new_engine(tmp_path / "not there" / "bay3.toml")
    # The sheet can be written, the table's name is too long: what was begun is taken back.
    with pytest.raises(Refused, match="so nothing is"):
        new_engine(tmp_path / ("b" * 245 + ".toml"))
    assert not [*tmp_path.iterdir()]


def test_names_that_need_care_in_toml_come_back_whole(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / 'a "b" # c'), "--banks", 'le"ft,#right']) == 0
    written = tomllib.loads((tmp_path / 'a "b" # c.toml').read_text())
    assert written["name"] == 'a "b" # c'
    assert [bank["name"] for bank in written["bank"]] == ['le"ft', "#right"]


def test_one_or_two_cylinders_are_poured_three_times(tmp_path: Path) -> None:
    assert new(tmp_path, "--cylinders", "1") == 0
    table = (tmp_path / NAMES[1]).read_text()
    assert table.count("\nchamber,") == 3
    assert "cylinder 1, pour 3" in (tmp_path / NAMES[2]).read_text()


def test_the_printed_sheet_has_a_box_for_every_reading(tmp_path: Path) -> None:
    new(tmp_path, "--cylinders", "8", "--units", "in")
    page = (tmp_path / NAMES[2]).read_text()
    # Of 62 rows one has three boxes (depth, start, end) and eight have two.
    assert len(re.findall("<td>", page)) == 62 + 2 + 8
    assert "{{" not in page
    assert "in</th>" in page
