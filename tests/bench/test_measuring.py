"""Readings become volumes: burette, repeats, temperature, known depth, deck, overbore."""

from __future__ import annotations

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.bench.measuring import (
    BOROSILICATE,
    MARKED_AT,
    SODA_LIME,
    WATER,
    Fill,
    Repeats,
    at_temperature,
    bore_after_overbore,
    deck_clearance,
    flat_plate_crown,
    known_depth_crown,
    poured_volume,
    water_density,
    what_the_crown_is,
)
from enginemath.engine import limits
from enginemath.formulas.geometry import disc
from enginemath.units import Quantity, Refused, deviation, nominal, read, show


def cc(quantity: Quantity) -> float:
    return nominal(quantity.m_as("cc"))


class TestBurette:
    def test_one_fill_is_end_less_start(self) -> None:
        assert cc(Fill("0.60 mL", "25.00 mL").volume) == pytest.approx(24.40)

    def test_refilled_between(self) -> None:
        fills = [Fill("0.60 mL", "25.00 mL"), Fill("0.00 mL", "23.10 mL")]
        assert cc(poured_volume(fills)) == pytest.approx(47.50)
        assert cc(poured_volume(reversed(fills))) == pytest.approx(47.50)

    def test_uncertainty_of_four_readings(self) -> None:
        """Four readings of the same u add up to 2·u; JCGM 100:2008, 5.1.2."""
        fills = [Fill("0.60 ± 0.03 mL", "25.00 ± 0.03 mL"), Fill("0 ± 0.03 mL", "23.1 ± 0.03 mL")]
        assert deviation(poured_volume(fills).m_as("cc")) == pytest.approx(0.06)

    @given(st.lists(st.tuples(st.floats(0, 5), st.floats(0.01, 95)), min_size=1, max_size=5))
    def test_fills_add_up(self, runs: list[tuple[float, float]]) -> None:
        fills = [Fill(Quantity(start, "mL"), Quantity(start + drop, "mL")) for start, drop in runs]
        expected = math.fsum(drop for _, drop in runs)
        assert cc(poured_volume(fills)) == pytest.approx(expected, abs=1e-9)

    @pytest.mark.parametrize(
        ("start", "end", "words"),
        [
            ("25.00 mL", "0.60 mL", "the end 0.60 mL is above the start 25.00 mL; exchanged?"),
            ("5.00 mL", "5.00 mL", "start and end both read 5.00 mL; nothing was poured"),
            ("0 mL", "25 mm", "burette reading 25 mm: a volume is wanted here"),
            ("-0.6 mL", "25 mL", "burette reading −0.6 mL: cannot be negative"),
            ("0.60", "25.00 mL", 'burette reading "0.60": no unit'),
            ("0 mL", "25,00 mL", "write a decimal point"),
            ("0 mL", "2 L", "did you mean 2 cc?"),
            ("0 mL", "2000 mL", "outside what an engine can have (0 to 1000 cc)"),
        ],
    )
    def test_what_a_burette_cannot_show(self, start: str, end: str, words: str) -> None:
        with pytest.raises(Refused) as refusal:
            Fill(start, end)
        assert words in str(refusal.value)

    def test_no_fill(self) -> None:
        with pytest.raises(Refused, match="no fill recorded"):
            poured_volume([])


# JCGM 100:2008, 4.4.3, table 1: twenty temperatures; mean 100.14, s 1.49, s/√20 0.33 (from memory).
TWENTY = [
    *(96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07),
    *(100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72),
]


class TestRepeats:
    def test_published(self) -> None:
        found = Repeats.of([Quantity(value, "mm") for value in TWENTY])
        mean = found.mean.m_as("mm")
        assert found.count == 20
        assert nominal(mean) == pytest.approx(100.14, abs=0.006)
        assert found.spread.m_as("mm") == pytest.approx(1.49, abs=0.005)
        assert deviation(mean) == pytest.approx(0.33, abs=0.005)
        assert found.range.m_as("mm") == pytest.approx(102.72 - 96.90)

    @given(st.lists(st.floats(30, 60), min_size=2, max_size=20))
    def test_against_the_standard_library(self, values: list[float]) -> None:
        found = Repeats.of([Quantity(value, "cc") for value in values])
        s = statistics.stdev(values)
        assert cc(found.mean) == pytest.approx(statistics.fmean(values))
        assert found.spread.m_as("cc") == pytest.approx(s)
        assert deviation(found.mean.m) == pytest.approx(s / math.sqrt(len(values)))

    def test_units_may_be_mixed(self) -> None:
        found = Repeats.of(["3.6220 in", "92.00 mm", "9.2 cm"])
        assert show(found.mean, "mm").startswith("92.000 ±")
        assert str(found.mean.units) == "inch"

    def test_a_single_reading_says_nothing_of_its_spread(self) -> None:
        found = Repeats.of(["47.5 cc"])
        assert (found.count, cc(found.mean), cc(found.spread)) == (1, 47.5, 0)
        assert deviation(found.mean.m) == 0

    def test_equal_readings_have_no_spread(self) -> None:
        assert deviation(Repeats.of(["47.5 cc"] * 3).mean.m) == 0

    @pytest.mark.parametrize(
        ("readings", "words"),
        [
            ([], "no reading to average"),
            (["47.5 cc", "47.6 mm"], "readings of different kinds cannot be averaged"),
            (["47.5 cc", "47,6 cc"], "write a decimal point"),
            (["47.5"], "no unit"),
        ],
    )
    def test_what_cannot_be_averaged(self, readings: list[str], words: str) -> None:
        with pytest.raises(Refused, match=words):
            Repeats.of(readings)

    def test_a_limit_looks_at_every_reading(self) -> None:
        with pytest.raises(Refused, match=r"bore 3.622 mm: did you mean 3.622 in\?"):
            Repeats.of(["3.622 in", "3.622 mm"], limits.BORE)


class TestTemperature:
    def test_expansion_of_water(self) -> None:
        """EURACHEM/CITAC QUAM A1 (read in a public copy): 2.1e-4 /K; 100 mL over 4 K, 0.084 mL."""
        assert WATER.m_as("1/kelvin") == pytest.approx(2.1e-4, abs=5e-6)
        grown = at_temperature(
            Quantity(100, "mL"), Quantity(4, "kelvin"), glass=0, liquid=Quantity(2.1e-4, "1/kelvin")
        )
        assert grown.m_as("mL") - 100 == pytest.approx(0.084, abs=1e-9)

    def test_expansion_of_glass(self) -> None:
        """ISO 4787 (from memory): borosilicate 9.9e-6 /K, soda-lime 27e-6 /K."""
        assert BOROSILICATE.m_as("1/kelvin") == 9.9e-6
        assert SODA_LIME.m_as("1/kelvin") == 27e-6

    def test_only_the_glass_matters_where_all_share_a_temperature(self) -> None:
        warmer = Quantity(30, "degC") - MARKED_AT
        read_off = Quantity(50, "cc")
        assert at_temperature(read_off, warmer).m_as("cc") - 50 == pytest.approx(50 * 9.9e-5)
        soda_lime = at_temperature(read_off, warmer, glass=SODA_LIME)
        assert soda_lime.m_as("cc") - 50 == pytest.approx(50 * 27e-5)

    def test_at_the_temperature_of_the_mark_nothing_changes(self) -> None:
        volume = Quantity(50, "cc")
        assert at_temperature(volume, Quantity(68, "degF") - MARKED_AT).m_as("cc") == (
            pytest.approx(50, abs=1e-9)
        )

    def test_colder_is_smaller_and_bare_numbers_do(self) -> None:
        assert at_temperature(50.0, -10.0, glass=9.9e-6, liquid=0) == pytest.approx(49.99505)

    # Tanaka et al., Metrologia 38 (2001) 301 / IAPWS-95 at 101325 Pa (values from memory,
    # recomputed with two independent libraries).
    @pytest.mark.parametrize(
        ("celsius", "density"),
        [(15.0, 999.103), (20.0, 998.207), (25.0, 997.048), (30.0, 995.650)],
    )
    def test_density_of_water(self, celsius: float, density: float) -> None:
        assert water_density(celsius) == pytest.approx(density, abs=0.002)

    def test_density_of_water_by_another_formula(self) -> None:
        """Kell 1975 as in Jones & Harris, J. Res. NIST 97 (1992) 335, eq. 1 (from memory)."""
        assert water_density(20.0) == pytest.approx(998.207, abs=0.003)

    def test_slope_of_the_density_is_the_expansion(self) -> None:
        """About 2.07e-4 /K at 20 °C (physics tables, from memory)."""
        slope = (water_density(19.5) - water_density(20.5)) / water_density(20.0)
        assert slope == pytest.approx(2.07e-4, abs=2e-6)


class TestCrown:
    def test_known_depth(self) -> None:
        crown = known_depth_crown(read("93.2 cc"), read("92.0 mm"), read("12.70 mm"))
        assert cc(crown) == pytest.approx(93.2 - math.pi / 4 * 92**2 * 12.7 / 1000)

    @given(st.floats(30, 150), st.floats(5, 40), st.floats(-20, 40))
    def test_any_crown_comes_back(self, bore: float, depth: float, crown: float) -> None:
        poured = disc(bore, depth) + 1000 * crown
        found = known_depth_crown(
            Quantity(poured, "mm**3"), Quantity(bore, "mm"), Quantity(depth, "mm")
        )
        assert cc(found) == pytest.approx(crown, abs=1e-9)

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("-4.5 cc", "reads negative, −4.50 cc: a dome"),
            ("8.8 cc", "reads positive, 8.80 cc: a dish"),
            ("0 cc", "reads zero: flat"),
        ],
    )
    def test_a_dome_reads_negative_and_says_so(self, text: str, words: str) -> None:
        assert what_the_crown_is(read(text)).startswith(words)

    def test_a_plate_lies_flat_on_a_dish(self) -> None:
        dish = read("6.0 cc")
        assert flat_plate_crown(dish) is dish
        assert flat_plate_crown(dish, top=read("0 mm")) is dish
        assert flat_plate_crown(dish, top=read("-1 mm")) is dish

    def test_a_plate_does_not_lie_flat_on_a_dome(self) -> None:
        with pytest.raises(Refused, match="no plate will lie flat; lower the piston"):
            flat_plate_crown(read("6.0 cc"), top=read("1.2 mm"))


class TestDeckAndBore:
    def test_both_sides_of_the_pin(self) -> None:
        """Common practice, no source: the piston rocks, so the mean of both sides counts."""
        assert deck_clearance("0.30 mm", "0.40 mm").m_as("mm") == pytest.approx(0.35)
        assert deck_clearance("0.010 in", "-0.002 in").m_as("inch") == pytest.approx(0.004)

    def test_a_side_that_cannot_be(self) -> None:
        with pytest.raises(Refused, match="deck clearance 30 mm: did you mean 30 thou"):
            deck_clearance("0.30 mm", "30 mm")

    def test_overbore_is_on_the_diameter(self) -> None:
        assert bore_after_overbore("3.900 in", "30 thou").m_as("inch") == pytest.approx(3.930)
        assert bore_after_overbore("92.0 mm", "0.5 mm").m_as("mm") == pytest.approx(92.5)

    def test_overbores_that_cannot_be(self) -> None:
        with pytest.raises(Refused, match=r"overbore 30 mm: did you mean 30 thou\?"):
            bore_after_overbore("92.0 mm", "30 mm")
        with pytest.raises(Refused, match=r"overbore −0\.5 mm: cannot be negative"):
            bore_after_overbore("92.0 mm", "-0.5 mm")
