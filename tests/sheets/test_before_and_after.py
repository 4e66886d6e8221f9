"""Two sheets of one engine side by side, before the work and after it."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets import EXAMPLE, parse
from enginemath.sheets.before_and_after import are_before_and_after, columns, rows
from enginemath.sheets.ratio_page import report_csv, report_page
from enginemath.sheets.ratio_report import sheet_report

OLD = EXAMPLE
NEW = EXAMPLE.replace('"0.35 mm"', '"0.15 mm"').replace('"6.0 cc"', '"4.0 ± 0.1 cc"')


def page_of(*texts: str, unit: str = "") -> str:
    sheets = [parse(text) for text in texts]
    engines = [sheet.engine for sheet in sheets]
    return report_page([sheet_report(sheet) for sheet in sheets], engines, unit)


def test_what_changed_is_told_as_it_was_and_as_it_is() -> None:
    """Deck 0.35 to 0.15 mm, dish 6 to 4 cc; chamber and gasket stay."""
    before, after = (sheet_report(parse(text)) for text in (OLD, NEW))
    assert columns(before, "mm")[:3] == ["cylinder", "ratio", "chamber, cc"]
    *cylinders, mean = rows(before, after, "mm")
    for number, row in enumerate(cylinders, start=1):
        assert row == [
            str(number),
            "9.896 → 10.368",
            "47.50",
            "8.80 → 6.80",
            "7.50",
            "0.350 → 0.150",
            "1.450 → 1.250",
        ]
    assert mean[:2] == ["mean", "9.896 → 10.368"]


def test_it_stands_on_one_page_with_the_whole_reports_behind() -> None:
    page = page_of(OLD, NEW)
    assert "<h1>Before and after</h1>" in page
    assert "9.896 → 10.368" in page
    assert page.count('<section class="engine alone">') == 2


def test_lengths_are_said_in_inches_where_that_is_asked() -> None:
    page = page_of(OLD, NEW, unit="in")
    assert "0.0138 → 0.0059" in page
    assert "deck clearance, in" in page


def test_other_sheets_are_only_set_side_by_side() -> None:
    one = EXAMPLE.replace("count = 4", "count = 1")
    reports = [sheet_report(parse(text)) for text in (OLD, one)]
    assert not are_before_and_after(reports)
    assert not are_before_and_after([reports[0]] * 3)
    assert "Before → after" not in page_of(OLD, one)


def test_the_command_prints_the_page_and_the_table(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, text in (("old", OLD), ("new", NEW)):
        (tmp_path / f"{name}.toml").write_text(text)
    sheets = [str(tmp_path / f"{name}.toml") for name in ("old", "new")]
    page, table = tmp_path / "both.html", tmp_path / "both.csv"
    assert main(["ratio", *sheets, "--html", str(page), "--csv", str(table)]) == 0
    said = capsys.readouterr().out
    assert re.search(r"^1 +9\.896 → 10\.368 ", said, re.MULTILINE)
    assert page.read_text() == page_of(OLD, NEW)
    found = list(csv.DictReader(io.StringIO(table.read_text())))
    assert [(row["sheet"], row["cylinder"]) for row in found] == [
        (sheet, str(n)) for sheet in "12" for n in range(1, 5)
    ]
    assert float(found[0]["deck_clearance_mm"]) == 0.35
    assert float(found[4]["deck_clearance_mm"]) == 0.15


def test_one_sheet_alone_needs_no_number() -> None:
    assert "sheet" not in report_csv([sheet_report(parse(OLD))]).splitlines()[0].split(",")
