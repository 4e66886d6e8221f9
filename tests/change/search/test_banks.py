"""Plans of several banks against every combination, bank by bank, as whole engines.

Written apart from the library: volumes in cm and cc from the numbers of the parts, one engine for
each combination, a loop over all of them.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, replace
from unittest import mock

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from enginemath.change.combination import combination_of
from enginemath.change.job import Job, job_for
from enginemath.change.price_list import (
    BankOption,
    CrankOption,
    Cut,
    GasketOption,
    HeadCut,
    Heights,
    Minimums,
    Options,
    PistonOption,
    RodOption,
    Target,
)
from enginemath.change.search import try_all, try_banks
from enginemath.change.search.result import SearchResult
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston
from enginemath.engine.stack import mean_ratio
from enginemath.units import Quantity, nominal
from tests.change.engines import cc, mm

TOUCH = 1e-9
prices = st.integers(0, 3).map(lambda tens: 10 * tens)


@dataclass(frozen=True)
class Case:
    engine: Engine
    options: Options
    bores: tuple[float, ...]
    chambers: tuple[float, ...]
    decks: tuple[float, ...]
    dishes: tuple[float, ...]
    names: tuple[str, ...]


@st.composite
def cases(draw: st.DrawFn, most_banks: int = 3) -> Case:
    """An engine of two or three banks in which no two cylinders are alike."""
    names = ("left", "right", "middle")[: draw(st.integers(2, most_banks))]
    banks = names * draw(st.integers(1, 2))
    bore = draw(st.floats(80, 100))
    bores = tuple(bore + draw(st.floats(0, 0.1)) for _ in banks)
    chambers = tuple(draw(st.floats(44, 48)) for _ in banks)
    base = {name: draw(st.floats(0.4, 0.9)) for name in names}
    decks = tuple(base[name] + draw(st.floats(0, 0.05)) for name in banks)
    dishes = tuple(draw(st.floats(4, 5)) for _ in banks)
    cylinders = tuple(Cylinder(mm(b), mm(86), mm(140)) for b in bores)
    pistons = tuple(Piston(dish=cc(dish)) for dish in dishes)
    engine = Engine(
        "drawn",
        cylinders[0],
        tuple(Chamber(cc(volume)) for volume in chambers),
        Gasket(mm(103), mm(1.2)),
        tuple(Deck(mm(deck)) for deck in decks),
        pistons[0],
        cylinders=cylinders,
        pistons=pistons,
        banks=banks,
    )
    low = nominal(mean_ratio(engine)) + draw(st.floats(-0.5, 0.5))
    high = low + draw(st.floats(0.2, 1.0))
    gaskets = [
        GasketOption(f"g{n}", Gasket(mm(104), mm(0.7 + 0.2 * n)), draw(prices) + n)
        for n in range(draw(st.integers(1, 2)))
    ]
    bored = PistonOption("p", Piston(dish=cc(3)), mm(draw(st.floats(0, 0.3))), 55, mm(0.5))
    some = draw(st.booleans())
    heights = Heights(block=mm(230))
    options = Options(
        Target(low, high, low + draw(st.floats(0, 1)) * (high - low), (mm(0.7), mm(1.9))),
        mm(0),
        tuple(gaskets),
        (PistonOption(), *([bored] if some else [])),
        Cut(
            mm(0.1),
            mm(0.4),
            draw(prices),
            *draw(st.sampled_from([(mm(0), False), (mm(0.2), True)])),
        ),
        HeadCut(mm(0.15), mm(0.6), draw(prices), open_area=Quantity(45, "cm**2")),
        rods=(RodOption(), *([RodOption("long", mm(140.2), 31)] if draw(st.booleans()) else [])),
        cranks=(CrankOption(), *([] if some else [CrankOption("long", mm(86.3), 77)])),
        minimums=Minimums(block=mm(229.75), source="book") if some else Minimums(),
        banks=(BankOption(names[0], heights, head_clean_up=mm(0.3)),) if some else (),
        heights=Heights(block=mm(230.1)) if some else Heights(),
    )
    return Case(engine, options, bores, chambers, decks, dishes, banks)


@dataclass(frozen=True)
class Plan:
    """One combination that keeps to every limit."""

    names: tuple[str, ...]
    cuts: tuple[float, ...]
    price: float
    distance: float
    metal: float

    @property
    def rank(self) -> tuple[float, float, float]:
        return self.price, round(self.distance, 9), round(self.metal, 9)


def depths(case: Case, face: str, bank: str) -> list[float]:
    """What may be cut: by the steps, the clean-up and the maker's minimum (230 or 230.1 mm)."""
    options = case.options
    if face == "deck":
        cut = options.deck_cut
        every = [0.1 * n for n in range(5)]
        least, needed = cut.clean_up.m_as("mm"), cut.needed
        room = math.inf
        if options.minimums.block is not None:
            own = any(known.name == bank for known in options.banks)
            room = (230.0 if own else 230.1) - 229.75
    else:
        every = [0.15 * n for n in range(5)]
        own = any(known.name == bank for known in options.banks)
        least, needed, room = (0.3, True, math.inf) if own else (0.0, False, math.inf)
    return [
        depth
        for depth in every
        if depth <= room + TOUCH and (depth >= least - TOUCH if depth else not needed)
    ]


def brute_force(case: Case) -> Iterator[Plan | None]:
    """Every combination; None where it breaks a limit."""
    options, target = case.options, case.options.target
    banks = tuple(dict.fromkeys(case.names))
    cuts = [depths(case, face, bank) for bank in banks for face in ("deck", "head")]
    parts = itertools.product(options.gaskets, options.pistons, options.rods, options.cranks)
    for (gasket, piston, rods, crank), chosen in itertools.product(parts, itertools.product(*cuts)):
        thickness = gasket.gasket.compressed_thickness.m_as("mm")
        stroke = crank.stroke.m_as("mm") if crank.stroke is not None else 86.0
        rise = piston.rise.m_as("mm") + (stroke - 86.0) / 2
        rise += rods.length.m_as("mm") - 140.0 if rods.length is not None else 0.0
        ratios, fits = [], True
        for bore, chamber, deck, dish, name in zip(
            case.bores, case.chambers, case.decks, case.dishes, case.names, strict=True
        ):
            at = 2 * banks.index(name)
            bored = bore + (0.5 if piston.piston else 0.0)
            left = deck - rise - chosen[at]
            area = math.pi / 4 * (bored / 10) ** 2
            clearance = chamber - 45 * chosen[at + 1] / 10
            clearance += math.pi / 4 * 10.4**2 * thickness / 10 + area * left / 10
            clearance += 3.0 if piston.piston else dish
            ratio = 1 + area * stroke / 10 / clearance
            ratios.append(ratio)
            fits &= target.low - TOUCH <= ratio <= target.high + TOUCH
            fits &= left >= -TOUCH and 0.7 - TOUCH <= left + thickness <= 1.9 + TOUCH
        price = gasket.price + piston.price + rods.price + crank.price
        price += sum(options.deck_cut.price for cut in chosen[::2] if cut)
        price += sum(options.head_cut.price for cut in chosen[1::2] if cut)
        distance = abs(sum(ratios) / len(ratios) - target.aim)
        names = (gasket.name, piston.name, rods.name, crank.name)
        yield Plan(names, chosen, price, distance, sum(chosen)) if fits else None


def found_by(job: Job, top: int, few: int) -> SearchResult:
    """By the plain loop, or by arrays in small pieces."""
    with ExitStack() as stack:
        stack.enter_context(mock.patch.object(try_all, "FEW_PAIRS", few))
        stack.enter_context(mock.patch.multiple(try_banks, _WORTH=40, _PAIRS=97, _MANY=4))
        return try_all.search(job, top)


def as_plan(job: Job, numbers: tuple[int, ...]) -> tuple[tuple[str, ...], tuple[float, ...], float]:
    choice = combination_of(job.options, numbers)
    names = (choice.gasket.name, choice.piston.name, choice.rods.name, choice.crank.name)
    cuts = itertools.chain(*zip(choice.deck_cuts, choice.head_cuts, strict=True))
    return names, tuple(cut.m_as("mm") for cut in cuts), choice.price


@pytest.mark.parametrize("few", [10**9, 0], ids=["loop", "arrays"])
@given(case=cases())
@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
def test_counts_ranks_and_front_are_those_of_brute_force(few: int, case: Case) -> None:
    job = job_for(case.engine, case.options)
    assume(job.combinations < 8_000)
    every = list(brute_force(case))
    wanted = sorted((plan for plan in every if plan), key=lambda plan: plan.rank)
    found = found_by(job, 25, few)
    assert found.tried == job.combinations == len(every)
    assert found.feasible == len(wanted)
    by_plan = {(plan.names, tuple(round(c, 6) for c in plan.cuts)): plan for plan in wanted}

    def plan_of(numbers: tuple[int, ...]) -> Plan:
        names, cuts, price = as_plan(job, numbers)
        plan = by_plan[names, tuple(round(cut, 6) for cut in cuts)]
        assert price == pytest.approx(plan.price)
        return plan

    ranks = [plan_of(numbers).rank for numbers in found.best]
    assert ranks == [pytest.approx(plan.rank, abs=3e-9) for plan in wanted[:25]]
    front: list[tuple[float, float, float]] = []
    for rank in sorted({plan.rank for plan in wanted}):
        if not any(known[1] <= rank[1] and known[2] <= rank[2] for known in front):
            front.append(rank)
    assert found.front is not None
    if not wanted:
        assert len(found.nearest_misses) == min(25, len(every)) or not found.nearest_misses
        return
    assert [plan_of(numbers).rank for numbers in found.front.numbers] == [
        pytest.approx(rank, abs=3e-9) for rank in front
    ]


@given(case=cases(most_banks=2))
@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
def test_the_nearest_misses_are_the_same_both_ways(case: Case) -> None:
    far = Target(30.0, 30.5, 30.2, case.options.target.squish)
    job = job_for(case.engine, replace(case.options, target=far))
    loop, arrays = (found_by(job, 7, few) for few in (10**9, 0))
    assert loop.feasible == arrays.feasible == 0
    assert loop.nearest_misses == arrays.nearest_misses
    assert len(loop.nearest_misses) == 7
