from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from enginemath.drawing.scales import preferred, spread, tick_step, ticks

finite = st.floats(-1e4, 1e4)


@given(finite, st.floats(1e-3, 1e4), st.integers(2, 12))
def test_ticks_are_round_and_inside(low: float, span: float, about: int) -> None:
    high = low + span
    at = ticks(low, high, about)
    step = tick_step(span, about)
    assert all(low - 1e-6 * span <= t <= high + 1e-6 * span for t in at)
    assert len(at) <= about + 1
    assert f"{step:.0e}"[0] in "125"


@given(st.floats(1e-3, 1e3))
def test_preferred_number_is_near_and_not_above(largest: float) -> None:
    """R20 steps are at most 12.5 % apart."""
    assert largest / 1.13 <= preferred(largest) <= largest * (1 + 1e-8)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=8).map(sorted), st.floats(1, 20))
def test_spread_keeps_order_gap_and_ends(wanted: list[float], gap: float) -> None:
    assume((len(wanted) - 1) * gap <= 100)
    places = spread(wanted, gap, 0, 100)
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(places))
    assert places[0] >= -1e-9
    assert places[-1] <= 100 + 1e-9


def test_spread_leaves_alone_what_already_stands_apart() -> None:
    assert spread([10.0, 40.0, 80.0], 20, 0, 100) == pytest.approx([10.0, 40.0, 80.0])
