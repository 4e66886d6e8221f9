from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.instruments.dial_indicator import dial_indicator
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre


def direction(hand, middle) -> float:
    """Degrees clockwise from above of a hand's tip, seen from its dial's middle."""
    x, y = hand.points[0]
    return math.degrees(math.atan2(x - middle[0], middle[1] - y)) % 360


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, 999),
    st.sampled_from((("mm", 1.0), ("in", 0.1))),
    st.sampled_from((SCREEN, PROJECTOR)),
)
def test_reads_back_from_both_hands(divisions: int, kind, style) -> None:
    unit, turn = kind
    true = divisions / 100 * turn
    reading = read(dial_indicator(true, unit, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    long = direction(reading.one("long-hand"), centre(reading.one("face"))) / 3.6
    turns = direction(reading.one("counter-hand"), centre(reading.one("counter"))) / 36
    whole = round(turns - long % 100 / 100)
    assert (whole % 10 + round(long, 1) % 100 / 100) * turn == pytest.approx(true, abs=0.002 * turn)
    assert round(long) % 100 == divisions % 100


def test_a_missed_turn_shows_only_on_the_counter() -> None:
    low, high = (read(dial_indicator(x).svg()) for x in (2.27, 3.27))
    assert low.one("long-hand").points == high.one("long-hand").points
    assert low.one("counter-hand").points != high.one("counter-hand").points


def test_numbers_stand_at_their_divisions() -> None:
    reading = read(dial_indicator(0.0).svg())
    middle = centre(reading.one("face"))
    for text in reading.texts:
        if text.kind == "number":
            x = (text.box[0] + text.box[2]) / 2
            y = text.box[3] - 0.55 * text.size
            turn = math.degrees(math.atan2(x - middle[0], middle[1] - y)) % 360
            assert turn == pytest.approx(3.6 * float(text.text), abs=0.2)


@pytest.mark.parametrize("size", [None, (480.0, 480.0), (300.0, 300.0)])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_its_division_is_written_clear_of_the_bezel_and_the_stem(size, unit) -> None:
    reading = read(dial_indicator(0.0, unit, size=size).svg())
    bezel, (left, top, _, _) = reading.one("bezel"), reading.text("^division").box
    x, y = centre(bezel)
    radius = bezel.box[2] - x
    assert math.hypot(max(left - x, 0.0), top - y) > radius + 2
    assert left > reading.one("stem").box[2] + 2
