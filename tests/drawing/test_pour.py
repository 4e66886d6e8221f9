from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.palette import PROJECTOR, SCREEN
from enginemath.drawing.pour import PourView, pour

from .burettes import column_reading, window_reading
from .reader import outside, overlaps, read
from .solids import px_per_mm, right_half, turned_volume


@st.composite
def pours(draw) -> PourView:
    bore = draw(st.floats(36, 180))
    chamber = draw(st.floats(2e-5, 2e-4)) * bore**3
    share = draw(st.floats(0, 1))
    reading = draw(st.floats(0, 50))
    return PourView(
        chamber=chamber,
        bore=bore,
        poured=share * chamber,
        reading=reading,
        start=draw(st.floats(0, 1)) * reading,
        bubble=draw(st.sampled_from((0.0, 0.01))) * chamber,
        plug=draw(st.booleans()),
    )


@settings(max_examples=40, deadline=None)
@given(pours(), st.booleans(), st.sampled_from((SCREEN, PROJECTOR)))
def test_everything_lies_inside_and_the_burette_reads_true(view: PourView, tell, style) -> None:
    reading = read(pour(view, tell=tell, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert column_reading(reading) == pytest.approx(view.reading, abs=0.05)
    assert window_reading(reading) == pytest.approx(view.reading, abs=0.002)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 1.0])
def test_liquid_in_the_chamber_is_what_was_poured(share: float) -> None:
    view = PourView(47.5, 92.0, poured=share * 47.5, reading=20.0)
    reading = read(pour(view, size=(3000, 3000)).svg())
    liquid = reading.one("liquid")
    cc = turned_volume(right_half(liquid)) / px_per_mm(reading) ** 3 / 1000
    assert cc == pytest.approx(view.poured, rel=2e-3)


def test_full_is_full_only_at_the_plate() -> None:
    assert not PourView(47.5, 92.0, poured=47.4, reading=0).full
    assert PourView(47.5, 92.0, poured=47.5, reading=0).full
    assert PourView(47.5, 92.0, poured=47.2, reading=0, bubble=0.3).full


def test_bubble_and_open_plug_hole_can_be_seen_and_are_not_told() -> None:
    careless = PourView(47.5, 92.0, poured=47.2, reading=23.1, bubble=0.3, plug=False)
    reading = read(pour(careless, tell=False).svg())
    assert reading.all("bubble")
    assert reading.all("plug-hole")
    assert not reading.all("plug")
    assert "plug hole is open" in reading.description


def test_a_burette_to_be_read_tells_no_number() -> None:
    reading = read(pour(PourView(47.5, 92.0, poured=31.85, reading=31.85), tell=False).svg())
    told = " ".join([reading.title, reading.description, *(t.text for t in reading.texts)])
    assert "31.85" not in told
    assert "8.5 divisions of 0.1 mL below the line marked 31" in reading.description
