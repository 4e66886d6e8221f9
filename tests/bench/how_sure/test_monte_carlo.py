"""Monte Carlo against the guide's own examples, exact results, NumPy, and a second package."""

from __future__ import annotations

import math

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.bench.how_sure.labels import named
from enginemath.bench.how_sure.monte_carlo import (
    Normal,
    Rectangular,
    Simulation,
    StudentT,
    Triangular,
    numerical_tolerance,
    simulate,
    simulate_to_digits,
)
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.units import Quantity, Refused, read


def add(*terms: float) -> float:
    return sum(terms)


def ratio(bore, stroke, chamber, gasket_bore, thickness, deck, crown):  # type: ignore[no-untyped-def]
    clearance = clearance_volume(chamber, disc(gasket_bore, thickness), disc(bore, deck), crown)
    return compression_ratio(disc(bore, stroke), clearance)


ENGINE = [  # cm and cc, an invented engine
    ufloat(9.20, 0.001),
    ufloat(8.85, 0.002),
    ufloat(47.5, 0.3),
    ufloat(9.32, 0.005),
    ufloat(0.110, 0.002),
    ufloat(0.035, 0.002),
    ufloat(8.8, 0.2),
]


def test_four_normals() -> None:
    """JCGM 101:2008, 9.2.2: ±3.92 (from memory)."""
    total = simulate(add, [Normal(0, 1)] * 4)
    assert total.u == pytest.approx(2, rel=0.005)
    assert total.interval() == (pytest.approx(-3.92, abs=0.02), pytest.approx(3.92, abs=0.02))
    low, high = total.shortest_interval()
    assert (high - low) / 2 == pytest.approx(3.92, abs=0.02)


def test_four_rectangulars() -> None:
    """JCGM 101:2008, 9.2.3: ±3.88, exactly 2√3·(2 − (3/5)^¼) (from memory)."""
    total = simulate(add, [Rectangular(0, 3**0.5)] * 4)
    exact = 2 * 3**0.5 * (2 - 0.6**0.25)
    assert exact == pytest.approx(3.88, abs=0.005)
    assert total.interval() == (pytest.approx(-exact, abs=0.02), pytest.approx(exact, abs=0.02))


def test_sum_of_two_squares() -> None:
    """JCGM 101:2008, 9.4.2.2.2: y = u = 50e-6, shortest 95 % interval 0 to 150e-6 (from memory).

    The result is exponential, so the other interval is known too.
    """
    power = simulate(lambda x, y: x * x + y * y, [Normal(0, 0.005), Normal(0, 0.005)])
    assert power.value == pytest.approx(50e-6, rel=0.01)
    assert power.u == pytest.approx(50e-6, rel=0.01)
    low, high = power.shortest_interval()
    assert low == pytest.approx(0, abs=1e-6)
    assert high == pytest.approx(150e-6, rel=0.01)
    low, high = power.interval()
    assert low == pytest.approx(-50e-6 * math.log(0.975), rel=0.03)
    assert high == pytest.approx(-50e-6 * math.log(0.025), rel=0.01)


@pytest.mark.parametrize(
    ("known", "u"),
    [
        (Normal(10, 0.5), 0.5),
        (Rectangular(10, 0.5), 0.5 / 3**0.5),
        (Triangular(10, 0.5), 0.5 / 6**0.5),
        (StudentT(10, 0.5, 6), 0.5 * (6 / 4) ** 0.5),
    ],
)
def test_what_is_drawn_has_the_right_spread(known: object, u: float) -> None:
    """Standard deviations: JCGM 100:2008, 4.3; Student's t √(ν/(ν−2)), JCGM 101:2008, 6.4.9."""
    drawn = simulate(lambda x: x, [known], draws=400_000)
    assert drawn.value == pytest.approx(10, abs=0.005)
    assert drawn.u == pytest.approx(u, rel=0.01)


def test_limits_hold_what_is_drawn() -> None:
    for known in (Rectangular(10, 0.5), Triangular(10, 0.5)):
        drawn = simulate(lambda x: x, [known], draws=50_000).draws
        assert 9.5 <= drawn.min() < 9.52
        assert 10.48 < drawn.max() <= 10.5


@pytest.mark.parametrize("count", [2, 3, 10, 100, 999, 40_000, 123_457])
@pytest.mark.parametrize("coverage", [0.5, 0.6827, 0.95, 0.999])
def test_limits_are_values_of_the_ordered_results(count: int, coverage: float) -> None:
    """JCGM 101:2008, 7.7: the r-th and the (r + q)-th of the ordered results."""
    draws = numpy.random.default_rng(count).gamma(0.7, size=count)
    ordered = numpy.sort(draws)
    low, high = Simulation(draws).interval(coverage)
    below, above = numpy.searchsorted(ordered, [low, high])
    inside = min(count - 1, math.floor(coverage * count + 0.5))
    assert above - below == inside
    assert abs(below - (count - 1 - above)) <= 1
    shortest_low, shortest_high = Simulation(draws).shortest_interval(coverage)
    assert shortest_high - shortest_low <= high - low
    assert numpy.count_nonzero((draws >= shortest_low) & (draws <= shortest_high)) == inside + 1


def test_limits_of_equal_and_of_ordered_results() -> None:
    assert Simulation(numpy.full(1000, 3.0)).interval() == (3.0, 3.0)
    low, high = Simulation(numpy.arange(100_000.0)).interval()
    assert (low, high) == (2500, 97_500)
    high_first = Simulation(numpy.arange(100_000.0)[::-1].copy())
    assert high_first.interval() == (2500, 97_500)


def test_limits_when_the_first_look_misleads() -> None:
    """The few results looked at first are all from the top: the whole heap is then searched."""
    draws = numpy.arange(40_960.0)
    draws[::10] += 1e6
    low, high = numpy.sort(draws)[[1024, 40_960 - 1024]]
    assert Simulation(draws).interval() == (low, high)


def test_a_seed_repeats_and_another_differs() -> None:
    one, again, other = (simulate(ratio, ENGINE, draws=30_000, seed=s) for s in (1, 1, 2))
    assert (one.draws == again.draws).all()
    assert one.u != other.u
    assert one.u == pytest.approx(other.u, rel=0.03)


def test_a_plain_input_stays() -> None:
    doubled = simulate(lambda x, y: x * y, [2.0, ufloat(5, 0.1)], draws=50_000)
    assert doubled.u == pytest.approx(0.2, rel=0.02)


def test_quantities_give_the_unit_of_the_formula() -> None:
    gasket = simulate(
        lambda bore, thickness: disc(bore, thickness).to("cc"),
        [read("93.2 ± 0.05 mm"), read("1.10 ± 0.02 mm")],
        draws=50_000,
    )
    assert gasket.unit == "cc"
    assert gasket.value == pytest.approx(7.504, abs=0.01)
    assert gasket.u == pytest.approx(0.1367, rel=0.02)


def test_the_draws_are_worked_in_blocks_without_a_seam() -> None:
    """The formula is called for a block at a time; every result must be its own draw's."""
    seen = []

    def keep(x):  # type: ignore[no-untyped-def]
        seen.append(numpy.array(x, copy=True, ndmin=1))
        return 2 * x

    draws = simulate(keep, [Normal(0, 1)], draws=100_001).draws
    assert len(seen) > 3
    assert (draws == 2 * numpy.concatenate(seen[1:])).all()


def test_one_reading_handed_over_twice() -> None:
    bore = ufloat(92.0, 0.1)
    with pytest.raises(Refused, match="same reading"):
        simulate(add, [bore, 2 * bore])
    length = named(read("92.0 ± 0.1 mm"), "bore")
    with pytest.raises(Refused, match="same reading"):
        simulate(add, [length, length.to("cm")])


def test_a_formula_without_a_value() -> None:
    with (
        numpy.errstate(invalid="ignore"),
        pytest.raises(Refused, match="no value for some of the draws"),
    ):
        simulate(lambda x: x**0.5, [Normal(0.1, 0.1)], draws=10_000)


def test_it_draws_until_the_digit_stands() -> None:
    """JCGM 101:2008, 7.9.4: u of the mean of the rounds, twice, is within half the last digit."""
    sure = simulate_to_digits(add, [Normal(0, 1)] * 4, digits=2)
    assert sure.settled
    assert sure.count >= 100_000
    assert sure.value == pytest.approx(0, abs=0.05)
    assert sure.u == pytest.approx(2, abs=0.05)
    assert sure.interval() == (pytest.approx(-3.92, abs=0.05), pytest.approx(3.92, abs=0.05))


def test_a_finer_digit_takes_more_draws() -> None:
    coarse, fine = (simulate_to_digits(ratio, ENGINE, digits=d) for d in (1, 2))
    assert coarse.settled
    assert fine.settled
    assert coarse.count < fine.count


def test_it_gives_up_and_says_so() -> None:
    unsure = simulate_to_digits(add, [Normal(0, 1)] * 4, digits=4, most=150_000)
    assert not unsure.settled
    assert unsure.count == 150_000


@pytest.mark.parametrize(
    ("u", "digits", "tolerance"),
    [
        (0.00035, 1, 0.00005),  # JCGM 101:2008, 7.9.2, examples 1 to 3 (from memory)
        (0.00035, 2, 0.000005),
        (2, 1, 0.5),
        (9.96, 2, 0.5),  # written with two digits it is 10, so the second digit is the unit
        (0.0, 2, 0.0),
    ],
)
def test_numerical_tolerance(u: float, digits: int, tolerance: float) -> None:
    assert numerical_tolerance(u, digits) == pytest.approx(tolerance)


def test_a_second_package_agrees() -> None:
    metrolopy = pytest.importorskip("metrolopy")
    gummies = [metrolopy.gummy(x.nominal_value, x.std_dev) for x in ENGINE]
    other = ratio(*gummies)
    other.p, other.cimethod = 0.95, "symmetric"
    other.sim(n=1_000_000)
    ours = simulate(ratio, ENGINE)
    assert ours.u == pytest.approx(float(other.usim), rel=0.005)
    assert ours.interval() == pytest.approx([float(x) for x in other.cisim], abs=0.002)


@settings(max_examples=12, deadline=None)
@given(
    shares=st.lists(st.just(0.0) | st.floats(0.01, 0.6), min_size=7, max_size=7).filter(any),
)
def test_first_order_agrees_on_a_model_near_linear(shares: list[float]) -> None:
    inputs = [
        ufloat(x.nominal_value, share * x.std_dev) if share else x.nominal_value
        for x, share in zip(ENGINE, shares, strict=True)
    ]
    first_order = ratio(*inputs)
    drawn = simulate(ratio, inputs, draws=200_000)
    assert drawn.u == pytest.approx(first_order.std_dev, rel=0.02)
    assert drawn.value == pytest.approx(first_order.nominal_value, abs=0.02 * first_order.std_dev)


def test_quantity_of_an_array_is_not_needed() -> None:
    """Quantities slow a simulation; bare numbers in one unit give the same spread."""
    bare = simulate(disc, [ufloat(9.32, 0.005), ufloat(0.11, 0.002)], draws=100_000)
    with_units = simulate(
        disc,
        [Quantity(ufloat(9.32, 0.005), "cm"), Quantity(ufloat(0.11, 0.002), "cm")],
        draws=100_000,
    )
    assert bare.u == pytest.approx(with_units.u, rel=1e-9)
