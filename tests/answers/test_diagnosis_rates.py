"""How often mistakes are named, and how seldom anybody is accused for nothing.

The aims are the plan's: single mistakes named 97 % (first in the list 90 %), pairs 80 %, an
unexplained answer accused of a single mistake at most 3 %, a right answer always right. The
engines are drawn; the student who makes the mistakes is written apart from the library.
"""

from __future__ import annotations

import pytest

from tests.answers.diagnosis_rates import measure


@pytest.fixture(scope="module")
def rates():
    return measure(range(14), decimals=(2, 3))


def test_a_right_answer_is_always_right(rates):
    assert rates.rate("right") == 1.0


def test_early_rounding_is_told_from_a_mistake(rates):
    assert rates.rate("rounded") >= 0.95


def test_single_mistakes_are_named(rates):
    assert rates.rate("single", way=(None, 2)) >= 0.985


def test_single_mistakes_are_first_in_the_list(rates):
    assert rates.rate("first", way=(None, 2)) >= 0.95


def test_pairs_are_named(rates):
    assert rates.rate("pair", way=(None, 2)) >= 0.93


def test_rough_working_is_followed(rates):
    """Volumes kept to 0.1 cc, in engines from 50 cc up."""
    assert rates.rate("single", way=(1,)) >= 0.88
    assert rates.rate("pair", way=(1,)) >= 0.80


def test_an_unexplained_answer_is_seldom_accused(rates):
    assert rates.rate("accused") <= 0.02
    assert rates.rate("accused", decimals=(2,)) <= 0.03


def test_an_unexplained_answer_is_seldom_even_suspected(rates):
    assert rates.rate("suspected") <= 0.08
