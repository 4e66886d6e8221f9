"""What a part must become for a wanted ratio: put back, it gives that ratio."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.engine.part_for_ratio import (
    chamber_for_ratio,
    clearance_for_ratio,
    crown_for_ratio,
    deck_clearance_for_ratio,
    dish_for_ratio,
    gasket_thickness_for_ratio,
)
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import stack_of
from enginemath.units import Quantity, Refused, nominal

ENGINE = Engine(
    name="Bench engine",
    cylinder=Cylinder("92.0 mm", "88.5 mm"),
    chambers=(Chamber("47.5 cc"), Chamber("47.0 cc")),
    gasket=Gasket("93.2 mm", "1.10 mm"),
    decks=(Deck("0.35 mm"), Deck("0.30 mm")),
    piston=Piston(dish="6.0 cc", reliefs="2.8 cc"),
    ring_land=RingLand("6.0 mm", "0.60 mm"),
)


def with_chamber(engine: Engine, chamber: Quantity) -> Engine:
    return replace(engine, chambers=(Chamber(chamber),) * engine.count)


def with_thickness(engine: Engine, thickness: Quantity) -> Engine:
    return replace(engine, gasket=Gasket(engine.gasket.bore, thickness))


def with_deck(engine: Engine, clearance: Quantity) -> Engine:
    return replace(engine, decks=(Deck(clearance),) * engine.count)


def with_crown(engine: Engine, crown: Quantity) -> Engine:
    return replace(engine, piston=Piston.with_crown(crown))


def with_dish(engine: Engine, dish: Quantity) -> Engine:
    return replace(engine, piston=Piston(dish=dish, reliefs=engine.piston.reliefs))


INVERSES = [
    (chamber_for_ratio, with_chamber, (5.0, 18.0)),
    (gasket_thickness_for_ratio, with_thickness, (6.5, 10.7)),
    (deck_clearance_for_ratio, with_deck, (6.0, 11.2)),
    (crown_for_ratio, with_crown, (5.0, 20.0)),
    (dish_for_ratio, with_dish, (5.0, 10.6)),
]


@pytest.mark.parametrize(
    ("wanted", "put_back", "reach"), INVERSES, ids=[each[0].__name__ for each in INVERSES]
)
@given(share=st.floats(0, 1), number=st.integers(0, 1))
def test_put_back_it_gives_the_ratio(
    wanted: Callable[..., Quantity],
    put_back: Callable[[Engine, Quantity], Engine],
    reach: tuple[float, float],
    share: float,
    number: int,
) -> None:
    ratio = reach[0] + share * (reach[1] - reach[0])
    changed = put_back(ENGINE, wanted(ENGINE, ratio, number))
    assert nominal(stack_of(changed, number).ratio) == pytest.approx(ratio, rel=1e-9)


@pytest.mark.parametrize("number", [0, 1])
def test_the_ratio_that_is_there_gives_the_parts_that_are_there(number: int) -> None:
    ratio = nominal(stack_of(ENGINE, number).ratio)
    there = {
        chamber_for_ratio: ENGINE.chambers[number].volume,
        gasket_thickness_for_ratio: ENGINE.gasket.compressed_thickness,
        deck_clearance_for_ratio: ENGINE.decks[number].clearance,
        crown_for_ratio: ENGINE.piston.crown,
        dish_for_ratio: ENGINE.piston.dish,
    }
    for wanted, part in there.items():
        found = wanted(ENGINE, ratio, number)
        assert found.m_as(part.units) == pytest.approx(part.m), wanted.__name__


def test_clearance() -> None:
    stack = stack_of(ENGINE)
    assert clearance_for_ratio(stack, 10).m_as("cc") == pytest.approx(
        math.pi / 4 * 92**2 * 88.5 / 1000 / 9
    )


def test_a_dome_where_a_dish_is_not_enough() -> None:
    assert crown_for_ratio(ENGINE, 12.0).m_as("cc") < 0
    with pytest.raises(Refused, match=r"a flat crown is not enough; it takes a dome of 7\.\d\d cc"):
        dish_for_ratio(ENGINE, 12.0)


def test_uncertainty_of_the_other_parts_is_carried() -> None:
    unsure = replace(ENGINE, decks=(Deck("0.35 ± 0.02 mm"), Deck("0.30 mm")))
    disc = math.pi / 4 * 92**2 * 0.02 / 1000
    assert chamber_for_ratio(unsure, 10).m.std_dev == pytest.approx(disc)


RAISED = replace(ENGINE, decks=(Deck("-1.0 mm"), Deck("-1.0 mm")))
POURED = replace(ENGINE, gasket=Gasket(poured="7.5 cc"))

# The engine, what is wanted, the ratio, and what is said.
OUT_OF_REACH: list[tuple[Engine, Callable[..., object], float, str]] = [
    (ENGINE, chamber_for_ratio, 35, "no chamber is small enough; the other parts alone give 31.7"),
    (ENGINE, chamber_for_ratio, 1.1, "it takes a chamber volume of 5863.99 cc, outside what an"),
    (ENGINE, gasket_thickness_for_ratio, 12, "no gasket is thin enough; even with none at all"),
    (ENGINE, gasket_thickness_for_ratio, 10.9, "it takes a gasket thickness of 0.041 mm, outside"),
    (ENGINE, gasket_thickness_for_ratio, 3, "it takes a gasket thickness of 34"),
    (POURED, gasket_thickness_for_ratio, 9.5, "gasket bore: not known"),
    (RAISED, gasket_thickness_for_ratio, 12.5, "above the deck under a gasket of 0.145"),
    (ENGINE, deck_clearance_for_ratio, 12.5, "above the deck under a gasket of 1.100 mm: it would"),
    (ENGINE, deck_clearance_for_ratio, 3, "it takes a deck clearance of 34"),
    (ENGINE, crown_for_ratio, 1.2, "it takes a dish of 28"),
    (ENGINE, dish_for_ratio, 12, "it takes a dome of 7"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("engine", "wanted", "ratio", "words"),
    OUT_OF_REACH,
    ids=[f"{each[1].__name__} {each[2]}" for each in OUT_OF_REACH],
)
def test_beyond_reach_it_says_why(
    engine: Engine, wanted: Callable[..., object], ratio: float, words: str
) -> None:
    with pytest.raises(Refused) as refusal:
        wanted(engine, ratio)
    said = str(refusal.value)
    assert words in said
    assert "did you mean" not in said
    assert said.splitlines() == [said]


@pytest.mark.parametrize("ratio", [1.0, 0.5, -9.5, 41, math.nan, math.inf])
@pytest.mark.parametrize("wanted", [each[0] for each in INVERSES])
def test_what_is_no_ratio(wanted: Callable[..., object], ratio: float) -> None:
    with pytest.raises(Refused, match="a compression ratio lies above 1, and not above 40"):
        wanted(ENGINE, ratio)
