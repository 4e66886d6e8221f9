"""What `enginemath ratio` says."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from enginemath.sheets import EXAMPLE, parse, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.ratio_report import ratio_report, ratio_text
from tests.answers import sheets

AT_ALTITUDE = """\
[site]
altitude = "1200 m"
[fuel]
antiknock_index = 87
"""
FULL = sheets.FULL + AT_ALTITUDE
PROMISED = {
    "name",
    "strokes",
    "displacement_cc",
    "swept_cc",
    "cylinders",
    "compression_ratio",
    "u_compression_ratio",
    "interval_95",
    "warnings",
    "taken_as_exact",
    "budget",
    "degrees_of_freedom",
}
EACH_CYLINDER = {
    "number",
    "chamber_cc",
    "gasket_cc",
    "deck_cc",
    "crown_cc",
    "crevice_cc",
    "clearance_cc",
    "compression_ratio",
    "squish_mm",
    "swept_cc",
    "bank",
    "u_compression_ratio",
    "interval_95",
    "degrees_of_freedom",
    "u_squish_mm",
    "squish_interval_95_mm",
    "bore_mm",
    "deck_clearance_mm",
    "prechamber_cc",
    "take_to_match_cc",
    "u_take_to_match_cc",
}
RUNNING = {
    "effective_ratio",
    "u_effective_ratio",
    "effective_ratio_interval_95",
    "cranking_pressure_kpa",
    "cranking_pressure_gauge_kpa",
    "u_cranking_pressure_kpa",
    "cranking_pressure_gauge_interval_95_kpa",
}


def test_an_engine_worked_by_hand() -> None:
    """Invented engine, worked on paper to the digits shown; effective ratio by the rod."""
    report = ratio_report(parse(FULL).engine)
    assert report["swept_cc"] == pytest.approx(588.3135, abs=5e-5)
    assert report["displacement_cc"] == pytest.approx(4 * 588.3135, abs=2e-4)
    for cylinder in report["cylinders"]:
        assert cylinder["clearance_cc"] == pytest.approx(66.6496, abs=5e-5)
        assert cylinder["compression_ratio"] == pytest.approx(9.8270, abs=5e-5)
        assert cylinder["squish_mm"] == pytest.approx(1.45)
    assert report["compression_ratio"] == pytest.approx(9.8270, abs=5e-5)
    assert report["effective_ratio"] == pytest.approx(8.1344, abs=5e-5)


def test_all_that_is_promised_is_there_and_goes_into_json() -> None:
    report = ratio_report(parse(FULL).engine)
    assert set(report) >= PROMISED | RUNNING
    assert all(set(cylinder) == EACH_CYLINDER | RUNNING for cylinder in report["cylinders"])
    assert [cylinder["number"] for cylinder in report["cylinders"]] == [1, 2, 3, 4]
    assert json.loads(json.dumps(report, allow_nan=False)) == report


def test_without_rod_or_cam_there_is_no_effective_ratio() -> None:
    for text in (EXAMPLE, FULL.replace('rod_length = "145 mm"\n', "")):
        report = ratio_report(parse(text).engine)
        assert "effective_ratio" not in report
        assert "cranking_pressure_kpa" not in report


def test_the_gauge_reads_less_than_absolute_by_the_air_of_the_place() -> None:
    """US Standard Atmosphere 1976: 87.7 kPa at 1200 m (from memory)."""
    report = ratio_report(parse(FULL).engine)
    air = report["cranking_pressure_kpa"] - report["cranking_pressure_gauge_kpa"]
    assert air == pytest.approx(87.7, abs=0.05)


def test_no_uncertainty_given_is_null_and_not_nought() -> None:
    report = ratio_report(parse(EXAMPLE).engine)
    assert report["u_compression_ratio"] is None
    assert report["interval_95"] is None


def test_uncertainty_comes_from_the_readings() -> None:
    report = ratio_report(parse(EXAMPLE.replace("6.0 cc", "6.0 ± 0.3 cc")).engine)
    low, high = report["interval_95"]
    assert low < report["compression_ratio"] < high
    assert high - low == pytest.approx(2 * 1.96 * report["u_compression_ratio"], rel=1e-3)


def test_a_wide_reading_is_not_trusted_to_first_order() -> None:
    report = ratio_report(parse(EXAMPLE.replace("6.0 cc", "6.0 ± 9.0 cc")).engine)
    low, high = report["interval_95"]
    assert high - report["compression_ratio"] > report["compression_ratio"] - low
    assert "Monte Carlo" in report["uncertainty_method"]


def test_the_mean_of_the_ratios_is_not_the_ratio_of_the_mean() -> None:
    fills = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
    each = EXAMPLE.replace(fills, 'volumes = ["37.5 cc", "57.5 cc", "37.5 cc", "57.5 cc"]')
    assert (
        ratio_report(parse(each).engine)["compression_ratio"]
        > ratio_report(parse(EXAMPLE).engine)["compression_ratio"] + 0.1
    )


def test_an_unknown_gasket_thickness_leaves_the_squish_open() -> None:
    lines = 'bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"\nfree_thickness = "1.35 mm"\n'
    engine = parse(EXAMPLE.replace(lines, 'volume = "7.5 cc"\n')).engine
    report = ratio_report(engine)
    assert {cylinder["squish_mm"] for cylinder in report["cylinders"]} == {None}
    assert " -\n" in ratio_text(engine, report)


@pytest.mark.parametrize("name", ["heron-one", "heron-four", "heron-eight"])
def test_the_table_says_what_the_data_say(name: str) -> None:
    engine = read_sheet(path(f"{name}.toml")).engine
    report = ratio_report(engine)
    text = ratio_text(engine, report)
    for cylinder in report["cylinders"]:
        row = f"{cylinder['clearance_cc']:.2f}"
        assert row in text
        assert f"{cylinder['compression_ratio']:.3f}" in text
    assert f"Compression ratio {report['compression_ratio']:.2f} ±" in text
    assert "not permission to run" in text
    assert all(len(line) <= 100 for line in text.splitlines())


def bars(text: str) -> dict[str, str]:
    lines = [line for line in text.splitlines() if " cc  " in line and set("█░▒") & set(line)]
    return {line.split()[0]: line.split(" cc  ", 1)[1] for line in lines}


def test_the_bar_is_to_scale() -> None:
    engine = read_sheet(path("heron-four.toml")).engine
    drawn = bars(ratio_text(engine, ratio_report(engine)))
    volumes = ratio_report(engine)["cylinders"][0]
    whole = len(drawn["together"])
    for name in ("chamber", "gasket", "deck", "crown"):
        share = volumes[f"{name}_cc"] / volumes["clearance_cc"]
        assert drawn[name].count("█") / whole == pytest.approx(share, abs=1.1 / whole)


def test_a_dome_is_drawn_as_taken_away() -> None:
    engine = read_sheet(path("heron-eight.toml")).engine
    text = ratio_text(engine, ratio_report(engine))
    drawn = bars(text)
    assert "░" in drawn["crown"]
    assert "░ is taken away" in text
    assert len(drawn["crown"]) == len(drawn["deck"])


def test_a_name_cannot_break_the_line() -> None:
    engine = parse(EXAMPLE.replace("bay 3", "bay\\n3 \\u001b[31m")).engine
    assert ratio_text(engine, ratio_report(engine)).splitlines()[0] == "Bench engine, bay?3 ?[31m"


def test_inch_engines_are_shown_in_inches() -> None:
    engine = read_sheet(path("heron-eight.toml")).engine
    assert "bore 3.8150 in" in ratio_text(engine, ratio_report(engine))


def test_a_sheet_can_live_in_a_folder_with_an_odd_name(tmp_path: Path) -> None:
    odd = tmp_path / "Bay 3, café" / "sheet.toml"
    odd.parent.mkdir()
    odd.write_text(EXAMPLE, encoding="utf-8")
    assert read_sheet(odd).engine.count == 4
