from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.instruments.burette import MENISCUS, burette
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.burettes import column_reading, window_reading
from tests.drawing.reader import outside, overlaps, read


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 1000), st.sampled_from((SCREEN, PROJECTOR)))
def test_reads_back_at_every_half_division(twentieths: int, style) -> None:
    true = twentieths / 20
    reading = read(burette(true, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert column_reading(reading) == pytest.approx(true, abs=0.05)
    assert window_reading(reading) == pytest.approx(true, abs=0.002)


def test_reading_the_top_of_the_meniscus_is_the_usual_slip() -> None:
    drawn = read(burette(23.45).svg()).one("meniscus").points
    marks = sorted({y for _, y in read(burette(23.45).svg()).first("mark-tenth").points})
    division = marks[1] - marks[0]
    climbed = ((drawn[0][1] + drawn[1][1]) / 2 - drawn[0][1]) / division * 0.1
    assert climbed == pytest.approx(MENISCUS, abs=0.002)
