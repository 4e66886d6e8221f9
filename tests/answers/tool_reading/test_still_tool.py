"""Drawn tools never tell their reading, and every reading of them gets one sentence."""

from __future__ import annotations

import pytest

from enginemath.answers.tool_reading import FEELER, TOOLS
from enginemath.answers.tool_reading.still_tool import judge_reading, show_tool, tool_to_read
from enginemath.units import Refused


@pytest.mark.parametrize(("tool", "unit"), [key for key in TOOLS if key[0] != FEELER])
def test_the_right_reading_is_right_and_stays_untold(tool: str, unit: str) -> None:
    for number in range(1, 6):
        still = tool_to_read(tool, unit, number)
        bundle = still._repr_mimebundle_()
        assert still.setting.shown not in bundle["text/plain"]
        assert bundle["text/html"].startswith("<img alt=")
        assert judge_reading(still, still.setting.shown).sentence == "right"


def test_a_feeler_gauge_is_felt_and_not_read() -> None:
    with pytest.raises(Refused, match="is felt and not read"):
        tool_to_read(FEELER, "mm")


def test_every_student_sees_the_same_settings() -> None:
    assert repr(tool_to_read("burette", "mL", 4)) == repr(tool_to_read("burette", "mL", 4))
    assert repr(tool_to_read("burette", "mL", 4)) != repr(tool_to_read("burette", "mL", 5))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing written yet"),
        ("abc", "write a number and its unit"),
        ("1.61", "right; write the unit: mm was taken"),
        ("1.61 cc", "a length is wanted here"),
        ("1,61 mm", "a decimal point, not a comma"),
        ("161/100 mm", "right"),
        ("0.0634 in", "right"),
        ("1.11 mm", "a half-millimetre line"),
        ("1e9 mm", "not yet"),
        ("1e300 mm", "not a number that can be measured"),
        ("1.61 ± 0.01 mm", "without ±"),
    ],
)
def test_whatever_is_written(text: str, says: str) -> None:
    assert says in judge_reading(show_tool("micrometer", "1.61 mm"), text).sentence


@pytest.mark.parametrize("reading", ["5.78mm", "0.578 cm", "5.78 mm "])
def test_a_reading_is_given_as_a_shop_writes_it(reading: str) -> None:
    assert repr(show_tool("micrometer", reading)) == repr(show_tool("micrometer", "5.78 mm"))


def test_the_frame_is_part_of_the_reading() -> None:
    still = show_tool("micrometer", "87.78 mm", base="75 mm")
    assert "75–100 mm" in repr(still)
    assert judge_reading(still, "87.78 mm").sentence == "right"
    assert "frame or rod add?" in judge_reading(still, "12.78 mm").sentence


@pytest.mark.parametrize(
    ("tool", "reading", "base"),
    [
        ("ruler", "12 mm", ""),
        ("burette", "3 in", ""),
        ("burette", "3 kPa", ""),
        ("micrometer", "", ""),
        ("micrometer", "87.78 mm", ""),
        ("micrometer", "87.78 mm", "75 cc"),
    ],
)
def test_what_cannot_be_drawn_is_refused(tool: str, reading: str, base: str) -> None:
    with pytest.raises(Refused):
        show_tool(tool, reading, base=base)
    with pytest.raises(Refused):
        tool_to_read("ruler", "mm")
