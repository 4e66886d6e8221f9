"""Answers about doubt: right, each slip told apart, and every text gets one sentence.

Expected values are worked by hand beside each case.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.how_sure_questions import (
    judge_improve,
    judge_odd_group,
    of_combined,
    of_mean_uncertainty,
    of_offset,
    of_tool,
)
from enginemath.answers.question import Question
from enginemath.bench.how_sure.class_study import Study, analyse, study_table, without
from enginemath.engine.stack import mean_ratio
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from enginemath.sheets.study_file import read_study
from enginemath.units import Quantity, Refused
from tests.old_doors.kit import averages

# Mean 46.7, s = 0.11547, s/√4 = 0.05774
MEAN = of_mean_uncertainty([Quantity(cc, "cc") for cc in (46.6, 46.8, 46.6, 46.8)])
TOOL = of_tool(Quantity(0.03, "mm"))  # 0.03/√3 = 0.01732
BOTH = of_combined(Quantity(0.3, "cc"), Quantity(0.4, "cc"))  # 0.5
STUDY = read_study(path("class-chambers.csv"))
OFFSET = of_offset(analyse(STUDY), "D")  # 46.854 less the mean of 46.133, 46.154, 46.042, 45.983
RATIO = mean_ratio(read_sheet(averages("heron-one")).engine)


@pytest.mark.parametrize(
    ("question", "text"),
    [
        (MEAN, "0.058 cc"),
        (MEAN, "0.06 mL"),
        (TOOL, "0.0173 mm"),
        (TOOL, "0.68 thou"),
        (BOTH, "1/2 cc"),
        (BOTH, "0.5 cc"),
        (OFFSET, "0.776 cc"),
        (OFFSET, "0.78 cc"),
    ],
)
def test_right_answers(question: Question, text: str) -> None:
    assert question.judge(text).sentence == "right"


@pytest.mark.parametrize(
    ("question", "text", "hint"),
    [
        (MEAN, "0.115 cc", "spread of one reading"),
        (MEAN, "0.029 cc", "root of the number"),
        (MEAN, "0.20 cc", "largest less smallest"),
        (MEAN, "0.231 cc", "below the line"),
        (TOOL, "0.03 mm", "the limit itself"),
        (TOOL, "0.015 mm", "half of the limit"),
        (TOOL, "0.010 mm", "Should it be 3 itself"),
        (TOOL, "0.052 mm", "below the line"),
        (BOTH, "0.70 cc", "Square, add, take the root"),
        (BOTH, "0.25 cc", "root is still missing"),
        (BOTH, "0.35 cc", "average out?"),
        (BOTH, "0.40 cc", "one of them alone"),
        (BOTH, "0.10 cc", "Add the squares"),
        (OFFSET, "0.62 cc", "still in that mean"),
        (OFFSET, "46.85 cc", "How far"),
        (OFFSET, "-0.78 cc", "sign"),
    ],
)
def test_each_slip_earns_its_hint(question: Question, text: str, hint: str) -> None:
    verdict = question.judge(text).sentence
    assert verdict.startswith("not yet")
    assert hint in verdict


@pytest.mark.parametrize("question", [MEAN, TOOL, BOTH, OFFSET])
@settings(max_examples=30)
@given(text=st.text(max_size=30))
def test_any_text_gets_one_sentence(question: Question, text: str) -> None:
    assert question.judge(text).sentence
    assert all(each.sentence for each in judge_odd_group(STUDY, text, text) if each)
    assert judge_odd_group(STUDY, "D", text)[1].sentence
    assert judge_improve(RATIO, text).sentence


def test_the_reading_to_improve_is_the_budget_s_first() -> None:
    """0.1 cc × 0.523 per cc is three times the next contribution, 0.01 mm × 1.58 per mm."""
    assert judge_improve(RATIO, " Valve  reliefs ").sentence.startswith("right")


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("", "nothing written yet"),
        ("bore", "not yet"),
        ("valve relief", "did you mean valve reliefs?"),
        ("camshaft", "take a name from the table"),
    ],
)
def test_other_names(name: str, says: str) -> None:
    assert says in judge_improve(RATIO, name).sentence


def test_a_hint_does_not_name_the_answer_at_once() -> None:
    assert "valve reliefs" not in judge_improve(RATIO, "bore").sentence


@pytest.mark.parametrize(
    ("letter", "says"),
    [
        ("D", "right"),
        ("group d", "right"),
        ("", "nothing written yet"),
        ("A", "not yet"),
        ("F", "A, B, C, D, E"),
    ],
)
def test_the_group_out_of_line(letter: str, says: str) -> None:
    group, offset = judge_odd_group(STUDY, letter, "0.776 cc")
    assert says in group.sentence
    assert (offset and offset.sentence) == ("right" if group.is_right else None)


def test_a_study_without_a_group() -> None:
    rest = without(STUDY, "D")
    assert rest.groups == ("A", "B", "C", "E")
    assert rest.readings[3] == STUDY.readings[4]
    with pytest.raises(Refused, match="there are A, B, C, D, E"):
        without(STUDY, "Z")


def test_means_and_scatter_by_hand() -> None:
    """Means 47.15 and 48.05; both pairs 0.1 apart, so s = 0.1/√2 = 0.07."""
    study = Study(("red", "blue"), ("1", "2"), "cc", (((47.1, 47.2), (48.0, 48.1)),) * 2)
    assert study_table(study).splitlines()[1].split() == ["red", "47.15", "48.05", "0.07", "cc"]
