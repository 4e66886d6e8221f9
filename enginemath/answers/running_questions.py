"""Questions about a running engine: gauge pressure, altitude, compression test, fuel."""

from __future__ import annotations

import pint

from enginemath.answers.quantities import PERCENT, Asked
from enginemath.answers.question import Question, judge_text
from enginemath.answers.tolerance import READ, Tolerance
from enginemath.answers.verdict import (
    NOTHING_WRITTEN,
    RIGHT,
    TOO_COARSE,
    Verdict,
    not_yet,
    too_large,
    unreadable,
)
from enginemath.answers.written_answer import Answer
from enginemath.bench.compression_test import CompressionTest
from enginemath.engine.rules_of_thumb import Rule
from enginemath.engine.running import absolute_pressure, gauge_pressure, pressure_at_altitude
from enginemath.formulas import atmosphere
from enginemath.units import Number, Quantity

_SIDES = {
    "below": "below",
    "under": "below",
    "inside": "inside",
    "within": "inside",
    "above": "above",
    "over": "above",
}


def of_gauge(pressure: pint.Quantity, ambient: pint.Quantity) -> Question:
    """What a gauge shows of an absolute pressure.

    >>> of_gauge(Quantity(1302, "kPa"), Quantity(94, "kPa")).judge("1396 kPa").sentence
    'not yet. Does a gauge in open air show more than nothing?'
    """
    return Question(
        gauge_pressure(pressure, ambient),
        [
            ("Does a gauge in open air show more than nothing?", pressure + ambient),
            ("That is the absolute pressure. What does a gauge show in open air?", pressure),
            (
                "That takes off the air at sea level. Which air is round this gauge?",
                pressure - atmosphere.SEA_LEVEL_PRESSURE * Quantity(1.0, "kPa"),
            ),
        ],
    )


def of_altitude(gauge: pint.Quantity, altitude: pint.Quantity) -> Question:
    """What a gauge reading of sea level becomes in the thinner air of a height.

    >>> high = of_altitude(Quantity(1200, "kPa"), Quantity(1524, "m"))
    >>> high.judge("1083 kPa").sentence
    'not yet. That is absolute. What does the gauge up there show?'
    """
    at_sea, here = (atmosphere.pressure(height) for height in (0 * altitude, altitude))
    absolute = absolute_pressure(gauge, at_sea)
    lower = pressure_at_altitude(absolute, altitude)
    return Question(
        gauge_pressure(lower, here),
        [
            ("That is absolute. What does the gauge up there show?", lower),
            ("You took off the air of sea level. Which air is up there?", lower - at_sea),
            (
                "That is the ratio of the densities. Which ratio does a pressure go with?",
                absolute * atmosphere.density_ratio(altitude) - here,
            ),
            ("That is at sea level. How do you scale it for the height?", absolute),
            ("That is what it shows at sea level. Is the air up there as thick?", gauge),
            (
                "That is the ratio of the densities. Which ratio does a pressure go with?",
                gauge * atmosphere.density_ratio(altitude),
            ),
        ],
        tolerance=Tolerance(slack=1.1, coarsest=1.0),  # both airs in whole kPa
    )


def judge_share(test: CompressionTest, text: str) -> Verdict:
    """Judge the lowest cylinder as a share of the highest, in percent.

    Args:
        test: the readings.
        text: what the student wrote.

    >>> test = CompressionTest(("1250 kPa", "1230 kPa", "880 kPa", "1210 kPa"))
    >>> judge_share(test, "70 %").sentence
    'right'
    >>> judge_share(test, "142 %").sentence
    'not yet. Which goes above the line: the lowest or the highest?'
    """
    return judge_text(text, Asked("share", PERCENT), lambda answer: _share(answer, test.share))


def _share(answer: Answer, right: float) -> Verdict:
    rule = READ[PERCENT]
    slips = {
        "Which goes above the line: the lowest or the highest?": (100 * 100 / right),
        "That is how much it lacks. How much does it reach?": 100 - right,
    }
    grade = rule.grade(answer, right, slips.values())
    if grade:
        return (RIGHT if grade == "right" else TOO_COARSE).without_unit("")
    for hint, value in slips.items():
        if answer.holds(value):
            return not_yet(hint)
    if answer.value <= 1:
        return not_yet("Is that in percent? A half is 50 %.")
    return too_large(answer.value, right)


def judge_low_cylinder(test: CompressionTest, text: str) -> Verdict:
    """Judge which cylinder a student finds low.

    Args:
        test: the readings.
        text: a number of a cylinder, or none.

    >>> test = CompressionTest(("1250 kPa", "1230 kPa", "880 kPa", "1210 kPa"))
    >>> judge_low_cylinder(test, "cylinder 3").sentence, judge_low_cylinder(test, "none").sentence
    ('right', 'not yet. Hold every cylinder against the highest one. Does each reach its share?')
    """
    word = (text.split() or [""])[-1].casefold().removeprefix("#")
    if not word:
        return NOTHING_WRITTEN
    count = len(test.readings)
    if word != "none" and word not in map(str, range(1, count + 1)):
        return unreadable(f'"{text:.40}": write the number of a cylinder, 1 to {count}, or none')
    if word in ({str(number) for number in test.low} or {"none"}):
        return RIGHT
    return not_yet("Hold every cylinder against the highest one. Does each reach its share?")


def judge_side(rule: Rule, value: Number, text: str) -> Verdict:
    """Judge where a student puts a value: below, inside or above a rule's range.

    Args:
        rule: of thumb.
        value: in the rule's unit.
        text: below, inside or above.

    >>> from enginemath.engine.rules_of_thumb import EFFECTIVE_RATIO
    >>> judge_side(EFFECTIVE_RATIO, 8.6, "inside").sentence
    'not yet. The range is 7.5 to 8.5. Which of its ends is nearer?'
    """
    word = (text.split() or [""])[0].casefold()
    if not word:
        return NOTHING_WRITTEN
    if word not in _SIDES:
        return unreadable(f'"{text:.40}": write below, inside or above')
    if _SIDES[word] == rule.place(value):
        return Verdict("right", rule.caution)
    return not_yet(f"The range is {rule.range}. Which of its ends is nearer?")
