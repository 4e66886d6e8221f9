"""`ratio --so-far` with several sheets, a table, a page and a unit of one's own."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets import EXAMPLE

HALF = """\
format = 2
name = "Half measured"
[cylinder]
count = 2
bore = ["3.622 in", "3.640 in"]
[chamber]
volumes = ["47.5 ± 0.2 cc", "47.9 ± 0.2 cc"]
"""


@pytest.fixture
def sheets(tmp_path: Path) -> list[str]:
    for name, text in (("half.toml", HALF), ("whole.toml", EXAMPLE)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    return [str(tmp_path / name) for name in ("half.toml", "whole.toml")]


def test_table_and_page_hold_what_is_known(sheets: list[str], tmp_path: Path) -> None:
    table, page = tmp_path / "out.csv", tmp_path / "out.html"
    files = ("--csv", str(table), "--html", str(page))
    assert main(["ratio", *sheets, "--so-far", *files]) == 0
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert [row["engine"] for row in rows[:3]] == ["Half measured"] * 2 + ["Bench engine, bay 3"]
    assert rows[0]["missing"].split("; ")[0] == "stroke or depth at bdc"
    assert float(rows[0]["chamber_cc"]) == 47.5
    low, high = float(rows[0]["ratio_so_far_low"]), float(rows[0]["ratio_so_far_high"])
    assert 5 < low < high < 25
    assert rows[0]["compression_ratio"] == rows[2]["missing"] == ""
    assert float(rows[2]["compression_ratio"]) == pytest.approx(9.896, abs=0.001)
    text = page.read_text(encoding="utf-8")
    assert "Readings missing: stroke or depth at bdc, deck clearance" in text
    assert "Volumes so far, in cc" in text
    assert re.sub("<[^>]*>", "", text).count("Ratio so far: between") == 1


def test_without_so_far_nothing_is_written(sheets: list[str], tmp_path: Path) -> None:
    assert main(["ratio", *sheets, "--csv", str(tmp_path / "out.csv")]) == 2
    assert not (tmp_path / "out.csv").exists()


@pytest.mark.parametrize(
    ("units", "stroke"), [("", "stroke 2.898 to 4.55 in"), ("mm", "stroke 73.6 to 115.6 mm")]
)
def test_lengths_are_in_the_unit_asked_for_once_over_all_cylinders(
    sheets: list[str], units: str, stroke: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """0.8 × 3.622 in = 2.898 in, 1.25 × 3.640 in = 4.55 in."""
    asked = ["--units", units] if units else []
    assert main(["ratio", sheets[0], "--so-far", "--json", *asked]) == 0
    assumed = json.loads(capsys.readouterr().out)["assumed"]
    assert stroke in assumed
    assert len(assumed) == len({text.split(" ")[0] for text in assumed})


def test_a_sheet_or_its_readings_are_not_written_over(tmp_path: Path) -> None:
    text = HALF.replace('count = 2\nbore = ["3.622 in", "3.640 in"]', "count = 2")
    text = text.replace("[cylinder]", 'readings = "r.csv"\n[cylinder]')
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    (tmp_path / "r.csv").write_text("what,cylinder,reading\nbore,1,92 mm\n", encoding="utf-8")
    for name in ("a.toml", "r.csv"):
        before = (tmp_path / name).read_text()
        command = ["ratio", str(tmp_path / "a.toml"), "--so-far", "--csv", str(tmp_path / name)]
        assert main(command) == 2
        assert (tmp_path / name).read_text() == before
