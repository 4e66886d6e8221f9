"""When first order is good enough, and what is used where it is not."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.bench.how_sure.monte_carlo import simulate
from enginemath.bench.how_sure.propagation import GOOD_ENOUGH, curvature_of, propagate
from enginemath.bench.tools import combined, normal, rectangular
from enginemath.formulas.compression import compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.units import Refused

SWEPT = 588.3


def end_gauge(standard, difference, expansion, spread_of_expansion, temperature, spread):  # type: ignore[no-untyped-def]
    return (
        standard + difference - standard * (spread_of_expansion * temperature + expansion * spread)
    )


def test_end_gauge_with_second_order() -> None:
    """JCGM 100:2008, H.1.7 (read): 32 nm at first order, 34 nm with second-order terms."""
    gauge = curvature_of(
        end_gauge,
        [
            ufloat(50_000_623, normal(75, 3)),
            ufloat(215, combined(5.8, 3.9, 6.7)),
            ufloat(11.5e-6, rectangular(2e-6)),
            ufloat(0, rectangular(1e-6)),
            ufloat(-0.1, combined(0.2, 0.5 / 2**0.5)),
            ufloat(0, rectangular(0.05)),
        ],
    )
    assert gauge.u_first_order == pytest.approx(32, abs=0.5)
    assert gauge.u_second_order == pytest.approx(34, abs=0.5)


def test_sum_of_two_squares() -> None:
    """JCGM 101:2008, 9.4.2: first order gives 0, the truth is 50e-6 (from memory)."""
    inputs = [ufloat(0, 0.005), ufloat(0, 0.005)]
    bent = curvature_of(lambda x, y: x * x + y * y, inputs)
    assert bent.u_first_order == pytest.approx(0, abs=1e-12)
    assert bent.u_second_order == pytest.approx(50e-6)
    assert bent.shift == pytest.approx(50e-6)
    assert bent.skewness == pytest.approx(2)  # of an exponential distribution
    spread = propagate(lambda x, y: x * x + y * y, inputs)
    assert spread.method == "Monte Carlo"
    assert spread.u == pytest.approx(50e-6, rel=0.01)


def test_second_order_of_a_product_is_exact() -> None:
    """Var(xy) = x²u_y² + y²u_x² + u_x²u_y² for independent inputs."""
    product = curvature_of(lambda x, y: x * y, [ufloat(3, 0.6), ufloat(5, 2.0)])
    assert product.u_second_order**2 == pytest.approx(9 * 4 + 25 * 0.36 + 0.36 * 4)


def test_interval_of_a_square_is_near_the_noncentral_chi_squared() -> None:
    """(10 ± 1)²: mean, u and skewness are exact; the limits within 0.3 % of the half-width."""
    stats = pytest.importorskip("scipy.stats")
    exact = stats.ncx2(1, 10.0**2)
    square = curvature_of(lambda x: x * x, [ufloat(10.0, 1.0)])
    assert square.value + square.shift == pytest.approx(exact.mean())
    assert square.u_second_order == pytest.approx(exact.std())
    assert square.skewness == pytest.approx(float(exact.stats(moments="s")))
    limits = exact.ppf([0.025, 0.975])
    assert square.interval() == pytest.approx(limits, abs=0.003 * (limits[1] - limits[0]) / 2)


def test_second_order_of_a_cube_takes_the_third_derivative() -> None:
    """For x³ the rule of JCGM 100 gives u²(9x⁴ + 18x²u² + 18x²u²); 15u⁶ is left out."""
    cube = curvature_of(lambda x: x**3, [ufloat(2, 0.1)])
    assert cube.u_second_order**2 == pytest.approx(0.01 * (9 * 16 + 36 * 4 * 0.01))


def test_second_order_of_a_mixed_term() -> None:
    """E and Var of x·y² for independent normals, by their moments; the sixth order is left out."""
    x, y, u_x, u_y = 2.0, 3.0, 0.02, 0.03
    exact = (x**2 + u_x**2) * (y**4 + 6 * y**2 * u_y**2 + 3 * u_y**4) - x**2 * (y**2 + u_y**2) ** 2
    mixed = curvature_of(lambda a, b: a * b * b, [ufloat(x, u_x), ufloat(y, u_y)])
    assert mixed.u_second_order**2 == pytest.approx(exact, rel=1e-6)
    assert mixed.shift == pytest.approx(x * u_y**2)


def test_a_well_measured_engine_is_first_order() -> None:
    spread = propagate(compression_ratio, [ufloat(SWEPT, 0.5), ufloat(66.65, 0.3)])
    exact = compression_ratio(ufloat(SWEPT, 0.5), ufloat(66.65, 0.3))
    assert spread.method == "first order"
    assert spread.u == pytest.approx(exact.std_dev, rel=1e-6)
    low, high = spread.interval_95
    assert high - low == pytest.approx(2 * 1.959964 * spread.u)
    assert "good here" in spread.note


def test_a_badly_measured_clearance_is_monte_carlo() -> None:
    inputs = [ufloat(SWEPT, 0.5), ufloat(66.65, 4.0)]
    spread = propagate(compression_ratio, inputs)
    assert spread.method == "Monte Carlo"
    assert spread.note == (
        "first order is off by about 13 % here, so a Monte Carlo of 1 000 000 draws is used"
    )
    low, high = spread.interval_95
    assert high - spread.value > 1.1 * (spread.value - low)
    # The ratio falls as the clearance grows, so its limits are those of the clearance.
    assert low == pytest.approx(1 + SWEPT / (66.65 + 1.96 * 4), abs=0.01)
    assert high == pytest.approx(1 + SWEPT / (66.65 - 1.96 * 4), abs=0.02)


@settings(max_examples=10, deadline=None)
@given(st.floats(0.05, 5.0))
def test_what_is_said_is_true(u: float) -> None:
    """First order where it is used is within 2 % of Monte Carlo; with 0.5 % for the draws."""
    inputs = [ufloat(SWEPT, 0.5), ufloat(66.65, u)]
    spread = propagate(compression_ratio, inputs)
    drawn = simulate(compression_ratio, inputs, draws=400_000, seed=2)
    allowed = (GOOD_ENOUGH + 0.005) * (spread.interval_95[1] - spread.interval_95[0]) / 2
    assert spread.u == pytest.approx(drawn.u, rel=GOOD_ENOUGH + 0.005)
    assert spread.interval_95 == pytest.approx(drawn.interval(), abs=allowed)


@given(st.floats(0.01, 3.0))
def test_units_change_nothing(u: float) -> None:
    cc = curvature_of(compression_ratio, [ufloat(SWEPT, 0.5), ufloat(66.65, u)])
    inch = 16.387064
    cu_in = curvature_of(
        compression_ratio, [ufloat(SWEPT / inch, 0.5 / inch), ufloat(66.65 / inch, u / inch)]
    )
    assert cu_in.u_second_order == pytest.approx(cc.u_second_order, rel=1e-6)
    assert cu_in.error_of_first_order() == pytest.approx(
        cc.error_of_first_order(), rel=1e-4, abs=1e-9
    )


def test_no_uncertainty_is_none() -> None:
    spread = propagate(disc, [93.2, 1.10])
    assert (spread.u, spread.method) == (0, "first order")
    assert spread.interval_95 == (spread.value, spread.value)


def test_inputs_that_share_a_reading() -> None:
    bore = ufloat(92.0, 0.1)
    with pytest.raises(Refused, match="same reading"):
        propagate(disc, [bore, bore / 100])


@pytest.mark.parametrize(
    "formula", [lambda x: 1 / x, lambda x: (x - 0.5) ** 0.5, lambda x: x * math.inf]
)
def test_a_formula_without_a_value_nearby(formula: object) -> None:
    with pytest.raises(Refused, match="no value within one standard uncertainty"):
        propagate(formula, [ufloat(1.0, 1.0)])


def test_without_numpy_second_order_stands_in() -> None:
    script = """
import sys
sys.modules["numpy"] = None
from uncertainties import ufloat
from enginemath.formulas.compression import compression_ratio
from enginemath.bench.how_sure.propagation import propagate
spread = propagate(compression_ratio, [ufloat(588.3, 0.5), ufloat(66.65, 4.0)])
print(spread.method, *spread.interval_95, sep="\\n")
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    method, low, high = run.stdout.split("\n")[:3]
    drawn = propagate(compression_ratio, [ufloat(SWEPT, 0.5), ufloat(66.65, 4.0)])
    assert method == "second order"
    width = drawn.interval_95[1] - drawn.interval_95[0]
    assert float(low) == pytest.approx(drawn.interval_95[0], abs=0.01 * width)
    assert float(high) == pytest.approx(drawn.interval_95[1], abs=0.01 * width)
