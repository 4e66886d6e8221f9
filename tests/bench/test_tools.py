"""Standard uncertainties of readings against the guides that define them."""

from __future__ import annotations

import math

import pytest

from enginemath.bench.measuring import Fill, Repeats
from enginemath.bench.tools import (
    DEPTH_MICROMETER,
    MICROMETER,
    burette,
    combined,
    normal,
    poured_from,
    rectangular,
    resolution,
    triangular,
)
from enginemath.units import Quantity, Refused, deviation, nominal

TWENTY_TEMPERATURES = [  # JCGM 100:2008, 4.4.3, Table 1 (from memory)
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
]  # fmt: skip


def test_repeats_of_a_temperature() -> None:
    """JCGM 100:2008, 4.4.3, Table 1: mean 100.14, s 1.49, s(mean) 0.33 °C (from memory)."""
    repeats = Repeats.of([Quantity(value, "kelvin") for value in TWENTY_TEMPERATURES])
    assert nominal(repeats.mean.m) == pytest.approx(100.14, abs=0.006)
    assert repeats.spread.m == pytest.approx(1.49, abs=0.005)
    assert deviation(repeats.mean.m) == pytest.approx(0.33, abs=0.005)


def test_limits_96_to_104() -> None:
    """JCGM 100:2008, 4.4.5 and 4.4.6: 2.3 rectangular, 1.6 triangular (from memory)."""
    assert rectangular(4.0) == pytest.approx(2.3, abs=0.05)
    assert triangular(4.0) == pytest.approx(1.6, abs=0.05)


def test_end_gauge_certificate_and_temperature() -> None:
    """JCGM 100:2008, H.1: 0.075 µm at k = 3 is 25 nm; ls·α·0.05/√3 is 16.6 nm (read)."""
    assert normal(75, 3) == pytest.approx(25)
    assert 50_000_623 * 11.5e-6 * rectangular(0.05) == pytest.approx(16.599, abs=0.001)


def test_scale_division() -> None:
    """JCGM 100:2008, F.2.2.1: a step δx gives 0.29 δx (from memory)."""
    assert resolution(1.0) == pytest.approx(0.29, abs=0.005)


def test_flask_of_100_millilitres() -> None:
    """EURACHEM/CITAC QUAM 3rd ed., A1 (read): u(V) = 0.0665 mL."""
    calibration = triangular(Quantity(0.1, "mL"))
    repeatability = Quantity(0.02, "mL")
    temperature = rectangular(
        Quantity(100, "mL") * Quantity(2.1e-4, "1/kelvin") * Quantity(4, "kelvin")
    )
    assert temperature.m_as("mL") * 3**0.5 == pytest.approx(0.084, abs=1e-9)
    u = combined(calibration, repeatability, temperature)
    assert u.m_as("mL") == pytest.approx(0.0665, abs=5e-5)


@pytest.mark.parametrize(
    ("size", "limit"),
    [(10, 0.02), (25, 0.03), (50, 0.05), (100, 0.1)],
)
def test_burettes(size: int, limit: float) -> None:
    """ISO 385:2005, Table 1, class A; class B is twice that (from memory)."""
    assert burette(f"{size} mL", "A").limit.m_as("mL") == limit
    assert burette(Quantity(size, "cc"), "B").limit.m_as("mL") == 2 * limit


def test_burettes_that_are_not_in_the_table() -> None:
    with pytest.raises(Refused, match="10, 25, 50 and 100 mL"):
        burette("33 mL", "A")
    with pytest.raises(Refused, match="A or B"):
        burette("50 mL", "AS")
    with pytest.raises(Refused, match="a volume is wanted"):
        burette("50 mm", "A")


def test_an_inch_reading_gets_the_same_uncertainty() -> None:
    metric = MICROMETER.reads("92.00 mm", "bore")
    inch = MICROMETER.reads(Quantity(92.00 / 25.4, "inch"), "bore")
    assert deviation(inch.m) * 25.4 == pytest.approx(deviation(metric.m))
    assert metric.m.tag.name == "bore"


def test_a_stated_uncertainty_stands() -> None:
    assert deviation(DEPTH_MICROMETER.reads("0.35 ± 0.04 mm", "deck clearance").m) == 0.04


def test_a_micrometer_measures_no_volume() -> None:
    with pytest.raises(Refused, match="read with a micrometer: a length is wanted"):
        MICROMETER.reads("47.5 cc", "chamber")


def test_the_burettes_own_error_does_not_average_out() -> None:
    fills = [Fill("0.00 mL", "24.00 mL"), Fill("0.00 mL", "23.50 mL")]
    tool = burette("25 mL", "A")
    pour = poured_from(tool, fills, "chamber")
    readings = 4 * resolution(0.05) ** 2
    own_error = (2 * rectangular(0.03)) ** 2
    assert deviation(pour.m_as("cc")) == pytest.approx(math.sqrt(readings + own_error))
    assert nominal(pour.m_as("cc")) == pytest.approx(47.5)


def test_a_reading_with_its_own_uncertainty_keeps_it() -> None:
    tool = burette("25 mL", "A")
    pour = poured_from(tool, [Fill("0.00 mL", "24.00 ± 0.30 mL")], "chamber")
    expected = combined(resolution(0.05), 0.30, rectangular(0.03))
    assert deviation(pour.m_as("cc")) == pytest.approx(expected)
    pour = poured_from(tool, [Fill("0.00 ± 0.10 mL", "24.00 ± 0.30 mL")], "chamber")
    expected = combined(0.10, 0.30, rectangular(0.03))
    assert deviation(pour.m_as("cc")) == pytest.approx(expected)
