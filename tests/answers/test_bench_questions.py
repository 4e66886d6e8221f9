"""Every text gets one sentence, the right answer and each slip are told apart.

Expected values are worked by hand beside each case.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.bench_questions import OddPour, of_deck, of_mean, of_pour, of_squish
from enginemath.answers.question import Question
from enginemath.answers.verdict import TOO_COARSE
from enginemath.bench.measuring import Fill
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, Refused, read

FILLS = [Fill("0.60 mL", "25.00 mL"), Fill("0.20 mL", "23.10 mL")]
POUR = of_pour(FILLS)  # 24.40 + 22.90
DECK = of_deck("0.43 mm", "0.37 mm")
ROCK = of_deck("0.0120 in", "0.0110 in")
SQUISH = of_squish(parse(EXAMPLE).engine)  # 0.35 below the deck, 1.10 compressed, 1.35 free


@pytest.mark.parametrize("question", [POUR, DECK, SQUISH])
@pytest.mark.parametrize("text", ["", "  \n"])
def test_an_empty_answer_is_asked_for(question: Question, text: str) -> None:
    assert question.judge(text).sentence == "nothing written yet"


@pytest.mark.parametrize(
    ("question", "text"),
    [
        (POUR, "47.30 cc"),
        (POUR, "47.3 mL"),
        (POUR, "2.8864 cu in"),
        (POUR, "0.04730 L"),
        (DECK, "0.40 mm"),
        (DECK, "0.0157 in"),
        (DECK, "15.7 thou"),
        (DECK, "2/5 mm"),
        (SQUISH, "1.45 mm"),
        (SQUISH, "0.0571 in"),
    ],
)
def test_the_right_answer_in_any_unit_of_the_shop(question: Question, text: str) -> None:
    assert question.judge(text).sentence == "right"


@pytest.mark.parametrize(
    ("question", "text", "hint"),
    [
        (POUR, "48.10 cc", "seldom starts at zero"),  # 25.00 + 23.10
        (POUR, "48.90 cc", "add the start reading"),  # 25.60 + 23.30
        (POUR, "22.90 cc", "How often was the burette filled"),
        (POUR, "24.40 cc", "How often was the burette filled"),
        (POUR, "22.50 cc", "a start and an end of its own"),  # 23.10 − 0.60
        (POUR, "47.50 cc", "first start reading only"),  # 48.10 − 0.60
        (POUR, "-47.30 cc", "sign"),
        (DECK, "0.0157 mm", "inches or mm"),  # 0.40 mm is 0.0157 in; half of the rock is 0.03 mm
        (ROCK, "0.0115 mm", "inches or mm"),  # though half of the rock is 0.0005 in, 0.0127 mm
        (POUR, "47.30 cu in", "cubic inches or cc"),
        (POUR, "45.00 cc", "too small"),
        (POUR, "1e9 cc", "too large"),
        (DECK, "0.43 mm", "one side of the pin"),
        (DECK, "0.37 mm", "one side of the pin"),
        (DECK, "0.80 mm", "added both sides"),
        (DECK, "0.06 mm", "rocks"),
        (DECK, "0.03 mm", "half of the rock"),
        (DECK, "0.40 in", "inches or mm"),
        (DECK, "-0.40 mm", "sign"),
        (SQUISH, "1.70 mm", "bolted down"),  # 1.35 + 0.35
        (SQUISH, "1.10 mm", "level with the deck"),
        (SQUISH, "0.35 mm", "all that lies between"),
        (SQUISH, "0.75 mm", "more room"),  # 1.10 − 0.35
    ],
)
def test_a_slip_gets_its_hint(question: Question, text: str, hint: str) -> None:
    verdict = question.judge(text).sentence
    assert verdict.startswith("not yet. ")
    assert hint in verdict


@pytest.mark.parametrize(
    ("question", "text"), [(POUR, "47 cc"), (SQUISH, "1.4 mm"), (DECK, ".4 mm")]
)
def test_an_answer_too_coarse_to_tell(question: Question, text: str) -> None:
    expected = "right" if question is DECK else TOO_COARSE.sentence
    assert question.judge(text).sentence == expected


@pytest.mark.parametrize(
    ("question", "text", "says"),
    [
        (POUR, "abc", "write a number and its unit"),
        (POUR, "47.30", "right; write the unit: cc was taken"),
        (POUR, "47.30 mm", "a volume is wanted here"),
        (DECK, "0.40 cc", "a length is wanted here"),
        (DECK, "0,40 mm", "a decimal point, not a comma"),
        (DECK, "nan mm", "not a number"),
    ],
)
def test_what_is_no_answer_is_refused_in_shop_words(
    question: Question, text: str, says: str
) -> None:
    assert says in question.judge(text).sentence


def test_one_fill_has_no_refill_to_forget() -> None:
    question = of_pour(FILLS[:1])
    assert question.judge("24.40 cc").sentence == "right"
    assert "seldom starts at zero" in question.judge("25.00 cc").sentence


def test_no_squish_without_a_thickness() -> None:
    sheet = parse(
        EXAMPLE.replace('bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"\n', "").replace(
            'free_thickness = "1.35 mm"', 'volume = "7.5 cc"'
        )
    )
    with pytest.raises(Refused, match="thickness is not known"):
        of_squish(sheet.engine)


MEAN = of_mean([read("46.6 cc"), read("46.7 cc"), read("46.8 cc")], careless=read("45.5 cc"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("46.70 cc", "That is one reading alone."),
        ("140.1 cc", "That is the sum."),
        ("46.40 cc", "still in it"),  # 185.6 / 4
    ],
)
def test_a_mean_and_its_slips(text: str, says: str) -> None:
    assert MEAN.right.m_as("cc") == pytest.approx(46.7)
    question = Question(read("46.65 cc"), MEAN.slips)
    assert says in question.judge(text).sentence
    assert MEAN.judge("46.7 cc").sentence == "right"


ODD = OddPour(
    {
        1: {"A": read("46.8 cc"), "B": read("47.0 cc"), "C": read("46.9 cc")},
        2: {"A": read("47.2 cc"), "B": read("46.2 cc"), "C": read("47.4 cc")},
    }
)


def test_the_odd_pour_is_the_one_far_from_its_own_chamber() -> None:
    assert ODD.where == (2, "B")
    assert ODD.gap(2, "B") == pytest.approx(-1.1)


@pytest.mark.parametrize(
    ("cylinder", "group", "says"),
    [
        ("2", "B", "right"),
        ("cylinder 2", " group b", "right"),
        ("1", "A", "not yet. Which pour lies farthest"),
        ("", " ", "nothing written yet"),
        ("", "B", "write the number of its cylinder too, 1 to 2"),
        ("2", "", "write the letter of its group too, A to C"),
        ("7", "B", "the number of a cylinder, 1 to 2"),
        ("1/2", "B", "the number of a cylinder"),
        ("9" * 50, "B", "the number of a cylinder"),
        ("2", "Q", "the letter of a group, A to C"),
    ],
)
def test_a_picked_pour_is_judged_whatever_is_written(cylinder: str, group: str, says: str) -> None:
    assert says in ODD.judge(cylinder, group).sentence


def test_the_mean_is_asked_for_only_where_the_odd_pour_is() -> None:
    assert ODD.kept_mean("1") is None
    kept = ODD.kept_mean("2")
    assert kept is not None
    assert kept.judge("47.30 cc").sentence == "right"
    assert "still in it" in kept.judge("46.93 cc").sentence  # 140.8 / 3


@given(st.text(max_size=20), st.text(max_size=20))
@settings(max_examples=100, deadline=None)
def test_any_pick_gets_one_sentence(cylinder: str, group: str) -> None:
    assert ODD.judge(cylinder, group).sentence


def test_no_hint_holds_the_answer() -> None:
    for question in (POUR, DECK, SQUISH):
        assert not any(character.isdigit() for hint, _ in question.slips for character in hint)


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text_gets_one_sentence(text: str) -> None:
    assert Question(read("47.3 cc")).judge(text).sentence


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (".05 in", "Look at the unit: inches or mm?"),
        ("0.05 in", "Look at the unit: inches or mm?"),
        (".5 mm", "too large"),
        (".5 cm", "too large"),
        ("0 mm", "too small"),
        (".05 mm", "right"),
    ],
)
def test_a_number_without_its_zero_is_as_coarse_as_with_it(text: str, says: str) -> None:
    verdict = Question(Quantity(0.05, "mm")).judge(text).sentence
    assert says in verdict
    assert ("not yet" in verdict) is ("right" not in says)
