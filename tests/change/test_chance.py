"""The chance of being in the band against SciPy's normal integrals and against whole engines drawn
at random."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm
from uncertainties import correlation_matrix, covariance_matrix, ufloat

from enginemath.bench.how_sure.labels import Label
from enginemath.change.chance import (
    in_band_probability,
    kept_probability,
    most_that_can_be_kept,
)
from enginemath.change.combination import combination_at, machined
from enginemath.change.price_list import Cut, GasketOption, HeadCut, Options, Target, Tolerances
from enginemath.engine.parts import Chamber, Deck, Engine, Gasket
from enginemath.engine.stack import stacks
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import disc
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, deviation, nominal, read


def unsure_engine(chamber: str, others: str, deck: str) -> Engine:
    """Cylinder 1 has its own chamber; every reading has its own uncertainty."""
    engine = parse(EXAMPLE).engine
    return replace(
        engine,
        chambers=tuple(Chamber(text) for text in (chamber, others, others, others)),
        decks=tuple(Deck(deck) for _ in range(4)),
    )


def by_scipy(engine: Engine, low: float, high: float) -> float:
    ratios = [stack.ratio for stack in stacks(engine)]
    return float(
        multivariate_normal.cdf(
            [high] * len(ratios),
            [nominal(ratio) for ratio in ratios],
            np.array(covariance_matrix(ratios)),
            allow_singular=True,
            lower_limit=[low] * len(ratios),
            abseps=1e-6,
            maxpts=2_000_000,
        )
    )


def test_without_uncertainty_there_is_no_chance_to_name() -> None:
    assert in_band_probability(parse(EXAMPLE).engine, 9, 10) is None


@pytest.mark.parametrize(("low", "high"), [(9.85, 9.95), (9.0, 9.9), (9.95, 10.4), (12, 13)])
def test_one_shared_cause_is_exact(low: float, high: float) -> None:
    """One deck clearance for all cylinders: a normal distribution of one variable."""
    engine = parse(EXAMPLE.replace('"0.35 mm"', '"0.35 ± 0.05 mm"')).engine
    ratio = stacks(engine)[0].ratio
    expected = np.diff(norm(nominal(ratio), deviation(ratio)).cdf([low, high]))[0]
    assert in_band_probability(engine, low, high) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("low", "high"), [(9.8, 9.95), (9.85, 9.93), (9.0, 9.9), (9.7, 10.1)])
def test_several_causes_against_scipy(low: float, high: float) -> None:
    engine = unsure_engine("47.2 ± 0.2 cc", "47.5 ± 0.3 cc", "0.35 ± 0.03 mm")
    found = in_band_probability(engine, low, high)
    assert found == pytest.approx(by_scipy(engine, low, high), abs=0.004)


@pytest.mark.parametrize(("low", "high"), [(9.8, 9.95), (9.85, 9.93), (9.0, 9.9), (9.75, 10.1)])
def test_causes_of_one_and_of_all_cylinders_against_scipy(low: float, high: float) -> None:
    """One gasket for all, a chamber for each: neither independent nor moving together."""
    engine = unsure_engine("47.2 ± 0.2 cc", "47.5 ± 0.3 cc", "0.35 mm")
    engine = replace(engine, gasket=Gasket("93.2 mm", "1.10 ± 0.04 mm"))
    ratios = [stack.ratio for stack in stacks(engine)]
    assert 0.3 < correlation_matrix(ratios)[0][1] < 0.9
    found = in_band_probability(engine, low, high)
    assert found == pytest.approx(by_scipy(engine, low, high), abs=0.001)


@pytest.mark.parametrize("unsure", [("47.2 ± 0.2 cc",), ("47.2 ± 0.2 cc", "47.3 ± 0.3 cc")])
def test_cylinders_without_uncertainty_are_in_the_band_or_not(unsure: tuple[str, ...]) -> None:
    """Only some chambers were poured often enough to say how sure they are."""
    engine = parse(EXAMPLE).engine
    chambers = tuple(Chamber(text) for text in (*unsure, *["47.5 cc"] * (4 - len(unsure))))
    engine = replace(engine, chambers=chambers)
    ratios = [stack.ratio for stack in stacks(engine)]
    low, high = 9.82, 9.92
    expected = np.prod(
        [np.diff(norm(nominal(r), deviation(r)).cdf([low, high]))[0] for r in ratios[: len(unsure)]]
    )
    assert in_band_probability(engine, low, high) == pytest.approx(expected, abs=0.004)
    assert in_band_probability(engine, 9.9, high) == 0


def test_cylinders_that_share_a_cause_are_not_taken_as_independent() -> None:
    """A head cut of unsure depth moves four slightly different cylinders together."""
    engine = unsure_engine("47.2 cc", "47.5 cc", "0.35 mm")
    options = Options(
        Target(9.9, 11, 10),
        head_cut=HeadCut(read("0.2 mm"), read("0.2 mm"), 90, open_area=read("41 cm**2")),
        tolerances=Tolerances(head_cut=read("0.05 mm")),
    )
    after = machined(engine, options, combination_at(options, 1))
    ratios = [stack.ratio for stack in stacks(after)]
    assert np.array(correlation_matrix(ratios)).min() == pytest.approx(1)
    low = nominal(ratios[1])
    assert in_band_probability(after, low, 11) == pytest.approx(0.5, abs=0.001)


def test_against_whole_engines_drawn_at_random() -> None:
    """Not linearised: bore, chambers, gasket, deck and cuts drawn, every cylinder worked out."""
    count, draw = 400_000, np.random.default_rng(7)
    text = (
        EXAMPLE.replace('"92.0 mm"', '"92.00 ± 0.02 mm"')
        .replace('"1.10 mm"', '"1.10 ± 0.03 mm"')
        .replace('"0.35 mm"', '"0.35 ± 0.02 mm"')
    )
    engine = parse(text).engine
    engine = replace(engine, chambers=tuple(Chamber("47.5 ± 0.25 cc") for _ in range(4)))
    options = Options(
        Target(9.9, 10.4, 10.1),
        deck_cut=Cut(read("0.1 mm"), read("0.1 mm"), 140),
        head_cut=HeadCut(read("0.1 mm"), read("0.1 mm"), 90, open_area=read("41 cm**2")),
        tolerances=Tolerances(read("0.03 mm"), read("0.03 mm")),
    )
    after = machined(engine, options, combination_at(options, 3))

    bore, thickness = draw.normal(9.2, 0.002, count), draw.normal(0.110, 0.003, count)
    deck = draw.normal(0.035, 0.002, count) - draw.normal(0.01, 0.003, count)
    taken = 41 * draw.normal(0.01, 0.003, count)
    swept, gasket = disc(bore, 8.85), disc(9.32, thickness)
    ratios = [
        compression_ratio(
            swept,
            clearance_volume(draw.normal(47.5, 0.25, count) - taken, gasket, disc(bore, deck), 8.8),
        )
        for _ in range(4)
    ]
    middle = float(np.mean(ratios))
    for low, high in ((middle - 0.1, middle + 0.1), (middle - 0.05, middle + 1)):
        drawn = np.mean([(r >= low) & (r <= high) for r in ratios], axis=0) == 1
        assert in_band_probability(after, low, high) == pytest.approx(drawn.mean(), abs=0.006)


def test_it_is_reproducible() -> None:
    engine = unsure_engine("47.2 ± 0.2 cc", "47.5 ± 0.3 cc", "0.35 ± 0.03 mm")
    chances = {in_band_probability(engine, 9.85, 9.93) for _ in range(3)}
    assert len(chances) == 1


def test_a_gasket_with_its_own_uncertainty_keeps_it() -> None:
    own = GasketOption("own", Gasket("93.2 mm", "0.90 ± 0.05 mm"), 10)
    plain = GasketOption("plain", Gasket("93.2 mm", "0.90 mm"), 10)
    poured = GasketOption(
        "poured",
        Gasket(compressed_thickness="0.90 mm", poured=Gasket("93.2 mm", "0.90 mm").volume),
        10,
    )
    options = Options(
        Target(9, 11, 10),
        gaskets=(GasketOption(), own, plain, poured),
        tolerances=Tolerances(compressed_thickness=Quantity(0.02, "mm")),
    )
    engine = parse(EXAMPLE).engine
    spreads = [
        deviation(stacks(machined(engine, options, combination_at(options, place)))[0].gasket.m)
        for place in range(4)
    ]
    area = np.pi / 4 * 9.32**2
    assert spreads == pytest.approx([0, area * 0.005, area * 0.002, area * 0.002])


@pytest.mark.parametrize("degrees", [(1, 16), (2, 4), (3, 8), (8, 8)])
@pytest.mark.parametrize("cylinders", [2, 8])
def test_pooled_scatters_of_few_degrees(cylinders: int, degrees: tuple[int, int]) -> None:
    """Chambers poured once each but for one: all are as unsure as that one's repeats tell.

    Thrown by dice, each pool too narrow or too wide as a whole.
    """
    count, dice = 100_000, np.random.default_rng(cylinders)
    tool = ufloat(0.0, 0.4, Label("burette", "cc", kind="tool"))
    off = dice.uniform(-1, 1, count) * 3**0.5 * 0.4
    values, thrown = [tool] * cylinders, [off] * cylinders
    for name, nu, u in zip(("pour scatter", "deck scatter"), degrees, (1.0, 0.6), strict=True):
        pool = Label(name, "cc", nu, "scatter", pool=u)
        wider = (nu / dice.chisquare(nu, count)) ** 0.5
        for n in range(cylinders):
            values[n] = values[n] + ufloat(0.1 * n, u, pool)
            thrown[n] = thrown[n] + 0.1 * n + u * wider * dice.standard_normal(count)
    for half in (1.0, 2.0, 4.0):
        held = np.all([abs(each) <= half for each in thrown], axis=0).mean()
        limits = [(value, -half, half) for value in values]
        assert kept_probability(limits) == pytest.approx(held, abs=0.02)
        assert most_that_can_be_kept(limits) >= held - 0.005
