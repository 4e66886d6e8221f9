from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.bench.practice_bench import BUBBLE
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from enginemath.drawing.pouring.pour import PourView, pour
from tests.drawing.burettes import column_reading, window_reading
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import px_per_mm, right_half, turned_volume


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
        bubble=draw(st.sampled_from((0.0, BUBBLE[0], 0.8, BUBBLE[1]))) * min(1, chamber / 20),
        plug=draw(st.booleans()),
        grease=draw(st.booleans()),
        spilled=draw(st.sampled_from((0.0, 0.06, 5.0))),
    )


@settings(max_examples=60, deadline=None)
@given(
    pours(),
    st.booleans(),
    st.sampled_from((SCREEN, PROJECTOR)),
    st.sampled_from((None, (58.5, 44.6))),
)
def test_everything_lies_inside_and_the_burette_reads_true(
    view: PourView, tell, style, in_type
) -> None:
    size = in_type and (in_type[0] * style.text, in_type[1] * style.text)
    reading = read(pour(view, tell=tell, size=size, style=style).svg())
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


@settings(max_examples=60, deadline=None)
@given(pours(), st.sampled_from((SCREEN, PROJECTOR)), st.sampled_from((None, (58.5, 44.6))))
def test_thick_grease_is_named_in_the_wall_under_its_bead(view: PourView, style, in_type) -> None:
    size = in_type and (in_type[0] * style.text, in_type[1] * style.text)
    reading = read(pour(replace(view, grease=True), tell=False, size=size, style=style).svg())
    assert overlaps(reading) == []
    left, top, right, foot = reading.text("^thick grease$").box
    head, bead = reading.one("head").box, min(s.box for s in reading.all("grease"))
    assert left > head[0], "inside the head"
    assert foot < head[3], "above the bench"
    assert bead[3] < top < bead[3] + style.text, "close under the bead"
    assert left < bead[2], "below it, not beside it"
    assert bead[0] < right + style.text, "below it, not beside it"
    assert "grease stands in the chamber" in reading.description


def test_a_thin_line_of_grease_is_not_called_thick() -> None:
    reading = read(pour(PourView(47.5, 92.0, poured=47.5, reading=23.1)).svg())
    assert not reading.all("grease")
    assert not any("thick" in t.text for t in reading.texts)


@settings(max_examples=40, deadline=None)
@given(pours(), st.sampled_from((SCREEN, PROJECTOR)))
def test_a_spill_lies_on_the_plate_runs_off_it_and_is_named(view: PourView, style) -> None:
    view = replace(view, spilled=0.3)
    reading = read(pour(view, tell=False, style=style).svg())
    spill, plate, head = reading.one("spill").box, reading.first("plate").box, reading.one("head")
    assert spill[1] < plate[1], "on top of the plate"
    assert spill[0] < plate[0], "over its edge"
    assert spill[3] == pytest.approx(head.box[3], abs=0.01), "down to the bench"
    assert bool(reading.all("brim")) == view.full
    name = reading.text("^spilled$").box
    assert plate[0] < name[0], "over the layer"
    assert name[2] < reading.one("nozzle").box[0], "beside the burette"
    assert name[3] < spill[1], "clear of the layer"
    assert "Spilled: liquid lies on the plate" in reading.description


def test_nothing_spilled_is_not_drawn_nor_said() -> None:
    reading = read(pour(PourView(47.5, 92.0, poured=47.5, reading=23.1)).svg())
    assert not reading.all("spill")
    assert not reading.all("brim")
    assert not any("spilled" in t.text for t in reading.texts)
    assert "pilled" not in reading.description


def test_what_was_spilled_is_told_beside_what_is_in_the_chamber() -> None:
    view = PourView(47.5, 92.0, poured=47.5, reading=24.0, spilled=0.85)
    reading = read(pour(view).svg())
    assert reading.text("in the chamber 47.50 cc")
    assert reading.text("spilled 0.85 cc")


@pytest.mark.parametrize("style", [SCREEN, PROJECTOR])
@pytest.mark.parametrize("poured", [0.0, 24.0, 47.5])
def test_a_hole_without_its_plug_is_named_takes_liquid_and_drips(poured: float, style) -> None:
    fitted = PourView(47.5, 92.0, poured=poured, reading=20.0)
    with_plug = read(pour(fitted, style=style).svg())
    without = read(pour(replace(fitted, plug=False), style=style).svg())
    assert with_plug.text("^spark plug$")
    assert without.text("^open plug hole$")
    liquid = {s.marks["fill"] for s in without.all("liquid")} or {style.paper}
    assert {without.one("plug-hole").marks["fill"]} == liquid
    floor, scale = without.one("head").box[3], without.text(" mm$").box
    below = [s.box for s in without.all("drop") if s.box[1] >= floor - 0.01]
    assert len(below) == (1 if poured else 0)
    assert all(box[3] < scale[1] for box in below), "clear of the scale bar's number"
    assert ("drips" in without.description) == bool(poured)
    assert not any(s.box[1] >= floor - 0.01 for s in with_plug.all("drop"))


@pytest.mark.parametrize("style", [SCREEN, PROJECTOR])
@pytest.mark.parametrize("air", [0.4, 1.4])
def test_a_bubble_is_large_enough_to_be_seen_and_is_named(air: float, style) -> None:
    """The smallest and the largest of the virtual bench."""
    view = PourView(47.5, 92.0, poured=47.5 - air, reading=23.1, bubble=air)
    reading = read(pour(view, tell=False, style=style).svg())
    left, top, right, foot = reading.one("bubble").box
    assert right - left > 4 * style.text
    depth = (foot - top) / 2  # the curve reaches half as deep as its control point
    assert depth > 2 / 3 * style.text
    assert reading.one("bubble").marks["fill"] == style.paper
    assert top == pytest.approx(reading.one("liquid").box[1], abs=0.01), "under the plate"
    assert reading.text("^air$")
    assert "air stays under the plate" in reading.description


def test_a_burette_to_be_read_tells_no_number() -> None:
    reading = read(pour(PourView(47.5, 92.0, poured=31.85, reading=31.85), tell=False).svg())
    told = " ".join([reading.title, reading.description, *(t.text for t in reading.texts)])
    assert "31.85" not in told
    assert "8.5 divisions of 0.1 mL below the line marked 31" in reading.description
