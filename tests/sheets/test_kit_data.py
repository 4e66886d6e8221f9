"""The data are complete, read as written, and say what datasets/README.md says of them."""

from __future__ import annotations

import shutil
import tomllib
from collections import defaultdict
from statistics import fmean, median

import pytest

from enginemath.engine.stack import mean_ratio
from enginemath.formulas.geometry import disc
from enginemath.sheets import kit_data, read_sheet
from enginemath.units import Refused, deviation, nominal, read_as

ENGINES = {"one": (1, "ABCDE"), "four": (4, "ABCDE"), "eight": (8, "ABCD")}
BURETTE = {"one": 10.0, "four": 25.0, "eight": 50.0}
COLUMNS = {
    "pours": ["group", "cylinder", "fill", "start", "end"],
    "known-depth": ["group", "cylinder", "depth", "fill", "start", "end"],
    "deck": ["group", "cylinder", "side", "reading"],
    "gauge": ["group", "cylinder", "what", "reading"],
}
TABLES = [(engine, kind) for engine in ENGINES for kind in COLUMNS]


def number(text, unit):
    return nominal(read_as(text, unit).m_as(unit))


def pours(rows):
    """Poured volume in cc by group and cylinder."""
    volume = defaultdict(float)
    for row in rows:
        poured = number(row["end"], "cc") - number(row["start"], "cc")
        volume[row["group"], int(row["cylinder"])] += poured
    return dict(volume)


def readings(engine, what):
    """Gauge readings in mm."""
    rows = kit_data.rows(f"heron-{engine}-gauge.csv")
    return [number(row["reading"], "mm") for row in rows if row["what"] == what]


def agrees(average, quantity, unit):
    """Within three standard uncertainties of the sheet's value."""
    value = quantity.m_as(unit)
    assert deviation(value) > 0
    return abs(average - nominal(value)) <= 3 * deviation(value)


# The 1985 car records.


def error(row):
    """Computed over printed engine size, less one."""
    bore, stroke = float(row["bore_in"]), float(row["stroke_in"])
    computed = disc(bore, stroke) * int(row["cylinders"])
    return computed / float(row["engine_size_cuin"]) - 1


def test_car_records_hold_numbers_and_no_names():
    rows = kit_data.rows("cars-1985.csv")
    assert list(rows[0]) == [
        "row", "cylinders", "bore_in", "stroke_in", "engine_size_cuin", "compression_ratio",
        "fuel", "aspiration",
    ]  # fmt: skip
    assert [int(row["row"]) for row in rows] == list(range(1, 206))
    assert {row["fuel"] for row in rows} == {"gas", "diesel"}
    assert {row["aspiration"] for row in rows} == {"std", "turbo"}
    for row in rows:
        for column in ("cylinders", "engine_size_cuin", "compression_ratio"):
            assert float(row[column]) > 0
    without = [int(row["row"]) for row in rows if not row["bore_in"] or not row["stroke_in"]]
    assert without == [56, 57, 58, 59]


def test_displacement_of_201_real_engines():
    # Source: UCI "Automobile", J. Schlimmer (1987); the counts come from a
    # separate recomputation.
    errors = [error(row) for row in kit_data.rows("cars-1985.csv") if row["bore_in"]]
    assert len(errors) == 201
    assert sum(abs(e) <= 0.01 for e in errors) == 131
    assert sum(abs(e) <= 0.05 for e in errors) == 181
    assert round(100 * median(errors), 2) == -0.11
    assert round(100 * min(errors)) == -65
    assert round(100 * max(errors)) == 49


@pytest.mark.parametrize(
    ("fuel", "count", "low", "high"), [("gas", 185, 7.0, 11.5), ("diesel", 20, 21, 23)]
)
def test_ratio_by_fuel(fuel, count, low, high):
    # Source: as above. Spark ignition lies lower than compression ignition.
    rows = kit_data.rows("cars-1985.csv")
    ratios = [float(row["compression_ratio"]) for row in rows if row["fuel"] == fuel]
    assert (len(ratios), min(ratios), max(ratios)) == (count, low, high)
    if fuel == "gas":
        assert median(ratios) == 9.0


def test_cars_as_a_table():
    cars = kit_data.cars()
    assert (len(cars), len(cars.names)) == (205, 8)
    assert len(cars.known("bore_in")) == 201
    assert median(cars[cars.fuel == "gas"].compression_ratio) == 9.0


# The class's readings.


@pytest.mark.parametrize(("engine", "kind"), TABLES)
def test_table_is_complete(engine, kind):
    rows = kit_data.rows(f"heron-{engine}-{kind}.csv")
    count, groups = ENGINES[engine]
    for row in rows:
        assert list(row) == COLUMNS[kind]
        for_all = row.get("what") in ("rod length", "free thickness")
        assert all(cell for column, cell in row.items() if not for_all or column != "cylinder")
        assert row["group"] in groups
        assert row["cylinder"] == "" if for_all else 1 <= int(row["cylinder"]) <= count
    assert {row["group"] for row in rows} == set(groups)


@pytest.mark.parametrize(
    ("engine", "kind"), [t for t in TABLES if t[1] in ("pours", "known-depth")]
)
def test_fills_are_numbered_and_fit_the_burette(engine, kind):
    fills = defaultdict(list)
    for row in kit_data.rows(f"heron-{engine}-{kind}.csv"):
        start, end = number(row["start"], "mL"), number(row["end"], "mL")
        assert 0 <= start < end <= BURETTE[engine]
        for reading in (start, end):
            assert reading == pytest.approx(0.05 * round(reading / 0.05))
        fills[row["group"], row["cylinder"]].append(int(row["fill"]))
    for numbers in fills.values():
        assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.parametrize("engine", ENGINES)
def test_every_group_pours_every_chamber(engine):
    count, groups = ENGINES[engine]
    volumes = pours(kit_data.rows(f"heron-{engine}-pours.csv"))
    assert set(volumes) == {(g, c) for g in groups for c in range(1, count + 1)}


CARELESS = {"one": {}, "four": {("C", 3): -1.3}, "eight": {("B", 5): 1.3}}


@pytest.mark.parametrize("engine", ENGINES)
def test_only_the_planted_pours_are_far_off(engine):
    volumes = pours(kit_data.rows(f"heron-{engine}-pours.csv"))
    off = {}
    for (group, cylinder), volume in volumes.items():
        middle = median(v for (_, c), v in volumes.items() if c == cylinder)
        if abs(volume - middle) > 0.6:
            off[group, cylinder] = volume - middle
    assert off == pytest.approx(CARELESS[engine], abs=0.15)


def test_the_forgotten_start_is_the_only_nought():
    rows = kit_data.rows("heron-eight-pours.csv")
    noughts = [(r["group"], r["cylinder"], r["fill"]) for r in rows if r["start"] == "0.00 mL"]
    assert noughts == [("B", "5", "1")]


@pytest.mark.parametrize("engine", ENGINES)
def test_deck_is_read_on_both_sides_by_every_group(engine):
    count, groups = ENGINES[engine]
    rows = kit_data.rows(f"heron-{engine}-deck.csv")
    found = sorted((row["group"], int(row["cylinder"]), row["side"]) for row in rows)
    sides = ("left", "right")
    assert found == [(g, c, s) for g in groups for c in range(1, count + 1) for s in sides]


def test_class_chambers_are_balanced_and_one_group_is_out_of_line():
    rows = kit_data.rows("class-chambers.csv")
    assert list(rows[0]) == ["what", "cylinder", "group", "pour", "reading", "tool"]
    cells = [(row["group"], row["cylinder"], row["pour"]) for row in rows]
    assert cells == [(g, c, r) for g in "ABCDE" for c in "1234" for r in "123"]
    mean = {
        g: fmean(number(row["reading"], "cc") for row in rows if row["group"] == g) for g in "ABCDE"
    }
    others = [mean[g] for g in "ABCE"]
    assert max(others) - min(others) < 0.25
    assert mean["D"] - fmean(others) == pytest.approx(0.75, abs=0.1)


# The sheets, against the readings.


@pytest.mark.parametrize(("engine", "ratio"), [("one", 9.263), ("four", 8.649), ("eight", 10.439)])
def test_ratio_of_the_sheet(engine, ratio):
    # Reckoned apart from the kit with π/4·b²·h in plain Python.
    found = nominal(mean_ratio(read_sheet(kit_data.path(f"heron-{engine}.toml")).engine))
    assert found == pytest.approx(ratio, abs=0.001)


@pytest.mark.parametrize("engine", ENGINES)
def test_sheet_chambers_agree_with_the_pours(engine):
    # The median leaves a careless pour out.
    chambers = read_sheet(kit_data.path(f"heron-{engine}.toml")).engine.chambers
    volumes = pours(kit_data.rows(f"heron-{engine}-pours.csv"))
    for cylinder, chamber in enumerate(chambers, start=1):
        middle = median(v for (_, c), v in volumes.items() if c == cylinder)
        assert agrees(middle, chamber.volume, "cc")


@pytest.mark.parametrize("engine", ENGINES)
def test_sheet_decks_agree_with_the_dial(engine):
    decks = read_sheet(kit_data.path(f"heron-{engine}.toml")).engine.decks
    rows = kit_data.rows(f"heron-{engine}-deck.csv")
    for cylinder, deck in enumerate(decks, start=1):
        read = [number(row["reading"], "mm") for row in rows if row["cylinder"] == str(cylinder)]
        assert agrees(fmean(read), deck.clearance, "mm")


@pytest.mark.parametrize("engine", ENGINES)
def test_sheet_dimensions_agree_with_the_gauges(engine):
    e = read_sheet(kit_data.path(f"heron-{engine}.toml")).engine
    average = {
        what: fmean(readings(engine, what))
        for what in {row["what"] for row in kit_data.rows(f"heron-{engine}-gauge.csv")}
    }
    deck = fmean(nominal(d.clearance.m_as("mm")) for d in e.decks)
    assert agrees(average["bore"], e.cylinder.bore, "mm")
    assert agrees(average["depth at bdc"] - deck, e.cylinder.stroke, "mm")
    assert agrees(average["rod length"], e.cylinder.rod_length, "mm")
    assert agrees(average["gasket bore"], e.gasket.bore, "mm")
    assert agrees(average["compressed thickness"], e.gasket.compressed_thickness, "mm")
    assert average["free thickness"] == pytest.approx(
        nominal(e.gasket.free_thickness.m_as("mm")), abs=0.02
    )
    assert agrees(average["land height"], e.ring_land.height, "mm")
    assert agrees(average["bore"] - average["land diameter"], e.ring_land.clearance, "mm")


@pytest.mark.parametrize("engine", ENGINES)
def test_sheet_crown_agrees_with_the_known_depth(engine):
    e = read_sheet(kit_data.path(f"heron-{engine}.toml")).engine
    rows = kit_data.rows(f"heron-{engine}-known-depth.csv")
    depth = {
        (row["group"], int(row["cylinder"])): read_as(row["depth"], "mm").m_as("mm") for row in rows
    }
    bore = nominal(e.cylinder.bore.m_as("mm"))
    crowns = [poured - disc(bore, depth[key]) / 1000 for key, poured in pours(rows).items()]
    assert agrees(fmean(crowns), e.piston.crown, "cc")


# The options.

KINDS = {
    "bore": "mm", "compressed_thickness": "mm", "compression_height_change": "mm", "step": "mm",
    "max": "mm", "squish": "mm", "deck_clearance_min": "mm", "deck_cut": "mm", "head_cut": "mm",
    "dish": "cc", "dome": "cc", "reliefs": "cc", "open_area": "mm**2",
}  # fmt: skip


def texts(table, name=""):
    """Every text of a TOML table with the name of its field."""
    for key, value in table.items() if isinstance(table, dict) else ((name, v) for v in table):
        if isinstance(value, (dict, list)):
            yield from texts(value, key)
        elif isinstance(value, str):
            yield key, value


@pytest.mark.parametrize("engine", ["four", "eight"])
def test_options_read_as_the_right_kind(engine):
    options = tomllib.loads(kit_data.path(f"heron-{engine}-options.toml").read_text("utf-8"))
    for field, text in texts(options):
        if field != "name":
            assert number(text, KINDS[field]) >= 0
    low, high = options["target"]["ratio"]
    assert low <= options["target"]["aim"] <= high
    measured = nominal(mean_ratio(read_sheet(kit_data.path(f"heron-{engine}.toml")).engine))
    assert not low <= measured <= high


# Finding the files.


def test_unknown_name_is_refused_with_the_names():
    for name in ("heron-five.toml", "../pyproject.toml", "README.md", ""):
        with pytest.raises(Refused, match=r"no data file .*cars-1985\.csv, class-chambers\.csv"):
            kit_data.path(name)


def test_a_sheet_has_no_rows():
    with pytest.raises(Refused, match="not a table"):
        kit_data.rows("heron-four.toml")


def test_installed_kit_takes_its_own_folder(tmp_path, monkeypatch):
    package = tmp_path / "site-packages" / "enginemath"
    (package.parent / "datasets").mkdir(parents=True)  # of some other package
    shutil.copytree(kit_data.kit_folder("datasets"), package / "_kit" / "datasets")
    monkeypatch.setattr(kit_data, "_PACKAGE", package)
    assert kit_data.path("cars-1985.csv").parent == package / "_kit" / "datasets"
    with pytest.raises(Refused, match=r'"lessons".* missing'):
        kit_data.kit_folder("lessons")


def test_readme_names_every_file():
    readme = (kit_data.kit_folder("datasets") / "README.md").read_text(encoding="utf-8")
    for name in kit_data.names():
        start, _, kind = name.removesuffix(".csv").partition("-")
        raw = start == "heron" and name.endswith(".csv")
        assert (f"heron-…-{kind.partition('-')[2]}.csv" if raw else name) in readme
