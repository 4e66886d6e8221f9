"""Options drawn at random for engines drawn at random."""

from __future__ import annotations

from hypothesis import strategies as st

from enginemath.change.price_list import Cut, GasketOption, HeadCut, Options, PistonOption, Target
from enginemath.engine.parts import Engine, Gasket, Piston
from enginemath.engine.stack import mean_ratio
from enginemath.units import Quantity, nominal
from tests.change.engines import cc, engines, mm

prices = st.integers(0, 3).map(lambda tens: 10 * tens)
tenths = st.integers(1, 4).map(lambda steps: steps / 10)


@st.composite
def gaskets(draw: st.DrawFn, number: int) -> GasketOption:
    if draw(st.integers(0, 4)) == 0:
        gasket = Gasket(poured=cc(draw(st.floats(3, 12))))
    else:
        gasket = Gasket(mm(draw(st.floats(110, 115))), mm(draw(tenths) + 0.3))
    return GasketOption(f"gasket {number}", gasket, draw(prices))


@st.composite
def pistons(draw: st.DrawFn, number: int) -> PistonOption:
    dome = draw(st.booleans())
    volume = cc(draw(st.floats(0, 12)))
    piston = Piston(dome=volume) if dome else Piston(dish=volume)
    return PistonOption(f"piston {number}", piston, mm(draw(st.floats(-1, 1))), draw(prices))


@st.composite
def plans(draw: st.DrawFn) -> tuple[Engine, Options]:
    """An engine and a small grid of options whose band is within reach."""
    engine = draw(engines())
    now = nominal(mean_ratio(engine))
    low = max(1.5, now + draw(st.floats(-2, 2)))
    high = low + draw(st.floats(0, 3))
    aim = low + draw(st.floats(0, 1)) * (high - low)
    squish = (mm(draw(tenths) + 0.3), mm(draw(tenths) + 1.5)) if draw(st.booleans()) else None
    deck_cut = head_cut = None
    if draw(st.booleans()):
        deck_cut = Cut(mm(draw(tenths)), mm(0.5), draw(prices))
    if draw(st.booleans()):
        area = Quantity(draw(st.floats(20, 80)), "cm**2")
        head_cut = HeadCut(mm(draw(tenths)), mm(0.6), draw(prices), open_area=area)
    return engine, Options(
        Target(low, high, aim, squish),
        mm(draw(st.sampled_from([-0.5, 0.0, 0.3]))),
        (GasketOption(), *(draw(gaskets(n)) for n in range(draw(st.integers(0, 2))))),
        (PistonOption(), *(draw(pistons(n)) for n in range(draw(st.integers(0, 2))))),
        deck_cut,
        head_cut,
    )
