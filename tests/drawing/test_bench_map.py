from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.bench_map import PLACES, Stop, bench_map
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from tests.drawing.cylinder.test_large_engine import clear
from tests.drawing.engines import HERON, engines
from tests.drawing.reader import read

SHORT = ("the bench", "bore, stroke", "crank", "the tools", "chamber", "gasket, deck", "dish",
         "the whole stack", "the ±", "change", "cam and air", "the sheet")  # fmt: skip
STOPS = [
    Stop(f"{number:02d}", f"Lesson {number}", short, place, f"lesson/{number}?a&b", number < 4)
    for number, (short, place) in enumerate(zip(SHORT, PLACES, strict=True))
]


@settings(max_examples=25, deadline=None)
@given(engines(), st.sampled_from(STOPS), st.sampled_from((PAGE, PAGE_PROJECTOR)))
def test_is_clear_for_odd_engines(view, stop: Stop, style) -> None:
    clear(bench_map(view, STOPS, at=stop.number, style=style))


def test_every_lesson_leads_to_its_page() -> None:
    root = ElementTree.fromstring(bench_map(HERON, STOPS, at="04").svg())
    links = [e for e in root.iter() if e.tag.endswith("}a")]
    assert [link.attrib["href"] for link in links] == [stop.address for stop in STOPS]
    assert links[3].attrib["aria-label"] == "03 Lesson 3, done"
    assert links[4].attrib["aria-label"] == "04 Lesson 4, go on here"
    # The keyboard has the page's own list.
    assert {link.attrib["tabindex"] for link in links} == {"-1"}
    (image,) = [e for e in root.iter() if e.attrib.get("role") == "img"]
    assert not [e for e in image.iter() if e.tag.endswith("}a")]


def test_only_two_legs_of_the_way_are_drawn() -> None:
    legs = read(bench_map(HERON, STOPS, at="04").svg()).all("way")
    assert len(legs) == 2
    assert "stroke-dasharray" not in legs[0].marks
    assert "stroke-dasharray" in legs[1].marks
    assert len(read(bench_map(HERON, STOPS, at="00").svg()).all("way")) == 1
    assert read(bench_map(HERON, STOPS).svg()).all("way") == []


def test_the_upper_left_corner_stays_free() -> None:
    reading = read(bench_map(HERON, STOPS, at="04").svg())
    inside = [
        shape.kind
        for shape in reading.shapes
        if shape.kind not in ("paper", "way", "way-paper")
        and shape.box[0] < 310
        and shape.box[1] < 130
    ]
    assert inside == []


def test_a_place_that_is_not_known_is_refused() -> None:
    with pytest.raises(KeyError):
        bench_map(HERON, [Stop("12", "More", "more", "cellar", "12")])
