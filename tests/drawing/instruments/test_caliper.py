from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.instruments.caliper import caliper
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.reader import outside, overlaps, read

styles = st.sampled_from((SCREEN, PROJECTOR))


def places(reading, kind: str) -> list[float]:
    return [p[0] for shape in reading.all(kind) for p in shape.points[::2]]


def read_caliper(reading, division: float, lines: int, per_number: float) -> float:
    """Whole divisions before the vernier's zero, then the vernier line that meets the beam best."""
    beam = sorted(places(reading, "beam-mark") + places(reading, "beam-long"))
    vernier = places(reading, "vernier-mark")
    px = (beam[-1] - beam[0]) / (len(beam) - 1)
    best = min(range(lines), key=lambda k: min(abs(vernier[k] - x) for x in beam))
    text = next(t for t in reading.texts if t.kind == "beam-number" and "in" not in t.text)
    named = min(beam, key=lambda x: abs(x - (text.box[0] + text.box[2]) / 2))
    value = float(text.text) * per_number
    zero = value + (vernier[0] - named) / px * division
    whole = math.floor(zero / division + 0.01)
    return whole * division + best * division / lines


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 7500), styles)
def test_metric_caliper_reads_back(fiftieths: int, style) -> None:
    true = fiftieths / 50
    reading = read(caliper(true, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert read_caliper(reading, 1.0, 50, 1.0) == pytest.approx(true, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 6000), styles)
def test_inch_caliper_reads_back(thousandths: int, style) -> None:
    true = thousandths / 1000
    reading = read(caliper(true, "in", style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    whole = [t for t in reading.texts if t.kind == "whole-number"]
    first, last = whole[0], whole[-1]
    middle = [(t.box[0] + t.box[2]) / 2 for t in (first, last)]
    inch = (middle[1] - middle[0]) / (float(last.text) - float(first.text))
    pointer = reading.one("vernier-zero").points[0][0]
    inches = int((pointer - middle[0]) / inch + 0.01)
    found = read_caliper(reading, 0.025, 25, 0.1)
    # The tenths on the beam start again at each inch; the whole inches stand on the slim beam.
    assert min(abs(found % 1 + k - true) for k in (inches - 1, inches, inches + 1)) < 1e-6
    assert (pointer - middle[0]) / inch == pytest.approx(true, abs=0.01)


def test_one_vernier_line_alone_meets_the_beam() -> None:
    reading = read(caliper(37.46).svg())
    beam = places(reading, "beam-mark") + places(reading, "beam-long")
    vernier = places(reading, "vernier-mark")
    misses = [min(abs(v - x) for x in beam) for v in vernier]
    assert [k for k, miss in enumerate(misses) if miss < 0.02] == [23]
