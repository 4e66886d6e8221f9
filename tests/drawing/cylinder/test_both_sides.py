from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.both_sides import both_sides
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.paper.number_line import squish_line
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from tests.drawing.cylinder.test_large_engine import clear
from tests.drawing.engines import HERON, engines
from tests.drawing.reader import Reading, read

GRIPS = [
    Grip("gasket", "gasket thickness", 1.1, 0.4, 2.4, 0.01),
    Grip("left", "deck, one side", 0.3, -0.5, 1.5, 0.01),
    Grip("right", "deck, other side", 0.4, -0.5, 1.5, 0.01),
]


@settings(max_examples=20, deadline=None)
@given(
    engines(),
    st.floats(-0.05, 0.05),
    st.sampled_from((PAGE, PAGE_PROJECTOR)),
    st.sampled_from(("mm", "in")),
)
def test_is_clear_for_odd_engines(view, rock: float, style, unit: str) -> None:
    deck = view.deck_clearance
    clear(
        both_sides(
            view,
            (deck - rock, deck + rock),
            squish_line(view.squish, unit=unit),
            free=1.2 * view.gasket_thickness,
            found=replace(view, deck_clearance=deck + 0.1),
            grips=GRIPS,
            guess=1.0,
            unit=unit,
            style=style,
        )
    )


def test_each_glass_shows_its_own_side() -> None:
    reading = read(both_sides(HERON, (0.2, 0.6)).svg())
    left, right = (s.box for s in reading.all("deck")[1:])
    gasket = reading.all("gasket")[1].box
    unit = (gasket[3] - gasket[1]) / HERON.gasket_thickness
    assert (left[3] - left[1]) / unit == pytest.approx(0.2, abs=1e-3)
    assert (right[3] - right[1]) / unit == pytest.approx(0.6, abs=1e-3)


def test_squish_is_drawn_from_head_to_piston() -> None:
    reading = read(both_sides(HERON, (0.2, 0.6)).svg())
    gasket = reading.all("gasket")[1].box
    unit = (gasket[3] - gasket[1]) / HERON.gasket_thickness
    for line, deck in zip(reading.all("dimension"), (0.2, 0.6), strict=True):
        assert (line.box[3] - line.box[1]) / unit == pytest.approx(1.1 + deck, abs=1e-3)


def test_free_gasket_is_dashed_above_the_clamped_one() -> None:
    assert read(both_sides(HERON, (0.3, 0.4)).svg()).all("ghost") == []
    reading = read(both_sides(HERON, (0.3, 0.4), free=1.35).svg())
    gasket = reading.all("gasket")[1].box
    unit = (gasket[3] - gasket[1]) / HERON.gasket_thickness
    ghost = reading.all("ghost")[0].box
    assert (gasket[3] - ghost[1]) / unit == pytest.approx(1.35, abs=1e-3)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_pull_follows_the_gap(number: int) -> None:
    name = GRIPS[number].name

    def handle(gasket: float, left: float, right: float):
        view = replace(HERON, gasket_thickness=gasket)
        drawn = both_sides(view, (left, right), found=HERON, grips=GRIPS)
        return next(h for h in drawn.handles if h.name == name)

    before = handle(1.1, 0.3, 0.4)
    lengths = [1.1, 0.3, 0.4]
    lengths[number] += 0.05
    after = handle(*lengths)
    assert before.pull is not None
    assert after.y - before.y == pytest.approx(0.05 * before.pull[1], abs=0.02)


def test_what_was_pulled_keeps_its_outline_as_found_on_one_scale() -> None:
    def glass(**changed: float) -> Reading:
        view = replace(HERON, **changed)
        sides = view.deck_clearance, HERON.deck_clearance
        return read(both_sides(view, sides, found=HERON).svg())

    assert glass().all("ghost") == []
    thinner = glass(gasket_thickness=0.8)
    gasket, face = thinner.all("gasket")[1].box, thinner.all("ghost")[0].box[3]
    unit = (gasket[3] - gasket[1]) / 0.8
    assert (gasket[3] - face) / unit == pytest.approx(HERON.gasket_thickness, abs=1e-3)
    assert thinner.text("as found")
    lower = glass(deck_clearance=0.9)
    assert len(lower.all("ghost")) == 2, "in its own glass alone"
    deck, edge = lower.all("deck")[1].box, lower.all("ghost")[1].box[1]
    unit = (deck[3] - deck[1]) / 0.9
    assert (edge - deck[1]) / unit == pytest.approx(HERON.deck_clearance, abs=1e-3)
