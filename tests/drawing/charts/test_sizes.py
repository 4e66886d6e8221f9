"""The chart of printed sizes: every point where its numbers are, every name readable."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.sizes import SizePoint, sizes
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, read

drawn = st.lists(
    st.builds(
        SizePoint,
        name=st.sampled_from(("row 3", "rows 90, 92 to 99", "<b>")),
        printed=st.floats(50, 500),
        worked_out=st.floats(20, 600),
        off=st.floats(-70, 70),
    ),
    min_size=1,
    max_size=30,
)


@settings(max_examples=20, deadline=None)
@given(drawn, st.sampled_from((SCREEN, PROJECTOR)))
def test_every_list_fits(points: list[SizePoint], style) -> None:
    assert outside(read(sizes(points, 5, style=style).svg())) == []


@pytest.mark.parametrize("band", [1.0, 5.0, 20.0])
def test_rings_inside_the_band_and_flags_outside(band: float) -> None:
    points = [
        SizePoint(f"row {n}", 100 + n, 100 + n + off, off) for n, off in enumerate(range(-9, 10))
    ]
    svg = sizes(points, band).svg()
    beyond = sum(abs(point.off) > band for point in points)
    assert svg.count('class="em-inside"') == 2 * (len(points) - beyond)
    assert svg.count('class="em-outside"') == 2 * (beyond + 1)  # and one in each key
    named = svg.split("em-off-text")[1]
    assert all((f">{point.name}<" in named) == (abs(point.off) > band) for point in points)
