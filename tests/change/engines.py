"""Engines that can be cut, drawn at random."""

from __future__ import annotations

from hypothesis import strategies as st

from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.units import Quantity


def mm(length: float) -> Quantity:
    return Quantity(length, "mm")


def cc(volume: float) -> Quantity:
    return Quantity(volume, "cc")


@st.composite
def engines(draw: st.DrawFn, most_cylinders: int = 3) -> Engine:
    """Engines with room for a millimetre of cuts."""
    count = draw(st.integers(1, most_cylinders))
    bore = draw(st.floats(60, 110))
    return Engine(
        "drawn",
        Cylinder(mm(bore), mm(draw(st.floats(60, 110))), mm(draw(st.floats(120, 180)))),
        tuple(Chamber(cc(draw(st.floats(35, 60)))) for _ in range(count)),
        Gasket(mm(bore + draw(st.floats(0.2, 3))), mm(draw(st.floats(0.5, 2)))),
        tuple(Deck(mm(draw(st.floats(0.6, 1.2)))) for _ in range(count)),
        Piston(dish=cc(draw(st.floats(0, 12))), reliefs=cc(draw(st.floats(0, 4)))),
        RingLand(mm(6), mm(0.5)) if draw(st.booleans()) else None,
    )
