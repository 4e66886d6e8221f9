"""Engines for a class: fair, told apart, and the same again from the same secret."""

from __future__ import annotations

from functools import cache

import pytest

from enginemath.answers import QUANTITIES, diagnose
from enginemath.answers.quantities import TO_TARGET
from enginemath.classroom.marking.judging import judge
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.classroom.sets.variants import assign, shows_an_answer, told_apart
from tests.classroom.class_sets import SECRET, by_hand

HOW_MANY = 6


@cache
def drawn(level: str) -> tuple[Assignment, ...]:
    secret = ClassSecret(SECRET)
    return tuple(assign(secret, str(number), LEVELS[level]) for number in range(HOW_MANY))


levels = pytest.mark.parametrize("level", LEVELS)


@levels
def test_the_answers_are_those_of_a_hand_calculation(level: str) -> None:
    """Worked apart from the library from the texts on the sheet, in cm and cc."""
    for each in drawn(level):
        hand = by_hand(each.sheet.written, each.target)
        for name, right in each.right.items():
            assert right == pytest.approx(hand[name], rel=1e-9, abs=1e-9), name


@levels
def test_engines_are_plausible(level: str) -> None:
    """Common practice, no source: bounds of ordinary car engines."""
    for each in drawn(level):
        assert 8.0 < each.right["compression_ratio"] < 11.6
        assert 200 < each.right["swept_volume"] < 950
        assert each.readings.chambers[0] > 10
        assert each.sheet.engine.count != 4
        for warning in (each.sheet.engine.squish(),):
            assert warning is not None
            assert warning.m_as("mm") > 0.7
        for start, end in each.readings.fills:
            assert 0 <= start < end <= 50


@levels
def test_everyone_has_another_engine(level: str) -> None:
    ratios = {each.written("compression_ratio") for each in drawn(level)}
    assert len(ratios) == HOW_MANY


@levels
def test_the_same_again(level: str) -> None:
    assert assign(ClassSecret(SECRET), "3", LEVELS[level]) == drawn(level)[3]
    assert assign(ClassSecret("another"), "3", LEVELS[level]) != drawn(level)[3]


@levels
def test_each_level_holds_what_it_says(level: str) -> None:
    for each in drawn(level):
        written = each.sheet.written
        assert ("ring_land" in written) == LEVELS[level].crevice
        assert ("stroke" in written["cylinder"]) != LEVELS[level].depth_at_bdc
        assert (each.target is not None) == LEVELS[level].target
        assert ("piston" in written) == (level != "flat")
        assert ("known_depth" in written.get("piston", {})) == (level == "dome")


def test_inches_and_millimetres() -> None:
    units = {each.sheet.written["cylinder"]["bore"].split()[1] for each in drawn("inch")}
    assert units == {"in", "mm"}


@levels
def test_every_likely_mistake_is_named_for_what_it_is(level: str) -> None:
    """By the diagnosis itself, from the number written at the precision asked."""
    for each in drawn(level)[:2]:
        for question in each.questions:
            for mistake, value in each.tempting(question.name).items():
                text = question.written(value)
                if question.name in QUANTITIES:
                    found = diagnose(each.sheet, question.name, text)
                    assert not found.correct, (question.name, mistake)
                    assert found.explanations[0].mistakes == (mistake,), (question.name, mistake)
                else:
                    judged = {
                        one.question.name: one
                        for one in judge(each, {question.name: Written(text)})
                    }
                    assert judged[question.name].mistakes == (mistake,)


def test_engines_that_cannot_be_told_apart_are_found() -> None:
    """Four cylinders: the whole engine for one gives what the bore for the radius gives."""
    good = drawn("flat")[0]
    written = dict(good.sheet.written)
    written["cylinder"] = dict(written["cylinder"], count=4)
    bad = Assignment(good.level, type(good.sheet)(written))
    question = next(each for each in bad.questions if each.name == "swept_volume")
    assert told_apart(good, question)
    assert not told_apart(bad, question)


def test_a_reading_that_shows_an_answer_is_found() -> None:
    good = drawn("dish")[0]
    written = dict(good.sheet.written)
    written["piston"] = {"dish": good.written("gasket_volume") + " cc"}
    assert not shows_an_answer(good)
    assert shows_an_answer(Assignment(good.level, type(good.sheet)(written)))


@levels
def test_right_answers_get_full_marks(level: str) -> None:
    for each in drawn(level):
        answers = {name: Written(each.written(name)) for name in each.right}
        assert [one.kind for one in judge(each, answers)] == ["right"] * len(each.questions)


def test_targets_lead_to_gaskets_that_can_be() -> None:
    for each in drawn("plan"):
        assert set(TO_TARGET) < set(each.right)
        assert 0.4 < each.right["gasket_thickness"] < 2.5
        assert each.right["squish_clearance"] > 0.6
