"""One student's paper judged: points, the error carried forward, and hints without answers."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.classroom.marking.judging import Judged, judge
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.classroom.sets.variants import assign
from tests.classroom.class_sets import SECRET


@cache
def engine(level: str = "full", id: str = "2") -> Assignment:
    return assign(ClassSecret(SECRET), id, LEVELS[level])


def judged(given: Assignment, **answers: float | str) -> dict[str, Judged]:
    """Right answers but for those given; numbers are written at the precision asked for."""
    texts = {}
    for question in given.questions:
        answer = answers.get(question.name, given.right[question.name])
        texts[question.name] = answer if isinstance(answer, str) else question.written(answer)
    written = {name: Written(text) for name, text in texts.items()}
    return {one.question.name: one for one in judge(given, written)}


def verdicts(found: dict[str, Judged]) -> dict[str, str]:
    return {name: one.kind for name, one in found.items() if one.kind != "right"}


def test_one_slip_is_paid_for_once() -> None:
    """Volumes in the sum and in the ratio follow from the wrong gasket volume: by hand."""
    e, right = engine(), engine().right
    free = e.tempting("gasket_volume")["gasket-uncompressed"]
    clearance = right["clearance_volume"] - right["gasket_volume"] + free
    ratio = (right["swept_volume"] + clearance) / clearance
    found = judged(e, gasket_volume=free, clearance_volume=clearance, compression_ratio=ratio)
    assert verdicts(found) == {
        "gasket_volume": "mistake",
        "clearance_volume": "follows",
        "compression_ratio": "follows",
    }
    assert found["gasket_volume"].mistakes == ("gasket-uncompressed",)
    assert sum(one.points for one in found.values()) == len(found) - 1


def test_a_wrong_volume_of_no_known_cause_is_carried_too() -> None:
    e, right = engine(), engine().right
    clearance = right["clearance_volume"] + 1.234
    found = judged(
        e,
        crown_volume=right["crown_volume"] + 1.234,
        clearance_volume=clearance,
        compression_ratio=right["swept_volume"] / clearance + 1,
    )
    assert verdicts(found) == {
        "crown_volume": "unknown",
        "clearance_volume": "follows",
        "compression_ratio": "follows",
    }


def test_a_second_slip_on_top_is_named_where_it_is_made() -> None:
    e, right = engine(), engine().right
    free = e.tempting("gasket_volume")["gasket-uncompressed"]
    clearance = right["clearance_volume"] - right["gasket_volume"] + free
    found = judged(
        e,
        gasket_volume=free,
        clearance_volume=clearance,
        compression_ratio=right["swept_volume"] / clearance,
    )
    assert found["clearance_volume"].kind == "follows"
    assert found["compression_ratio"].kind == "mistake"
    assert found["compression_ratio"].mistakes == ("forgot-plus-one",)


def test_a_coarse_number_written_earlier_is_reached_out_to() -> None:
    """The student worked on with more digits than the answer shows."""
    e, right = engine(), engine().right
    free = e.tempting("gasket_volume")["gasket-uncompressed"]
    clearance = right["clearance_volume"] - right["gasket_volume"] + free
    found = judged(e, gasket_volume=f"{free:.1f}", clearance_volume=clearance)
    assert found["clearance_volume"].kind == "follows"


def test_right_numbers_are_carried_on_as_they_were_rounded() -> None:
    """Ten times the swept volume: 0.004 cc of the clearance volume move the ratio by 0.015."""
    e = engine("flat", "46")
    swept = round(10 * e.right["swept_volume"], 2)
    ratio = swept / round(e.right["clearance_volume"], 2) + 1
    found = judged(e, swept_volume=swept, compression_ratio=ratio)
    assert verdicts(found) == {"swept_volume": "mistake", "compression_ratio": "follows"}


def test_a_volume_left_out_is_told_from_one_nearly_left_out() -> None:
    """A bore typed in inches leaves next to nothing of the deck volume, and is seldom."""
    for id in map(str, range(20)):
        e = engine("dish", id)
        gasket, deck, crown = (e.right[f"{part}_volume"] for part in ("gasket", "deck", "crown"))
        chamber = e.right["clearance_volume"] - gasket - deck - crown
        found = judged(
            e,
            crown_volume=-crown,
            clearance_volume=chamber + round(gasket, 2) - round(crown, 2),
        )
        assert found["clearance_volume"].mistakes == ("deck-forgotten",), id


def test_displacement_follows_from_the_swept_volume() -> None:
    e = engine()
    wide = e.tempting("swept_volume")["radius-for-diameter"]
    found = judged(e, swept_volume=wide, displacement=wide * e.sheet.engine.count)
    assert found["swept_volume"].mistakes == ("radius-for-diameter",)
    assert found["displacement"].kind == "follows"


def test_a_ratio_follows_from_the_parts_where_no_sum_is_written() -> None:
    e, right = engine(), engine().right
    free = e.tempting("gasket_volume")["gasket-uncompressed"]
    clearance = right["clearance_volume"] - right["gasket_volume"] + free
    ratio = right["swept_volume"] / clearance + 1
    found = judged(e, gasket_volume=free, clearance_volume="", compression_ratio=ratio)
    assert verdicts(found) == {
        "gasket_volume": "mistake",
        "clearance_volume": "nothing_written",
        "compression_ratio": "follows",
    }


def test_the_steps_to_a_target_are_carried() -> None:
    """By hand: wanted = swept / (target - 1); new thickness from the change over the opening."""
    e, right = engine("plan"), engine("plan").right
    assert e.target is not None
    swept = right["swept_volume"] * 1.1
    clearance = right["clearance_volume"]
    wanted = swept / (e.target - 1)
    area = 3.141592653589793 / 4 * e.readings.gasket_bore**2
    thickness = e.readings.thickness + 1000 * (wanted - clearance) / area
    found = judged(
        e,
        swept_volume=swept,
        compression_ratio=swept / clearance + 1,
        wanted_clearance=wanted,
        volume_change=wanted - clearance,
        gasket_thickness=thickness,
        squish_clearance=thickness + e.readings.decks[0],
    )
    follows = (
        *("compression_ratio", "wanted_clearance", "volume_change"),
        *("gasket_thickness", "squish_clearance"),
    )
    assert verdicts(found) == {"swept_volume": "unknown"} | dict.fromkeys(follows, "follows")


def test_early_rounding_is_half_right() -> None:
    e, right = engine(), engine().right
    swept, clearance = round(right["swept_volume"]), round(right["clearance_volume"])
    ratio = (swept + clearance) / clearance
    found = judged(e, compression_ratio=ratio)
    assert verdicts(found) in ({"compression_ratio": "nearly"}, {})
    coarse = judged(e, swept_volume=f"{right['swept_volume']:.0f}")
    assert coarse["swept_volume"].kind in ("right", "nearly")
    assert (
        judged(e, compression_ratio=f"{right['compression_ratio']:.0f}")["compression_ratio"].points
        == 0.5
    )


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("", "nothing_written"),
        ("dunno", "unreadable"),
        ("5,4", "unreadable"),
        ("1e999", "unreadable"),
        ("nan", "unreadable"),
        ("12 mm", "unreadable"),
        ("777.77", "unknown"),
    ],
)
def test_what_gets_no_point(text: str, verdict: str) -> None:
    one = judged(engine(), gasket_volume=text)["gasket_volume"]
    assert (one.kind, one.points) == (verdict, 0.0)
    assert one.verdict.hint


def test_units_and_a_real_minus_sign_are_read() -> None:
    e = engine("dome")
    crown, swept = e.right["crown_volume"], e.right["swept_volume"]
    found = judged(
        e,
        crown_volume=f"−{abs(crown):.2f} cc",
        swept_volume=f"{swept / 16.387064:.4f} cu in",
        compression_ratio=f"{e.right['compression_ratio']:.3f}:1",
    )
    assert crown < 0
    assert verdicts(found) == {}


def test_a_missing_unit_is_told_and_costs_nothing() -> None:
    e = engine()
    number = f"{e.right['swept_volume']:.2f}"
    for typed, unit in ((False, "cc"), (True, "")):
        answers = {"swept_volume": Written(number, typed=typed)}
        one = next(each for each in judge(e, answers) if each.question.name == "swept_volume")
        assert (one.kind, one.points, one.verdict.taken_as) == ("right", 1.0, unit)


def test_a_refused_text_and_a_blank_are_no_numbers_for_the_steps_after() -> None:
    e = engine()
    for text, kind in (("7,50 cc", "unreadable"), ("", "nothing_written")):
        found = judged(e, gasket_volume=text)
        assert verdicts(found) == {"gasket_volume": kind}
        assert found["gasket_volume"].value is None


@pytest.mark.parametrize("level", LEVELS)
def test_no_hint_holds_the_answer(level: str) -> None:
    e = engine(level)
    for question in e.questions:
        wrong = [*e.tempting(question.name).values(), e.right[question.name] * 1.0371, 1e6]
        for value in wrong:
            one = judged(e, **{question.name: value})[question.name]
            assert one.kind != "right"
            assert question.written(abs(e.right[question.name])) not in one.verdict.sentence
            assert f"{abs(e.right[question.name]):.1f}" not in one.verdict.sentence


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from(LEVELS["plan"].names), st.text(max_size=12)))
def test_any_text_is_survived(answers: dict[str, str]) -> None:
    found = judge(engine("plan"), {name: Written(text) for name, text in answers.items()})
    assert len(found) == len(LEVELS["plan"].names)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(LEVELS["full"].names),
        st.floats(-2e3, 2e3, allow_nan=False).map(lambda number: f"{number:.2f}"),
    )
)
def test_points_lie_between_none_and_all(answers: dict[str, str]) -> None:
    found = judge(engine(), {name: Written(text) for name, text in answers.items()})
    assert 0 <= sum(one.points for one in found) <= len(found)
