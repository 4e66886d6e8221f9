"""The word list: the trade's words, each once, in words that are plainer than the word."""

from __future__ import annotations

from html import unescape

from enginemath.pages.word_list import WORDS, address_of, word_list

ALL = [pair for group in WORDS.values() for pair in group.items()]
TRADE = (
    "bore", "stroke", "swept volume", "displacement", "clearance volume", "chamber",
    "compressed thickness", "deck clearance", "dish", "dome", "valve relief", "ring-land crevice",
    "compression ratio", "squish clearance", "deck cut", "head cut", "burette", "meniscus",
    "known depth", "intake closing", "effective ratio", "cranking pressure",
)  # fmt: skip
"""The words that the lessons use for the parts of a ratio."""


def test_every_word_of_the_lessons_is_there_once() -> None:
    words = [word for word, _ in ALL]
    assert set(TRADE) <= set(words)
    assert len({address_of(word) for word in words}) == len(words)


def test_the_page_holds_each_with_its_address_and_a_free_column() -> None:
    page = unescape(word_list())
    for word, told in ALL:
        assert (
            f'<tr id="{address_of(word)}"><th scope="row">{word}</th><td>{told}</td><td></td></tr>'
            in page
        )
    assert "<script" not in page


def test_each_is_told_in_one_short_line() -> None:
    assert [word for word, told in ALL if len(told.split()) > 16 or told.endswith(".")] == []
