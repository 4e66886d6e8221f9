"""Readings that are possible and still deserve a second look."""

from __future__ import annotations

import pytest

from enginemath.buildsheet import EXAMPLE, parse
from enginemath.doubts import doubts


def said(*changes: tuple[str, str]) -> list[str]:
    text = EXAMPLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return doubts(parse(text).engine)


GOOD = (('"0.35 mm"', '"0.10 mm"'), ('"1.10 mm"', '"0.95 mm"'))


def test_a_usual_engine_raises_no_doubt() -> None:
    assert said(*GOOD) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([('"0.35 mm"', '".05 in"')], "did you mean 0.05 mm?"),
        ([('"0.35 mm"', '"-0.2 mm"')], "deck clearance -0.2 mm is unusual"),
        ([('"93.2 mm"', '"91.2 mm"')], "smaller than the bore"),
        ([], "Squish clearance, steel rods: 1.45 mm is above"),
        ([('"0.35 mm"', '"0 mm"'), ('"1.10 mm"', '"0.70 mm"')], "0.7 mm is below"),
        ([('"6.0 cc"', '"200 cc"')], "dish 200 cc is unusual"),
        ([('"6.0 cc"', '"400 cc"')], "is outside 6 to 24"),
    ],
)
def test_what_is_doubted(changes: list[tuple[str, str]], words: str) -> None:
    assert any(words in sentence for sentence in said(*changes))


def test_cylinders_that_do_not_match() -> None:
    volumes = '["47.0 cc", "47.5 cc", "48.1 cc", "47.4 cc"]'
    fills = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
    chambers = said((fills, f"volumes = {volumes}"), *GOOD)
    assert "Largest less smallest chamber: 1.1 cc, but the usual is at most 1 cc" in chambers[0]
    decks = said(('clearance = "0.35 mm"', 'clearances = ["0 mm", "0.1 mm", "0.2 mm", "0.1 mm"]'))
    assert any("deck clearances differ by 0.200 mm" in sentence for sentence in decks)


@pytest.mark.parametrize(("index", "doubted"), [(87, True), (91, False), (98, False)])
def test_the_fuel_s_rule_of_thumb(index: int, doubted: bool) -> None:
    sentences = said(
        *GOOD,
        ("reliefs =", "reliefs ="),
        ('"2.8 cc"', f'"2.8 cc"\n[fuel]\nantiknock_index = {index}'),
        ('"6.0 cc"', '"9.0 cc"'),
    )
    assert any("pump fuel" in sentence for sentence in sentences) is doubted


def test_each_doubt_is_said_once() -> None:
    sentences = said(('"0.35 mm"', '".05 in"'))
    assert len(sentences) == len(set(sentences))
