"""Answers about a running engine: gauge pressure, altitude, compression test, fuel."""

from __future__ import annotations

import re

import pint

from enginemath.answers.question import Question
from enginemath.bench.compression_test import CompressionTest
from enginemath.engine.rules_of_thumb import Rule
from enginemath.engine.running import absolute_pressure, gauge_pressure, pressure_at_altitude
from enginemath.formulas import atmosphere
from enginemath.units import Number, Quantity

_NUMBER = re.compile(
    r"\s*(?=\.?[0-9])([0-9]{0,6}(?:\.([0-9]{0,9}))?)\s*(?:%|percent)?\s*", re.IGNORECASE
)
_PLACES = {
    "below": "below",
    "under": "below",
    "inside": "inside",
    "within": "inside",
    "above": "above",
    "over": "above",
}


def of_gauge(pressure: pint.Quantity, ambient: pint.Quantity) -> Question:
    """What a gauge shows of an absolute pressure.

    >>> of_gauge(Quantity(1302, "kPa"), Quantity(94, "kPa")).verdict("1396 kPa")
    'not yet. Does a gauge in open air show more than nothing?'
    """
    return Question(
        gauge_pressure(pressure, ambient),
        [
            ("Does a gauge in open air show more than nothing?", pressure + ambient),
            ("That is the absolute pressure. A gauge shows zero in open air.", pressure),
            (
                "That takes off the air at sea level. Which air is round this gauge?",
                pressure - atmosphere.SEA_LEVEL_PRESSURE * Quantity(1.0, "kPa"),
            ),
        ],
    )


def of_altitude(gauge: pint.Quantity, altitude: pint.Quantity) -> Question:
    """What a gauge reading of sea level becomes in the thinner air of a height.

    >>> high = of_altitude(Quantity(1200, "kPa"), Quantity(1524, "m"))
    >>> high.verdict("1083 kPa")
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
                "That is the ratio of the densities. A pressure goes with the pressure ratio.",
                absolute * atmosphere.density_ratio(altitude) - here,
            ),
            ("Only the last step is missing: scale it for the height.", absolute),
        ],
    )


def share_verdict(test: CompressionTest, text: str) -> str:
    """Judge the lowest cylinder as a share of the highest, in percent.

    >>> test = CompressionTest(("1250 kPa", "1230 kPa", "880 kPa", "1210 kPa"))
    >>> share_verdict(test, "70 %"), share_verdict(test, "142 %")
    ('right', 'not yet. The lowest over the highest, not the other way round')
    """
    if not text.strip():
        return "nothing written yet"
    number = _NUMBER.fullmatch(text)
    if number is None:
        return f'"{text:.40}": write one number and %, like 80 %'
    given, decimals = float(number[1]), len(number[2] or "")
    rounding = 0.5 * 10.0**-decimals
    if abs(given - test.share) <= rounding + 1e-9:
        return "right"
    if abs(given - 100 * 100 / test.share) <= rounding:
        return "not yet. The lowest over the highest, not the other way round"
    if abs(given - (100 - test.share)) <= rounding:
        return "not yet. That is how much it lacks. How much does it reach?"
    if given <= 1:
        return "not yet. Write it in percent: 0.8 is 80 %"
    return f"not yet. It is too {'large' if given > test.share else 'small'}: divide again"


def low_cylinder_verdict(test: CompressionTest, text: str) -> str:
    """Judge which cylinder a student finds low.

    >>> test = CompressionTest(("1250 kPa", "1230 kPa", "880 kPa", "1210 kPa"))
    >>> low_cylinder_verdict(test, "cylinder 3"), low_cylinder_verdict(test, "none")
    ('right', 'not yet. Hold every cylinder against the highest one')
    """
    word = (text.split() or [""])[-1].casefold().removeprefix("#")
    if not word:
        return "nothing written yet"
    count = len(test.readings)
    if word != "none" and word not in map(str, range(1, count + 1)):
        return f'"{text:.40}": write the number of a cylinder, 1 to {count}, or none'
    wanted = {str(number) for number in test.low} or {"none"}
    if word in wanted:
        return "right"
    return "not yet. Hold every cylinder against the highest one"


def place_verdict(rule: Rule, value: Number, text: str) -> str:
    """Judge where a student puts a value: below, inside or above a rule's range.

    >>> from enginemath.engine.rules_of_thumb import EFFECTIVE_RATIO
    >>> place_verdict(EFFECTIVE_RATIO, 8.6, "inside")
    'not yet. The range is 7.5 to 8.5'
    """
    word = (text.split() or [""])[0].casefold()
    if not word:
        return "nothing written yet"
    if word not in _PLACES:
        return f'"{text:.40}": write below, inside or above'
    if _PLACES[word] == rule.place(value):
        return f"right. {rule.caution}"
    return f"not yet. The range is {rule.range}"
