from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.section import SectionView, section
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.engines import HERON, engines
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre, px_per_mm, right_half, turned_volume

showings = st.fixed_dictionaries(
    {
        "unit": st.sampled_from(("mm", "in")),
        "crank": st.booleans(),
        "style": st.sampled_from((SCREEN, PROJECTOR)),
    }
)


@settings(max_examples=40, deadline=None)
@given(engines(), showings)
def test_everything_lies_inside_and_no_labels_touch(view: SectionView, shown) -> None:
    reading = read(section(view, **shown).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []


@settings(max_examples=40, deadline=None)
@given(engines(), showings)
def test_every_length_is_to_one_scale(view: SectionView, shown) -> None:
    reading = read(section(view, **shown).svg())
    scale = px_per_mm(reading)
    left, top, right, bottom = reading.first("gasket").box
    measured = {
        "gasket bore": ((right - left) / scale, view.gasket_bore),
        "gasket": ((bottom - top) / scale, view.gasket_thickness),
    }
    (_, tdc), _, (_, bdc), _ = reading.first("level").points
    measured["stroke"] = ((bdc - tdc) / scale, view.stroke)
    walls = reading.all("wall")[:2]
    measured["bore"] = ((walls[1].box[0] - walls[0].box[2]) / scale, view.bore)
    measured["deck"] = ((tdc - walls[0].box[1]) / scale, view.deck_clearance)
    for name, (drawn, true) in measured.items():
        assert drawn == pytest.approx(true, rel=5e-4, abs=0.03 / scale), name


@settings(max_examples=40, deadline=None)
@given(engines())
def test_rod_and_crank_keep_their_lengths(view: SectionView) -> None:
    """The drawn linkage is a real one: rod and crank stay as long as they are at every angle."""
    view = replace(view, rod_length=view.rod_length or 1.7 * view.stroke)
    reading = read(section(view).svg())
    scale = px_per_mm(reading)
    pin = centre(reading.one("rod-end"))
    crank_pin = centre(reading.one("crank-pin"))
    crank = centre(reading.one("crank-journal"))
    assert math.dist(pin, crank_pin) / scale == pytest.approx(view.rod_length, rel=1e-3)
    long, offset = view.rod_length, view.pin_offset
    radius = math.dist(crank_pin, crank) / scale
    # The travel that this crank gives by Pythagoras at both dead centres is the stroke.
    reach = [math.sqrt((long + sign * radius) ** 2 - offset**2) for sign in (1, -1)]
    assert reach[0] - reach[1] == pytest.approx(view.stroke, rel=1e-3)


def test_piston_stands_where_a_linkage_puts_it() -> None:
    """r = 44.25, l = 145, 90°: r + l − √(l² − r²) = 51.1665 mm, by hand."""
    reading = read(section(replace(HERON, angle=90.0)).svg())
    scale = px_per_mm(reading)
    tdc = reading.first("level").points[0][1]
    edge = reading.first("piston").box[1]
    assert (edge - tdc) / scale == pytest.approx(51.1665, abs=0.02)
    assert reading.text("below TDC").text == "piston 51.167 mm below TDC"


def test_crank_turns_clockwise_from_the_top() -> None:
    reading = read(section(replace(HERON, angle=90.0)).svg())
    (x, y), (cx, cy) = centre(reading.one("crank-pin")), centre(reading.one("crank-journal"))
    assert x > cx
    assert y == pytest.approx(cy, abs=0.02)


@pytest.mark.parametrize(("kind", "volume"), [("chamber", 47.5), ("dish", 6.0), ("dome", 8.0)])
def test_drawn_solids_hold_their_volume(kind: str, volume: float) -> None:
    view = replace(HERON, dish=-8.0 if kind == "dome" else 6.0)
    reading = read(section(view, scale=8.0, size=(1600, 3000)).svg())
    found = turned_volume(right_half(reading.first(kind)))
    assert found / px_per_mm(reading) ** 3 / 1000 == pytest.approx(volume, rel=2e-3)


def test_drawn_reliefs_hold_their_volume() -> None:
    reading = read(section(HERON, scale=8.0, size=(1600, 3000)).svg())
    middle = centre(reading.first("piston"))[0]
    notch = next(s for s in reading.all("relief") if s.box[0] > middle)
    found = turned_volume([(x - middle, y) for x, y in notch.points])
    assert found / px_per_mm(reading) ** 3 / 1000 == pytest.approx(2.8, rel=5e-3)


@settings(max_examples=40, deadline=None)
@given(engines())
def test_lens_is_magnified_as_it_says(view: SectionView) -> None:
    reading = read(section(view).svg())
    times = int(reading.text("magnified").text.split()[1])
    gaps = [s.box[3] - s.box[1] for s in reading.all("gasket")]
    assert gaps[1] == pytest.approx(times * gaps[0], abs=0.02 * (times + 1))
    spot, lens = (reading.first(kind).box for kind in ("spot", "lens"))
    assert lens[2] - lens[0] == pytest.approx(times * (spot[2] - spot[0]), rel=1e-2, abs=0.5)


def test_numbers_are_said_in_words() -> None:
    picture = section(HERON)
    assert picture.title == "Cylinder in section, crank 60.0° after TDC"
    for said in ("bore 92.000 mm", "chamber 47.50 cc", "deck clearance 0.350 mm", "dish 6.00 cc"):
        assert said in picture.description
    inches = section(HERON, unit="in").description
    assert "bore 3.6220 in" in inches
    assert re.search(r"chamber [\d.]+ cc", inches), "volumes as the burette reads them"
    assert "very long rod" in section(replace(HERON, rod_length=None)).description


def test_scale_stands_still_while_a_slider_moves_a_little() -> None:
    scales = {px_per_mm(read(section(replace(HERON, bore=b)).svg())) for b in (91.9, 92.0, 92.2)}
    assert max(scales) - min(scales) < 1e-3


@settings(max_examples=20, deadline=None)
@given(engines(), showings)
def test_a_dimension_line_breaks_for_its_text(view: SectionView, shown) -> None:
    reading = read(section(view, **shown).svg())
    said = [text for text in reading.texts if text.kind == "measure"]
    for line in reading.all("dimension"):
        for (x1, y1), (x2, y2) in zip(line.points[::2], line.points[1::2], strict=True):
            for text in said:
                left, top, right, bottom = text.box
                if x1 == x2 and left < x1 < right:
                    assert not (min(y1, y2) < top and bottom < max(y1, y2)), text.text
