"""Answers about a running engine. Expected values are worked by hand beside each case."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.question import Question
from enginemath.answers.running_questions import (
    judge_low_cylinder,
    judge_share,
    judge_side,
    of_altitude,
    of_gauge,
)
from enginemath.bench.compression_test import CompressionTest
from enginemath.engine.rules_of_thumb import PREMIUM_IRON_HEAD
from enginemath.units import Quantity

GAUGE = of_gauge(Quantity(1302, "kPa"), Quantity(94, "kPa"))
# 1200 + 101.325 = 1301.325; pressure ratio at 1524 m (5000 ft) 0.832: 1082.8; less 84.3: 998.5.
# US Standard Atmosphere 1976 table: 0.8320 and 84.31 kPa (from memory).
HIGH = of_altitude(Quantity(1200, "kPa"), Quantity(1524, "m"))
TEST = CompressionTest(("1080 kPa", "1060 kPa", "790 kPa", "1070 kPa"))  # 790/1080 = 73.1 %
EVEN = CompressionTest(("1080 kPa", "1060 kPa"))


@pytest.mark.parametrize(
    ("question", "text"),
    [
        (GAUGE, "1208 kPa"),
        (GAUGE, "12.08 bar"),
        (GAUGE, "175.2 psi"),
        (HIGH, "998.5 kPa"),
        (HIGH, "0.9985e1 bar"),
    ],
)
def test_right_answers(question: Question, text: str) -> None:
    assert question.judge(text).sentence.startswith("right")


@pytest.mark.parametrize(
    ("question", "text", "hint"),
    [
        (GAUGE, "1302 kPa", "absolute"),
        (GAUGE, "1396 kPa", "open air"),
        (GAUGE, "1201 kPa", "air at sea level"),  # 1302 − 101.3
        (GAUGE, "1208 psi", "psi or kPa"),
        (HIGH, "1083 kPa", "That is absolute"),  # 0.832 × 1301.325
        (HIGH, "981.5 kPa", "air of sea level"),  # less 101.325
        (HIGH, "1037.0 kPa", "densities"),  # 0.8617 × 1301.325 − 84.31, table 0.8617 (from memory)
        (HIGH, "1301 kPa", "scale it for the height"),
    ],
)
def test_each_slip_earns_its_hint(question: Question, text: str, hint: str) -> None:
    verdict = question.judge(text).sentence
    assert not verdict.startswith("right")
    assert hint in verdict


def test_a_length_is_no_pressure() -> None:
    assert "a pressure is wanted" in GAUGE.judge("12 mm").sentence


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("73 %", "right"),
        ("73.1", "right"),
        ("73.15 percent", "right"),
        ("137 %", "Which goes above the line"),
        ("27 %", "how much it lacks"),
        ("0.73", "percent"),
        (".73", "percent"),
        (".", "write one number"),
        ("80 %", "too large"),
        ("60 %", "too small"),
        ("790 kPa", "one number and %"),
        ("", "nothing written yet"),
    ],
)
def test_the_share_of_the_lowest(text: str, says: str) -> None:
    assert says in judge_share(TEST, text).sentence


@pytest.mark.parametrize(
    ("test", "text", "says"),
    [
        (TEST, "3", "right"),
        (TEST, "Cylinder 3", "right"),
        (TEST, "#3", "right"),
        (TEST, "none", "not yet"),
        (TEST, "1", "not yet"),
        (TEST, "5", "1 to 4, or none"),
        (TEST, "", "nothing written yet"),
        (EVEN, "none", "right"),
        (EVEN, "2", "not yet"),
    ],
)
def test_the_low_cylinder(test: CompressionTest, text: str, says: str) -> None:
    assert says in judge_low_cylinder(test, text).sentence


@pytest.mark.parametrize(
    ("value", "text", "says"),
    [
        (10.44, "above", "right"),
        (10.44, "Over the range", "right"),
        (10.44, "inside", "not yet"),
        (9.7, "within", "right"),
        (8.9, "below", "right"),
        (8.9, "high", "write below, inside or above"),
        (8.9, " ", "nothing written yet"),
    ],
)
def test_a_value_and_a_range(value: float, text: str, says: str) -> None:
    """Premium, iron head: 9 to 10 (common practice, no source)."""
    assert says in judge_side(PREMIUM_IRON_HEAD, value, text).sentence


@settings(max_examples=50)
@given(text=st.text(max_size=30))
def test_any_text_gets_one_sentence(text: str) -> None:
    assert GAUGE.judge(text).sentence
    assert judge_share(TEST, text).sentence
    assert judge_low_cylinder(TEST, text).sentence
    assert judge_side(PREMIUM_IRON_HEAD, 9.0, text).sentence
