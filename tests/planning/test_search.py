"""The search over arrays against whole engines tried one by one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from enginemath.buildsheet import EXAMPLE, parse
from enginemath.parts import Engine, Piston
from enginemath.planning import band, sweep
from enginemath.planning.combination import Combination, combination_at
from enginemath.planning.grid import grid_of
from enginemath.planning.options import Cut, HeadCut, Options, PistonOption, Target
from enginemath.planning.search import search
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


@contextmanager
def tiles_of(size: int) -> Iterator[None]:
    """Tiny tiles, so that a grid that can be tried by hand takes many of them."""
    with mock.patch.object(sweep, "TILE", size), mock.patch.object(band, "TILE", size):
        yield


sizes = st.sampled_from([5, 64, sweep.TILE])


@given(drawn_plans(), sizes)
@quick
def test_finds_what_trying_by_hand_finds(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    by_hand = plans(engine, options)
    with tiles_of(size):
        found = search(grid_of(engine, options), options, top=options.combinations)
    assert found.complete
    assert found.tried == options.combinations == len(combinations(engine, options))
    assert found.feasible == len(by_hand) == len(found.best)
    for place, expected in zip(found.best, by_hand, strict=True):
        assert same(combination_at(options, place), expected)


@given(drawn_plans(), sizes)
@quick
def test_the_first_few_are_the_first_few_of_all(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    grid = grid_of(engine, options)
    everything = search(grid, options, top=options.combinations)
    with tiles_of(size):
        assert search(grid, options, top=3).best == everything.best[:3]


@given(drawn_plans(), sizes)
@quick
def test_the_front_is_what_nothing_beats(case: tuple[Engine, Options], size: int) -> None:
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
    with tiles_of(size):
        found = search(grid_of(engine, options), options, top=1)
    by_hand = combinations(engine, options)
    front = [measures(by_hand[place]) for place in found.front or []]
    assert set(front) == wanted
    assert len(front) == len(wanted)
    assert front == sorted(front)


@given(drawn_plans(), sizes)
@quick
def test_the_nearest_misses_are_the_nearest(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    with tiles_of(size):
        found = search(grid_of(engine, options), options, top=3)
    if found.feasible:
        assert found.nearest_misses == []
        return
    by_hand = [each for each in combinations(engine, options) if each.engine is not None]
    wanted = sorted(
        by_hand, key=lambda each: (round(each.miss(options), 9), each.price, round(each.metal, 9))
    )
    assert len(found.nearest_misses) == min(3, len(by_hand))
    for place, expected in zip(found.nearest_misses, wanted, strict=False):
        assert same(combination_at(options, place), expected)


class TestWhatCannotBeAssembled:
    """Wide limits, so that only the parts themselves stand in the way."""

    @pytest.fixture
    def engine(self) -> Engine:
        return parse(EXAMPLE.replace('dish = "6.0 cc"', 'dish = "80 cc"')).engine

    def test_pistons_that_would_meet_the_head(self, engine: Engine) -> None:
        options = Options(
            Target(1.5, 40, 8), read("-5 mm"), deck_cut=Cut(read("0.25 mm"), read("4 mm"), 10)
        )
        found = search(grid_of(engine, options), options, top=100)
        assert found.feasible == len(plans(engine, options)) == 6  # up to 1.25 of 1.45 mm

    def test_heads_cut_away(self, engine: Engine) -> None:
        head_cut = HeadCut(read("1 mm"), read("15 mm"), 10, open_area=read("41 cm**2"))
        options = Options(Target(1.5, 40, 8), head_cut=head_cut)
        found = search(grid_of(engine, options), options, top=100)
        assert found.feasible == len(plans(engine, options)) == 12  # up to 11 of 11.6 mm
        assert found.tried == 16


def test_the_same_price_and_ratio_by_less_metal_comes_first() -> None:
    engine = parse(EXAMPLE).engine
    options = Options(
        Target(9.9, 10.5, 10.3),
        pistons=(PistonOption(), PistonOption("taller", engine.piston, read("0.1 mm"))),
        deck_cut=Cut(read("0.1 mm"), read("0.2 mm"), 10),
    )
    found = search(grid_of(engine, options), options, top=10)
    ranked = [combination_at(options, place) for place in found.best]
    cut_down = [(each.piston.name, round(each.deck_cut.m_as("mm"), 3)) for each in ranked]
    assert cut_down.index(("taller", 0.1)) == cut_down.index(("as measured", 0.2)) - 1


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("size", [16, 200, 2000])
def test_the_front_of_a_larger_grid(size: int, seed: int) -> None:
    """Against every combination's measures, held against each other price by price."""
    engine = parse(EXAMPLE).engine
    draw = np.random.default_rng(seed)
    pistons = (
        PistonOption(
            f"p{number}",
            Piston(dish=Quantity(draw.uniform(2, 9), "cc")),
            price=int(draw.integers(5, 40)),
        )
        for number in range(6)
    )
    options = Options(
        Target(9.6, 10.6, 10.25),
        pistons=(PistonOption(), *pistons),
        deck_cut=Cut(read("0.02 mm"), read("0.3 mm"), 14),
        head_cut=HeadCut(read("0.02 mm"), read("0.4 mm"), 9, open_area=read("41 cm**2")),
    )
    grid = grid_of(engine, options)
    everything = grid.rows(*(slice(None),) * 3).times(grid.head_cuts)
    ratio = grid.mean_ratio(everything.clearance)
    fits = (ratio >= 9.6 - 1e-9) & (ratio <= 10.6 + 1e-9) & (everything.deck >= -0.35 - 1e-9)
    measures = {
        (price, int(distance / 0.01 + 1e-9), round(metal, 9))
        for price, distance, metal in zip(
            everything.price[fits].tolist(),
            np.abs(ratio[fits] - 10.25).tolist(),
            everything.metal[fits].tolist(),
            strict=True,
        )
    }
    best: dict[tuple[float, int], float] = {}
    for price, steps, metal in sorted(measures):
        least = min(
            (m for (p, s), m in best.items() if p <= price and s <= steps), default=float("inf")
        )
        if metal < least - 1e-9:
            best[price, steps] = metal
    with tiles_of(size):
        front = search(grid, options, top=1).front or []
    found = {
        (
            everything.price[place],
            int(abs(ratio[place] - 10.25) / 0.01 + 1e-9),
            round(float(everything.metal[place]), 9),
        )
        for place in front
    }
    assert found == {(*key, metal) for key, metal in best.items()}
    assert len(front) > 3


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
        assert options.combinations > 3 * sweep.TILE
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
