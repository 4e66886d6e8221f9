from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from enginemath.drawing.pouring.at_depth import at_depth
from enginemath.drawing.pouring.known_depth import KnownDepthView
from tests.drawing.pouring.test_by_hand import clear
from tests.drawing.reader import Reading, read

FULL = KnownDepthView(92.0, 12.7, poured=93.23, reading=43.23, dish=6.0, reliefs=2.8)
DOME = replace(FULL, poured=75.43, reading=25.43, dish=-9.0, reliefs=0.0)
GRIPS = [
    Grip("depth", "known depth", 12.7, 1, 30, 0.05),
    Grip("crown", "dish volume", 6, -15, 15, 0.1, "cc", 2),
    Grip("tap", "tap", 0, 0, 90, 5, "°", 0),
    Grip("grease", "line of grease", 3, 0, 5, 1, "strokes", 0),
    Grip("plate", "clear plate", 0, 0, 37, 1, "mm", 0),
]


@settings(max_examples=25, deadline=None)
@given(
    st.floats(36, 180),
    st.floats(0.05, 0.2),
    st.floats(-0.03, 0.04),
    st.floats(0, 1),
    st.booleans(),
    st.sampled_from(((5, 0.0), (3, 0.0), (2, 0.4), (5, 0.2))),
    st.sampled_from((PAGE, PAGE_PROJECTOR)),
    st.sampled_from(("mm", "in")),
)
def test_is_clear_in_every_state(bore, depth, crown, share, tell, bench, style, unit) -> None:
    view = KnownDepthView(bore, depth * bore, 0.0, 0.0, dish=crown * bore**3 / 1000)
    if view.space <= 0:
        return
    grease, plate = bench
    view = replace(view, grease=grease, plate=plate * bore, crevice=0.005 * view.space)
    poured = 0.0 if plate else share * view.space
    view = replace(view, poured=poured, reading=poured % 50)
    grips = [grip for grip in GRIPS if grip.part != "tap" or not plate]
    clear(at_depth(view, tell=tell, tap=30, grips=grips, style=style, unit=unit))


def test_bars_are_as_long_as_the_volumes() -> None:
    reading = read(at_depth(FULL).svg())
    poured, disc = (reading.one(f"bar-{part}").box for part in ("water", "swept"))
    crown = reading.one("bar-crown").box
    unit = (poured[2] - poured[0]) / 93.23
    # π/4 · 92² · 12.7 = 84 424.6 mm³, by hand.
    assert (disc[2] - disc[0]) / unit == pytest.approx(84.4246, abs=0.01)
    assert (crown[2] - crown[0]) / unit == pytest.approx(93.23 - 84.4246, abs=0.02)
    assert crown[0] == pytest.approx(disc[2], abs=0.02)


def test_the_crown_is_named_only_when_the_space_is_full() -> None:
    assert read(at_depth(FULL).svg()).text("crown").text == "crown 8.81 cc"
    assert "dish" in read(at_depth(FULL).svg()).text("=").text
    assert "dome" in read(at_depth(DOME).svg()).text("=").text
    half = read(at_depth(replace(FULL, poured=40.0)).svg())
    assert half.text("not full yet")
    assert half.all("bar-crown") == []


def test_untold_it_gives_no_volume_away() -> None:
    picture = at_depth(FULL, tell=False)
    assert "93.2" not in picture.svg()
    assert "84.4" not in picture.svg()


def test_grease_is_laid_stretch_by_stretch_along_the_edge() -> None:
    def laid(strokes: int) -> Reading:
        view = replace(FULL, poured=0.0, grease=strokes, plate=30.0)
        return read(at_depth(view, tell=False).svg())

    for strokes in (0, 3, 5):
        assert len(laid(strokes).all("grease-line")) == strokes
        assert len(laid(strokes).all("grease-to-lay")) == 5 - strokes
    assert laid(5).all("gap") == []


def test_what_the_gap_takes_is_a_piece_of_the_bar() -> None:
    view = replace(FULL, grease=4, crevice=0.52, poured=FULL.space + 0.52)
    reading = read(at_depth(view).svg())
    poured, lost = reading.one("bar-water").box, reading.one("bar-crevice").box
    unit = (poured[2] - poured[0]) / view.poured
    assert (lost[2] - lost[0]) / unit == pytest.approx(0.52, abs=0.02)


def test_a_pull_follows_the_piston() -> None:
    def depth_handle(depth: float):
        view = replace(FULL, depth=depth, poured=20.0)
        return at_depth(view, grips=GRIPS).handles[0]

    before, after = depth_handle(12.7), depth_handle(12.75)
    assert before.pull is not None
    assert after.y - before.y == pytest.approx(0.05 * before.pull[1], abs=0.1)
