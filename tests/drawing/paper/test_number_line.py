from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.paper.number_line import LineView, number_line, ratio_line, squish_line
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, overlaps, read


def value_at(reading, x: float) -> float:
    """The number under a place, by a straight line through the printed ticks."""
    ticks = [t for t in reading.texts if t.kind == "tick"]
    places = [(t.box[0] + t.box[2]) / 2 for t in ticks]
    slope, start = np.polyfit(places, [float(t.text.replace("−", "-")) for t in ticks], 1)
    return slope * x + start


@settings(max_examples=40, deadline=None)
@given(st.floats(2, 40), st.floats(7, 12), st.floats(0.1, 2), st.sampled_from((SCREEN, PROJECTOR)))
def test_ratio_line_reads_back(value: float, low: float, wide: float, style) -> None:
    view = ratio_line(value, (low, low + wide), aim=low + wide / 2, interval=(value - 0.1, value))
    reading = read(number_line(view, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    marker = reading.one("marker").points[0][0]
    assert value_at(reading, marker) == pytest.approx(value, abs=0.03)
    left, _, right, _ = reading.one("band").box
    assert value_at(reading, left) == pytest.approx(low, abs=0.03)
    assert value_at(reading, right) == pytest.approx(low + wide, abs=0.03)


@settings(max_examples=40, deadline=None)
@given(st.floats(-0.2, 4), st.sampled_from(("mm", "in")))
def test_squish_line_reads_back_in_its_unit(value: float, unit: str) -> None:
    reading = read(number_line(squish_line(value, unit=unit)).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    in_unit = value / 25.4 if unit == "in" else value
    x = reading.one("marker").points[0][0]
    assert value_at(reading, x) == pytest.approx(in_unit, abs=0.004)


@pytest.mark.parametrize(
    ("value", "words"),
    [(9.83, "0.33 above"), (8.5, "0.50 below"), (9.25, "inside the band"), (9.5, "inside")],
)
def test_where_it_stands_is_said_and_shaped(value: float, words: str) -> None:
    picture = number_line(ratio_line(value, (9.0, 9.5)))
    assert words in picture.title
    marker = read(picture.svg()).one("marker")
    hollow = marker.marks["fill"] == SCREEN.paper
    assert hollow == ("inside" not in words)


def test_a_number_below_zero_has_the_minus_sign_of_its_axis() -> None:
    line = LineView("crown volume", -40.5, -50.0, 50.0, unit="cc")
    reading = read(number_line(line).svg())
    assert reading.text("crown volume").text == "crown volume −40.50 cc"
    assert reading.text("−40$").kind == "tick"
