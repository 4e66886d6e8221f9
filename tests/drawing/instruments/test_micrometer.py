"""Readings taken off the drawn lines and numbers, as a machinist takes them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.instruments.depth_micrometer import depth_micrometer
from enginemath.drawing.instruments.micrometer import micrometer
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, overlaps, read

styles = st.sampled_from((SCREEN, PROJECTOR))


def segments(reading, kind: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Strokes of one kind: start and end of each."""
    return [
        (shape.points[k], shape.points[k + 1])
        for shape in reading.all(kind)
        for k in range(0, len(shape.points), 2)
    ]


def numbers(reading, kind: str, axis: int) -> list[tuple[float, float]]:
    """Printed numbers of one kind and their middle along an axis (0 across, 1 down)."""
    found = []
    for text in reading.texts:
        if text.kind == kind:
            middle = (text.box[0] + text.box[2]) / 2
            line = text.box[3] - 0.55 * text.size
            found.append((float(text.text), (middle, line)[axis]))
    return found


def at_datum(lines: list[float], named: list[tuple[float, float]], datum: float, rising: int):
    """The thimble's number at the datum: a numbered line's number and divisions counted from it."""
    lines = sorted(lines)
    division = (lines[-1] - lines[0]) / (len(lines) - 1)
    number, place = named[0]
    line = min(lines, key=lambda at: abs(at - place))
    return number + rising * (datum - line) / division, division


def read_outside(reading, pitch: float, divisions: int, vernier: bool) -> float:
    datum = reading.one("datum").points[0][1]
    uncovered = len(segments(reading, "sleeve-mark")) - 1
    lines = [start[1] for start, _ in segments(reading, "thimble-mark")]
    turned, division = at_datum(lines, numbers(reading, "thimble-number", 1), datum, -1)
    turned %= divisions
    if not vernier:
        return uncovered * pitch + round(turned, 2) % divisions / divisions * pitch
    rows = [start[1] for start, _ in segments(reading, "vernier-mark")][:10]
    best = min(range(10), key=lambda j: min(abs(rows[j] - y) for y in lines))
    assert min(abs(rows[best] - y) for y in lines) < 0.02 * division
    return uncovered * pitch + (int(turned + 0.02) % divisions + best / 10) / divisions * pitch


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2500), st.sampled_from((0.0, 25.0, 75.0)), styles)
def test_metric_micrometer_reads_back(hundredths: int, base: float, style) -> None:
    true = hundredths / 100
    reading = read(micrometer(base + true, base=base, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert read_outside(reading, 0.5, 50, False) == pytest.approx(true, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10000), st.sampled_from((0.0, 3.0)), styles)
def test_inch_micrometer_reads_back_to_the_last_vernier_line(tenths, base, style) -> None:
    true = tenths / 10000
    reading = read(micrometer(base + true, "in", base=base, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert read_outside(reading, 0.025, 25, True) == pytest.approx(true, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, 1000), st.sampled_from((("mm", 0.5, 50, 25.0), ("in", 0.025, 25, 1.0))), styles
)
def test_depth_micrometer_reads_what_is_covered(steps: int, kind, style) -> None:
    unit, pitch, divisions, travel = kind
    true = steps / 1000 * travel
    true = round(true / (pitch / divisions)) * pitch / divisions
    reading = read(depth_micrometer(true, unit, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    marks = [start[1] for start, _ in segments(reading, "sleeve-mark")]
    still_seen = len(marks)
    all_lines = round(travel / pitch) + 1
    lines = [start[0] for start, _ in segments(reading, "thimble-mark")]
    datum = reading.one("datum").points[0][0]
    turned, _ = at_datum(lines, numbers(reading, "thimble-number", 0), datum, +1)
    turned = round(turned, 2) % divisions
    # A line that stands right at the edge is covered and still seen.
    edge = reading.one("thimble").box[3]
    covered = all_lines - still_seen - 1 + sum(abs(y - edge) < 0.05 for y in marks)
    assert covered * pitch + turned / divisions * pitch == pytest.approx(true, abs=1e-6)


def test_half_millimetre_line_is_there_to_be_missed() -> None:
    """5.28 and 5.78 mm show the same thimble; one more line below the datum tells them apart."""
    low, high = (read(micrometer(x).svg()) for x in (5.28, 5.78))
    assert numbers(low, "thimble-number", 1) == numbers(high, "thimble-number", 1)
    below = [
        sum(end[1] > start[1] for start, end in segments(r, "sleeve-mark")) for r in (low, high)
    ]
    assert below == [5, 6]


def test_thimble_numbers_grow_upwards_and_depth_numbers_grow_to_the_right() -> None:
    up = numbers(read(micrometer(10.25).svg()), "thimble-number", 1)
    assert [n for n, _ in sorted(up, key=lambda pair: -pair[1])] == [20, 25, 30]
    across = numbers(read(depth_micrometer(10.25).svg()), "thimble-number", 0)
    assert [n for n, _ in sorted(across, key=lambda pair: pair[1])] == [20, 25, 30]


def test_marks_are_told_but_not_the_reading() -> None:
    picture = micrometer(3.3624, "in", base=3.0)
    told = f"{picture.title} {picture.description}"
    assert "362" not in told
    assert picture.description == (
        "Range 3–4 in. Sleeve: 2 lines past the number 3. Thimble: the datum line stands between "
        "lines 12 and 13. Vernier: line 4 meets a thimble line."
    )
