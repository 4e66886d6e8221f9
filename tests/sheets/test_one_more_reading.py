"""How far one more reading may lie: by hand, by SciPy's Student's t, and on simulated benches."""

from __future__ import annotations

import math
from random import Random
from statistics import fmean

import pytest
from scipy.stats import t

from enginemath.sheets import Sheet, parse, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.one_more_reading import expected_reading

BENCH = """\
format = 2
name = "Bench"
readings = "table.csv"
[tools.mic]
kind = "micrometer"
limit = "0.004 mm"
division = "0.01 mm"
[cylinder]
count = 2
stroke = "80 mm"
bore = "90 mm"
[chamber]
volume = "50 cc"
[gasket]
bore = "92 mm"
compressed_thickness = "1.2 mm"
[deck]
clearance = "0.5 mm"
"""


def bench(*rows: str, without: str = "") -> Sheet:
    table = "\n".join(["what,cylinder,reading,tool", *rows])
    return parse(BENCH.replace(without, ""), tables={"table.csv": table})


def bores(*values: float, cylinder: int = 1) -> list[str]:
    return [f"bore,{cylinder},{value:.3f} mm,mic" for value in values]


def test_by_hand_and_by_scipy() -> None:
    """s from two cylinders together, 2 + 2 degrees of freedom; tools' limits, a division each."""
    one, two = (90.00, 90.02, 90.01), (90.05, 90.03, 90.04)
    sheet = bench(*bores(*one), *bores(*two, cylinder=2), without='bore = "90 mm"\n')
    found = expected_reading(sheet, "bore", 1)
    assert found is not None
    s = math.sqrt((2 * 0.01**2 + 2 * 0.01**2) / 4)
    hands = float(t.ppf(0.9995, 4)) * s * math.sqrt(1 + 1 / 3)
    allowed = math.sqrt(hands**2 + 2 * 0.004**2 + 0.01**2)
    assert found.value == pytest.approx(fmean(one))
    assert found.allowed == pytest.approx(allowed, rel=1e-6)


def test_a_blunder_on_record_is_left_out() -> None:
    """Row 107 of the four's table: 45.35 cc where the other four groups read 46.6."""
    sheet = read_sheet(path("heron-four.toml"))
    found = expected_reading(sheet, "chamber", 3)
    assert found is not None
    assert found.value == pytest.approx(46.62, abs=0.02)
    assert found.allows(46.62)
    assert not found.allows(45.35)


def test_what_only_other_cylinders_were_read_of_comes_from_them() -> None:
    rows = [f"land diameter,{n},{mm} mm,mic" for n, mm in ((1, 89.40), (1, 89.41), (1, 89.40))]
    rows += [f"land height,{n},6.0 mm,mic" for n in (1, 2)]
    found = expected_reading(bench(*rows), "land diameter", 2)
    assert found is not None
    assert found.value == pytest.approx(89.40333, abs=1e-4)


def test_a_plain_tool_is_allowed_for_where_no_scatter_shows() -> None:
    found = expected_reading(bench(), "chamber", 1)
    assert found is not None
    assert (found.value, found.allowed) == pytest.approx((50.0, 0.3 + 0.5))
    assert expected_reading(bench(), "rod length", 1) is None


def test_careful_readings_are_hardly_ever_called_blunders() -> None:
    """On 100 simulated benches of two cylinders and four hands: fewer than one in two hundred."""
    rng, wrong = Random(7), 0
    for _ in range(100):
        truth = [90 + rng.uniform(-0.02, 0.02) for _ in range(2)]
        rows = [
            row
            for n, mm in enumerate(truth, start=1)
            for row in bores(*(round(rng.gauss(mm, 0.008), 2) for _ in range(4)), cylinder=n)
        ]
        found = expected_reading(bench(*rows, without='bore = "90 mm"\n'), "bore", 1)
        assert found is not None
        wrong += sum(not found.allows(round(rng.gauss(truth[0], 0.008), 2)) for _ in range(15))
    assert wrong < 1500 / 200
