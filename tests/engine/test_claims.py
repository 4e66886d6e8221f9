"""Measured against claimed: each part in its unit and in points of ratio."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.engine.claims import against_claims, left_over
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston
from enginemath.engine.stack import mean_ratio, stack_of
from enginemath.units import Refused, nominal, signed

ENGINE = Engine(
    name="Bench engine",
    cylinder=Cylinder("92.0 mm", "88.5 mm"),
    chambers=(Chamber("47.2 cc"), Chamber("47.8 cc")),
    gasket=Gasket("93.2 mm", "1.10 mm"),
    decks=(Deck("0.30 mm"), Deck("0.40 mm")),
    piston=Piston(dish="6.0 cc", reliefs="2.8 cc"),
)
MEASURED = nominal(mean_ratio(ENGINE))

# The claim, and the engine in which only that part is as claimed.
CLAIMS: list[tuple[str, str, Engine]] = [
    ("bore", "91.5 mm", replace(ENGINE, cylinder=Cylinder("91.5 mm", "88.5 mm"))),
    ("stroke", "89.0 mm", replace(ENGINE, cylinder=Cylinder("92.0 mm", "89.0 mm"))),
    ("chamber volume", "46 cc", replace(ENGINE, chambers=(Chamber("46 cc"),) * 2)),
    ("gasket bore", "92.5 mm", replace(ENGINE, gasket=Gasket("92.5 mm", "1.10 mm"))),
    ("gasket thickness", "0.040 in", replace(ENGINE, gasket=Gasket("93.2 mm", "0.040 in"))),
    ("deck clearance", "0 mm", replace(ENGINE, decks=(Deck("0 mm"),) * 2)),
    ("dish", "5 cc", replace(ENGINE, piston=Piston(dish="5 cc", reliefs="2.8 cc"))),
    ("dome", "5 cc", replace(ENGINE, piston=Piston(dome="5 cc", reliefs="2.8 cc"))),
    ("reliefs", "0 cc", replace(ENGINE, piston=Piston(dish="6 cc"))),
]


@pytest.mark.parametrize(("part", "claimed", "engine"), CLAIMS, ids=[each[0] for each in CLAIMS])
def test_points_are_the_ratio_less_the_ratio_as_claimed(
    part: str, claimed: str, engine: Engine
) -> None:
    (difference,) = against_claims(ENGINE, {part: claimed})
    assert difference.part == part
    assert difference.ratio_points == pytest.approx(MEASURED - nominal(mean_ratio(engine)))
    assert abs(difference.ratio_points) > 1e-3


def test_chambers_and_decks_are_compared_with_their_mean() -> None:
    chamber, deck = against_claims(ENGINE, {"chamber volume": "46 cc", "deck clearance": "0.3 mm"})
    assert chamber.measured.m_as("cc") == pytest.approx(47.5)
    assert deck.measured.m_as("mm") == pytest.approx(0.35)


def test_the_largest_effect_comes_first() -> None:
    claims = {"reliefs": "2.7 cc", "chamber volume": "44 cc", "bore": "92.0 mm", "dish": "6.5 cc"}
    found = against_claims(ENGINE, claims)
    assert [difference.part for difference in found] == [
        "chamber volume", "dish", "reliefs", "bore",
    ]  # fmt: skip
    assert found[-1].ratio_points == 0


@pytest.mark.parametrize(
    ("part", "claimed", "line"),
    [
        ("chamber volume", "46 cc", "claimed 46.00 cc, measured 47.50 cc (+1.50 cc)"),
        ("gasket thickness", "0.050 in", "claimed 0.0500 in, measured 0.0433 in (−0.0067 in)"),
        ("deck clearance", "0 mm", "claimed 0.000 mm, measured 0.350 mm (+0.350 mm)"),
        ("dish", "6.0 cc", "claimed 6.00 cc, measured 6.00 cc (+0.00 cc)"),
    ],
)
def test_a_line_for_the_shop(part: str, claimed: str, line: str) -> None:
    (difference,) = against_claims(ENGINE, {part: claimed})
    assert str(difference) == f"{part}: {line}, ratio {signed(difference.ratio_points, 3)}"


REFUSED: list[tuple[Engine, dict[str, str], str]] = [
    (ENGINE, {"camshaft": "60 deg"}, "claimed camshaft: no such part; known are bore, stroke"),
    (ENGINE, {"bore": "3.6 mm"}, "bore 3.6 mm: did you mean 3.6 in?"),
    (ENGINE, {"chamber volume": "46 mm"}, "a volume is wanted here, and this is a length"),
    (
        replace(ENGINE, gasket=Gasket(poured="7.5 cc")),
        {"gasket bore": "93 mm"},
        "claimed gasket bore: was not measured",
    ),
    (
        replace(ENGINE, gasket=Gasket(poured="7.5 cc", compressed_thickness="1.1 mm")),
        {"gasket thickness": "1.0 mm"},
        "claimed gasket thickness: was not measured",
    ),
]


@pytest.mark.parametrize(("engine", "claims", "words"), REFUSED, ids=[e[2] for e in REFUSED])
def test_what_cannot_be_compared(engine: Engine, claims: dict[str, str], words: str) -> None:
    with pytest.raises(Refused) as refusal:
        against_claims(engine, claims)
    assert words in str(refusal.value)


VOLUMES: dict[str, Callable[[], float]] = {
    "swept volume": lambda: stack_of(ENGINE).swept.m_as("cc"),
    "gasket volume": lambda: stack_of(ENGINE).gasket.m_as("cc"),
    "crown volume": lambda: stack_of(ENGINE).crown.m_as("cc"),
    "deck volume": lambda: (stack_of(ENGINE).deck + stack_of(ENGINE, 1).deck).m_as("cc") / 2,
    "clearance volume": lambda: (
        (stack_of(ENGINE).clearance + stack_of(ENGINE, 1).clearance).m_as("cc") / 2
    ),
}


@pytest.mark.parametrize("name", VOLUMES)
def test_volumes_of_a_hand_calculation(name: str) -> None:
    measured = VOLUMES[name]()
    (difference,) = against_claims(ENGINE, {name: f"{measured + 1!r} cc"})
    assert difference.measured.m_as("cc") == pytest.approx(measured)
    sign = -1 if name == "swept volume" else 1
    assert sign * difference.ratio_points > 0


class TestLeftOver:
    def test_nothing_where_the_sum_is_right(self) -> None:
        claims = {"swept volume": "600 cc", "clearance volume": "60 cc"}
        assert left_over(ENGINE, claims, 11.0) == pytest.approx(0, abs=1e-12)

    def test_a_slip_in_the_sum(self) -> None:
        claims = {"swept volume": "600 cc", "clearance volume": "60 cc"}
        assert left_over(ENGINE, claims, 10.0) == pytest.approx(-1)  # forgot the one

    def test_what_is_not_claimed_is_taken_as_measured(self) -> None:
        assert left_over(ENGINE, {}, MEASURED) == pytest.approx(0, abs=1e-12)

    @given(st.sampled_from(CLAIMS))
    def test_a_part_explains_its_own_difference(self, claim: tuple[str, str, Engine]) -> None:
        part, claimed, engine = claim
        ratio = nominal(mean_ratio(engine))
        assert left_over(ENGINE, {part: claimed}, ratio) == pytest.approx(0, abs=1e-12)
