from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.charts.class_readings import class_readings
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.charts.axes import upright
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre

GROUPS = ["Anvils", "Borers", "Chucks", "Dividers and callipers", "<script>", "F", "G", "H"]


@st.composite
def classes(draw):
    groups = GROUPS[: draw(st.integers(1, 8))]
    repeats = st.lists(st.floats(46, 50), min_size=1, max_size=4)
    chambers = range(1, draw(st.integers(1, 8)) + 1)
    return {str(c): {g: draw(repeats) for g in groups} for c in chambers}


@settings(max_examples=30, deadline=None)
@given(classes(), st.sampled_from((SCREEN, PROJECTOR)))
def test_every_class_fits(readings, style) -> None:
    reading = read(class_readings(readings, stands_off={"Borers"}, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    count = sum(len(r) for row in readings.values() for r in row.values())
    assert len(reading.all("reading")) + len(reading.all("reading-off")) == count


@pytest.mark.parametrize("apart", [1e-9, 7.6e-6, 1e-3, 0.02])
def test_readings_that_hardly_differ_keep_two_decimals(apart: float) -> None:
    reading = read(class_readings({"1": {"A": [46.0, 46.0 + apart]}}).svg())
    assert outside(reading) == []
    assert "46.00" in {text.text for text in reading.texts}


def test_readings_stand_at_their_numbers_and_an_outlier_has_its_own_shape() -> None:
    rows = {"1": {"A": [47.4, 47.6], "B": [48.9, 49.1]}}
    reading = read(class_readings(rows, stands_off={"B"}).svg())
    found = [upright(reading, centre(s)[1]) for s in reading.all("reading")]
    assert found == pytest.approx([47.4, 47.6], abs=0.02)
    assert len(reading.all("reading-off")) == 2
    means = [upright(reading, s.points[0][1]) for s in reading.all("group-mean")]
    assert means == pytest.approx([47.5, 49.0], abs=0.02)
    assert reading.title.endswith("stands off: B")
