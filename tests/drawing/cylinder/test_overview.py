from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.overview import overview, section_alone
from enginemath.drawing.cylinder.section import SectionView
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN, Style
from enginemath.engine.stack import stack_of
from tests.drawing.engines import HERON, engine_of, engines
from tests.drawing.reader import Reading, outside, overlaps, read

UNITS, STYLES = st.sampled_from(("mm", "in")), st.sampled_from((SCREEN, PROJECTOR))


def read_overview(view: SectionView, unit: str = "mm", style: Style = SCREEN) -> Reading:
    engine = engine_of(view)
    stack = stack_of(engine)
    lines = ratio_line(stack.ratio, (9.0, 9.5)), squish_line(view.squish, unit=unit)
    picture = overview(
        engine, stack, *lines, unit=unit, key="one", style=style, angle=view.angle, crank=True
    )
    return read(picture.svg())


@settings(max_examples=40, deadline=None)
@given(engines(), UNITS, STYLES)
def test_it_holds_every_engine(view: SectionView, unit: str, style: Style) -> None:
    reading = read_overview(view, unit, style)
    assert outside(reading) == []
    assert overlaps(reading) == []


def test_parts_keep_one_fill_across_the_pictures() -> None:
    reading = read_overview(HERON)
    for part in ("chamber", "gasket", "deck"):
        fills = {s.marks["fill"] for k in (part, f"block-{part}") for s in reading.all(k)}
        assert fills == {f"url(#one-hatch-{part})"}


@pytest.mark.parametrize("style", [SCREEN, PROJECTOR])
def test_before_the_guess_no_volume_and_no_ratio_shows(style: Style) -> None:
    alone = section_alone(engine_of(HERON), unit="mm", key="one", style=style)
    reading = read(alone.svg())
    assert not reading.all("block-chamber")
    assert "ratio" not in " ".join(label.text for label in alone.labels).casefold()
    assert alone.width == pytest.approx(850 * style.enlargement)
