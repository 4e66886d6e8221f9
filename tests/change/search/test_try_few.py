"""The plain loop over a short price list against the search over arrays."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from unittest import mock

import pytest
from hypothesis import given, settings

from enginemath.change.job import job_for
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list import Cut, HeadCut, Options, PistonOption, Target
from enginemath.change.price_list_file import read_options
from enginemath.change.search import result, try_all
from enginemath.change.search.try_few import search_few
from enginemath.change.search.try_many import search_many
from enginemath.engine.parts import Engine, Piston
from enginemath.sheets import EXAMPLE, Sheet, parse, read_sheet, sheet_of
from enginemath.sheets.kit_data import path
from enginemath.units import Quantity, Refused, read
from tests.change.search.drawn import plans as drawn_plans


def both_ways(sheet: Sheet, options: Options, top: int) -> tuple[dict[str, Any], dict[str, Any]]:
    """The report of a plan, by the loop and by the arrays."""
    loop = plan_report(sheet, options, top)
    with mock.patch.object(try_all, "FEW", 0):
        return loop, plan_report(sheet, options, top)


def same(loop: Any, arrays: Any) -> bool:
    """Texts, counts and order alike; numbers to 1e-9."""
    if isinstance(loop, dict):
        return loop.keys() == arrays.keys() and all(same(loop[k], arrays[k]) for k in loop)
    if isinstance(loop, list):
        return len(loop) == len(arrays) and all(map(same, loop, arrays))
    return loop == arrays or loop == pytest.approx(arrays, abs=1e-9)


@given(drawn_plans())
@settings(max_examples=60, deadline=None)
def test_drawn_price_lists_give_the_same_report(case: tuple[Engine, Options]) -> None:
    engine, options = case
    assert same(*both_ways(sheet_of(engine), options, options.combinations))


@pytest.mark.parametrize("name", ["heron-four", "heron-eight"])
@pytest.mark.parametrize("band", [None, (8.4, 8.8)], ids=["as wanted", "out of reach"])
def test_the_kits_own_price_lists(name: str, band: tuple[float, float] | None) -> None:
    sheet = read_sheet(path(f"{name}.toml"))
    options = read_options(path(f"{name}-options.toml"))
    if band:
        options = replace(options, target=replace(options.target, low=band[0], high=band[1]))
    loop, arrays = both_ways(sheet, options, 500)
    assert loop["plans"] or loop["nearest_misses"]
    assert same(loop, arrays)


def fine_cuts() -> Options:
    """A front of many plans."""
    return Options(
        Target(9.6, 10.6, 10.25),
        pistons=(
            PistonOption(),
            *(PistonOption(f"p{n}", Piston(dish=f"{n} cc"), price=7 * n % 40) for n in range(2, 9)),
        ),
        deck_cut=Cut(read("0.01 mm"), read("0.3 mm"), 14),
        head_cut=HeadCut(read("0.012 mm"), read("0.4 mm"), 9, open_area=Quantity(41, "cm**2")),
    )


@pytest.mark.parametrize("most", [1_000, 7])
def test_a_long_front_is_the_same_and_shortened_alike(most: int) -> None:
    engine, options = parse(EXAMPLE).engine, fine_cuts()
    assert 5_000 < options.combinations <= try_all.FEW
    job = job_for(engine, options)
    with mock.patch.object(result, "MOST_LISTED", most):
        few, many = search_few(job, 50), search_many(job, 50)
    assert few == many
    assert few.front is not None
    assert few.front.count > 10
    assert (few.front.step is None) == (most > 7)


def test_too_many_without_numpy_is_said_in_a_sentence() -> None:
    options = replace(fine_cuts(), deck_cut=Cut(read("0.001 mm"), read("0.3 mm"), 14))
    with (
        mock.patch.dict("sys.modules", {"enginemath.change.search.try_many": None}),
        pytest.raises(Refused, match=r"^\d+ combinations are too many here: more than 10000 are"),
    ):
        try_all.search(job_for(parse(EXAMPLE).engine, options), 3)
