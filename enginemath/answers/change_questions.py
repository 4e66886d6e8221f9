"""Questions on the way to a work order: a value on paper, metal left, what a cut leaves."""

from __future__ import annotations

import re

import pint

from enginemath.answers.bench_questions import of_squish
from enginemath.answers.quantities import Asked
from enginemath.answers.question import Question, judge_text
from enginemath.answers.tolerance import TOLERANCES
from enginemath.answers.verdict import RIGHT, Verdict, not_yet
from enginemath.answers.written_answer import Answer
from enginemath.change.combination import Combination
from enginemath.change.cuts import metal_left
from enginemath.change.job import Job
from enginemath.change.limits_kept import keeps_all
from enginemath.change.wishes import compared
from enginemath.engine.part_for_ratio import clearance_for_ratio
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of
from enginemath.units import as_quantity, best

_DECIMALS = re.compile(r"\.([0-9]*)")


def judge_on_paper(value: str, u: str, text: str) -> Verdict:
    """Judge how a mean and its standard uncertainty are written down.

    Args:
        value: the mean as it was worked out.
        u: its standard uncertainty as it was worked out, in the same unit.
        text: what the student wrote; one or two digits of the ± are right.

    Source: JCGM 100:2008, 7.2.6.

    >>> judge_on_paper("47.3833 cc", "0.0786 cc", "47.38 ± 0.08 cc").sentence
    'right'
    >>> judge_on_paper("47.3833 cc", "0.0786 cc", "47.3833 ± 0.0786 cc").sentence
    'not yet. Two digits of the ± are enough: which of these are noise?'
    """
    mean, spread = as_quantity(value), as_quantity(u)
    unit = f"{mean.units}"
    right, size = float(mean.m_as(unit)), float(spread.m_as(unit))

    def judge(answer: Answer) -> Verdict:
        hint = _wrong_on_paper(answer, right, size, text)
        return not_yet(hint) if hint else RIGHT

    return judge_text(text, Asked("value", unit), judge)


def _wrong_on_paper(answer: Answer, right: float, size: float, text: str) -> str:
    """What is wrong with a value and its ± as they are written; empty where nothing is."""
    if not answer.spread:
        return 'Where is the ±? Write it too, like "59.0 ± 0.4 cc".'
    decimals = [len(digits) for digits in _DECIMALS.findall(text)]
    if "(" in text and len(decimals) == 1:  # 47.38(8): the brackets count in the last digits
        decimals *= 2
    if abs(answer.spread - size) > 0.5 * size:
        return "Look at the ± again: is the point in its place?"
    if len(decimals) != 2 or decimals[0] != decimals[1]:
        return "Do value and ± end at the same place?"
    if size * 10 ** decimals[1] >= 100:
        return "Two digits of the ± are enough: which of these are noise?"
    last_digit = 10.0 ** -decimals[0]
    if abs(answer.spread - size) > 0.51 * last_digit:
        return "Look at how the ± is rounded: up or down?"
    if abs(answer.value - right) > 0.51 * last_digit:
        return "Look at how the value is rounded: up or down?"
    return ""


def of_metal_left(height: str, minimum: str, cut: str) -> Question:
    """What may still be cut after a cut.

    >>> of_metal_left("132.60 mm", "132.30 mm", "0.20 mm").judge("0.30 mm").sentence
    'not yet. That is before the cut. How much is left after it?'
    """
    now, least, depth = (as_quantity(length) for length in (height, minimum, cut))
    return Question(
        metal_left(now, least, depth),
        [
            ("That is before the cut. How much is left after it?", now - least),
            ("That is the height after the cut. How far is it above the minimum?", now - depth),
            ("The cut takes away. Does it not?", now - least + depth),
        ],
    )


def of_deck_after(engine: Engine, cut: str, cylinder: int = 1) -> Question:
    """Deck clearance of one cylinder, counted from 1, after a deck cut.

    Raises:
        Refused: no such cylinder.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> of_deck_after(parse(EXAMPLE).engine, "0.20 mm").judge("0.55 mm").sentence
    'not yet. The deck comes down to the piston. Does the clearance grow?'
    """
    now: pint.Quantity = best(engine.decks[engine.place(cylinder)].clearance)
    depth = as_quantity(cut)
    return Question(
        now - depth,
        [
            ("The deck comes down to the piston. Does the clearance grow?", now + depth),
            ("That is what it was before the cut. What is it after?", now),
            ("That is the cut. What is left of the clearance?", depth),
        ],
        "deck",
    )


def of_squish_after(engine: Engine, cut: str, cylinder: int = 1) -> Question:
    """Squish clearance of one cylinder, counted from 1, after a deck cut.

    Raises:
        Refused: no such cylinder, or the gasket's compressed thickness is not known.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> of_squish_after(parse(EXAMPLE).engine, "0.20 mm").judge("1.45 mm").sentence
    'not yet. Look at the deck. That is what it was before the cut. What is it after?'
    """
    before, depth = of_squish(engine, cylinder), as_quantity(cut)
    slips = [
        ("That is what it was before the cut. What is it after?", before.right),
        ("The deck comes down to the piston. Does the gap grow?", before.right + depth),
        *((hint, value - depth) for hint, value in before.slips),
        *before.slips,
    ]
    return Question(before.right - depth, slips, "deck")


def of_wanted_clearance(engine: Engine, ratio: float, cylinder: int = 1) -> Question:
    """The clearance volume that one cylinder, counted from 1, takes for a wanted ratio.

    Raises:
        Refused: no such cylinder, or a ratio that cannot be.
    """
    stack = stack_of(engine, engine.place(cylinder))
    swept, now = best(stack.swept), best(stack.clearance)
    wanted = best(clearance_for_ratio(stack, ratio))
    return Question(
        wanted,
        [
            (
                "The ratio counts the clearance volume too. What is left without it?",
                swept / ratio,
            ),
            ("That is what is there now. What must it become?", now),
            ("Do you take the one off the ratio, or add it?", swept / (ratio + 1)),
            ("That is how much must go. How much stays?", abs(now - wanted)),
        ],
        tolerance=TOLERANCES["wanted_clearance"],
    )


def judge_choice(job: Job, choice: Combination) -> Verdict:
    """Judge a choice of parts and cuts: right where it keeps to every limit.

    Args:
        job: the engine, the price list and the limits.
        choice: one combination of the list.
    """
    stands = compared(job, choice)
    return Verdict("right", stands) if keeps_all(job, choice) else not_yet(stands)
