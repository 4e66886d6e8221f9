"""Lesson 06 by hand: lower, grease, plate on, pour; and what a forgotten grease does."""

from __future__ import annotations

from typing import Any

import pytest

from enginemath.units import Refused
from tests.drawing.reader import read
from tests.panels.opened import control, opened, said
from tests.panels.test_numbers import disc

# Ring land of the Heron Eight's sheet: 0.260 in high, 0.022 in less than the bore of 3.815 in.
CREVICE = disc(3.815 * 25.4, 0.260 * 25.4) - disc((3.815 - 0.022) * 25.4, 0.260 * 25.4)


def on_the_bench(strokes: int) -> Any:
    """The Heron Eight's piston greased along so many stretches, plate on, poured until full."""
    panel = opened("dish_and_dome", "heron-eight", predict=True)
    panel.take("known depth", "0.451 in")
    panel.take("line of grease", strokes)
    panel.take("clear plate", 0)
    panel.take("tap", "200 cc")
    return panel


def test_no_water_runs_before_the_plate_is_on() -> None:
    panel = opened("dish_and_dome", "heron-eight", predict=True)
    with pytest.raises(Refused, match="tap: not to be set now"):
        panel.take("tap", "5 cc")
    assert {handle.name for handle in panel.picture_now.handles} == {
        "known depth", "line of grease", "clear plate",
    }  # fmt: skip
    panel.take("clear plate", 0.4)
    assert "tap" in {handle.name for handle in panel.picture_now.handles}


def test_forgotten_grease_lets_the_crevice_into_the_reading() -> None:
    sealed, open_gap = on_the_bench(5), on_the_bench(4)
    assert open_gap.ran - sealed.ran == pytest.approx(CREVICE, abs=0.002)
    assert f"{CREVICE:.2f} cc of it ran down beside the piston" in said(open_gap)
    assert "beside the piston" not in said(sealed)
    assert read(open_gap.svg).all("gap")
    assert not read(sealed.svg).all("gap")


def test_a_lifted_plate_empties_the_bore_and_a_moved_piston_smears_the_grease() -> None:
    panel = on_the_bench(3)
    panel.take("clear plate", None)
    assert (panel.ran, panel.grease.at) == (0, 3)
    assert not read(panel.svg).all("water")
    control(panel, "known depth").slide(0.5)
    assert panel.grease.at == 0
    panel.take("line of grease", 2)
    control(panel, "known depth").type("3.6 in")
    assert "deeper than the piston goes" in control(panel, "known depth").says
    assert panel.grease.at == 2, "it has not moved"


def test_the_answer_keeps_what_was_forgotten_and_does_what_was_not_begun() -> None:
    panel = on_the_bench(0)
    panel.take("guess", "-4 cc")
    true = float(panel.engine.piston.crown.m_as("cc"))
    assert f"−{-(true + CREVICE):.2f} cc" in said(panel)
    assert "That is too much" in said(panel)
    panel.take("line of grease", 5)
    assert f"−{-true:.2f} cc" in said(panel)
    unbegun = opened("dish_and_dome", "heron-eight", predict=True)
    unbegun.take("guess", "-4 cc")
    assert f"−{-true:.2f} cc" in said(unbegun)
