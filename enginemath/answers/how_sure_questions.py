"""Answers about how sure a result is, and about a class as a measuring system."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from statistics import fmean

import pint

from enginemath.answers.question import Question
from enginemath.bench.how_sure.class_study import Study, analyse, without
from enginemath.bench.how_sure.error_budget import Budget, budget
from enginemath.bench.measuring import Repeats
from enginemath.bench.tools import combined, rectangular, triangular
from enginemath.units import Number, Quantity, deviation


def of_mean_uncertainty(readings: Sequence[pint.Quantity]) -> Question:
    """The standard uncertainty of the mean of repeats.

    >>> four = [Quantity(cc, "cc") for cc in (46.6, 46.8, 46.6, 46.8)]
    >>> of_mean_uncertainty(four).verdict("0.12 cc")
    'not yet. That is the spread of one reading. A mean of several is surer.'
    """
    repeats = Repeats.of(readings)
    unit, s, n = repeats.mean.units, repeats.spread, repeats.count
    return Question(
        Quantity(deviation(repeats.mean.magnitude), unit),
        [
            ("That is the spread of one reading. A mean of several is surer.", s),
            ("Divide by the root of the number of readings, not by the number.", s / n),
            ("That is largest less smallest.", repeats.range),
            ("The root goes below the line.", s * n**0.5),
        ],
    )


def of_tool(limit: pint.Quantity) -> Question:
    """The standard uncertainty behind the limit that a tool states.

    >>> of_tool(Quantity(0.03, "mm")).verdict("0.015 mm")
    'not yet. That is half of the limit. Divide by the root of 3.'
    """
    return Question(
        rectangular(limit),
        [
            ("That is the limit itself. It seldom is off by so much.", limit),
            ("That is half of the limit. Divide by the root of 3.", limit / 2),
            ("Divide by the root of 3, not by 3.", limit / 3),
            ("The root goes below the line.", limit * 3**0.5),
            ("That is right for errors that pile up near zero. Nobody says so here.",
             triangular(limit)),
        ],
    )  # fmt: skip


def of_combined(*parts: pint.Quantity) -> Question:
    """Independent standard uncertainties of one thing, taken together.

    >>> of_combined(Quantity(0.3, "cc"), Quantity(0.4, "cc")).verdict("0.70 cc")
    'not yet. They seldom both push the same way: square, add, take the root.'
    """
    unit = parts[0].units
    sizes = [float(part.m_as(unit)) for part in parts]
    together = combined(*sizes)
    slips = {
        "They seldom both push the same way: square, add, take the root.": sum(sizes),
        "The root is still missing.": together * together,
        "That is the mean of both. Doubts do not average.": fmean(sizes),
        "That is one of them alone.": max(sizes),
        "They do not help each other. Add the squares.": abs(sizes[0] - sum(sizes[1:])),
    }
    return Question(
        Quantity(together, unit), [(hint, Quantity(size, unit)) for hint, size in slips.items()]
    )


def improve_verdict(result: Number, name: str) -> str:
    """Judge which reading a student would measure better first.

    Args:
        result: worked out from named, uncertain readings.
        name: what the student wrote.

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.labels import named
    >>> from enginemath.units import read
    >>> bore = named(read("93.2 ± 0.05 mm"), "gasket bore")
    >>> gasket = disc(bore, named(read("1.10 ± 0.02 mm"), "gasket thickness"))
    >>> improve_verdict(gasket, "Gasket bore")
    'not yet. Multiply its u by its sensitivity, and do the same for gasket thickness'
    """
    found = budget(result)
    known = [line.name for line in found.lines]
    wanted = " ".join(name.casefold().split())
    if not wanted:
        return "nothing written yet"
    if wanted not in known:
        close = get_close_matches(wanted, known, n=1)
        meant = f"did you mean {close[0]}?" if close else "take a name from the table"
        return f'"{name:.40}": not in the table; {meant}'
    if wanted == known[0]:
        return f"right. {found.advice().capitalize()}"
    rival = known[0] if len(known) == 2 else _next_above(found, wanted)
    return f"not yet. Multiply its u by its sensitivity, and do the same for {rival}"


def _next_above(found: Budget, name: str) -> str:
    """The reading that carries just more: a hint that does not jump to the answer."""
    names = [line.name for line in found.lines]
    return names[names.index(name) - 1]


def odd_group_verdict(study: Study, group: str) -> str:
    """Judge which group a student finds out of line.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets.study_file import read_study
    >>> odd_group_verdict(read_study(path("class-chambers.csv")), "group E")
    'not yet. Group E stays within what chance does to a mean; one group does not'
    """
    letter = (group.split() or [""])[-1].upper()
    if not letter:
        return "nothing written yet"
    if letter not in study.groups:
        return f'"{group:.40}": write the letter of a group, {", ".join(study.groups)}'
    odd = {check.group for check in analyse(study).out_of_line}
    if letter in odd:
        return "right"
    return f"not yet. Group {letter} stays within what chance does to a mean; one group does not"


def of_offset(study: Study, group: str) -> Question:
    """How far a group's mean lies from the mean of the other groups.

    Raises:
        Refused: no such group.
    """
    others = without(study, group).mean
    own = study.mean_of_group(group)
    apart = own - others
    return Question(
        Quantity(apart, study.unit),
        [
            ("Its own readings are still in that mean. Compare with the others.",
             Quantity(own - study.mean, study.unit)),
            ("That is the group's mean. How far is it from the others'?",
             Quantity(own, study.unit)),
        ],
    )  # fmt: skip
