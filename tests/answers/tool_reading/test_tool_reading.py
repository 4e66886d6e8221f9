"""Practice at reading instruments: settings, right readings, and what a misreading is called.

The misreadings are worked by hand from how each scale is divided: a metric micrometer has a
half-millimetre screw and 50 lines, an inch one 40 threads to the inch, 25 lines and a vernier; a
dial indicator makes 1 mm or 0.100 in a turn. Common practice, no source.
"""

from __future__ import annotations

from itertools import islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.tool_reading import TOOLS, Setting, Tally, judge, tool_named
from enginemath.answers.tool_reading import settings as drawn_settings
from enginemath.units import Refused

EVERY_TOOL = list(TOOLS.values())


MISREAD = [
    ("burette", "mL", 23.45, "23.25 mL", "top of the meniscus"),
    ("burette", "mL", 23.45, "24.55 mL", "numbers grow downwards"),
    ("burette", "mL", 23.45, "23.045 mL", "small lines are there to one mL"),
    ("micrometer", "mm", 5.78, "5.28 mm", "half-millimetre line"),
    ("micrometer", "mm", 5.28, "5.78 mm", "only its edge show"),
    ("micrometer", "mm", 5.78, "5.72 mm", "thimble's numbers grow"),
    ("micrometer", "in", 0.3624, "0.3374 in", "one more uncovered"),
    ("micrometer", "in", 0.3624, "0.362 in", "It gives the last figure"),
    ("micrometer", "in", 0.3584, "0.3586 in", "vernier's numbers grow"),
    ("dial indicator", "mm", 3.27, "2.27 mm", "whole turns has the long one made"),
    ("dial indicator", "mm", 3.27, "0.27 mm", "Is it in your reading"),
    ("dial indicator", "mm", 3.27, "3.73 mm", "long hand turn"),
    ("dial indicator", "in", 0.327, "0.227 in", "whole turns has the long one made"),
    ("depth micrometer", "mm", 5.78, "5.28 mm", "is there one more"),
    ("depth micrometer", "mm", 5.78, "19.22 mm", "like an outside micrometer"),
    ("depth micrometer", "in", 0.327, "0.302 in", "is there one more"),
    ("vernier caliper", "mm", 37.46, "37.00 mm", "which of its lines meets"),
    ("vernier caliper", "mm", 37.46, "37.23 mm", "each line of the vernier stand for"),
    ("feeler gauge", "mm", 0.45, "0.40 mm", "in loosely"),
    ("feeler gauge", "in", 0.018, "0.020 in", "Does that leaf go in"),
    ("vernier caliper", "in", 1.237, "1.225 in", "which of its lines meets"),
]


@pytest.mark.parametrize(("tool", "unit", "reading", "typed", "words"), MISREAD)
def test_a_usual_misreading_is_named(
    tool: str, unit: str, reading: float, typed: str, words: str
) -> None:
    found = judge(Setting(TOOLS[tool, unit], reading), typed)
    assert found.kind == "mistake"
    assert words in found.hint


@pytest.mark.parametrize("key", TOOLS)
def test_every_instrument_has_a_misreading_worked_by_hand(key) -> None:
    """An instrument that is new fails here until a case of its own stands in `MISREAD`."""
    assert key in {(tool, unit) for tool, unit, *_ in MISREAD}


def test_a_forgotten_frame_is_named() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 80.78, base=75.0), "5.78 mm")
    assert "What does its frame or rod add?" in found.hint


def test_one_step_off_is_a_matter_of_the_eye() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 5.78), "5.79 mm")
    assert found.kind == "nearly"
    assert "square on" in found.hint


def test_an_answer_that_nothing_explains_gets_the_rule() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 5.78), "12.03 mm")
    assert found.kind == "unknown"
    assert found.hint == TOOLS["micrometer", "mm"].how


def test_any_unit_of_the_right_kind_will_do() -> None:
    assert judge(Setting(TOOLS["micrometer", "in"], 0.3624), "362.4 thou").is_right
    assert judge(Setting(TOOLS["burette", "mL"], 23.45), "23.45 cc").is_right


@pytest.mark.parametrize("typed", ["23.45 mm", "twenty", "23,45 mL", "23.45 ± 0.05 mL"])
def test_what_is_no_reading_is_refused(typed: str) -> None:
    assert judge(Setting(TOOLS["burette", "mL"], 23.45), typed).kind == "unreadable"


@pytest.mark.parametrize("tool", EVERY_TOOL, ids=lambda tool: f"{tool.name}-{tool.unit}")
class TestSettings:
    def test_the_right_reading_is_right(self, tool) -> None:
        for setting in islice(drawn_settings(tool, 3), 50):
            assert judge(setting, setting.shown).is_right, setting

    def test_settings_lie_on_steps_inside_the_scale(self, tool) -> None:
        for setting in islice(drawn_settings(tool, 5), 200):
            scale = setting.reading - setting.base
            assert tool.low - 1e-9 <= scale <= tool.high + 1e-9
            assert scale / tool.step == pytest.approx(round(scale / tool.step), abs=1e-4)

    def test_a_seed_gives_a_class_the_same_settings(self, tool) -> None:
        def ten(seed: int) -> list[str]:
            return [setting.shown for setting in islice(drawn_settings(tool, seed), 10)]

        assert ten(1) == ten(1)
        assert ten(1) != ten(2)

    def test_no_slip_passes_for_right(self, tool) -> None:
        for setting in islice(drawn_settings(tool, 7), 100):
            for slip in tool.misreadings(setting.reading - setting.base):
                typed = f"{slip.gives + setting.base:.6f} {tool.unit}"
                if abs(slip.gives + setting.base - setting.reading) >= tool.step:
                    assert not judge(setting, typed).is_right


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(EVERY_TOOL), st.floats(-3, 3), st.integers(0, 50))
def test_neither_the_reading_nor_the_distance_is_told(tool, steps: float, seed: int) -> None:
    setting = next(drawn_settings(tool, seed))
    typed = setting.reading + 40 * steps * tool.step
    if typed < 0:
        return
    found = judge(setting, f"{typed:.6f} {tool.unit}")
    off = f"{abs(typed - setting.reading):.{tool.decimals}f}"
    assert setting.shown.split()[0] not in found.sentence
    assert off not in found.sentence or not float(off)
    assert found.is_right == (abs(typed - setting.reading) <= 0.51 * tool.step)


def test_a_session_is_counted_by_instrument() -> None:
    tally = Tally()
    assert str(tally) == "no reading yet"
    for tool, reading, typed in (
        ("burette", 23.45, "23.45 mL"),
        ("burette", 23.45, "23.25 mL"),
        ("micrometer", 5.78, "5.78 mm"),
    ):
        unit = typed.split()[1]
        tally.note(TOOLS[tool, unit], judge(Setting(TOOLS[tool, unit], reading), typed))
    assert str(tally) == "2 of 3 right (burette 1 of 2, micrometer 1 of 1)"


@pytest.mark.parametrize(("name", "unit"), [("hammer", ""), ("burette", "mm"), ("", "in")])
def test_an_instrument_that_is_not_there_is_refused(name: str, unit: str) -> None:
    with pytest.raises(Refused, match="no such tool; there are burette in mL, micrometer in mm"):
        tool_named(name, unit)
