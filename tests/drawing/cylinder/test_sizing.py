from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from tests.drawing.cylinder.test_large_engine import clear
from tests.drawing.engines import HERON, engines
from tests.drawing.reader import read

GRIPS = [
    Grip("bore", "bore", 92.0, 86, 98, 0.1),
    Grip("stroke", "stroke", 88.5, 76, 100, 0.1),
]


@settings(max_examples=25, deadline=None)
@given(engines(), st.integers(1, 16), st.booleans(), st.sampled_from((PAGE, PAGE_PROJECTOR)))
def test_is_clear_for_odd_engines(view, cylinders: int, tell: bool, style) -> None:
    clear(
        sizing(
            replace(view, bore=1.01 * view.bore, gasket_bore=1.02 * view.gasket_bore),
            cylinders=cylinders,
            tell=tell,
            found=view,
            grips=GRIPS,
            style=style,
        )
    )


def test_bore_and_stroke_are_to_the_scale_of_the_bar_in_both_units() -> None:
    reading = read(sizing(HERON).svg())
    (left, _), (right, _) = reading.one("scale-mm").points[0], reading.one("scale-mm").points[-2]
    mm = (right - left) / float(reading.text(r"^\d+ mm$").text.split()[0])
    (left, _), (right, _) = reading.one("scale-in").points[0], reading.one("scale-in").points[-2]
    inch = (right - left) / float(reading.text(r"^\d+ in$").text.split()[0])
    assert inch / mm == pytest.approx(25.4, rel=1e-3)
    left, top, right, foot = reading.one("swept").box
    assert (right - left) / mm == pytest.approx(92.0, rel=1e-3)
    assert (foot - top) / mm == pytest.approx(88.5, rel=1e-3)


def test_volumes_are_those_of_the_blackboard() -> None:
    reading = read(sizing(HERON, cylinders=4).svg())
    one = math.pi / 4 * 9.2**2 * 8.85
    assert reading.text("swept by one piston")
    assert reading.text(f"^{one:.2f} cc$")
    assert reading.text(f"^{4 * one:.1f} cc$")
    assert len(reading.all("block")) == 4
    assert " cc" not in sizing(HERON, tell=False).svg()


@pytest.mark.parametrize("number", [0, 1])
def test_a_pull_follows_the_outline(number: int) -> None:
    name = GRIPS[number].name
    more = replace(HERON, **{name: getattr(HERON, name) + 0.1})
    before, after = (
        sizing(view, found=HERON, grips=GRIPS).handles[number] for view in (HERON, more)
    )
    assert before.pull is not None
    moved = (after.x - before.x, after.y - before.y)
    across = number == 0
    assert moved[0 if across else 1] == pytest.approx(
        0.1 * before.pull[0 if across else 1], abs=0.02
    )
