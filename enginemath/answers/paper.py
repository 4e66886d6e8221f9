"""A whole paper judged: every text gets a verdict, and what is read is followed step by step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.by_hand.steps import step_of
from enginemath.answers.verdict import NOTHING_WRITTEN, Verdict, unreadable
from enginemath.answers.working import Working
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.units import Refused


@dataclass(frozen=True)
class OnPaper:
    """One answer on a paper.

    Args:
        verdict: what is made of it.
        answer: its number; None where it has none.
    """

    verdict: Verdict
    answer: Answer | None = None


def judge_paper(readings: Readings, texts: Mapping[str, str]) -> dict[str, OnPaper]:
    """Judge every answer on a paper.

    Args:
        readings: of the sheet, with the target ratio where steps to a target are asked for.
        texts: what was written, by step, see `STEPS`.

    Returns:
        By step, in the order given.

    Raises:
        Refused: no such step, or the readings do not hold what one takes.

    >>> from enginemath.answers.by_hand.readings import readings_of
    >>> from enginemath.sheets import EXAMPLE, parse
    >>> texts = {"compression_ratio": "9.672", "clearance_volume": "67.84 cc",
    ...          "gasket_volume": "9.21 cc", "deck_volume": "2,33 cc", "swept_volume": ""}
    >>> paper = judge_paper(readings_of(parse(EXAMPLE)), texts)
    >>> [on_paper.verdict.kind for on_paper in paper.values()]
    ['follows', 'follows', 'mistake', 'unreadable', 'nothing_written']
    """
    found: dict[str, OnPaper] = {}
    answers: dict[str, Answer] = {}
    for name, text in texts.items():
        step = step_of(name)
        found[name] = OnPaper(NOTHING_WRITTEN)
        if text.strip():
            try:
                answers[name] = read_answer(text, step)
            except Refused as refusal:
                found[name] = OnPaper(unreadable(str(refusal)))
    for judged in Working(readings, answers).judged():
        found[judged.name] = OnPaper(judged.verdict, judged.answer)
    return found
