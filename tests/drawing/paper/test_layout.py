from __future__ import annotations

import re

from enginemath.drawing.cylinder.section import section
from enginemath.drawing.paper.layout import column, row
from enginemath.drawing.paper.number_line import number_line, ratio_line
from tests.drawing.engines import HERON
from tests.drawing.reader import read


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
