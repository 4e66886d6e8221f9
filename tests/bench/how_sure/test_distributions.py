"""Student's t and Fisher's F against printed tables and SciPy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.bench.how_sure.distributions import (
    chi_squared_at,
    chi_squared_below,
    coverage_factor,
    f_tail,
    t_density,
    t_tail,
)
from enginemath.units import Refused


@pytest.mark.parametrize(
    ("degrees", "coverage", "printed"),
    [  # JCGM 100:2008, Table G.2 (from memory)
        (1, 0.95, 12.71),
        (2, 0.95, 4.30),
        (5, 0.95, 2.57),
        (10, 0.95, 2.23),
        (16, 0.99, 2.92),
        (20, 0.90, 1.72),
        (50, 0.99, 2.68),
        (math.inf, 0.95, 1.96),
        (math.inf, 0.99, 2.58),
    ],
)
def test_printed_t_table(degrees: float, coverage: float, printed: float) -> None:
    assert coverage_factor(coverage, degrees) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(
    ("upper", "lower", "printed"),
    [(1, 10, 4.96), (2, 12, 3.89), (4, 20, 2.87), (9, 60, 2.04)],  # 5 % table, from memory
)
def test_printed_f_table(upper: float, lower: float, printed: float) -> None:
    assert f_tail(printed, upper, lower) == pytest.approx(0.05, abs=0.0005)


@settings(deadline=None)
@given(
    coverage=st.floats(0.2, 1 - 1e-6),  # below, SciPy itself loses digits
    degrees=st.floats(0.5, 1e9),
)
def test_coverage_factor_is_scipys(coverage: float, degrees: float) -> None:
    stats = pytest.importorskip("scipy.stats")
    expected = stats.t.isf((1 - coverage) / 2, degrees)
    assert coverage_factor(coverage, degrees) == pytest.approx(expected, rel=1e-8)


@settings(deadline=None)
@given(t=st.floats(-50, 50), degrees=st.floats(0.5, 1000))
def test_t_density_is_scipys(t: float, degrees: float) -> None:
    stats = pytest.importorskip("scipy.stats")
    assert t_density(t, degrees) == pytest.approx(stats.t.pdf(t, degrees), rel=1e-9)


@settings(deadline=None)
@given(
    f=st.floats(1e-4, 1e4),
    upper=st.integers(1, 200),
    lower=st.integers(1, 3000),
)
def test_f_tail_is_scipys(f: float, upper: int, lower: int) -> None:
    stats = pytest.importorskip("scipy.stats")
    assert f_tail(f, upper, lower) == pytest.approx(
        stats.f.sf(f, upper, lower), rel=1e-9, abs=1e-290
    )


@given(t=st.floats(0, 50), degrees=st.floats(1, 500))
def test_the_square_of_t_is_f(t: float, degrees: float) -> None:
    assert 2 * t_tail(t, degrees) == pytest.approx(f_tail(t * t, 1, degrees), rel=1e-12)


def test_a_scatter_on_the_seam_of_both_fractions() -> None:
    """√(3/7) at two and one degrees of freedom: rounding put both x and 1 − x above the seam, and
    the bench that had these scatters was never read to its end."""
    assert f_tail(2 / 3, 2, 1) == pytest.approx((3 / 7) ** 0.5, rel=1e-12)
    assert f_tail(1.0, 2, 2) == pytest.approx(0.5)


def test_nothing_below_and_nothing_above() -> None:
    assert f_tail(math.inf, 2, 12) == 0
    assert f_tail(0.0, 2, 12) == 1


@pytest.mark.parametrize("coverage", [0, 1, 95, -0.5, math.nan])
def test_a_coverage_is_a_share(coverage: float) -> None:
    with pytest.raises(Refused, match="between 0 and 1"):
        coverage_factor(coverage)


@pytest.mark.parametrize("degrees", [0, -3, math.nan])
def test_one_reading_shows_no_spread(degrees: float) -> None:
    with pytest.raises(Refused, match="take another"):
        coverage_factor(0.95, degrees)


@pytest.mark.parametrize(
    ("degrees", "share", "printed"),
    [(1, 0.95, 3.84), (2, 0.05, 0.103), (4, 0.95, 9.49), (10, 0.99, 23.21), (30, 0.05, 18.49)],
)
def test_chi_squared_as_tables_print_it(degrees: int, share: float, printed: float) -> None:
    """Points of any handbook's table, from memory."""
    assert chi_squared_at(share, degrees) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize("degrees", [1, 2, 3, 7, 16, 30])
@pytest.mark.parametrize("share", [0.001, 0.3, 0.5, 0.999])
def test_chi_squared_is_scipys(degrees: int, share: float) -> None:
    stats = pytest.importorskip("scipy.stats")
    x = float(stats.chi2.ppf(share, degrees))
    assert chi_squared_at(share, degrees) == pytest.approx(x, rel=2e-6)
    assert chi_squared_below(x, degrees) == pytest.approx(share, rel=1e-9)
