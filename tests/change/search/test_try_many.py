"""The search over arrays against whole engines tried one by one."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any
from unittest import mock

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from enginemath.change.combination import Combination, after, combination_of
from enginemath.change.job import Job, job_for, job_of
from enginemath.change.limits_kept import keeps_all
from enginemath.change.price_list import Cut, HeadCut, Options, PistonOption, Target
from enginemath.change.price_list_file import parse_options
from enginemath.change.search import band, result, sweep
from enginemath.change.search import front as front_module
from enginemath.change.search.arrays import arrays_of
from enginemath.change.search.grid import grids_of
from enginemath.change.search.result import Numbers
from enginemath.change.search.try_many import search_many
from enginemath.engine.parts import Engine, Piston
from enginemath.engine.stack import mean, stacks
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, nominal, read
from tests.change.eight import OPTIONS, SHEET
from tests.change.search.by_hand import ByHand, combinations, plans
from tests.change.search.drawn import plans as drawn_plans

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
        found = search_many(job_for(engine, options), top=options.combinations)
    assert found.complete
    assert found.tried == options.combinations == len(combinations(engine, options))
    assert found.feasible == len(by_hand) == len(found.best)
    for numbers, expected in zip(found.best, by_hand, strict=True):
        assert same(combination_of(options, numbers), expected)


@given(drawn_plans(), sizes)
@quick
def test_the_first_few_are_the_first_few_of_all(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    job = job_for(engine, options)
    everything = search_many(job, top=options.combinations)
    with tiles_of(size):
        assert search_many(job, top=3).best == everything.best[:3]


def unbeaten(measures: Iterable[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """Every one held against every other."""
    different = set(measures)
    return sorted(
        mine
        for mine in different
        if not any(
            other != mine and all(a <= b for a, b in zip(other, mine, strict=True))
            for other in different
        )
    )


@given(drawn_plans(), sizes)
@settings(quick, max_examples=60)
def test_the_front_is_what_nothing_beats(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    aim = options.target.aim
    wanted = unbeaten(plan.rank(aim) for plan in plans(engine, options))
    with tiles_of(size):
        found = search_many(job_for(engine, options), top=1)
    by_hand = combinations(engine, options)
    front = [by_hand[_place(options, each)].rank(aim) for each in found.front.numbers]
    assert len(front) == len(wanted) == found.front.count
    assert found.front.step is None
    for plan, expected in zip(front, wanted, strict=True):
        assert plan == pytest.approx(expected, abs=2e-9)


def _place(options: Options, numbers: Numbers) -> int:
    return int(np.ravel_multi_index(numbers, options.shape))


@given(drawn_plans(), sizes)
@quick
def test_the_nearest_misses_are_the_nearest(case: tuple[Engine, Options], size: int) -> None:
    engine, options = case
    with tiles_of(size):
        found = search_many(job_for(engine, options), top=3)
    if found.feasible:
        assert found.nearest_misses == []
        return
    by_hand = [each for each in combinations(engine, options) if each.engine is not None]
    wanted = sorted(
        by_hand, key=lambda each: (round(each.miss(options), 9), each.price, round(each.metal, 9))
    )
    assert len(found.nearest_misses) == min(3, len(by_hand))
    for numbers, expected in zip(found.nearest_misses, wanted, strict=False):
        assert same(combination_of(options, numbers), expected)


class TestWhatCannotBeAssembled:
    """Wide limits, so that only the parts themselves stand in the way."""

    @pytest.fixture
    def engine(self) -> Engine:
        return parse(EXAMPLE.replace('dish = "6.0 cc"', 'dish = "80 cc"')).engine

    def test_pistons_that_would_meet_the_head(self, engine: Engine) -> None:
        options = Options(
            Target(1.5, 40, 8), read("-5 mm"), deck_cut=Cut(read("0.25 mm"), read("4 mm"), 10)
        )
        found = search_many(job_for(engine, options), top=100)
        assert found.feasible == len(plans(engine, options)) == 6  # up to 1.25 of 1.45 mm

    def test_heads_cut_away(self, engine: Engine) -> None:
        head_cut = HeadCut(read("1 mm"), read("15 mm"), 10, open_area=read("41 cm**2"))
        options = Options(Target(1.5, 40, 8), head_cut=head_cut)
        found = search_many(job_for(engine, options), top=100)
        assert found.feasible == len(plans(engine, options)) == 12  # up to 11 of 11.6 mm
        assert found.tried == 16


def test_the_same_price_and_ratio_by_less_metal_comes_first() -> None:
    engine = parse(EXAMPLE).engine
    options = Options(
        Target(9.9, 10.5, 10.3),
        pistons=(PistonOption(), PistonOption("taller", engine.piston, read("0.1 mm"))),
        deck_cut=Cut(read("0.1 mm"), read("0.2 mm"), 10),
    )
    found = search_many(job_for(engine, options), top=10)
    ranked = [combination_of(options, numbers) for numbers in found.best]
    cut_down = [(each.piston.name, round(each.deck_cut.m_as("mm"), 3)) for each in ranked]
    assert cut_down.index(("taller", 0.1)) == cut_down.index(("as measured", 0.2)) - 1


def random_job(seed: int, deck_step: str, head_step: str) -> Job:
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
        deck_cut=Cut(read(deck_step), read("0.3 mm"), 14),
        head_cut=HeadCut(read(head_step), read("0.4 mm"), 9, open_area=read("41 cm**2")),
    )
    return job_for(parse(EXAMPLE).engine, options)


Measures = dict[Numbers, tuple[float, ...]]


def measures_of(job: Job) -> tuple[Measures, np.ndarray]:
    """Price, distance and metal of every combination, and which keep to the limits."""
    (bank,) = grids_of(job)
    grid = arrays_of(bank)
    every = [grid.deck.steps, grid.head.steps]
    shape = (*grid.parts_shape, *map(len, every))
    *parts, deck, head = (each.ravel() for each in np.indices(shape))
    row = grid.row(*parts, deck)
    ratio = grid.ratio_share(grid.volumes(*parts, deck), grid.head.added(head))
    fits = (ratio >= 9.6 - 1e-9) & (ratio <= 10.6 + 1e-9) & (row.lowest_deck >= -1e-9)
    metal = row.metal + grid.head.depth(head)
    columns = row.price + grid.head.paid(head), np.abs(ratio - 10.25).round(9), metal.round(9)
    measures = zip(*(column.tolist() for column in columns), strict=True)
    gasket, piston, _ = (part.tolist() for part in parts)
    numbers = zip(gasket, piston, deck.tolist(), head.tolist(), strict=True)
    return {(g, p, 0, 0, k, h): m for (g, p, k, h), m in zip(numbers, measures, strict=True)}, fits


def front_by_hand(measures: Iterable[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """In the order of their ranks, what comes later cannot beat what came before."""
    front: list[tuple[float, ...]] = []
    for mine in sorted(set(measures)):
        if not any(other[1] <= mine[1] and other[2] <= mine[2] for other in front):
            front.append(mine)
    return front


@lru_cache(1)
def known_front(seed: int, *steps: str) -> tuple[Job, Measures, list[Any]]:
    """A random grid, every combination's measures, and its front by hand."""
    job = random_job(seed, *steps)
    measures, fits = measures_of(job)
    return job, measures, front_by_hand(itertools.compress(measures.values(), fits))


@pytest.mark.parametrize("size", [16, 200, 2000])  # the first to vary, on one known front
@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("steps", [("0.02 mm", "0.02 mm"), ("0.003 mm", "0.0071 mm")])
def test_the_front_of_a_larger_grid(size: int, seed: int, steps: tuple[str, str]) -> None:
    """The whole front, against every combination's measures."""
    job, measures, wanted = known_front(seed, *steps)
    with tiles_of(size):
        front = search_many(job, top=1).front
    assert [measures[place] for place in front.numbers] == wanted
    assert len(wanted) == front.count > 3


@pytest.mark.parametrize("seed", range(4))
def test_a_front_with_too_many_prices_and_depths_for_its_table(seed: int) -> None:
    """Tiny tables and a tiny pool turn away less, and the front is the same."""
    job = random_job(seed, "0.003 mm", "0.0071 mm")
    whole = search_many(job, top=1).front
    small = {"_MOST_PRICES": 3, "_MOST_CELLS": 9, "_POOL": 40, "_STALE": 1, "_STRETCH": 2}
    small |= {"_MOST_MONEY": 1, "_FEWEST_DEPTHS": 5}
    with mock.patch.multiple(front_module, **small), tiles_of(300):
        assert search_many(job, top=1).front == whole


def test_a_front_that_is_too_long_is_listed_in_steps() -> None:
    """For every plan that is left out: one as cheap, with no more metal, one step farther off."""
    job = random_job(1, "0.003 mm", "0.0071 mm")
    measures, _ = measures_of(job)
    whole = search_many(job, top=1).front
    with mock.patch.object(result, "MOST_LISTED", 60):
        short = search_many(job, top=1).front
    assert short.count == whole.count == len(whole.numbers) > 60 >= len(short.numbers) > 10
    assert short.step in {0.01, 0.02, 0.04, 0.08}
    shown = [measures[place] for place in short.numbers]
    assert set(short.numbers) < set(whole.numbers)
    assert shown == sorted(shown)
    assert min(measures[place][1] for place in whole.numbers) in {plan[1] for plan in shown}
    for price, distance, metal in (measures[place] for place in whole.numbers):
        assert any(
            (other[0], other[1] <= distance + short.step, other[2] <= metal) == (price, True, True)
            for other in shown
        )


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
        found = search_many(job_for(engine, options), top=5)
        assert found.tried == ratio.size
        assert found.feasible == np.count_nonzero(fits)
        price = 140 * (deck[:, np.newaxis] > 0) + 90 * (head > 0)
        distance = np.abs(ratio - 10.2)
        order = np.lexsort(
            ((deck[:, np.newaxis] + head)[fits], np.round(distance[fits], 9), price[fits])
        )
        places = np.flatnonzero(fits)[order[:5]]
        cuts = [divmod(place, head_steps + 1) for place in places.tolist()]
        assert found.best == [(0, 0, 0, 0, *both) for both in cuts]


def test_a_finer_grid_tries_more(capsys: pytest.CaptureFixture[str]) -> None:
    engine = parse(EXAMPLE).engine

    def tried(step: Quantity) -> int:
        options = Options(Target(9, 10, 9.5), deck_cut=Cut(step, read("0.3 mm")))
        return search_many(job_for(engine, options), top=1).tried

    assert (tried(read("0.1 mm")), tried(read("0.05 mm")), tried(read("0.04 mm"))) == (4, 7, 8)
    assert capsys.readouterr().err == ""


def test_rods_cranks_and_overbores_are_tried_like_whole_engines() -> None:
    """One bank, all kinds of parts: each combination as an engine of its own, and the arrays."""
    one_bank = SHEET[: SHEET.index("[[bank]]")] + SHEET[SHEET.index("[cylinder]") :]
    text = OPTIONS[: OPTIONS.index("[[bank]]")] + OPTIONS[OPTIONS.index("[[gasket]]") :]
    coarser = re.sub(r'(\[head_cut\]\nstep = ")0\.004', r"\g<1>0.012", text)
    job = job_of(parse(one_bank), parse_options(coarser))
    assert [len(part) > 1 for part in (job.options.rods, job.options.cranks)] == [True, True]
    kept = []
    gaskets, pistons, rods, cranks = job.part_counts
    for numbers in itertools.product(
        range(gaskets),
        range(pistons),
        range(rods),
        range(cranks),
        job.banks[0].deck,
        job.banks[0].head,
    ):
        choice = combination_of(job.options, numbers)
        if keeps_all(job, choice):
            engine = after(job.engine, job.options, choice).engine
            distance = abs(mean([nominal(s.ratio) for s in stacks(engine)]) - 10.2)
            kept.append((choice.price, round(distance, 9), numbers))
    found = search_many(job, 30)
    assert found.tried == job.combinations
    assert found.feasible == len(kept) > 0
    best = [combination_of(job.options, numbers) for numbers in found.best]
    assert [choice.price for choice in best] == [price for price, *_ in sorted(kept)[:30]]
    assert best[0].numbers in {numbers for price, _, numbers in kept if price == best[0].price}
    assert {c.rods.name for c in best} | {c.crank.name for c in best} > {"as measured"}
