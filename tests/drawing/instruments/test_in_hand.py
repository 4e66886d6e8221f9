"""A tool that is moved by hand: its handle goes where its scale goes, and it says what it reads."""

from __future__ import annotations

import pytest

from enginemath.answers.tool_reading import TOOLS, draw
from enginemath.answers.tool_reading.pieces import in_one_line, pieces
from enginemath.answers.tool_reading.setting import Setting
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.instruments.in_hand import in_hand

FELT = "feeler gauge"
each_tool = pytest.mark.parametrize("key", [key for key in TOOLS if key[0] != FELT], ids=str)


def settings(key: tuple[str, str]) -> list[Setting]:
    tool, share = TOOLS[key], (0.11, 0.37, 0.52, 0.83)
    steps = [round((tool.high - tool.low) * part / tool.step) for part in share]
    return [
        Setting(tool, round(base + tool.low + n * tool.step, tool.decimals), base)
        for base in tool.bases
        for n in steps
    ]


@each_tool
def test_the_pieces_of_a_reading_add_up_to_it(key: tuple[str, str]) -> None:
    for setting in settings(key):
        values = [value for _, value in pieces(setting)]
        assert sum(values) == pytest.approx(setting.reading, abs=1e-9)
        assert min(values) >= 0
        assert f"= {setting.shown}" in in_one_line(setting)


@each_tool
def test_what_is_hinted_at_has_its_place_in_the_picture(key: tuple[str, str]) -> None:
    """A ring can be put wherever a misreading sends the eye."""
    for setting in settings(key):
        picture = draw(setting)
        hinted = {each.place for each in setting.tool.misreadings(setting.reading - setting.base)}
        if setting.base:
            hinted.add("frame")
        assert "" not in hinted
        missing = hinted - set(picture.places)
        assert missing <= {"number"}, "the numbered line may be out of the window"


@pytest.mark.parametrize(
    "key", [("micrometer", "mm"), ("depth micrometer", "mm"), ("burette", "mL")], ids=str
)
def test_the_handle_goes_with_the_scale(key: tuple[str, str]) -> None:
    """Pulled by one unit, the mark that is held stands where the handle was pulled to."""
    tool = TOOLS[key]
    before, after = (draw(Setting(tool, reading)).hold for reading in (11.0, 12.0))
    assert before
    assert after
    moved = after.x - before.x, after.y - before.y
    assert moved == pytest.approx(before.pull, abs=0.01)


def test_it_says_its_reading_below_the_tool() -> None:
    setting = Setting(TOOLS["micrometer", "mm"], 87.78, 75.0)
    grip = Grip("tool", "thimble", 87.78, 75.5, 99.5, 0.01, decimals=2)
    picture = in_hand(draw(setting), grip, in_one_line(setting))
    assert [handle.told for handle in picture.handles] == ["87.78 mm"]
    told = [label.text for label in picture.labels]
    assert "frame 75 + sleeve 12.5 + thimble 0.28" in told
    assert "= 87.78 mm" in told
    assert all(label.bottom <= picture.height for label in picture.labels)
