"""Hints have one style in the whole house: they ask, and they hand nothing over."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from enginemath.answers import CATALOGUE
from enginemath.answers.bench_questions import of_deck, of_mean, of_pour, of_squish
from enginemath.answers.change_questions import of_deck_after, of_metal_left, of_wanted_clearance
from enginemath.answers.how_sure_questions import (
    of_combined,
    of_mean_uncertainty,
    of_offset,
    of_tool,
)
from enginemath.answers.question import Question
from enginemath.answers.running_questions import of_altitude, of_gauge
from enginemath.answers.tool_reading import TOOLS
from enginemath.answers.wording import HINTS
from enginemath.answers.writing_questions import TASKS
from enginemath.bench.how_sure.class_study import analyse
from enginemath.bench.measuring import Fill
from enginemath.sheets import EXAMPLE, parse
from enginemath.sheets.kit_data import path
from enginemath.sheets.study_file import read_study
from enginemath.units import read

ENGINE = parse(EXAMPLE).engine
QUESTIONS: dict[str, Question] = {
    "pour": of_pour([Fill("0.60 mL", "25.00 mL"), Fill("0.20 mL", "23.10 mL")]),
    "mean": of_mean([read("46.6 cc"), read("46.8 cc")], careless=read("45.5 cc")),
    "deck": of_deck("0.43 mm", "0.37 mm"),
    "squish": of_squish(ENGINE),
    "metal left": of_metal_left("212.46 mm", "212.10 mm", "0.30 mm"),
    "deck after a cut": of_deck_after(ENGINE, "0.20 mm"),
    "wanted clearance": of_wanted_clearance(ENGINE, 10.4),
    "u of a mean": of_mean_uncertainty([read("46.6 cc"), read("46.8 cc")]),
    "u of a tool": of_tool(read("0.03 mm")),
    "u together": of_combined(read("0.3 cc"), read("0.4 cc")),
    "offset": of_offset(analyse(read_study(path("class-chambers.csv"))), "D"),
    "gauge": of_gauge(read("1302 kPa"), read("94 kPa")),
    "altitude": of_altitude(read("1200 kPa"), read("1524 m")),
}
SQUARE_ROOT_OF = {"That is divided by 3. Should it be 3 itself, or its root?"}


def all_hints() -> Iterator[tuple[str, str]]:
    for mistake in CATALOGUE.values():
        yield mistake.id, mistake.hint
        yield from ((mistake.id, slip.hint) for slip in mistake.slips if slip.hint)
    for what, question in QUESTIONS.items():
        yield from ((what, hint) for hint, _ in question.slips)
    for task in TASKS.values():
        yield from ((task.words, hint) for hint, _ in task.slips)
    for tool in TOOLS.values():
        middle = tool.low + round((tool.high - tool.low) / tool.step / 2) * tool.step
        yield from ((tool.name, each.hint) for each in tool.misreadings(middle))


@pytest.mark.parametrize(("what", "hint"), sorted(set(all_hints())))
def test_a_hint_asks_and_tells_no_number(what: str, hint: str) -> None:
    assert "?" in hint, what
    assert hint[0].isupper()
    assert hint[-1] in ".?"
    assert len(hint) <= 115
    allowed = hint in SQUARE_ROOT_OF or "cosine of 60" in hint or "π/4" in hint or "2.54 cm" in hint
    assert allowed or not re.search(r"\d", hint), what


def test_where_the_method_is_right_the_hint_says_what_to_do() -> None:
    assert all(hint.endswith((".", "?")) for hint in HINTS.values())


@pytest.mark.parametrize("what", QUESTIONS)
def test_no_verdict_of_a_lesson_tells_the_answer_or_the_distance(what: str) -> None:
    question = QUESTIONS[what]
    right = question.right.m_as(question.unit)
    for factor in (0.31, 0.77, 1.0013, 1.09, 3.3):
        text = f"{right * factor:.4f} {question.unit}"
        said = question.judge(text).sentence
        for number in (right, abs(right * factor - right)):
            assert f"{number:.2f}".strip("-0.") not in said or f"{number:.2f}" in ("0.00", "0.01")
