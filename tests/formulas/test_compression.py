"""The ratio and its inverses, as formulas of bare volumes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import root_scalar
from uncertainties import ufloat

from enginemath.formulas.compression import (
    clearance_for,
    clearance_volume,
    compression_ratio,
    depth_at_bdc,
    height_of,
    part_for,
)
from enginemath.formulas.geometry import disc
from enginemath.units import Quantity, magnitude_of, read

volumes = st.floats(1.0, 3000.0)
ratios = st.floats(1.5, 30.0)


class TestPublished:
    @pytest.mark.parametrize(
        ("bore", "stroke", "clearance", "ratio"),
        [
            # H. N. Gupta, Fundamentals of Internal Combustion Engines, Example 2.1 p. 44, read in
            # a public copy: air-standard efficiency 51.17 %, which is ratio 6.0025 (derived).
            (20.0, 25.0, 1570.0, 6.0025),
            # Mathur & Sharma, Internal Combustion Engine, Example 2.3 p. 48, read in a public
            # copy: efficiency 55.7 %; ratio 7.6433 (derived).
            (17.0, 30.0, 1025.0, 7.6433),
        ],
    )
    def test_ratio(self, bore: float, stroke: float, clearance: float, ratio: float) -> None:
        """Lengths in cm, so volumes in cm³."""
        found = compression_ratio(disc(bore, stroke), clearance)
        assert found == pytest.approx(ratio, abs=5e-4)

    @pytest.mark.parametrize(
        ("bore", "stroke", "clearance", "percent", "tolerance"),
        [(20.0, 25.0, 1570.0, 51.17, 0.005), (17.0, 30.0, 1025.0, 55.7, 0.05)],
    )
    def test_efficiency_as_printed(
        self, bore: float, stroke: float, clearance: float, percent: float, tolerance: float
    ) -> None:
        """The printed values of the two examples above; Otto efficiency 1 − r^(1−γ), γ = 1.4."""
        ratio = compression_ratio(disc(bore, stroke), clearance)
        assert 100 * (1 - ratio**-0.4) == pytest.approx(percent, abs=tolerance)

    def test_clearance_in_percent_of_the_swept_volume(self) -> None:
        """M. C. Potter, Thermodynamics Demystified, Example 7.1 p. 175: ratio 12 is 9.09 %
        (derived: 100/11; the 9.0 % that goes round is a slip of integer division)."""
        assert 100 * clearance_for(12, 1.0) == pytest.approx(9.09, abs=0.005)


class TestInverses:
    @given(volumes, ratios)
    def test_inverse_of_the_inverse(self, swept: float, ratio: float) -> None:
        assert compression_ratio(swept, clearance_for(ratio, swept)) == pytest.approx(ratio)

    @given(volumes, volumes)
    def test_clearance_comes_back(self, swept: float, clearance: float) -> None:
        ratio = compression_ratio(swept, clearance)
        assert clearance_for(ratio, swept) == pytest.approx(clearance, rel=1e-6)

    @given(volumes, st.floats(2.0, 20.0))
    def test_against_a_search(self, swept: float, ratio: float) -> None:
        """SciPy looks for the clearance volume that gives the ratio."""
        found = root_scalar(
            lambda clearance: compression_ratio(swept, clearance) - ratio,
            bracket=(swept / 100, 10 * swept),
            xtol=1e-12,
        ).root
        assert clearance_for(ratio, swept) == pytest.approx(found, rel=1e-9)

    @given(volumes, ratios, st.floats(0.0, 100.0))
    def test_the_part_that_is_missing(self, swept: float, ratio: float, others: float) -> None:
        part = part_for(ratio, swept, others)
        assert compression_ratio(swept, part + others) == pytest.approx(ratio, rel=1e-9)

    @given(st.floats(-20, 20), st.floats(30, 150))
    def test_height_of_a_disc(self, height: float, bore: float) -> None:
        assert height_of(disc(bore, height), bore) == pytest.approx(height, rel=1e-12)


class TestDirections:
    @given(volumes, volumes, st.floats(0.01, 10))
    def test_more_clearance_is_less_ratio(
        self, swept: float, clearance: float, more: float
    ) -> None:
        assert compression_ratio(swept, clearance + more) < compression_ratio(swept, clearance)

    @given(volumes, volumes, st.floats(0.01, 10))
    def test_more_swept_is_more_ratio(self, swept: float, clearance: float, more: float) -> None:
        assert compression_ratio(swept + more, clearance) > compression_ratio(swept, clearance)

    @given(volumes, volumes, st.floats(0.01, 100))
    def test_the_size_of_the_engine_does_not_matter(
        self, swept: float, clearance: float, scale: float
    ) -> None:
        larger = compression_ratio(scale * swept, scale * clearance)
        assert larger == pytest.approx(compression_ratio(swept, clearance))


class TestAnyNumber:
    def test_arrays(self) -> None:
        swept, clearance = np.array([500.0, 588.3]), np.array([50.0, 66.65])
        expected = [compression_ratio(s, c) for s, c in zip(swept, clearance, strict=True)]
        assert compression_ratio(swept, clearance) == pytest.approx(expected)
        assert clearance_for(np.array([9.0, 10.0]), swept) == pytest.approx([62.5, 588.3 / 9])

    def test_quantities_of_mixed_units(self) -> None:
        ratio = compression_ratio(read("0.5883135 L"), read("66.6496 cc"))
        assert magnitude_of(ratio) == pytest.approx(9.8270, abs=5e-5)

    def test_uncertainty(self) -> None:
        """u(r) = √((u_s/c)² + (s·u_c/c²)²); JCGM 100:2008, 5.1.2."""
        swept, clearance = ufloat(588.3, 0.9), ufloat(66.65, 0.35)
        by_hand = ((0.9 / 66.65) ** 2 + (588.3 * 0.35 / 66.65**2) ** 2) ** 0.5
        assert compression_ratio(swept, clearance).std_dev == pytest.approx(by_hand)

    def test_the_same_reading_above_and_below_the_line(self) -> None:
        """Clearance stands twice in the formula: its uncertainty must not count twice."""
        clearance = ufloat(66.65, 0.35)
        assert compression_ratio(588.3, clearance).std_dev == pytest.approx(588.3 * 0.35 / 66.65**2)


def test_clearance_volume_is_the_sum_with_signs() -> None:
    assert clearance_volume(47.5, 7.5, 2.3) == pytest.approx(57.3)
    assert clearance_volume(47.5, 7.5, -2.3, -12.5, 0.5) == pytest.approx(40.7)


def test_depth_at_bottom_dead_centre_holds_the_deck_clearance() -> None:
    assert depth_at_bdc(88.5, 0.35) == pytest.approx(88.85)
    assert depth_at_bdc(88.5, -0.35) == pytest.approx(88.15)
    assert depth_at_bdc(Quantity(3.903, "inch"), Quantity(32, "thou")).m_as("inch") == (
        pytest.approx(3.935)
    )
