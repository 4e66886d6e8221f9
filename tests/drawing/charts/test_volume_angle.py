from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.volume_angle import VolumeView, volume_against_angle
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.charts.axes import across, upright
from tests.drawing.reader import outside, overlaps, read


@st.composite
def views(draw) -> VolumeView:
    stroke = draw(st.floats(30, 200))
    bore = draw(st.floats(36, 180))
    swept = math.pi / 4 * bore**2 * stroke / 1000
    return VolumeView(
        bore=bore,
        stroke=stroke,
        rod_length=stroke * draw(st.floats(1.4, 2.2)),
        clearance=swept / (draw(st.floats(6, 23)) - 1),
        angle=draw(st.floats(-360, 720)),
        intake_closes=draw(st.none() | st.floats(10, 90)),
    )


@settings(max_examples=30, deadline=None)
@given(views(), st.booleans(), st.sampled_from((SCREEN, PROJECTOR)))
def test_curve_is_the_slider_crank(view: VolumeView, without_rod: bool, style) -> None:
    """Against V = Vc (1 + (rc − 1)(R + 1 − cos θ − √(R² − sin²θ))/2), Heywood (1988) eq. 2.6
    (from memory): the same motion in another form."""
    reading = read(volume_against_angle(view, without_rod=without_rod, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    ratio, rods = 1 + view.swept / view.clearance, 2 * view.rod_length / view.stroke
    for x, y in reading.one("curve").points:
        turn = math.radians(across(reading, x))
        root = math.sqrt(rods**2 - math.sin(turn) ** 2)
        true = view.clearance * (1 + (ratio - 1) * (rods + 1 - math.cos(turn) - root) / 2)
        assert upright(reading, y) == pytest.approx(true, abs=0.006 * view.swept)


def test_trapped_volume_at_intake_closing() -> None:
    """The trade notes' engine: effective ratio 8.1344 on 66.6496 cc, so 475.50 cc are trapped."""
    view = VolumeView(92.0, 88.5, 145.0, 66.6496, intake_closes=60.0)
    reading = read(volume_against_angle(view).svg())
    assert "475.5 cc trapped" in reading.text("intake closes").text
    assert pytest.approx(475.5, abs=0.01) == (8.1344 - 1) * 66.6496
    x = reading.one("intake").points[0][0]
    assert across(reading, x) == pytest.approx(-120.0, abs=0.3)


@pytest.mark.parametrize("angle", range(-180, 180, 20))
def test_the_volume_is_written_clear_of_the_curve(angle: int) -> None:
    """Above the curve in its upper half, below it in its lower half."""
    view = VolumeView(92.0, 88.5, 145.0, 66.65, angle=float(angle))
    reading = read(volume_against_angle(view, size=(340.0, 480.0)).svg())
    said = next(t for t in reading.texts if t.kind == "measure")
    left, top, right, bottom = said.box
    beside = [y for x, y in reading.one("curve").points if left <= x <= right]
    high = view.volume(angle) > view.clearance + view.swept / 2
    assert bottom <= min(beside) if high else top >= max(beside)


def test_the_clearance_is_named_in_the_key() -> None:
    reading = read(volume_against_angle(VolumeView(144.0, 164.0, 262.0, 162.85)).svg())
    assert reading.text("clearance").kind == "key-name"
    assert reading.one("key-patch").marks["fill"] == reading.one("clearance").marks["fill"]
