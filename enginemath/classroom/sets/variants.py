"""A different engine for every student, the same again from the same secret."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from random import Random
from typing import Any

from enginemath.answers.tolerance import TOLERANCES
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.draw_engine import draw_engine, draw_target
from enginemath.classroom.sets.levels import Level
from enginemath.classroom.sets.questions import WorksheetQuestion
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.units import Refused

MOST_DRAWS = 400
_APART = 1.2
"""Least gap between what two mistakes give, in units of the last digit asked for."""
_SMALLEST_CHAMBER = 0.4
"""Of the clearance volume."""
_THIN, _TIGHT = 0.45, 0.6
"""Least gasket thickness and squish clearance that a target may lead to, mm."""


def assign(secret: ClassSecret, id: str, level: Level) -> Assignment:
    """The engine of one student.

    Drawn again until every likely mistake gives a number of its own, and none of the readings
    looks like an answer.

    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> one, again, other = (assign(ClassSecret("heron"), id, LEVELS["flat"]) for id in "778")
    >>> one == again, one == other
    (True, False)
    """
    rng = Random(secret.number("engine", level.name, id.casefold()))
    name = f"Practice engine {secret.tag('name', level.name, id.casefold(), length=4).upper()}"
    for _ in range(MOST_DRAWS):
        try:
            drawn = _draw(rng, level, name)
        except Refused:
            continue
        if is_fit(drawn):
            return drawn
    raise Refused(f"level {level.name}: no fit engine in {MOST_DRAWS} draws")


def _draw(rng: Random, level: Level, name: str) -> Assignment:
    drawn = Assignment(level, draw_engine(rng, level, name))
    if not level.target:
        return drawn
    swept, clearance = drawn.worked("swept_volume"), drawn.worked("clearance_volume")
    target = draw_target(rng, drawn.sheet, swept, clearance)
    return Assignment(level, drawn.sheet, target)


def is_fit(drawn: Assignment) -> bool:
    """Whether an engine makes a fair question.

    Cheap tests come first: most draws that fail, fail there.
    """
    if drawn.readings.chambers[0] < _SMALLEST_CHAMBER * drawn.worked("clearance_volume"):
        return False
    if drawn.target is not None:
        thickness, squish = drawn.right["gasket_thickness"], drawn.right["squish_clearance"]
        if thickness < _THIN or squish < _TIGHT:
            return False
    if shows_an_answer(drawn):
        return False
    return all(told_apart(drawn, question) for question in reversed(drawn.questions))


def shows_an_answer(drawn: Assignment) -> bool:
    """Whether an answer can be read off the readings, by accident."""
    texts = [*_texts(drawn.sheet.written), f"{drawn.target}"]
    numbers = [float(number) for text in texts for number in re.findall(r"\d+(?:\.\d+)?", text)]
    for question in drawn.questions:
        right = abs(drawn.right[question.name])
        if any(abs(number - right) <= 1.5 * 10**-question.decimals for number in numbers):
            return True
        for decimals in range(2, question.decimals + 1):
            if any(f"{right:.{decimals}f}" in text for text in texts):
                return True
    return False


def _texts(written: Any) -> Iterator[str]:
    if isinstance(written, dict):
        for value in written.values():
            yield from _texts(value)
    elif isinstance(written, list):
        for value in written:
            yield from _texts(value)
    else:
        yield str(written)


def told_apart(drawn: Assignment, question: WorksheetQuestion) -> bool:
    """Whether the right answer and every likely mistake round to different numbers."""
    found = sorted([drawn.right[question.name], *drawn.tempting(question.name).values()])
    gap = _APART * 10**-question.decimals + 2 * TOLERANCES[question.name].slack
    return all(other - one >= gap for one, other in pairwise(found))
