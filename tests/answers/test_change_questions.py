"""Answers on the way to a work order. Expected values are worked by hand beside each case."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.change_questions import (
    judge_on_paper,
    of_deck_after,
    of_metal_left,
    of_squish_after,
)
from enginemath.answers.question import Question
from enginemath.change.fitting import fit_gasket
from enginemath.engine.parts import Gasket
from enginemath.sheets import EXAMPLE, kit_data, parse, read_sheet
from enginemath.units import Refused

LEFT = of_metal_left("212.46 mm", "212.10 mm", "0.30 mm")  # 0.06
DECK = of_deck_after(parse(EXAMPLE).engine, "0.20 mm")  # 0.35 − 0.20
THIN = fit_gasket(
    read_sheet(kit_data.path("heron-four.toml")).engine, Gasket("89.20 mm", "0.80 mm")
)
GAP = of_squish_after(THIN, "0.20 mm", cylinder=3)  # deck 0.44 − 0.20, gasket 0.80


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("47.38 ± 0.08 cc", "right"),
        ("47.383 ± 0.079 cc", "right"),
        ("47.38(8) cc", "right"),
        ("47.383 ± 0.079 mL", "right"),
        ("47.3833 ± 0.0786 cc", "noise"),
        ("47.38 ± 0.079 cc", "same place"),
        ("47.4 ± 0.1 cc", "right"),  # one digit, rounded up from 0.0786
        ("47.38 ± 0.80 cc", "in its place"),
        ("47.39 ± 0.08 cc", "value is rounded"),
        ("47.38 ± 0.07 cc", "± is rounded"),
        ("47.38 cc", "Where is the ±?"),
        ("47.38 ± 0.08 mm", "a volume is wanted"),
        ("47.38 ± 0.08", "no unit"),
        ("", "nothing written yet"),
    ],
)
def test_a_value_on_paper(text: str, says: str) -> None:
    """47.3833 and 0.0786: JCGM 100:2008, 7.2.6 asks for two digits of u at most."""
    assert says in judge_on_paper("47.3833 cc", "0.0786 cc", text).sentence


@pytest.mark.parametrize(
    ("question", "text", "says"),
    [
        (LEFT, "0.06 mm", "right"),
        (LEFT, "2.4 thou", "right"),
        (LEFT, "0.36 mm", "before the cut"),
        (LEFT, "212.16 mm", "above the minimum"),
        (LEFT, "0.66 mm", "takes away"),
        (DECK, "0.15 mm", "right"),
        (DECK, "0.55 mm", "comes down"),
        (DECK, "0.35 mm", "before the cut"),
        (DECK, "0.20 mm", "That is the cut"),
        (DECK, "-0.15 mm", "sign"),
        (GAP, "1.04 mm", "right"),
        (GAP, "1.24 mm", "before the cut"),  # the cut forgotten: 0.44 + 0.80
        (GAP, "1.44 mm", "Does the gap grow"),  # the cut added: 0.44 + 0.20 + 0.80
        (GAP, "0.24 mm", "all that lies between"),  # the gasket forgotten: 0.44 − 0.20
        (GAP, "0.80 mm", "level with the deck"),  # the gasket alone
    ],
)
def test_lengths_on_the_order(question: Question, text: str, says: str) -> None:
    assert says in question.judge(text).sentence


def test_a_cut_below_the_minimum_has_no_answer() -> None:
    with pytest.raises(Refused, match="maker's minimum"):
        of_metal_left("212.31 mm", "212.10 mm", "0.30 mm")


@settings(max_examples=50)
@given(text=st.text(max_size=30))
def test_any_text_gets_one_sentence(text: str) -> None:
    assert judge_on_paper("47.3833 cc", "0.0786 cc", text).sentence
    assert LEFT.judge(text).sentence
    assert DECK.judge(text).sentence
