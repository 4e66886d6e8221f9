from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.instruments.feeler import feel, feeler
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, overlaps, read

LEAVES = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.60, 0.80, 1.00]


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.03, 1.2),
    st.integers(0, len(LEAVES) - 1),
    st.sampled_from(("mm", "in")),
    st.sampled_from((SCREEN, PROJECTOR)),
)
def test_leaf_and_gap_are_to_one_scale_and_the_feel_is_seen(gap, tried, unit, style) -> None:
    reading = read(feeler(gap, LEAVES, tried, unit=unit, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    upper, lower, leaf = (reading.one(kind).box for kind in ("upper", "lower", "leaf-in-gap"))
    open_by, thick = lower[1] - upper[3], leaf[3] - leaf[1]
    assert thick / open_by == pytest.approx(LEAVES[tried] / gap, rel=0.02)
    inside = leaf[2] > upper[0]
    assert inside == (gap >= LEAVES[tried] - 1e-9)
    assert feel(gap, LEAVES[tried]) in reading.title


def test_thickest_leaf_that_goes_is_the_reading() -> None:
    gap = 0.452
    going = [leaf for leaf in LEAVES if feel(gap, leaf) != "does not go in"]
    assert going[-1] == 0.45
    assert feel(gap, going[-1]) == "goes in with a drag"
