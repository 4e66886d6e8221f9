"""Numbers written down from words, and what students write instead."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.answers.writing_questions import TASKS, how_read, task_numbered
from enginemath.units import Refused, read


@pytest.mark.parametrize(
    ("number", "written"),
    [
        (1, "87.06 mm"),
        (1, "8.706 cm"),
        (2, "0.038 in"),
        (2, "38 thou"),
        (3, "4 3/16 in"),
        (3, "67/16 in"),
        (3, "4.1875 in"),
        (4, "32.25 cc"),
        (4, "32 1/4 mL"),
        (5, "-0.07 mm"),
        (5, "−.07 mm"),
    ],
)
def test_every_way_to_write_it_is_right(number: int, written: str) -> None:
    """The words of each task, turned into digits by hand."""
    assert TASKS[number].judge(written).sentence == "right"


@pytest.mark.parametrize(
    ("number", "written", "says"),
    [
        (1, "87.6 mm", "Which place after the point is a hundredth"),
        (1, "87.06 cm", "as wide as a table"),
        (1, "87.06", "right; write the unit: mm was taken"),
        (1, "87,06 mm", "decimal point"),
        (1, "", "nothing written yet"),
        (1, "87.06 cc", "a length is wanted here, and this is a volume"),
        (1, "wide", "write a number and its unit"),
        (1, "9e99 mm", "not a number that can be measured"),
        (2, "0.38 in", "Which place after the point is a thousandth"),
        (2, "38 mm", "The gauge is in inches"),
        (2, "38 mil", "write thou or mm"),
        (3, "43/16 in", "Put a space"),
        (3, "4.316 in", "as it is said"),
        (3, "4-3/16 in", "mixed number with a space"),
        (4, "32.4 mL", "How many hundredths"),
        (4, "32.25 L", "litres or millilitres?"),
        (5, "0.07 mm", "count the same way"),
        (5, "0.70 mm", "Look at the sign"),
    ],
)
def test_a_slip_is_named(number: int, written: str, says: str) -> None:
    assert says in TASKS[number].judge(written).sentence


def test_no_slip_earns_the_praise() -> None:
    for task in TASKS.values():
        for hint, written in task.slips:
            assert task.judge(written).sentence == f"not yet. {hint}"
            assert task.means not in hint


@given(st.text(max_size=120))
def test_any_text_gets_a_sentence(text: str) -> None:
    assert how_read(text)
    assert all(task.judge(text).sentence for task in TASKS.values())


@given(st.floats(0.001, 500).map(lambda value: round(value, 3)))
def test_what_is_read_is_said_in_the_same_unit(value: float) -> None:
    assert f" is {value:.3f} mm = " in how_read(f"{value} mm")
    assert read(f"{value} mm").m_as("mm") == value


@pytest.mark.parametrize("number", [0, 9, "1"])
def test_a_task_that_is_not_there_is_refused(number: int) -> None:
    with pytest.raises(Refused, match="numbered from 1 to 5"):
        task_numbered(number)
