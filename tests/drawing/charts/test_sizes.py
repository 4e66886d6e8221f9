"""The chart of printed sizes: every point where its numbers are, every name readable."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.sizes import SizePoint, sizes
from enginemath.drawing.paper.palette import PAGE, PROJECTOR, SCREEN, Style
from enginemath.lesson import chart_of_sizes
from tests.drawing.reader import Box, outside, read

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


@pytest.mark.parametrize("style", [SCREEN, PAGE])
def test_no_name_of_the_records_hides_another_or_a_flag(style: Style) -> None:
    def meet(one: Box, other: Box) -> bool:
        return all(max(one[n], other[n]) < min(one[n + 2], other[n + 2]) for n in (0, 1))

    chart = read(chart_of_sizes().drawn_in(style).svg())
    names = [text.box for text in chart.texts if text.kind == "rows"]
    flags = [shape.box for shape in chart.all("outside")]
    assert (len(names), len(flags)) == (14, 20)
    assert [pair for pair in combinations(names, 2) if meet(*pair)] == []
    assert [name for name in names if any(meet(name, flag) for flag in flags)] == []
