"""One answer gets one verdict, whoever is asked: lesson, worksheet, diagnosis, audit or marks.

More than a thousand answers are drawn for the engines of four class sets: right ones as they are
asked for, without their unit, in inches, a digit short, off in the last digit, with a decimal
comma, and each likely mistake. Each is put to every door, once alone on the paper, and once with
all other answers right.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

import pytest

import enginemath as em
from enginemath import lesson
from enginemath.answers import QUANTITIES, audit, diagnose
from enginemath.answers.verdict import Verdict
from enginemath.classroom.marking.judging import Judged, judge
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.notebook import check_cell
from enginemath.classroom.sets.questions import WorksheetQuestion
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.classroom.sets.variants import assign
from enginemath.units import Refused

CUBIC_INCH, INCH = 16.387064, 25.4  # NIST SP 811 (2008), appendix B.8
ENGINES = (("plan", "2"), ("plan", "5"), ("cam", "1"), ("cam", "3"), ("full", "4"), ("dome", "8"))
OUTCOMES = {
    "right": "right",
    "nearly": "rounded",
    "follows": "follows",
    "mistake": "slip",
    "unknown": "slip",
}
"""What the audit calls each kind of verdict."""


@dataclass(frozen=True)
class Drawn:
    """One answer that somebody might write, and the kinds of verdict that are fair."""

    what: str
    engine: tuple[str, str]
    name: str
    text: str
    fair: tuple[str, ...]


@cache
def engine(level: str, id: str) -> Assignment:
    return assign(ClassSecret("one judge"), id, LEVELS[level])


def with_unit(question: WorksheetQuestion, number: str) -> str:
    return f"{number} {question.unit}".strip()


def answers_to(key: tuple[str, str], question: WorksheetQuestion) -> Iterator[Drawn]:
    given = engine(*key)
    right, digit = given.right[question.name], 10.0**-question.decimals

    def drawn(what: str, text: str, *fair: str) -> Drawn:
        return Drawn(what, key, question.name, text, fair)

    wrong = ("mistake", "unknown", "nearly")
    number = question.written(right)
    yield drawn("right", with_unit(question, number), "right")
    yield drawn("without its unit", number, "right")
    if question.unit:
        inches, unit = (CUBIC_INCH, "cu in") if question.unit == "cc" else (INCH, "in")
        yield drawn("in inches", f"{right / inches:.5f} {unit}", "right")
        yield drawn("another kind of unit", f"{number} kPa", "unreadable")
    yield drawn("with more digits", with_unit(question, f"{right:.6f}"), "right")
    short = f"{right:.{question.decimals - 1}f}"
    yield drawn("a digit short", with_unit(question, short), "right", "nearly")
    yield drawn("whole", with_unit(question, f"{right:.0f}"), "right", "nearly", *wrong)
    for off in (1, -1, 2, -2):
        text = with_unit(question, question.written(right + off * digit))
        yield drawn(f"off by {off} in the last digit", text, "right", *wrong)
    yield drawn("with a decimal comma", with_unit(question, number.replace(".", ",")), "unreadable")
    yield drawn("blank", "  ", "nothing_written")
    yield drawn("words", "about ten", "unreadable")
    yield drawn("of no known cause", with_unit(question, f"{right * 1.2345:.3f}"), *wrong)
    for mistake, value in given.tempting(question.name).items():
        for places in (question.decimals, question.decimals + 1):
            yield drawn(f"mistake {mistake}", with_unit(question, f"{value:.{places}f}"), "mistake")


DRAWN = [
    drawn
    for key in ENGINES
    for question in engine(*key).questions
    for drawn in answers_to(key, question)
]


def on_the_cell(given: Assignment, texts: Mapping[str, str], printed: list[str]) -> dict[str, str]:
    """What the check cell of a worksheet prints, by question."""
    printed.clear()
    exec(_compiled(given.sheet.name), {question.name: texts.get(question.name, "")
                                       for question in given.questions})  # fmt: skip
    words = {question.words: question.name for question in given.questions}
    said = dict(line.split(": ", 1) for line in printed)
    return {words[each]: sentence for each, sentence in said.items()}


@cache
def _compiled(name: str) -> object:
    (given,) = [engine(*key) for key in ENGINES if engine(*key).sheet.name == name]
    return compile(check_cell(given), "cell", "exec")


def marked(given: Assignment, texts: Mapping[str, str]) -> dict[str, Judged]:
    answers = {name: Written(text) for name, text in texts.items()}
    return {one.question.name: one for one in judge(given, answers)}


def sentences(drawn: Drawn, printed: list[str]) -> Iterator[tuple[str, str]]:
    """What each door that speaks says of an answer that stands alone."""
    given, name = engine(*drawn.engine), drawn.name
    printed.clear()
    em.check_sheet(_text(given), given.target, **{name: drawn.text})
    yield "worksheet", printed[0].partition(": ")[2]
    if name in QUANTITIES:
        printed.clear()
        lesson.check(given.sheet, **{name: drawn.text})
        yield "lesson", printed[0].partition(": ")[2]
        yield "diagnose", _diagnosed(given, name, drawn.text)


@cache
def _text_of(name: str) -> str:
    (given,) = [engine(*key) for key in ENGINES if engine(*key).sheet.name == name]
    return check_cell(given).split('"""')[1]


def _text(given: Assignment) -> str:
    return _text_of(given.sheet.name)


def _diagnosed(given: Assignment, name: str, text: str) -> str:
    try:
        found = diagnose(given.sheet, name, text).verdict
        alone = marked(given, {name: text})[name].verdict
        assert (found.kind, found.place, found.mistakes) == (
            alone.kind,
            alone.place,
            alone.mistakes,
        )
        return found.sentence
    except Refused as refusal:
        return str(refusal) if text.strip() else "nothing written yet"


def audited(given: Assignment, texts: Mapping[str, str], name: str) -> tuple[str, tuple[str, ...]]:
    """What the audit makes of one answer of a paper."""
    try:
        found = audit(given.sheet, texts, given.target)
    except Refused:
        return "refused", ()
    (step,) = [step for step in found.steps if step.name == name]
    return step.verdict, step.mistakes


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The lines that are printed, without a terminal between."""
    lines: list[str] = []
    monkeypatch.setattr("builtins.print", lambda *said, **_: lines.extend(map(str, said)))
    return lines


def test_a_thousand_answers_are_drawn() -> None:
    assert len(DRAWN) >= 1000
    assert min(Counter(drawn.what for drawn in DRAWN).values()) > 0


def agree(verdict: Verdict, outcome: tuple[str, tuple[str, ...]]) -> bool:
    if verdict.kind in ("unreadable", "nothing_written"):
        return outcome[0] == "refused"
    return outcome == (OUTCOMES[verdict.kind], verdict.mistakes)


@pytest.mark.parametrize("key", ENGINES, ids="-".join)
def test_every_door_gives_one_verdict(key: tuple[str, str], printed: list[str]) -> None:
    given = engine(*key)
    for drawn in (drawn for drawn in DRAWN if drawn.engine == key):
        verdict = marked(given, {drawn.name: drawn.text})[drawn.name].verdict
        assert verdict.kind in drawn.fair, drawn
        assert bool(verdict.taken_as) == (drawn.what == "without its unit" and bool(_unit(drawn)))
        if drawn.what.startswith("mistake"):
            assert verdict.mistakes == (drawn.what.removeprefix("mistake "),), drawn
        for door, said in sentences(drawn, printed):
            assert said == verdict.sentence, (door, drawn)
        assert agree(verdict, audited(given, {drawn.name: drawn.text}, drawn.name)), drawn
        if verdict.kind not in ("right", "unreadable"):
            assert given.written(drawn.name).lstrip("-") not in verdict.sentence


def _unit(drawn: Drawn) -> str:
    return {question.name: question.unit for question in engine(*drawn.engine).questions}[
        drawn.name
    ]


@pytest.mark.parametrize("key", ENGINES, ids="-".join)
def test_and_one_on_a_paper_that_is_full(key: tuple[str, str], printed: list[str]) -> None:
    """All other answers right: the check cell, the audit and the marks see the whole paper."""
    given = engine(*key)
    full = {q.name: with_unit(q, given.written(q.name)) for q in given.questions}
    for drawn in [drawn for drawn in DRAWN if drawn.engine == key][::4]:
        texts = full | {drawn.name: drawn.text}
        verdict = marked(given, texts)[drawn.name].verdict
        assert on_the_cell(given, texts, printed)[drawn.name] == verdict.sentence, drawn
        assert agree(verdict, audited(given, texts, drawn.name)), drawn
        if drawn.what.startswith("mistake"):
            assert verdict.kind == "mistake", drawn
