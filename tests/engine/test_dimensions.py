"""Every dimension is read off where the shop would measure it, and set without touching others.

The sources are the engine's own parts: what is written there is what must be read.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.engine import dimensions
from enginemath.engine.dimensions import Dimension
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston
from enginemath.units import Quantity, Refused

ENGINE = Engine(
    name="Bench engine",
    cylinder=Cylinder("92.0 mm", "88.5 mm", rod_length="145 mm"),
    chambers=(Chamber("47.2 cc"), Chamber("47.8 cc")),
    gasket=Gasket("93.2 mm", "1.10 mm"),
    decks=(Deck("0.30 mm"), Deck("0.40 mm")),
    piston=Piston(dish="6.0 cc", reliefs="2.8 cc"),
    intake_closes="60 deg",
    altitude="350 m",
)

# What is read off the engine, another value, and the one part that then differs.
READ: dict[str, tuple[str, str, str]] = {
    "BORE": ("92.0 mm", "91.5 mm", "cylinder"),
    "STROKE": ("88.5 mm", "3.5 in", "cylinder"),
    "ROD_LENGTH": ("145 mm", "150 mm", "cylinder"),
    "CHAMBER": ("47.5 cc", "46 cc", "chambers"),
    "GASKET_BORE": ("93.2 mm", "94 mm", "gasket"),
    "GASKET_THICKNESS": ("1.10 mm", "0.04 in", "gasket"),
    "DECK_CLEARANCE": ("0.35 mm", "-0.1 mm", "decks"),
    "DISH": ("6.0 cc", "5 cc", "piston"),
    "DOME": ("0 cc", "5 cc", "piston"),
    "NET_DISH": ("6.0 cc", "-5 cc", "piston"),
    "RELIEFS": ("2.8 cc", "0 cc", "piston"),
    "INTAKE_CLOSES": ("60 deg", "72 deg", "intake_closes"),
    "ALTITUDE": ("350 m", "0 m", "altitude"),
}


def test_every_dimension_of_the_table_is_tested() -> None:
    table = {name for name, each in vars(dimensions).items() if isinstance(each, Dimension)}
    assert table == set(READ)


@pytest.mark.parametrize("name", READ)
def test_read_off_set_and_read_again(name: str) -> None:
    dimension: Dimension = getattr(dimensions, name)
    written, other, part = READ[name]
    unit = dimension.limit.unit
    was, to = dimension.limit.accept(written), dimension.limit.accept(other)
    found = dimension.of(ENGINE)
    assert found is not None
    assert found.m_as(unit) == pytest.approx(was.m_as(unit), abs=1e-12)

    changed = dimension.onto(ENGINE, to)
    again = dimension.of(changed)
    assert again is not None
    assert again.m_as(unit) == pytest.approx(to.m_as(unit), abs=1e-12)
    assert changed != ENGINE
    assert replace(changed, **{part: getattr(ENGINE, part)}) == ENGINE


@pytest.mark.parametrize("name", ["BORE", "STROKE", "ROD_LENGTH", "GASKET_BORE",
                                  "GASKET_THICKNESS", "RELIEFS"])  # fmt: skip
def test_the_rest_of_the_part_stays(name: str) -> None:
    dimension: Dimension = getattr(dimensions, name)
    was = dimension.of(ENGINE)
    assert was is not None
    assert dimension.onto(dimension.onto(ENGINE, 1.01 * was), was) == ENGINE


@pytest.mark.parametrize(("name", "other"), [("DISH", "dome"), ("DOME", "dish")])
def test_a_dish_takes_the_place_of_a_dome(name: str, other: str) -> None:
    piston = getattr(dimensions, name).onto(ENGINE, Quantity(4.0, "cc")).piston
    assert getattr(piston, other).magnitude == 0
    assert piston.reliefs == ENGINE.piston.reliefs


@given(st.floats(-20, 20))
def test_a_net_dish_of_either_sign_keeps_the_reliefs(cc: float) -> None:
    piston = dimensions.NET_DISH.onto(ENGINE, Quantity(cc, "cc")).piston
    assert piston.net_dish.m_as("cc") == pytest.approx(cc, abs=1e-12)
    assert piston.crown.m_as("cc") == pytest.approx(cc + 2.8, abs=1e-12)


def test_without_a_value() -> None:
    poured = replace(ENGINE, gasket=Gasket(poured="7.5 cc"), altitude=None, intake_closes=None)
    assert dimensions.GASKET_BORE.of(poured) is None
    assert dimensions.INTAKE_CLOSES.of(poured) is None
    assert dimensions.ALTITUDE.of(poured) == Quantity(0.0, "m")


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(Refused, match="the piston would meet the head"):
        dimensions.DECK_CLEARANCE.onto(ENGINE, Quantity(-1.2, "mm"))
