"""Answers on the way to a work order: a value on paper, metal left, a cut that went off."""

from __future__ import annotations

import re

import pint

from enginemath.answers.question import Question
from enginemath.change.cuts import metal_left
from enginemath.engine.part_for_ratio import clearance_for_ratio
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of
from enginemath.units import Refused, as_quantity, best, deviation, nominal, read_as

_DECIMALS = re.compile(r"\.([0-9]*)")


def on_paper_verdict(value: str, u: str, text: str) -> str:
    """Judge how a mean and its standard uncertainty are written down.

    Args:
        value: the mean as it was worked out.
        u: its standard uncertainty as it was worked out, in the same unit.
        text: what the student wrote; one or two digits of the ± are right.

    Source: JCGM 100:2008, 7.2.6.

    >>> on_paper_verdict("47.3833 cc", "0.0786 cc", "47.38 ± 0.08 cc")
    'right'
    >>> on_paper_verdict("47.3833 cc", "0.0786 cc", "47.3833 ± 0.0786 cc")
    'not yet. Two digits of the ± are enough; the rest is noise'
    """
    if not text.strip():
        return "nothing written yet"
    mean, spread = as_quantity(value), as_quantity(u)
    unit = f"{mean.units}"
    try:
        answer = read_as(text, unit)
    except Refused as refusal:
        return str(refusal)
    given = answer.to(unit).magnitude
    if not deviation(given):
        return 'not yet. Write the ± too, like "59.0 ± 0.4 cc"'
    decimals = [len(digits) for digits in _DECIMALS.findall(text)]
    if "(" in text and len(decimals) == 1:  # 47.38(8): the brackets count in the last digits
        decimals *= 2
    size = spread.m_as(unit)
    if abs(deviation(given) - size) > 0.5 * size:
        return "not yet. Look at the ± again: is the point in its place?"
    if len(decimals) != 2 or decimals[0] != decimals[1]:
        return "not yet. Value and ± end at the same place"
    if size * 10 ** decimals[1] >= 100:
        return "not yet. Two digits of the ± are enough; the rest is noise"
    last_digit = 10.0 ** -decimals[0]
    if abs(deviation(given) - size) > 0.51 * last_digit:
        return "not yet. Look at how the ± is rounded"
    if abs(nominal(given) - mean.m_as(unit)) > 0.51 * last_digit:
        return "not yet. Look at how the value is rounded"
    return "right"


def of_metal_left(height: str, minimum: str, cut: str) -> Question:
    """What may still be cut after a cut.

    >>> of_metal_left("132.60 mm", "132.30 mm", "0.20 mm").verdict("0.30 mm")
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
    >>> of_deck_after(parse(EXAMPLE).engine, "0.20 mm").verdict("0.55 mm")
    'not yet. The deck comes down to the piston. Does the clearance grow?'
    """
    now: pint.Quantity = best(engine.decks[engine.place(cylinder)].clearance)
    depth = as_quantity(cut)
    return Question(
        now - depth,
        [
            ("The deck comes down to the piston. Does the clearance grow?", now + depth),
            ("That is what it was before the cut.", now),
            ("That is the cut.", depth),
        ],
    )


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
            ("The ratio counts the clearance volume too: take one off it first.", swept / ratio),
            ("That is what is there now. What must it become?", now),
            ("That is how much must go. How much stays?", abs(now - wanted)),
        ],
    )
