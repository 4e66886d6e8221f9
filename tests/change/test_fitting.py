"""Other gaskets, pistons, rods, cranks and bores."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from enginemath.change.fitting import bore_out, change_stroke, fit_gasket, fit_piston, fit_rods
from enginemath.engine.parts import Cylinder, Deck, Engine, Gasket, Piston
from enginemath.engine.stack import stack_of, stacks
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Refused
from tests.change.engines import cc, engines, mm


@pytest.fixture
def engine() -> Engine:
    return parse(EXAMPLE).engine


def test_a_gasket_changes_its_volume_and_the_squish_alone(engine: Engine) -> None:
    after = fit_gasket(engine, Gasket("93.2 mm", "0.70 mm"))
    old, new = stack_of(engine).parts, stack_of(after).parts
    assert {name for name in old if old[name] != new[name]} == {"gasket"}
    assert after.squish().m_as("mm") == pytest.approx(1.05)
    assert after.decks == engine.decks


def test_a_gasket_too_thin_for_a_raised_piston_is_refused(engine: Engine) -> None:
    raised = replace(engine, decks=(Deck("-0.5 mm"),) * 4)
    with pytest.raises(Refused, match=r"another gasket: cylinder 1: the piston stands 0\.500 mm"):
        fit_gasket(raised, Gasket("93.2 mm", "0.5 mm"))


@given(engines(), st.floats(-0.5, 0.5), st.floats(0, 10))
@settings(max_examples=30)
def test_pistons_bring_their_crown_and_their_height(
    engine: Engine, rise: float, dish: float
) -> None:
    after = fit_piston(engine, Piston(dish=cc(dish)), rise=mm(rise))
    area = math.pi / 4 * engine.cylinder.bore.m_as("cm") ** 2
    for old, new in zip(stacks(engine), stacks(after), strict=True):
        assert new.crown.m_as("cc") == pytest.approx(dish)
        assert (old.deck - new.deck).m_as("cc") == pytest.approx(area * rise / 10, abs=1e-9)


def test_a_piston_too_high_is_refused(engine: Engine) -> None:
    with pytest.raises(Refused, match=r"other pistons: .* the piston would meet the head"):
        fit_piston(engine, engine.piston, rise="1.5 mm")


def _highest_pin(radius: float, rod: float, offset: float) -> float:
    """Height of the pin over the crank's centre at the top, by searching the whole turn."""

    def below(angle: float) -> float:
        sideways = radius * math.sin(angle) - offset
        return -(radius * math.cos(angle) + math.sqrt(rod * rod - sideways * sideways))

    return -minimize_scalar(
        below, bounds=(-1.0, 1.0), method="bounded", options={"xatol": 1e-10}
    ).fun


@pytest.mark.parametrize("offset", [0.0, 1.5])
def test_rods_lift_the_piston(engine: Engine, offset: float) -> None:
    """Against a search of the crank's turn for its top."""
    engine = replace(engine, cylinder=Cylinder("92 mm", "88.5 mm", "145 mm", mm(offset)))
    after = fit_rods(engine, "145.25 mm")
    radius = engine.cylinder.crank_radius.m_as("mm")
    rise = _highest_pin(radius, 145.25, offset) - _highest_pin(radius, 145, offset)
    lost = (engine.decks[0].clearance - after.decks[0].clearance).m_as("mm")
    assert lost == pytest.approx(rise, abs=1e-9)
    assert after.cylinder.rod_length.m_as("mm") == 145.25


def test_rods_of_an_unknown_length_are_refused(engine: Engine) -> None:
    bare = replace(engine, cylinder=Cylinder("92 mm", "88.5 mm"))
    with pytest.raises(Refused, match="rod length"):
        fit_rods(bare, "145 mm")


@pytest.mark.parametrize("offset", [0.0, 1.5])
def test_a_longer_stroke_lifts_the_piston_by_half(engine: Engine, offset: float) -> None:
    """Against a search of the crank's turn for its top."""
    engine = replace(engine, cylinder=Cylinder("92 mm", "88.5 mm", "145 mm", mm(offset)))
    after = change_stroke(engine, "89.1 mm")
    old, new = (e.cylinder.crank_radius.m_as("mm") for e in (engine, after))
    rise = _highest_pin(new, 145, offset) - _highest_pin(old, 145, offset)
    lost = (engine.decks[0].clearance - after.decks[0].clearance).m_as("mm")
    assert lost == pytest.approx(rise, abs=1e-9)
    assert lost == pytest.approx(0.3, abs=1e-4)


def test_a_stroke_without_known_rods_lifts_by_half(engine: Engine) -> None:
    bare = replace(engine, cylinder=Cylinder("92 mm", "88.5 mm"))
    assert change_stroke(bare, "88.9 mm").decks[0].clearance.m_as("mm") == pytest.approx(0.15)


def test_a_stroke_too_long_is_refused(engine: Engine) -> None:
    with pytest.raises(Refused, match=r"stroke 92\.000 mm: cylinder 1: the piston stands"):
        change_stroke(engine, "92 mm")


@given(engines(), st.floats(0, 0.2))
@settings(max_examples=30)
def test_boring_out_grows_swept_deck_and_crevice(engine: Engine, over: float) -> None:
    after = bore_out(engine, mm(over))
    growth = ((engine.cylinder.bore.m_as("mm") + over) / engine.cylinder.bore.m_as("mm")) ** 2
    for old, new in zip(stacks(engine), stacks(after), strict=True):
        assert (new.swept / old.swept).m_as("") == pytest.approx(growth)
        assert (new.deck / old.deck).m_as("") == pytest.approx(growth)
        assert new.crevice >= old.crevice
        assert (new.chamber, new.gasket, new.crown) == (old.chamber, old.gasket, old.crown)


def test_a_bore_wider_than_the_gasket_is_refused(engine: Engine) -> None:
    with pytest.raises(Refused, match="hang into the cylinder; fit a larger one first"):
        bore_out(engine, "1.5 mm")
    larger = fit_gasket(engine, Gasket("94.5 mm", "1.10 mm"))
    assert bore_out(larger, "1.5 mm").cylinder.bore.m_as("mm") == pytest.approx(93.5)
