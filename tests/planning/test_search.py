"""The search over arrays against whole engines tried one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from enginemath.buildsheet import EXAMPLE, parse
from enginemath.parts import Engine
from enginemath.planning.combination import Combination, combination_at
from enginemath.planning.grid import grid_of
from enginemath.planning.options import Cut, HeadCut, Options, Target
from enginemath.planning.search import search
from enginemath.planning.sweep import TILE
from enginemath.units import Quantity, read
from tests.planning.by_hand import ByHand, combinations, plans
from tests.planning.drawn import plans as drawn_plans

quick = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def same(found: Combination, by_hand: ByHand) -> bool:
    return (found.gasket, found.piston) == (by_hand.gasket, by_hand.piston) and (
        found.deck_cut.m_as("mm"),
        found.head_cut.m_as("mm"),
        found.price,
    ) == pytest.approx((by_hand.deck_cut, by_hand.head_cut, by_hand.price))


@given(drawn_plans())
@quick
def test_finds_what_trying_by_hand_finds(case: tuple[Engine, Options]) -> None:
    engine, options = case
    by_hand = plans(engine, options)
    found = search(grid_of(engine, options), options, top=options.combinations)
    assert found.complete
    assert found.tried == options.combinations == len(combinations(engine, options))
    assert found.feasible == len(by_hand) == len(found.best)
    for place, expected in zip(found.best, by_hand, strict=True):
        assert same(combination_at(options, place), expected)


@given(drawn_plans())
@quick
def test_the_first_few_are_the_first_few_of_all(case: tuple[Engine, Options]) -> None:
    engine, options = case
    grid = grid_of(engine, options)
    everything = search(grid, options, top=options.combinations)
    assert search(grid, options, top=3).best == everything.best[:3]


@given(drawn_plans())
@quick
def test_the_front_is_what_nothing_beats(case: tuple[Engine, Options]) -> None:
    """Distances count in whole hundredths of ratio; so does this front by hand."""
    engine, options = case
    aim = options.target.aim
    step = max(0.01, (max(aim - options.target.low, options.target.high - aim)) / 100)
    feasible = plans(engine, options)

    def measures(plan: ByHand) -> tuple[float, int, float]:
        return plan.price, int(plan.distance(aim) / step + 1e-9), round(plan.metal, 9)

    wanted = {
        measures(plan)
        for plan in feasible
        if not any(
            measures(other) != measures(plan)
            and all(a <= b for a, b in zip(measures(other), measures(plan), strict=True))
            for other in feasible
        )
    }
    found = search(grid_of(engine, options), options, top=1)
    by_hand = combinations(engine, options)
    front = [measures(by_hand[place]) for place in found.front or []]
    assert set(front) == wanted
    assert len(front) == len(wanted)
    assert front == sorted(front)


@given(drawn_plans())
@quick
def test_where_nothing_fits_the_misses_break_something(case: tuple[Engine, Options]) -> None:
    engine, options = case
    found = search(grid_of(engine, options), options, top=2)
    by_hand = combinations(engine, options)
    if found.feasible:
        assert found.nearest_misses == []
    else:
        assert found.nearest_misses
        for place in found.nearest_misses:
            assert by_hand[place].engine is not None
            assert not by_hand[place].keeps_to(options)


class TestManyBlocks:
    """A grid of many tiles against one plain broadcast expression."""

    @pytest.fixture
    def engine(self) -> Engine:
        return parse(EXAMPLE).engine

    @pytest.mark.parametrize(("deck_steps", "head_steps"), [(700, 700), (0, 400_000), (4_000, 60)])
    def test_counts_and_ranks_alike(self, engine: Engine, deck_steps: int, head_steps: int) -> None:
        deck_cut = Cut(read("0.3 mm") / max(1, deck_steps), read("0.3 mm"), 140)
        head_cut = HeadCut(
            read("0.5 mm") / head_steps, read("0.5 mm"), 90, open_area=read("41 cm**2")
        )
        options = Options(
            Target(10.0, 10.5, 10.2),
            deck_cut=deck_cut if deck_steps else None,
            head_cut=head_cut,
        )
        assert options.combinations > 3 * TILE
        deck = np.arange(deck_steps + 1) * deck_cut.step.m_as("mm")
        head = np.arange(head_steps + 1) * head_cut.step.m_as("mm")
        area = np.pi / 4 * 9.2**2
        swept = area * 8.85
        clearance = (
            (24.40 + 23.10)
            + np.pi / 4 * 9.32**2 * 0.110
            + area * (0.035 - deck[:, np.newaxis] / 10)
            + 8.8
            - 41 * head / 10
        )
        ratio = (swept + clearance) / clearance
        fits = (ratio >= 10.0) & (ratio <= 10.5) & (deck[:, np.newaxis] <= 0.35 + 1e-9)
        found = search(grid_of(engine, options), options, top=5)
        assert found.tried == ratio.size
        assert found.feasible == np.count_nonzero(fits)
        price = 140 * (deck[:, np.newaxis] > 0) + 90 * (head > 0)
        distance = np.abs(ratio - 10.2)
        order = np.lexsort(
            ((deck[:, np.newaxis] + head)[fits], np.round(distance[fits], 9), price[fits])
        )
        assert found.best == np.flatnonzero(fits)[order[:5]].tolist()


def test_a_finer_grid_tries_more(capsys: pytest.CaptureFixture[str]) -> None:
    engine = parse(EXAMPLE).engine

    def tried(step: Quantity) -> int:
        options = Options(Target(9, 10, 9.5), deck_cut=Cut(step, read("0.3 mm")))
        return search(grid_of(engine, options), options, top=1).tried

    assert (tried(read("0.1 mm")), tried(read("0.05 mm")), tried(read("0.04 mm"))) == (4, 7, 8)
    assert capsys.readouterr().err == ""
