"""Scatters of one pool are one estimate, whoever asks: interval, budget, Monte Carlo, a limit."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from uncertainties import ufloat

from enginemath.bench.how_sure.distributions import coverage_factor
from enginemath.bench.how_sure.error_budget import budget
from enginemath.bench.how_sure.interval import degrees_of_freedom, sources_of
from enginemath.bench.how_sure.labels import Label, by_estimate
from enginemath.bench.how_sure.ratio_of_readings import RatioModel
from enginemath.bench.how_sure.simulated import simulated
from enginemath.change.all_within import miss
from enginemath.engine.parts import Chamber
from enginemath.engine.stack import mean, stacks
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, nominal

POOL = Label("pour scatter", "cc", 3, "scatter", pool=0.2)


def test_all_who_count_degrees_of_freedom_count_alike() -> None:
    chamber, dish = ufloat(47.5, 0.2, POOL), ufloat(6.0, 0.1, POOL)
    deck = ufloat(0.4, 0.1, Label("deck scatter", "mm", 2, "scatter"))
    known = ufloat(0.0, 0.1, Label("gasket"))
    assert [len(each) for each in by_estimate([chamber, deck, dish, known])] == [2, 1, 1]
    total = chamber - dish + deck + known
    by_hand = 0.07**2 / (0.05**2 / 3 + 0.01**2 / 2)  # u⁴/Σ uᵢ⁴/νᵢ of u² 0.05, 0.01 and 0.01
    assert degrees_of_freedom(sources_of(total)) == pytest.approx(by_hand)
    assert budget(total).effective_degrees_of_freedom == pytest.approx(by_hand)
    end = coverage_factor(0.95, by_hand) * 0.07**0.5
    beyond, _ = miss(total, nominal(total) - end, nominal(total) + end)
    assert beyond == pytest.approx(0.05)


@pytest.mark.parametrize("without_numpy", [False, True])
def test_draws_of_one_pool_are_too_narrow_together(
    monkeypatch: pytest.MonkeyPatch, without_numpy: bool
) -> None:
    """Four chambers poured once, scatter known with three degrees: the mean is Student's t."""
    if without_numpy:
        monkeypatch.setitem(__import__("sys").modules, "numpy", None)
        monkeypatch.setattr("enginemath.bench.how_sure.simulated.PLAIN_DRAWS", 8_000)
    engine = parse(EXAMPLE).engine
    poured = [Chamber(Quantity(ufloat(47.5, 0.05, POOL), "cc")) for _ in range(4)]
    engine = replace(engine, chambers=tuple(poured))
    low, high = simulated(RatioModel(engine)).interval_95
    ratio = mean([stack.ratio for stack in stacks(engine)])
    u = math.hypot(*(slope * r.std_dev for r, slope in ratio.derivatives.items()))
    assert (high - low) / 2 == pytest.approx(
        coverage_factor(0.95, 3) * u, rel=0.08 if without_numpy else 0.02
    )
