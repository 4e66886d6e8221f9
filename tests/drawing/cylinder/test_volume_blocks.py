from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.section import SectionView
from enginemath.drawing.cylinder.volume_blocks import StackView, stack
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.engines import HERON, engines, volumes
from tests.drawing.reader import outside, overlaps, read

BLOCKS = ("crevice", "crown", "deck", "gasket", "chamber")


def height(drawn) -> float:
    return drawn.box[3] - drawn.box[1]


@settings(max_examples=40, deadline=None)
@given(engines(), st.sampled_from(("mm", "in")), st.sampled_from((SCREEN, PROJECTOR)))
def test_everything_lies_inside_and_no_labels_touch(view: SectionView, unit: str, style) -> None:
    reading = read(stack(volumes(view), unit=unit, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []


@settings(max_examples=40, deadline=None)
@given(engines())
def test_blocks_are_to_scale_and_the_columns_give_the_ratio(view: SectionView) -> None:
    view_of = volumes(view)
    reading = read(stack(view_of).svg())
    blocks = [shape for part in BLOCKS for shape in reading.all(f"block-{part}")]
    sizes = [abs(volume) for *_, volume in view_of.blocks]
    assert len(blocks) == len(sizes)
    tall = sum(map(height, blocks)) / sum(sizes)
    for block, size in zip(blocks, sizes, strict=True):
        assert height(block) == pytest.approx(tall * size, abs=0.03)
    zero, net = reading.one("zero").points[0][1], reading.one("net").points[0][1]
    assert (zero - net) / tall == pytest.approx(view_of.clearance, abs=0.03 / tall)
    swept, clearance = height(reading.one("swept")), height(reading.one("clearance"))
    drawn_ratio = (swept + clearance) / clearance
    assert drawn_ratio == pytest.approx(view_of.ratio, rel=0.04 / clearance)


def test_dome_and_proud_piston_hang_below_the_zero_line() -> None:
    view = replace(volumes(HERON), dish=-8.0, deck=-1.3)
    reading = read(stack(view).svg())
    zero = reading.one("zero").points[0][1]
    dome, reliefs = reading.all("block-crown")
    (deck,) = reading.all("block-deck")
    assert dome.box[1] == pytest.approx(zero, abs=0.02)
    assert reliefs.box[3] <= zero
    assert deck.box[1] > zero
    assert height(reading.one("taken-off")) == pytest.approx(height(dome) + height(deck), abs=0.03)
    assert "dome −8.00 cc" in reading.description


def test_ratio_is_worked_as_on_the_blackboard() -> None:
    """Swept 588.3135 cc, clearance 66.6496 cc, ratio 9.8270: the trade notes' invented engine."""
    reading = read(stack(volumes(HERON)).svg())
    assert reading.text("÷ 66").text == "(588.31 + 66.65) ÷ 66.65 = 9.83"
    assert reading.title == "Volumes of one cylinder: ratio 9.83"


def test_parts_with_no_volume_leave_no_block() -> None:
    names = [name for _, name, _ in StackView(500.0, 50.0, 6.0, 0.0).blocks]
    assert names == ["gasket", "chamber"]
