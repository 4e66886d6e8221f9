"""Questions about how sure a result is, and about a class as a measuring system."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from statistics import fmean

import pint

from enginemath.answers.question import Question
from enginemath.answers.tolerance import UNCERTAINTY, Tolerance
from enginemath.answers.verdict import NOTHING_WRITTEN, RIGHT, Verdict, not_yet, unreadable
from enginemath.bench.how_sure.class_study import MeasuringSystem, Study, analyse
from enginemath.bench.how_sure.error_budget import Budget, budget
from enginemath.bench.measuring import Repeats
from enginemath.bench.tools import combined, rectangular, triangular
from enginemath.units import Number, Quantity, deviation


def of_mean_uncertainty(readings: Sequence[pint.Quantity]) -> Question:
    """The standard uncertainty of the mean of repeats.

    >>> four = [Quantity(cc, "cc") for cc in (46.6, 46.8, 46.6, 46.8)]
    >>> of_mean_uncertainty(four).judge("0.12 cc").sentence
    'not yet. That is the spread of one reading. How much surer is a mean of several?'
    """
    repeats = Repeats.of(readings)
    unit, s, n = repeats.mean.units, repeats.spread, repeats.count
    return Question(
        Quantity(deviation(repeats.mean.magnitude), unit),
        [
            ("That is the spread of one reading. How much surer is a mean of several?", s),
            ("Do you divide by the number of readings, or by the root of the number?", s / n),
            ("That is largest less smallest. What is the spread of one reading?", repeats.range),
            ("Does the root go above the line or below the line?", s * n**0.5),
        ],
        tolerance=UNCERTAINTY,
    )


def of_tool(limit: pint.Quantity) -> Question:
    """The standard uncertainty behind the limit that a tool states.

    >>> of_tool(Quantity(0.03, "mm")).judge("0.015 mm").sentence
    'not yet. That is half of the limit. By which root do you divide?'
    """
    return Question(
        rectangular(limit),
        [
            ("That is the limit itself. Is the tool often off by so much?", limit),
            ("That is half of the limit. By which root do you divide?", limit / 2),
            ("That is divided by 3. Should it be 3 itself, or its root?", limit / 3),
            ("Does the root go above the line or below the line?", limit * 3**0.5),
            ("That is for errors that pile up near zero. Does anybody say so here?",
             triangular(limit)),
        ],
        tolerance=UNCERTAINTY,
    )  # fmt: skip


def of_combined(*parts: pint.Quantity) -> Question:
    """Independent standard uncertainties of one thing, taken together.

    >>> of_combined(Quantity(0.3, "cc"), Quantity(0.4, "cc")).judge("0.70 cc").sentence
    'not yet. Do they always push the same way? Square, add, take the root.'
    """
    unit = parts[0].units
    sizes = [float(part.m_as(unit)) for part in parts]
    together = combined(*sizes)
    slips = {
        "Do they always push the same way? Square, add, take the root.": sum(sizes),
        "Those are squares added. Which root is still missing?": together * together,
        "That is the mean of both. Do doubts average out?": fmean(sizes),
        "That is one of them alone. Does the other add nothing?": max(sizes),
        "Do they help each other? Add the squares.": abs(sizes[0] - sum(sizes[1:])),
    }
    return Question(
        Quantity(together, unit),
        [(hint, Quantity(size, unit)) for hint, size in slips.items()],
        tolerance=UNCERTAINTY,
    )


def judge_improve(result: Number, name: str) -> Verdict:
    """Judge which reading a student would measure better first.

    Args:
        result: worked out from named, uncertain readings.
        name: what the student wrote.

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.labels import named
    >>> from enginemath.units import read
    >>> bore = named(read("93.2 ± 0.05 mm"), "gasket bore")
    >>> gasket = disc(bore, named(read("1.10 ± 0.02 mm"), "gasket thickness"))
    >>> judge_improve(gasket, "Gasket bore").sentence
    'not yet. Multiply its u by its sensitivity. Does gasket thickness come to more?'
    """
    found = budget(result)
    known = [line.name for line in found.lines]
    wanted = " ".join(name.casefold().split())
    if not wanted:
        return NOTHING_WRITTEN
    if wanted not in known:
        close = get_close_matches(wanted, known, n=1)
        meant = f"did you mean {close[0]}?" if close else "take a name from the table"
        return unreadable(f'"{name:.40}": not in the table; {meant}')
    if wanted == known[0]:
        return Verdict("right", found.advice().capitalize())
    rival = known[0] if len(known) == 2 else _next_above(found, wanted)
    return not_yet(f"Multiply its u by its sensitivity. Does {rival} come to more?")


def _next_above(found: Budget, name: str) -> str:
    """The reading that carries just more: a hint that does not jump to the answer."""
    names = [line.name for line in found.lines]
    return names[names.index(name) - 1]


def judge_odd_group(study: Study, group: str, offset: str) -> tuple[Verdict, Verdict | None]:
    """Judge which group a student finds out of line, and how far out.

    Args:
        study: the readings of the class.
        group: what the student wrote for the group; its letter counts.
        offset: what the student wrote for how far its mean lies from the other groups' mean.

    Returns:
        The verdict on the group, and that on the offset: None until the group is found.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets.study_file import read_study
    >>> study = read_study(path("class-chambers.csv"))
    >>> [each.sentence for each in judge_odd_group(study, "group D", "0.62 cc") if each]
    ['right', 'not yet. Its own readings are still in that mean. How far is it from the others \
alone?']
    >>> group, offset = judge_odd_group(study, "E", "0.62 cc")
    >>> group.sentence, offset
    ('not yet. Group E stays within what chance does to a mean. Which group does not?', None)
    """
    system = analyse(study)
    letter = (group.split() or [""])[-1].upper()
    found = _judge_letter(letter, group, system)
    return found, of_offset(system, letter).judge(offset) if found.is_right else None


def _judge_letter(letter: str, written: str, system: MeasuringSystem) -> Verdict:
    if not letter:
        return NOTHING_WRITTEN
    groups = [check.group for check in system.checks]
    if letter not in groups:
        return unreadable(f'"{written:.40}": write the letter of a group, {", ".join(groups)}')
    if letter in {check.group for check in system.out_of_line}:
        return RIGHT
    return not_yet(f"Group {letter} stays within what chance does to a mean. Which group does not?")


def of_offset(system: MeasuringSystem, group: str) -> Question:
    """How far a group's mean lies from the mean of the other groups, who read as often.

    Args:
        system: the class, see `analyse`.
        group: one of its groups.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.sheets.study_file import read_study
    >>> system = analyse(read_study(path("class-chambers.csv")))
    >>> of_offset(system, "D").judge("-0.78 cc").sentence
    'not yet. Look at the sign: which way does it count?'
    """
    means = {check.group: check.mean for check in system.checks}
    own, everybody = means[group], fmean(means.values())
    others = fmean(mean for name, mean in means.items() if name != group)
    return Question(
        Quantity(own - others, system.unit),
        [
            ("Its own readings are still in that mean. How far is it from the others alone?",
             Quantity(own - everybody, system.unit)),
            ("That is the group's mean. How far is it from the others'?",
             Quantity(own, system.unit)),
        ],
        tolerance=Tolerance(slack=0.011, coarsest=0.05),  # of two means, each to a hundredth
    )  # fmt: skip
