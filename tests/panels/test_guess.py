"""A guess is read as it was typed, or refused in words that say what to write."""

from __future__ import annotations

import pytest

from enginemath.panels.choose_the_change import options_for
from enginemath.panels.frame.guess import Prediction
from enginemath.units import Quantity, Refused, read
from tests.panels.opened import opened

RATIO = Prediction("the ratio?", lambda: 9.827)
VOLUME = Prediction("how many cc?", lambda: Quantity(50.0, "cc"), "cc")
COMMAS = ["9,5", "9,5 cc", "50,2 cc", "9,5cc", "9,5:1", "9,5 to 1", "40,5 %", "0,5 mm", " 9,5 ",
          "1,000 cc", "1,234.5 cc", "1.234,5 cc", "1,234,567"]  # fmt: skip


@pytest.mark.parametrize("question", [RATIO, VOLUME], ids=["a ratio", "a volume"])
@pytest.mark.parametrize("typed", COMMAS)
def test_a_comma_is_refused_in_the_words_of_every_reading(question: Prediction, typed: str) -> None:
    with pytest.raises(Refused, match="comma") as by_reading:
        read(typed)
    with pytest.raises(Refused) as by_guess:
        question.judge(typed)
    assert str(by_guess.value) == str(by_reading.value)


@pytest.mark.parametrize("typed", ["ten, about", "nine", "", "9.5 cc", "9.5.1", "," * 200])
def test_what_is_no_bare_number_is_asked_for_again(typed: str) -> None:
    with pytest.raises(Refused, match=r"write one number, like 9\.5"):
        RATIO.read(typed)


@pytest.mark.parametrize(
    ("question", "typed", "value"),
    [(RATIO, "9.5", 9.5), (RATIO, "9.5:1", 9.5), (RATIO, "9.5 to 1", 9.5), (RATIO, "40 %", 40.0),
     (VOLUME, "9.5 cc", Quantity(9.5, "cc")), (VOLUME, "0.05 L", Quantity(0.05, "L"))],
)  # fmt: skip
def test_a_guess_with_a_point_is_read(question: Prediction, typed: str, value: object) -> None:
    assert question.read(typed) == value


@pytest.mark.parametrize("engine", ["heron-four", "heron-eight"])
def test_the_gate_of_lesson_09_leaves_its_predict_open(engine: str) -> None:
    """Predict asks which one change reaches the band; the gate asks about one that does not."""
    question = opened("choose_the_change", engine, predict=True).prediction()
    target = options_for(engine).target
    assert not target.low <= question.answer() <= target.high
    assert "gasket" not in question.text
