from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.trade_off import PlanPoint, trade_off
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.charts.axes import across, upright
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre

plans = st.lists(
    st.builds(
        PlanPoint,
        name=st.sampled_from(
            ("thin gasket", "flat top, deck cut 0.15 mm, head cut 0.20 mm", "<b>")
        ),
        price=st.sampled_from((0.0, 38.0, 140.0, 178.0, 438.0)),
        ratio=st.floats(8.5, 10.5),
        metal=st.sampled_from((0.0, 0.1, 0.25, 0.5)),
    ),
    min_size=1,
    max_size=40,
)


@settings(max_examples=30, deadline=None)
@given(plans, st.sampled_from((SCREEN, PROJECTOR)))
def test_every_set_of_plans_fits(points: list[PlanPoint], style) -> None:
    reading = read(trade_off(points, 9.25, chosen=len(points) - 1, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []


def test_points_stand_at_price_and_distance_and_say_the_metal() -> None:
    points = [
        PlanPoint("none", 40, 9.20, 0.0),
        PlanPoint("little", 140, 9.30, 0.2),
        PlanPoint("much", 230, 9.24, 0.5),
    ]
    reading = read(trade_off(points, 9.25).svg())
    kinds = {"uncut": points[0], "half-cut": points[1], "much-cut": points[2]}
    for kind, plan in kinds.items():
        x, y = centre(reading.all(kind)[0])
        assert across(reading, x) == pytest.approx(abs(plan.ratio - 9.25), abs=5e-4)
        assert upright(reading, y) == pytest.approx(plan.price, abs=1.0)


def test_steps_join_only_plans_that_none_beats() -> None:
    points = [
        PlanPoint("near", 200, 9.25, 0.0),
        PlanPoint("beaten", 210, 9.15, 0.0),
        PlanPoint("cheap", 50, 9.05, 0.0),
    ]
    reading = read(trade_off(points, 9.25).svg())
    corners = reading.one("best").points
    assert len(corners) == 3
    assert upright(reading, corners[0][1]) == pytest.approx(200, abs=1)
    assert upright(reading, corners[-1][1]) == pytest.approx(50, abs=1)
