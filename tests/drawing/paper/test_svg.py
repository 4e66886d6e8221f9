from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.drawing.paper import dimension_lines
from enginemath.drawing.paper.number_line import LineView, number_line
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from tests.drawing.reader import SVG, read, real_width

NASTY = '<script>alert("1")</script> & \'"'


def test_user_text_is_escaped_everywhere() -> None:
    svg = number_line(LineView(NASTY, 9.0, 8.0, 10.0), key="x").svg()
    assert "<script" not in svg.casefold()
    reading = read(svg)
    assert NASTY in reading.title
    assert any(NASTY in text.text for text in reading.texts)


@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_makes_a_readable_picture(title: str, label: str) -> None:
    picture = Picture("plain", 100, 50, title=title, description=label)
    picture.label(label, 10, 10)
    root = ElementTree.fromstring(picture.svg())
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "title", "desc", "defs", "rect", "g", "text",
    }  # fmt: skip


def test_picture_names_itself_to_a_screen_reader() -> None:
    root = ElementTree.fromstring(Picture("plain", 9, 9, title="T", description="D", key="k").svg())
    assert root.attrib["role"] == "img"
    title, described = root.attrib["aria-labelledby"].split()
    by_id = {e.attrib["id"]: e.text for e in root.iter() if "id" in e.attrib}
    assert (by_id[title], by_id[described]) == ("T", "D")


def test_default_key_follows_from_what_is_said() -> None:
    same = [Picture("p", 9, 9, title="T", description="D").key for _ in range(2)]
    assert same[0] == same[1] != Picture("p", 9, 9, title="T", description="E").key


@given(st.text(alphabet=st.characters(min_codepoint=32, max_codepoint=126), min_size=3))
def test_width_table_never_falls_short_of_the_widest_face(text: str) -> None:
    """Against the advance widths in matplotlib's copy of DejaVu Sans."""
    assert text_width(text, 13) >= real_width(text, 13) - 1e-6


@pytest.mark.parametrize("text", ["Compression ratio 9.83 to 1", "0123456789", "squish clearance"])
def test_bold_width_covers_the_widest_face(text: str) -> None:
    assert text_width(text, 13, bold=True) >= real_width(text, 13, bold=True) - 1e-6


@pytest.mark.parametrize("span", [200.0, 60.0, 9.0, 0.0])
def test_dimension_line_ends_at_what_it_measures(span: float) -> None:
    picture = Picture("plain", 400, 400, title="", description="")
    dimension_lines.across(picture, 150, 150 + span, 50, "12.3 mm", from_y=90)
    reading = read(picture.svg())
    tips = sorted({reading.one("arrow").points[k][0] for k in (0, 4)})
    assert tips == pytest.approx(sorted({150.0, 150.0 + span}), abs=0.01)
    inside = reading.one("dimension").box[0] >= 150
    assert inside == (span > 20)
