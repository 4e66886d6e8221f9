"""Error budgets against published ones, another metrology package, and plain sense."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.bench.how_sure.error_budget import (
    Budget,
    budget,
    uncertainties_table,
    welch_satterthwaite,
)
from enginemath.bench.how_sure.labels import Label, named
from enginemath.bench.tools import combined, normal, rectangular, triangular
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston
from enginemath.engine.stack import mean_ratio
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Quantity, Refused, read


def reading(value: float, u: float, name: str, degrees: float = math.inf) -> object:
    return ufloat(value, u, tag=Label(name, degrees_of_freedom=degrees))


def end_gauge() -> Budget:
    """JCGM 100:2008, H.1, Table H.1 and H.1.6, in nm (budget read, degrees from memory)."""
    standard = reading(50_000_623, normal(75, 3), "standard", 18)
    difference = (
        reading(215, 5.8, "repeats", 24)
        + reading(0, 3.9, "comparator, random", 5)
        + reading(0, 6.7, "comparator, systematic", 8)
    )
    expansion = reading(11.5e-6, rectangular(2e-6), "expansion of the standard")
    expansion_difference = reading(0, rectangular(1e-6), "difference of expansion", 50)
    mean_temperature = reading(-0.1, 0.2, "mean temperature")
    cyclic = reading(0, 0.5 / 2**0.5, "swing of temperature")  # arcsine: a/√2
    temperature_difference = reading(0, rectangular(0.05), "difference of temperature", 2)
    temperature = mean_temperature + cyclic
    length = (
        standard
        + difference
        - standard * (expansion_difference * temperature + expansion * temperature_difference)
    )
    return budget(length)


def test_end_gauge_value_and_uncertainty() -> None:
    gauge = end_gauge()
    assert gauge.value == pytest.approx(50_000_838, abs=0.5)
    assert gauge.u == pytest.approx(32, abs=0.5)


def test_end_gauge_contributions() -> None:
    """Table H.1: 25, 5.8, 3.9, 6.7, 2.9 and 16.6 nm; the rest is nil at first order."""
    brought = {line.name: line.contribution for line in end_gauge().lines}
    assert brought == {
        "standard": pytest.approx(25, abs=0.5),
        "repeats": pytest.approx(5.8, abs=0.05),
        "comparator, random": pytest.approx(3.9, abs=0.05),
        "comparator, systematic": pytest.approx(6.7, abs=0.05),
        "difference of expansion": pytest.approx(2.9, abs=0.05),
        "difference of temperature": pytest.approx(16.599, abs=0.001),
    }


def test_end_gauge_degrees_of_freedom_and_interval() -> None:
    """H.1.6: 16 after rounding down; U99 = 93 nm with u rounded to 32 (from memory)."""
    gauge = end_gauge()
    assert math.floor(gauge.effective_degrees_of_freedom) == 16
    assert gauge.expanded(0.99) == pytest.approx(93, abs=1)
    low, high = gauge.interval(0.99)
    assert high - low == pytest.approx(2 * gauge.expanded(0.99))


def test_end_gauge_in_another_metrology_package() -> None:
    gtc = pytest.importorskip("GTC")
    standard = gtc.ureal(50_000_623, 25, 18)
    difference = gtc.ureal(215, 5.8, 24) + gtc.ureal(0, 3.9, 5) + gtc.ureal(0, 6.7, 8)
    expansion = gtc.ureal(11.5e-6, rectangular(2e-6))
    expansion_difference = gtc.ureal(0, rectangular(1e-6), 50)
    temperature = gtc.ureal(-0.1, 0.2) + gtc.ureal(0, 0.5 / 2**0.5)
    temperature_difference = gtc.ureal(0, rectangular(0.05), 2)
    length = (
        standard
        + difference
        - standard * (expansion_difference * temperature + expansion * temperature_difference)
    )
    gauge = end_gauge()
    assert gauge.value == pytest.approx(gtc.value(length))
    assert gauge.u == pytest.approx(gtc.uncertainty(length), rel=1e-9)
    assert gauge.effective_degrees_of_freedom == pytest.approx(gtc.dof(length), rel=1e-9)


def test_cadmium_standard() -> None:
    """EURACHEM/CITAC QUAM 3rd ed., A1 (read): c = 1002.7 mg/L, u(c) = 0.835 mg/L."""
    u_volume = combined(triangular(0.1), 0.02, rectangular(0.084))
    mass = reading(100.28, 0.05, "mass")
    purity = reading(0.9999, rectangular(0.0001), "purity")
    volume = reading(100.0, u_volume, "flask")
    standard = budget(1000 * mass * purity / volume)
    assert u_volume == pytest.approx(0.0665, abs=5e-5)
    assert standard.value == pytest.approx(1002.7, abs=0.05)
    assert standard.u == pytest.approx(0.835, abs=0.001)
    assert [line.name for line in standard.lines] == ["flask", "mass", "purity"]
    assert sum(line.share for line in standard.lines) == pytest.approx(1)


def engine(**parts: str) -> Engine:
    """Sizes of an invented engine; every part can be given with an uncertainty."""
    sizes = {
        "bore": "92.0 mm",
        "stroke": "88.5 mm",
        "chamber": "47.5 cc",
        "thickness": "1.10 mm",
        "deck": "0.35 mm",
        "dish": "6.0 cc",
        **parts,
    }
    sized = {name: named(read(text), name) for name, text in sizes.items()}
    return Engine(
        "bench",
        Cylinder(sized["bore"], sized["stroke"]),
        (Chamber(sized["chamber"]),),
        Gasket("93.2 mm", sized["thickness"]),
        (Deck(sized["deck"]),),
        Piston(dish=sized["dish"], reliefs="2.8 cc"),
    )


def test_a_bore_that_goes_in_twice_counts_once() -> None:
    """The bore raises swept volume and deck volume together; taken apart they would not agree."""
    ratio = mean_ratio(engine(bore="92.0 ± 0.5 mm"))
    step = 1e-4
    up, down = (mean_ratio(engine(bore=f"{92.0 + s} mm")) for s in (step, -step))
    together = abs(up - down) / (2 * step) * 0.5
    assert budget(ratio).u == pytest.approx(together, rel=1e-6)
    apart = compression_ratio(
        disc(ufloat(92.0, 0.5), 88.5), disc(ufloat(92.0, 0.5), 0.35) + 61800.0
    )
    assert budget(apart).u > 1.001 * budget(compression_ratio(*_from_one_bore(ufloat(92.0, 0.5)))).u


def _from_one_bore(bore: object) -> tuple[object, object]:
    return disc(bore, 88.5), disc(bore, 0.35) + 61800.0


def test_the_sentence_names_the_largest() -> None:
    ratio = mean_ratio(engine(thickness="1.10 ± 0.05 mm", chamber="47.5 ± 0.4 cc"))
    sure = budget(ratio)
    assert sure.lines[0].name == "chamber"
    assert sure.advice() == (
        f"chamber carries {100 * sure.lines[0].share:.0f} % of the variance: measure that better"
    )
    # Both act through the clearance volume alone: 0.4 cc against 6.822 cc/mm × 0.05 mm.
    assert sure.lines[0].share == pytest.approx(0.4**2 / (0.4**2 + 0.3411**2), abs=0.001)


def test_readings_that_share_a_name_are_one_line() -> None:
    chambers = [named(read(f"{v} ± 0.3 cc"), "chamber", 4) for v in (47.2, 47.5, 47.6, 47.4)]
    total = budget(sum(chambers[1:], chambers[0]))
    (line,) = total.lines
    assert line.contribution == pytest.approx(0.6)
    assert line.value is None
    assert line.degrees_of_freedom == pytest.approx(16)
    assert "several" in total.table()


def test_the_table_is_in_order_of_names_and_gives_nothing_away() -> None:
    table = uncertainties_table(mean_ratio(read_sheet(path("heron-one.toml")).engine))
    names = [line[:27].strip() for line in table.splitlines()[1:]]
    assert names == sorted(names)
    assert "%" not in table


def test_the_unit_of_the_result() -> None:
    gasket = disc(named(read("3.669 ± 0.002 in"), "gasket bore"), named(read("1.1 mm"), "t"))
    assert budget(gasket.to("cc")).unit == "cc"
    assert budget(gasket.to("cu_in")).unit == "cu in"
    assert budget(gasket.to("cc") / Quantity(7.5, "cc")).unit == ""


def test_nothing_uncertain_went_in() -> None:
    for result in (9.83, Quantity(9.83, "cc"), mean_ratio(engine())):
        with pytest.raises(Refused, match="no reading carries an uncertainty"):
            budget(result)


def test_few_degrees_of_freedom_widen_the_interval() -> None:
    few, many = (budget(reading(10.0, 0.1, "depth", degrees)) for degrees in (2, math.inf))
    assert few.expanded() == pytest.approx(0.43, abs=0.001)  # t = 4.30, JCGM 100 Table G.2
    assert many.expanded() == pytest.approx(0.196, abs=0.001)


def test_welch_satterthwaite_with_certain_parts() -> None:
    assert welch_satterthwaite([(1.0, math.inf), (2.0, math.inf)]) == math.inf
    assert welch_satterthwaite([(1.0, 4), (0.0, 1)]) == pytest.approx(4)


SIZES = st.fixed_dictionaries(
    {
        "bore": st.floats(0.001, 0.5),
        "stroke": st.floats(0.001, 0.5),
        "chamber": st.floats(0.01, 1.0),
        "thickness": st.floats(0.001, 0.1),
        "deck": st.floats(0.001, 0.1),
        "crown": st.floats(0.01, 1.0),
    }
)
BEST = {
    "bore": (92.0, "mm"),
    "stroke": (88.5, "mm"),
    "chamber": (47.5, "cc"),
    "thickness": (1.10, "mm"),
    "deck": (0.35, "mm"),
    "crown": (8.8, "cc"),
}


def ratio_budget(spread: dict[str, float], length: str, volume: str) -> Budget:
    sized = {}
    for name, (best, unit) in BEST.items():
        wanted = length if unit == "mm" else volume
        value, u = (Quantity(number, unit).m_as(wanted) for number in (best, spread[name]))
        sized[name] = named(Quantity(ufloat(value, u) if u else value, wanted), name)
    gasket = disc(Quantity(93.2, "mm"), sized["thickness"])
    deck = disc(sized["bore"], sized["deck"])
    clearance = clearance_volume(sized["chamber"], gasket, deck, sized["crown"])
    return budget(compression_ratio(disc(sized["bore"], sized["stroke"]), clearance))


@given(SIZES)
def test_inches_and_millimetres_give_one_budget(spread: dict[str, float]) -> None:
    metric = ratio_budget(spread, "mm", "cc")
    inch = ratio_budget(spread, "inch", "cu_in")
    assert inch.u == pytest.approx(metric.u, rel=1e-9)
    shares = {line.name: line.share for line in metric.lines}
    assert {line.name: line.share for line in inch.lines} == pytest.approx(shares, rel=1e-6)


@given(SIZES, st.sampled_from(list(BEST)))
def test_one_uncertainty_more_never_makes_it_surer(spread: dict[str, float], left_out: str) -> None:
    with_all = ratio_budget(spread, "mm", "cc").u
    without = ratio_budget({**spread, left_out: 0.0}, "mm", "cc").u
    assert with_all >= without * (1 - 1e-12)
