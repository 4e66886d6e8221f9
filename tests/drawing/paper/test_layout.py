from __future__ import annotations

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.section import SectionView, section
from enginemath.drawing.paper.layout import column, overview, row
from enginemath.drawing.paper.number_line import number_line, ratio_line, squish_line
from enginemath.drawing.paper.palette import PROJECTOR, SCREEN
from tests.drawing.engines import HERON, engines, volumes
from tests.drawing.reader import outside, overlaps, read


@settings(max_examples=40, deadline=None)
@given(engines(), st.sampled_from(("mm", "in")), st.sampled_from((SCREEN, PROJECTOR)))
def test_overview_holds_every_engine(view: SectionView, unit: str, style) -> None:
    stack = volumes(view)
    lines = ratio_line(stack.ratio, (9.0, 9.5)), squish_line(view.squish, unit=unit)
    reading = read(overview(view, stack, *lines, unit=unit, style=style).svg())
    assert outside(reading) == []
    assert overlaps(reading) == []


def test_parts_keep_one_fill_across_the_overview() -> None:
    stack = volumes(HERON)
    reading = read(overview(HERON, stack, ratio_line(stack.ratio, (9.0, 9.5)), key="one").svg())
    for part in ("chamber", "gasket", "deck"):
        fills = {s.marks["fill"] for k in (part, f"block-{part}") for s in reading.all(k)}
        assert fills == {f"url(#one-hatch-{part})"}


def test_every_reference_has_its_own_target() -> None:
    two = row([section(HERON), section(HERON)], title="two", key="two")
    svg = column([two, number_line(ratio_line(9.0))], title="all", key="all").svg()
    ids = read(svg).ids
    assert len(ids) == len(set(ids))
    used = set(re.findall(r"url\(#([^)]+)\)", svg))
    assert used
    assert used <= set(ids)
    assert all(name.startswith("all-") for name in ids)


def test_two_pictures_on_a_page_share_no_id() -> None:
    one, two = (read(section(HERON, key=key).svg()).ids for key in ("a", "b"))
    assert not set(one) & set(two)
