"""The slips that open a student's sheet in the site."""

from __future__ import annotations

import math
import os
import stat
from pathlib import Path

import pytest

from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.slips import WORDS, slips_for, word_list
from enginemath.units import Refused

CLASS = [Student("T-02", "Student Two"), Student("T-01", "Student <One>"), Student("=7", "Seven")]


def test_nobody_can_try_all_words() -> None:
    """At least 40 bits, behind 600 000 rounds for each try (2 to the power of 19)."""
    words = word_list()
    assert len(set(words)) == len(words)
    assert WORDS * math.log2(len(words)) > 45
    assert len({word[:4] for word in words}) == len(words)
    assert all(word.isascii() and word.islower() and word.isalpha() for word in words)


def test_words_are_drawn_for_each_and_stay(tmp_path: Path) -> None:
    first = slips_for(CLASS, tmp_path / "slips")
    assert [slip.student.name for slip in first] == ["Seven", "Student <One>", "Student Two"]
    assert len({slip.words for slip in first}) == 3
    assert all(len(slip.words.split()) == WORDS for slip in first)
    later = slips_for([*CLASS, Student("T-04", "Student Four")], tmp_path / "slips")
    assert {slip.words for slip in first} < {slip.words for slip in later}
    assert len(later) == 4


def test_the_page_has_a_slip_for_each_and_is_for_its_owner_alone(tmp_path: Path) -> None:
    slips = slips_for(CLASS, tmp_path / "slips")
    page = tmp_path / "slips" / "slips.html"
    text = page.read_text(encoding="utf-8")
    assert all(slip.words in text for slip in slips)
    assert "Student &lt;One&gt;" in text
    if os.name == "posix":
        assert stat.S_IMODE(page.stat().st_mode) == 0o600
        assert stat.S_IMODE(page.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("id,name,words\nT-01,One,one two\n", "row 2: not the words of a slip; take the row out"),
        ("id,name,words\nT-01,One\n", "row 2: not the words of a slip"),
        ("id,name,words\nT-01,One,a b c d e\n", "row 2: not the words of a slip"),
        ("name\nOne\n", "not a list of slips"),
        ("", "not a list of slips"),
    ],
)
def test_a_list_that_was_changed_is_refused(tmp_path: Path, text: str, told: str) -> None:
    (tmp_path / "words.csv").write_text(text)
    with pytest.raises(Refused, match=told):
        slips_for(CLASS, tmp_path)
    assert (tmp_path / "words.csv").read_text() == text
