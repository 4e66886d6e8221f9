from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.error_budget import BudgetBar, error_budget
from enginemath.drawing.paper.palette import PARTS, PROJECTOR, SCREEN
from tests.drawing.charts.axes import across
from tests.drawing.reader import outside, overlaps, read

names = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.builds(BudgetBar, names, st.floats(0, 1), st.sampled_from([*PARTS, "other"])),
        min_size=1,
        max_size=10,
    ),
    names,
    st.sampled_from((SCREEN, PROJECTOR)),
)
def test_bars_are_as_long_as_their_share(bars: list[BudgetBar], of: str, style) -> None:
    reading = read(error_budget(bars, of=of, value=9.827, u=0.052, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    drawn = [s for s in reading.shapes if s.kind.startswith("bar-")]
    shares = sorted((bar.share for bar in bars), reverse=True)
    for shape, share in zip(drawn, shares, strict=True):
        assert across(reading, shape.box[2]) == pytest.approx(100 * share, abs=0.3)


def test_largest_stands_on_top_in_its_parts_colour() -> None:
    bars = [BudgetBar("bore", 0.2, "swept"), BudgetBar("chamber volume", 0.8, "chamber")]
    reading = read(error_budget(bars, value=9.827, u=0.052, key="k").svg())
    top, below = reading.one("bar-chamber"), reading.one("bar-swept")
    assert top.box[3] < below.box[1]
    assert top.marks["fill"] == "url(#k-hatch-chamber)"
    assert reading.title == (
        "Error budget: compression ratio 9.83 ± 0.05 (one standard uncertainty)"
    )
