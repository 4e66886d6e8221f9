"""Lesson 08: before the guess each source has a bar of the student's own, which tells nothing."""

from __future__ import annotations

import json
from typing import Any

import pytest

from enginemath.panels import how_sure_numbers
from tests.drawing.reader import Reading, read
from tests.panels.opened import opened, said, texts

PULLED = {"my bar: depth gauge": 8, "my bar: burette": 4, "my bar: micrometer": 2}


def pulled() -> Any:
    panel = opened("how_sure", predict=True)
    for name, place in PULLED.items():
        panel.take(name, place)
    return panel


def long(reading: Reading, kind: str) -> list[float]:
    """The lengths of all bars of a kind, from above, px."""
    found = [shape.box for shape in reading.shapes if shape.kind == kind]
    return [right - left for left, _, right, _ in sorted(found, key=lambda box: box[1])]


def names(panel: Any) -> list[str]:
    """The sources from above."""
    sources = {bar.name.removeprefix("my bar: ") for bar in panel.thought.values()}
    return [text for text in texts(panel) if text in sources]


def test_before_the_guess_a_bar_is_as_long_as_it_was_pulled_and_no_more() -> None:
    panel = pulled()
    assert names(panel) == sorted(names(panel)), "their order gives none away"
    micrometer, burette, depth = sorted(long(read(panel.svg), "bar"))
    assert (burette / micrometer, depth / micrometer) == pytest.approx((2, 4))
    told = " ".join(texts(panel))
    assert "%" not in told
    right = panel.guess.prediction
    assert right.shown(right.answer()) not in panel.svg
    assert "You trust this least: depth gauge." in said(panel)


def test_with_the_answer_own_bars_stay_dashed_the_longest_like_the_longest() -> None:
    panel = pulled()
    panel.take("guess", "0.1")
    reading = read(panel.svg)
    assert max(long(reading, "ghost")) == pytest.approx(max(long(reading, "bar")))
    assert names(panel)[0] == "burette"
    share = how_sure_numbers("heron-four")["budget"].lines[0].share
    assert f"Burette carries {100 * share:.0f} % of the variance" in said(panel)
    assert "You thought: depth gauge." in said(panel)


def test_own_bars_outlive_a_reset_and_a_killed_python() -> None:
    panel = pulled()
    panel.take("guess", "0.1")
    before = panel.svg
    panel.take("± burette", "0.07 cc")
    panel.take("reset all", True)
    assert panel.svg == before
    again = opened("how_sure", predict=True)
    again.restore(json.loads(json.dumps(panel.kept)))
    assert again.svg.replace(again.key, "") == panel.svg.replace(panel.key, "")


def test_put_all_back_takes_bars_back_before_the_guess() -> None:
    panel = pulled()
    panel.take("reset all", True)
    assert panel.svg.replace(panel.key, "") == (
        (fresh := opened("how_sure", predict=True)).svg.replace(fresh.key, "")
    )
    panel.take("guess", "0.1")
    assert long(read(panel.svg), "ghost") == []
