from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from enginemath.drawing.pouring.known_depth import KnownDepthView, known_depth
from tests.drawing.burettes import column_reading, window_reading
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre, px_per_mm, right_half, turned_volume


@st.composite
def set_ups(draw) -> KnownDepthView:
    bore = draw(st.floats(36, 180))
    depth = draw(st.floats(0.12, 0.3)) * bore
    crown = draw(st.floats(-3e-5, 6e-5)) * bore**3
    view = KnownDepthView(
        bore=bore,
        depth=depth,
        poured=0.0,
        reading=draw(st.floats(0, 50)),
        dish=draw(st.sampled_from((0.0, crown))),
        reliefs=draw(st.sampled_from((0.0, 2e-6))) * bore**3,
    )
    return KnownDepthView(**{**vars(view), "poured": draw(st.floats(0, 1)) * view.space})


@settings(max_examples=40, deadline=None)
@given(
    set_ups(), st.sampled_from(("mm", "in")), st.booleans(), st.sampled_from((SCREEN, PROJECTOR))
)
def test_everything_lies_inside_and_to_scale(view: KnownDepthView, unit, tell, style) -> None:
    reading = read(known_depth(view, unit=unit, tell=tell, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []
    assert column_reading(reading) == pytest.approx(view.reading, abs=0.06)
    assert window_reading(reading) == pytest.approx(view.reading, abs=0.002)
    scale = px_per_mm(reading)
    one, two = reading.all("wall")
    assert (two.box[0] - one.box[2]) / scale == pytest.approx(view.bore, rel=1e-3)
    rings, walls = reading.one("piston").points, one.box[1]
    edge = min(y for _, y in rings)
    assert (edge - walls) / scale == pytest.approx(view.depth, rel=2e-3)


@pytest.mark.parametrize("share", [0.03, 0.2, 0.6, 1.0])
@pytest.mark.parametrize(("dish", "reliefs"), [(0.0, 0.0), (6.0, 2.8), (-9.0, 2.8), (30.0, 0.0)])
def test_drawn_liquid_is_what_was_poured(dish: float, reliefs: float, share: float) -> None:
    flat = KnownDepthView(92.0, 12.7, poured=0, reading=1, dish=dish, reliefs=reliefs)
    view = KnownDepthView(92.0, 12.7, share * flat.space, 1, dish, reliefs)
    reading = read(known_depth(view, size=(4000, 5000)).svg())
    middle = centre(reading.one("piston"))[0]

    def volume(kind: str) -> float:
        on_the_right = [s for s in reading.all(kind) if s.box[2] > middle]
        turned = [turned_volume(right_half(drawn, middle)) for drawn in on_the_right]
        return sum(turned) / px_per_mm(reading) ** 3 / 1000

    pockets = volume("dish") + volume("relief") - volume("empty")
    covered = 0.0
    if dish < 0 and reading.all("liquid"):
        covered = _covered(reading.one("dome"), reading.one("liquid").box[1], middle)
        covered /= px_per_mm(reading) ** 3 * 1000
    assert volume("liquid") + pockets - covered == pytest.approx(view.poured, rel=4e-3)


def _covered(dome, level: float, middle: float) -> float:
    """The part of the dome below a level, in px³."""
    (_, base), (wide, _), (narrow, top), _ = dome.points
    level = min(max(level, top), base)
    at_level = wide + (narrow - wide) * (base - level) / (base - top)
    return turned_volume(
        [(0.0, base), (wide - middle, base), (at_level - middle, level), (0.0, level)]
    )


@pytest.mark.parametrize(
    ("dish", "said"),
    [(6.0, "= 6.00 cc (dish)"), (-9.0, "= −9.00 cc (dome)"), (0.0, "= 0.00 cc (flat)")],
)
def test_crown_is_worked_out_when_full(dish: float, said: str) -> None:
    view = KnownDepthView(92.0, 12.7, 0, 1, dish)
    full = KnownDepthView(92.0, 12.7, view.space, 1, dish)
    assert any(t.text == said for t in read(known_depth(full).svg()).texts)
    assert not any("crown" in t.text for t in read(known_depth(view).svg()).texts)


@pytest.mark.parametrize(("depth", "dome"), [(12.7, 44.0), (8.0, 30.0), (25.0, 60.0)])
def test_a_dome_stays_under_the_plate(depth: float, dome: float) -> None:
    reading = read(known_depth(KnownDepthView(107.95, depth, 20.0, 20.0, dish=-dome)).svg())
    assert reading.one("dome").box[1] > reading.first("wall").box[1]


@pytest.mark.parametrize("bore", [39.0, 92.0, 180.0])
@pytest.mark.parametrize("style", [SCREEN, PROJECTOR])
def test_the_depth_is_not_written_over_the_wall(bore: float, style) -> None:
    view = KnownDepthView(bore, 12.0, 14.0, 14.0)
    reading = read(known_depth(view, size=style.framed(850.0, 475.0), style=style).svg())
    assert reading.text("12.000 mm").box[2] < reading.first("wall").box[0]


def test_a_burette_that_was_refilled_is_said_to_be() -> None:
    view = KnownDepthView(144.0, 12.0, poured=320.43, reading=20.43, dish=125.0)
    for tell in (True, False):
        reading = read(known_depth(view, tell=tell).svg())
        assert reading.text("refilled").text == "burette refilled 6 times"
        assert "burette refilled 6 times" in reading.description


def test_lengths_and_the_scale_bar_have_one_unit() -> None:
    reading = read(known_depth(KnownDepthView(92.0, 12.7, 20.0, 20.0), unit="in").svg())
    assert next(t for t in reading.texts if t.kind == "scale").text.endswith(" in")
