"""Intervals of results with sources of several shapes, against published examples and draws."""

from __future__ import annotations

import math
from statistics import correlation

import pytest
from uncertainties import correlated_values, ufloat

from enginemath.bench.how_sure.degrees_of_freedom import welch, welch_satterthwaite
from enginemath.bench.how_sure.distributions import coverage_factor, t_tail
from enginemath.bench.how_sure.improvements import budget_of, improvements
from enginemath.bench.how_sure.interval import (
    Source,
    degrees_of_freedom,
    half_width,
    interval_of_ratio,
    sources_of,
)
from enginemath.bench.how_sure.labels import Label
from enginemath.bench.measuring import Repeats
from enginemath.formulas.geometry import cos, sin
from enginemath.units import Quantity, deviation, nominal

END_GAUGE = [
    Source("standard", 25.0, 18),
    Source("comparator, repeats", 5.8, 24),
    Source("comparator, random", 3.9, 5),
    Source("comparator, systematic", 6.7, 8),
    Source("difference of expansion", 2.9, 50),
    Source("difference of temperature", 16.6, 2),
]
"""JCGM 100:2008, H.1, in nm: contributions as in table H.1, degrees of freedom from memory."""


def test_the_end_gauge_of_the_guide() -> None:
    """JCGM 100:2008, H.1.6: u = 32 nm, 16 degrees of freedom (cut), 93 nm at 99 %."""
    assert round(math.hypot(*(source.contribution for source in END_GAUGE))) == 32
    assert math.floor(degrees_of_freedom(END_GAUGE)) == 16
    assert round(coverage_factor(0.99, 16) * 32) == 93
    u = math.hypot(*(source.contribution for source in END_GAUGE))
    assert half_width(END_GAUGE, 0.99) == pytest.approx(2.92 * u, rel=0.01)


VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
AMPERES = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
RADIANS = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
"""JCGM 100:2008, table H.2: five sets read together; volts and amperes as GTC's own example has
them, the phases from memory (they give the guide's printed results)."""


PRINTED = {"R": (127.732, 0.071), "X": (219.847, 0.295), "Z": (254.260, 0.236)}
"""Tables H.3 and H.4, in ohm; r(R, X) = −0.588, r(R, Z) = −0.485, r(X, Z) = 0.993."""


def test_resistance_and_reactance_set_by_set() -> None:
    """JCGM 100:2008, H.2.4 (the second way), table H.4: the mean of five results, their scatter.

    All of it to the printed digits, with nothing rounded on the way.
    """
    sets = list(zip(VOLTS, AMPERES, RADIANS, strict=True))
    each = {
        "R": [v / i * math.cos(p) for v, i, p in sets],
        "X": [v / i * math.sin(p) for v, i, p in sets],
        "Z": [v / i for v, i, _ in sets],
    }
    for name, (value, u) in PRINTED.items():
        repeats = Repeats.of([Quantity(one, "mm") for one in each[name]])
        assert round(nominal(repeats.mean.magnitude), 3) == value
        assert round(deviation(repeats.mean.magnitude), 3) == u
    for one, other, printed in (("R", "X", -0.588), ("R", "Z", -0.485), ("X", "Z", 0.993)):
        assert round(correlation(each[one], each[other]), 3) == printed


def test_resistance_and_reactance_of_correlated_means() -> None:
    """H.2.3 (the first way), table H.3: a straight line through correlated means.

    Values, correlations and the ± of R and Z are the printed ones. That of X is 0.29558 by a
    straight line, which rounds to 0.296, and 0.29549 set by set; the guide prints 0.295 for both
    ways (from memory): here we are one unit of its last digit above it, as GTC is.
    """
    numpy = pytest.importorskip("numpy")
    columns = numpy.array([VOLTS, AMPERES, RADIANS])
    covariance = numpy.cov(columns) / columns.shape[1]
    volts, amperes, phase = correlated_values(columns.mean(axis=1), covariance)
    impedance, degrees = volts / amperes, phase * 180 / math.pi
    found = {"R": impedance * cos(degrees), "X": impedance * sin(degrees), "Z": impedance}
    for name, (value, u) in PRINTED.items():
        assert round(found[name].nominal_value, 3) == value
        own = math.hypot(*(source.contribution for source in sources_of(found[name])))
        if name == "X":
            assert round(own, 5) == 0.29558
        else:
            assert round(own, 3) == u
    for one, other, printed in (("R", "X", -0.588), ("R", "Z", -0.485), ("X", "Z", 0.993)):
        assert round(_correlation(found[one], found[other]), 3) == printed


def test_correlated_inputs_as_gtc_has_them() -> None:
    """GTC's own example of H.2, from the ± and correlations that the guide prints in table H.2."""
    gtc = pytest.importorskip("GTC")
    values, us = (4.999, 19.661e-3, 1.04446), (3.2e-3, 9.5e-6, 7.5e-4)
    shares = {(0, 1): -0.36, (0, 2): 0.86, (1, 2): -0.65}
    v, i, p = (gtc.ureal(*pair, independent=False) for pair in zip(values, us, strict=True))
    theirs_by_place = (v, i, p)
    for (one, other), r in shares.items():
        gtc.set_correlation(r, theirs_by_place[one], theirs_by_place[other])
    covariance = [
        [us[a] * us[b] * (1.0 if a == b else shares[min(a, b), max(a, b)]) for b in range(3)]
        for a in range(3)
    ]
    volts, amperes, phase = correlated_values(values, covariance)
    impedance, degrees = volts / amperes, phase * 180 / math.pi
    for ours, theirs in (
        (impedance * cos(degrees), v / i * gtc.cos(p)),
        (impedance * sin(degrees), v / i * gtc.sin(p)),
        (impedance, v / i),
    ):
        own = math.hypot(*(source.contribution for source in sources_of(ours)))
        assert own == pytest.approx(gtc.uncertainty(theirs), rel=1e-9)


def _correlation(one: object, other: object) -> float:
    """From what both owe to the same sources."""
    mine, others = one.derivatives, other.derivatives  # type: ignore[attr-defined]
    shared = sum(mine[v] * others[v] * v.std_dev**2 for v in mine.keys() & others.keys())
    return shared / (one.std_dev * other.std_dev)  # type: ignore[attr-defined]


def test_shared_sources_as_gtc_has_them() -> None:
    """A sum and a difference of two readings with one common error, against GTC."""
    gtc = pytest.importorskip("GTC")
    own, shared = 0.02, 0.05
    tool = ufloat(0, shared, Label("tool", kind="tool"))
    a = 10 + ufloat(0, own, Label("a", kind="scatter")) + tool
    b = 4 + ufloat(0, own, Label("b", kind="scatter")) + tool
    of_tool = gtc.ureal(0, shared)
    x, y = gtc.ureal(10, own) + of_tool, gtc.ureal(4, own) + of_tool
    for ours, theirs in ((a + b, x + y), (a - b, x - y), (3 * a - b, 3 * x - y)):
        u = math.hypot(*(source.contribution for source in sources_of(ours)))
        assert u == pytest.approx(gtc.uncertainty(theirs), rel=1e-12)
    assert {source.name for source in sources_of(a - b)} == {"a", "b"}


def test_degrees_of_freedom_as_gtc_has_them() -> None:
    gtc = pytest.importorskip("GTC")
    sources = [Source("a", 0.3, 4), Source("b", 0.2, 9), Source("c", 0.1)]
    total = gtc.ureal(0, 0.3, 4) + gtc.ureal(0, 0.2, 9) + gtc.ureal(0, 0.1)
    assert degrees_of_freedom(sources) == pytest.approx(gtc.dof(total), rel=1e-9)


@pytest.mark.parametrize(
    ("shapes", "degrees"),
    [
        ([1.0], math.inf),
        ([0.9, 0.05], math.inf),
        ([0.45, 0.35], 5),
        ([0.3, 0.1], 2),
        ([0.7], 1.5),
        ([0.2, 0.2, 0.2, 0.1], math.inf),
    ],
)
def test_it_holds_95_of_100_draws(shapes: list[float], degrees: float) -> None:
    """Rectangles with these shares of the variance over a bell with the rest, drawn by NumPy."""
    numpy = pytest.importorskip("numpy")
    chance, count = numpy.random.default_rng(17), 400_000
    bell = max(0.0, 1 - sum(shapes)) ** 0.5
    sources = [Source(f"{n}", share**0.5, rectangular=True) for n, share in enumerate(shapes)]
    if bell:
        sources.append(Source("bell", bell, degrees))
    normal = math.isinf(degrees)
    values = bell * (chance.standard_normal(count) if normal else chance.standard_t(degrees, count))
    for share in shapes:
        values += (3 * share) ** 0.5 * chance.uniform(-1, 1, count)
    held = (abs(values) <= half_width(sources)).mean()
    assert held == pytest.approx(0.95, abs=0.004)


@pytest.mark.parametrize(
    ("sigmas", "degrees"),
    [
        ((1.0, 1.0), (2, 2)),  # three readings each: Welch and Satterthwaite hold 96.5 %
        ((1.0, 0.3), (2, 8)),  # 92.8 %
        ((1.0, 0.5), (4, math.inf)),  # 94.2 %
        ((1.0, 0.5, 0.3), (2, 1, 1)),  # 96.8 %
    ],
)
def test_few_repeats_hold_95_of_100(sigmas: tuple[float, ...], degrees: tuple[float, ...]) -> None:
    """True spreads, standard deviations drawn as repeats would show them, by NumPy."""
    numpy = pytest.importorskip("numpy")
    chance, benches = numpy.random.default_rng(18), 6000
    off, shown = numpy.zeros(benches), []
    for sigma, nu in zip(sigmas, degrees, strict=True):
        off += sigma * chance.standard_normal(benches)
        known = math.isinf(nu)
        of_it = numpy.ones(benches) if known else (chance.chisquare(nu, benches) / nu) ** 0.5
        shown.append(sigma * of_it)
    held = sum(
        abs(one) <= half_width([Source("", u, nu) for u, nu in zip(us, degrees, strict=True)])
        for one, *us in zip(off.tolist(), *(each.tolist() for each in shown), strict=True)
    )
    assert 0.938 <= held / benches <= 0.967


def test_degrees_of_freedom_to_the_second_order() -> None:
    """One source keeps its own; near one it is Welch and Satterthwaite's, as the series has it."""
    assert welch([(0.3, 7)]) == pytest.approx(7)
    assert welch([(1.0, 3), (0.0, 1)]) == pytest.approx(3)
    assert math.isinf(welch([(1.0, math.inf)]))
    many = [(1.0, 400), (0.7, 300)]
    assert welch(many) == pytest.approx(welch_satterthwaite(many), rel=0.01)


def test_degrees_of_freedom_are_cut_to_a_whole_number() -> None:
    """JCGM 100:2008, G.6.4: Student's t for the next lower one."""
    sources = [Source("chamber", 1.0, 4), Source("crown", 0.5, 6)]
    u = math.hypot(1.0, 0.5)
    whole = math.floor(welch([(1.0, 4), (0.5, 6)]))
    assert half_width(sources) == pytest.approx(coverage_factor(0.95, whole) * u)


def test_three_pours_need_more_than_two() -> None:
    """Student's t for two degrees of freedom is 4.303; JCGM 100:2008, table G.2."""
    assert half_width([Source("three pours", 1.0, 2)]) == pytest.approx(4.303, rel=0.005)
    assert half_width([Source("known", 1.0)]) == pytest.approx(1.960, abs=0.001)


@pytest.mark.parametrize("count", [3, 2])
def test_pooled_scatters_share_one_estimate(count: int) -> None:
    """Also where one was read three times and the other twice."""
    labels = [Label("pours", "cc", 4, "scatter", each, pool=0.2) for each in (3, count)]
    chamber, crown = (ufloat(0, 0.2 / label.count**0.5, label) for label in labels)
    (source,) = sources_of(chamber + crown)
    assert source.degrees_of_freedom == 4
    assert source.contribution == pytest.approx(0.2 * (1 / 3 + 1 / count) ** 0.5)


def test_scatters_of_two_pools_are_two_estimates() -> None:
    """Two burettes that were read as often: one hand may be steadier than the other."""
    one, other = (Label("pours", "cc", 2, "scatter", 3, pool=s) for s in (0.2, 0.1))
    assert len(sources_of(ufloat(0, 0.12, one) + ufloat(0, 0.06, other))) == 2


def test_the_interval_of_a_ratio_reaches_further_up() -> None:
    low, high = interval_of_ratio(ufloat(10.0, 0.5)) or (0, 0)
    assert 10 - low < high - 10
    assert 1 / (low - 1) - 1 / 9 == pytest.approx(1 / 9 - 1 / (high - 1))
    assert interval_of_ratio(ufloat(10.0, 5.0)) is None


def test_what_would_help_is_what_it_then_is() -> None:
    scatter = Source("pours", 0.06, 4, label=Label("pours", kind="scatter", count=3))
    tool = Source("burette", 0.08, rectangular=True, label=Label("burette", kind="tool"))
    assert budget_of([scatter, tool]) == [
        ("burette", pytest.approx(0.64)),
        ("pours", pytest.approx(0.36)),
    ]
    found = {one.source: one for one in improvements([scatter, tool])}
    second = Source("two", 0.08 / 2**0.5, rectangular=True)
    assert found["burette"].then == pytest.approx(half_width([scatter, second]))
    better = Source("class A", 0.08 / 2, rectangular=True)
    ((change, then),) = found["burette"].or_else
    assert (change, then) == (
        "one with half its limit",
        pytest.approx(half_width([scatter, better])),
    )
    fourth = Source("four", 0.06 * (3 / 4) ** 0.5, 6)
    assert found["pours"].then == pytest.approx(half_width([tool, fourth]))
    assert all(one.then < one.now for one in found.values())


@pytest.mark.parametrize("flat", [0.05, 0.5, 0.85])
@pytest.mark.parametrize("degrees", [math.exp(0.7), math.exp(2.0), math.exp(4.1), math.inf])
def test_just_a_twentieth_is_beyond(flat: float, degrees: float) -> None:
    """The definition itself: the bell slid over its rectangle, added up by Simpson's rule."""
    tool = Source("tool", flat**0.5, rectangular=True)
    scatter = Source("scatter", (1 - flat) ** 0.5, degrees)
    half, wide, steps = half_width([tool, scatter]), (3 * flat) ** 0.5, 2000

    def below(z: float) -> float:
        if math.isinf(degrees):
            return math.erfc(-z / 2**0.5) / 2
        return 1 - t_tail(z, degrees) if z > 0 else t_tail(-z, degrees)

    def held(at: float) -> float:
        bell = scatter.contribution
        return below((half - at) / bell) - below((-half - at) / bell)

    inner = math.fsum((4 if n % 2 else 2) * held(wide * n / steps) for n in range(1, steps))
    share = (held(0.0) + inner + held(wide)) / (3 * steps)
    assert share == pytest.approx(0.95, abs=1e-11)
