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


@pytest.mark.parametrize(
    ("tool", "unit", "reading", "typed", "words"),
    [
        ("burette", "mL", 23.45, "23.25 mL", "top of the meniscus"),
        ("burette", "mL", 23.45, "24.55 mL", "numbers grow downwards"),
        ("burette", "mL", 23.45, "23.045 mL", "tenth of a mL"),
        ("micrometer", "mm", 5.78, "5.28 mm", "half-millimetre line"),
        ("micrometer", "mm", 5.28, "5.78 mm", "not yet uncovered"),
        ("micrometer", "mm", 5.78, "5.72 mm", "counted backwards"),
        ("micrometer", "in", 0.3624, "0.3374 in", "0.025 in, was missed"),
        ("micrometer", "in", 0.3624, "0.362 in", "vernier, the last figure, was left out"),
        ("micrometer", "in", 0.3584, "0.3586 in", "vernier's lines were counted backwards"),
        ("dial indicator", "mm", 3.27, "2.27 mm", "revolution was missed"),
        ("dial indicator", "mm", 3.27, "0.27 mm", "revolutions were left out"),
        ("dial indicator", "mm", 3.27, "3.73 mm", "counted backwards"),
        ("dial indicator", "in", 0.327, "0.227 in", "revolution was missed"),
        ("depth micrometer", "mm", 5.78, "5.28 mm", "covered line was missed"),
        ("depth micrometer", "mm", 5.78, "19.22 mm", "like an outside micrometer's"),
        ("vernier caliper", "mm", 37.46, "37.00 mm", "vernier was left out"),
        ("vernier caliper", "mm", 37.46, "37.23 mm", "each vernier line stands for 0.02 mm"),
        ("feeler gauge", "mm", 0.45, "0.40 mm", "goes in loosely"),
        ("feeler gauge", "in", 0.018, "0.020 in", "does not go in"),
        ("vernier caliper", "in", 1.237, "1.225 in", "vernier was left out"),
    ],
)
def test_a_usual_misreading_is_named(
    tool: str, unit: str, reading: float, typed: str, words: str
) -> None:
    found = judge(Setting(TOOLS[tool, unit], reading), typed)
    assert not found.right
    assert words in found.says.replace("Each", "each")


def test_a_forgotten_frame_is_named() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 80.78, base=75.0), "5.78 mm")
    assert "begins at 75 mm" in found.says


def test_one_step_off_is_a_matter_of_the_eye() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 5.78), "5.79 mm")
    assert found.says.startswith("0.01 mm too large.")
    assert "square on" in found.says


def test_an_answer_that_nothing_explains_is_only_told_how_far_off() -> None:
    found = judge(Setting(TOOLS["micrometer", "mm"], 5.78), "12.03 mm")
    assert found.says.startswith("6.25 mm too large.")
    assert "missed" not in found.says


def test_any_unit_of_the_right_kind_will_do() -> None:
    assert judge(Setting(TOOLS["micrometer", "in"], 0.3624), "362.4 thou").right
    assert judge(Setting(TOOLS["burette", "mL"], 23.45), "23.45 cc").right


@pytest.mark.parametrize(
    "typed", ["23.45", "23.45 mm", "twenty", "", "23,45 mL", "23.45 ± 0.05 mL"]
)
def test_what_is_no_reading_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        judge(Setting(TOOLS["burette", "mL"], 23.45), typed)


@pytest.mark.parametrize("tool", EVERY_TOOL, ids=lambda tool: f"{tool.name}-{tool.unit}")
class TestSettings:
    def test_the_right_reading_is_right(self, tool) -> None:
        for setting in islice(drawn_settings(tool, 3), 50):
            assert judge(setting, setting.shown).right, setting

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
            for slip in tool.slips(setting.reading - setting.base):
                typed = f"{slip.gives + setting.base:.6f} {tool.unit}"
                if abs(slip.gives + setting.base - setting.reading) >= tool.step:
                    assert not judge(setting, typed).right


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(EVERY_TOOL), st.floats(-3, 3), st.integers(0, 50))
def test_the_distance_and_its_direction_are_told(tool, steps: float, seed: int) -> None:
    setting = next(drawn_settings(tool, seed))
    typed = setting.reading + 40 * steps * tool.step
    if typed < 0:
        return
    found = judge(setting, f"{typed:.6f} {tool.unit}")
    off = typed - setting.reading
    assert abs(found.off.magnitude - off) < 1e-5
    if not found.right:
        assert ("large" if off > 0 else "small") in found.says


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
