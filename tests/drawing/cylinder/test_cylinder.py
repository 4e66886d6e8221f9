"""Edges and spots agree with the outlines that are drawn, read back from the picture."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from enginemath.drawing.cylinder.cylinder import (
    DrawnCylinder,
    SectionView,
    draw_cylinder,
    draw_dead_centres,
)
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from tests.drawing.engines import engines
from tests.drawing.reader import Drawn, read

OUT = {"chamber": 0.5, "gasket": 0.5, "deck": 0.5, "swept": 0.5, "dish": 0.5, "dome": 0.5}
KIND = {"reliefs": "relief", "land": "crevice"}
"""What a part's outline is called in the picture, where it is not the part's own name."""
HALF_A_STEP = 0.006
"""The picture's text holds hundredths of a px."""


def drawn(view: SectionView) -> tuple[DrawnCylinder, DrawingSheet, Picture]:
    cylinder, sheet = DrawnCylinder(view, crank=False), DrawingSheet(700.0, 400.0, 3.0)
    picture = Picture("cylinder", 1400.0, 1400.0, title="cylinder", description="to be read back")
    draw_cylinder(picture, sheet, cylinder, view.drop)
    return cylinder, sheet, picture


def holds(shape: Drawn, spot: tuple[float, float]) -> bool:
    left, top, right, bottom = shape.box
    across, down = (left, spot[0], right), (top, spot[1], bottom)
    return all(a - HALF_A_STEP <= x <= b + HALF_A_STEP for a, x, b in (across, down))


@settings(max_examples=40, deadline=None)
@given(engines())
def test_edges_stand_where_the_outlines_do(view: SectionView) -> None:
    cylinder, sheet, picture = drawn(view)
    edges = cylinder.edges(sheet)
    draw_dead_centres(picture, edges, tdc=-0.6, bdc=0.75)
    reading = read(picture.svg())
    near, far = (wall.box for wall in reading.all("wall"))
    outlines = {
        "wall": near[0],
        "left": near[2],
        "right": far[0],
        "deck": near[1],
        "head": reading.one("head").box[1],
    }
    for name, place in outlines.items():
        assert getattr(edges, name) == pytest.approx(place, abs=2 * HALF_A_STEP), name
    (_, tdc), _, (_, bdc), _ = reading.one("level").points
    assert (tdc - near[1]) / 3 == pytest.approx(view.deck_clearance, abs=HALF_A_STEP)
    assert (bdc - tdc) / 3 == pytest.approx(view.stroke, abs=HALF_A_STEP)


@settings(max_examples=60, deadline=None)
@given(engines())
def test_each_spot_lies_on_its_part(view: SectionView) -> None:
    cylinder, sheet, picture = drawn(view)
    reading = read(picture.svg())
    for part, spot in cylinder.spots(sheet, OUT).items():
        assert any(holds(shape, spot) for shape in reading.all(KIND.get(part, part))), part


@settings(max_examples=60, deadline=None)
@given(engines())
def test_what_is_not_there_has_no_spot(view: SectionView) -> None:
    cylinder, sheet, _ = drawn(view)
    spots = cylinder.spots(sheet, OUT)
    assert ("deck" in spots) == (view.deck_clearance > 0)
    assert ("dish" in spots, "dome" in spots) == (view.dish > 0, view.dish < 0)
    assert ("reliefs" in spots) == (view.reliefs > 0)
    assert ("land" in spots) == (view.land_clearance is not None)
