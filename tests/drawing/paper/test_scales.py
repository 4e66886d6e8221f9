from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from enginemath.drawing.paper.scales import kept_apart, preferred, tick_step, ticks

finite = st.floats(-1e4, 1e4)


@given(finite, st.floats(1e-3, 1e4), st.integers(2, 12))
def test_ticks_are_round_and_inside(low: float, span: float, about: int) -> None:
    high = low + span
    at = ticks(low, high, about)
    step = tick_step(span, about)
    assert all(low - 1e-6 * span <= t <= high + 1e-6 * span for t in at)
    assert len(at) <= about + 1
    assert f"{step:.0e}"[0] in "125"


# ISO 3:1973, series R20 (from memory).
R20 = (
    1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80,
    3.15, 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00,
)  # fmt: skip


@given(st.floats(1e-3, 1e3))
@example(159.0)
def test_preferred_number_is_the_nearest_that_is_not_above(largest: float) -> None:
    """The widest step of the rounded series is from 1.40 to 1.60, a seventh."""
    series = [float(f"{number}e{power}") for power in range(-4, 4) for number in R20]
    nearest = max(number for number in series if number <= largest * (1 + 1e-9))
    assert preferred(largest) == nearest
    assert largest / (8 / 7) <= nearest


@given(st.lists(st.floats(0, 100), min_size=1, max_size=8).map(sorted), st.floats(1, 20))
def test_spread_keeps_order_gap_and_ends(wanted: list[float], gap: float) -> None:
    assume((len(wanted) - 1) * gap <= 100)
    places = kept_apart(wanted, gap, 0, 100)
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(places))
    assert places[0] >= -1e-9
    assert places[-1] <= 100 + 1e-9


def test_spread_leaves_alone_what_already_stands_apart() -> None:
    assert kept_apart([10.0, 40.0, 80.0], 20, 0, 100) == pytest.approx([10.0, 40.0, 80.0])
