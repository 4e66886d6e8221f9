from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.pressure_volume import Curve, pressure_volume
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.charts.axes import across, upright
from tests.drawing.reader import outside, overlaps, read


def compression(swept: float, ratio: float, name: str) -> Curve:
    small = swept / (ratio - 1)
    volumes = [small + swept * k / 20 for k in range(20, -1, -1)]
    return Curve(name, volumes, [100 * (small * ratio / v) ** 1.35 for v in volumes])


@settings(max_examples=30, deadline=None)
@given(st.floats(50, 2700), st.floats(6, 23), st.floats(0, 1), st.sampled_from((SCREEN, PROJECTOR)))
def test_points_stand_at_their_numbers(swept: float, ratio: float, share: float, style) -> None:
    curves = [compression(swept, r, f"ratio {r:.1f}") for r in (ratio, ratio + 1)]
    here = swept * share + 1, 100 + share * 1000
    reading = read(pressure_volume(curves, here=here, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    for drawn, curve in zip(reading.all("curve"), curves, strict=True):
        for (x, y), volume, pressure in zip(
            drawn.points, curve.volumes, curve.pressures, strict=True
        ):
            assert across(reading, x) == pytest.approx(volume, abs=0.004 * swept)
            assert upright(reading, y) == pytest.approx(pressure, abs=0.004 * max(curve.pressures))


def test_curves_differ_in_more_than_colour() -> None:
    curves = [compression(500, r, f"{r}") for r in (8, 9, 10)]
    drawn = read(pressure_volume(curves).svg()).all("curve")
    assert len({shape.marks["stroke-dasharray"] for shape in drawn}) == 3
