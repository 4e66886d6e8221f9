"""The degree wheel: the crank stands where it should, and the words keep apart."""

from __future__ import annotations

import math

import pytest

from enginemath.drawing.cylinder.degree_wheel import degree_wheel
from tests.drawing.reader import Reading, outside, overlaps, read

NAMES = {
    "rod": "rod length 145.0 mm",
    "crank": "crank radius",
    "closes": "intake closes 60 deg after BDC",
}


def circle(reading: Reading, kind: str) -> tuple[float, float, float]:
    """Centre and radius."""
    marks = reading.one(kind).marks
    return float(marks["cx"]), float(marks["cy"]), float(marks["r"])


@pytest.mark.parametrize("closes", [0.0, 40.0, 60.0, 72.0, 90.0])
def test_the_crank_pin_stands_at_the_closing(closes: float) -> None:
    """Clockwise from above: bottom dead centre, then so many degrees on, to the left and up."""
    reading = read(degree_wheel(closes, 3.3, NAMES).svg())
    x, y, radius = circle(reading, "degree-wheel")
    pin_x, pin_y, _ = circle(reading, "crank-pin")
    assert pin_x - x == pytest.approx(-radius * math.sin(math.radians(closes)), abs=0.02)
    assert pin_y - y == pytest.approx(radius * math.cos(math.radians(closes)), abs=0.02)


@pytest.mark.parametrize("rod", [2.8, 3.3, 4.0])
def test_the_rod_points_at_the_bores_axis(rod: float) -> None:
    reading = read(degree_wheel(60.0, rod, NAMES).svg())
    x, _, radius = circle(reading, "degree-wheel")
    (from_x, from_y), (to_x, to_y) = reading.first("rod").points
    drawn = math.hypot(to_x - from_x, to_y - from_y)
    end = from_x + (to_x - from_x) / drawn * rod * radius
    assert end == pytest.approx(x, abs=0.2)
    assert to_y < from_y


@pytest.mark.parametrize("closes", [20.0, 40.0, 72.0, 90.0])
def test_every_word_is_there_and_none_covers_another(closes: float) -> None:
    picture = degree_wheel(closes, 3.3, NAMES)
    assert {label.text for label in picture.labels} == {"TDC", "BDC", "turns", *NAMES.values()}
    reading = read(picture.svg())
    assert overlaps(reading) == []
    assert outside(reading) == []


def test_names_are_escaped() -> None:
    svg = degree_wheel(60.0, 3.3, NAMES | {"rod": "<b>&"}).svg()
    assert "<b>" not in svg
    assert "&lt;b&gt;&amp;" in svg
