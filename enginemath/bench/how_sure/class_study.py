"""A class as a measuring system: do groups agree, and can they tell one chamber from another?

Two-way analysis of variance with interaction, after AIAG, Measurement Systems Analysis, 4th ed.
(method from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean, stdev

from enginemath.bench.how_sure.distributions import coverage_factor, f_tail
from enginemath.units import Refused
from enginemath.units.columns import in_columns

POOL_ABOVE = 0.25
"""p-value of the interaction above which it counts as repeatability; AIAG."""
FALSE_ALARM = 0.05
"""Chance that any group is called out of line, for offset or for scatter, when none is."""


@dataclass(frozen=True)
class Effect:
    """One row of the analysis of variance."""

    name: str
    sum_of_squares: float
    degrees_of_freedom: int
    f: float | None = None
    p: float | None = None
    """Chance of so large an F where the effect is nil."""

    @property
    def mean_square(self) -> float:
        """Sum of squares over degrees of freedom."""
        return self.sum_of_squares / self.degrees_of_freedom


@dataclass(frozen=True)
class GroupCheck:
    """One group beside the others."""

    group: str
    mean: float
    """Mean of all that the group read, in the study's unit."""
    offset: float
    """Mean of the group less the mean of the other groups in line, in the study's unit."""
    offset_limit: float
    """Offset, either way, that chance alone seldom exceeds."""
    stands_off: bool
    """True beyond that limit; of two groups neither, since nothing tells which is wrong."""
    scatter: float
    """Standard deviation of the group's repeats, in the study's unit."""
    p_of_scatter: float
    """Chance of so much more scatter than the other groups have, if all are alike."""
    p_limit: float

    @property
    def out_of_line(self) -> str:
        """ "offset", "scatter", "offset and scatter", or "" for a group that is in line."""
        faults = []
        if self.stands_off:
            faults.append("offset")
        if self.p_of_scatter < self.p_limit:
            faults.append("scatter")
        return " and ".join(faults)


@dataclass(frozen=True)
class MeasuringSystem:
    """Where the variation of a study comes from. Each part is a standard deviation."""

    unit: str
    effects: tuple[Effect, ...]
    pooled: bool
    """True where the interaction is too small to show and counts as repeatability."""
    repeatability: float
    """Spread when one group pours one chamber again: the tool and the hand."""
    between_groups: float
    """The variation of the groups' means."""
    interaction: float
    """Spread of groups that differ on some chambers and not on others; 0 where pooled."""
    between_chambers: float
    """True differences of the chambers."""
    checks: tuple[GroupCheck, ...]

    @property
    def reproducibility(self) -> float:
        """Spread when another group pours the chamber: between groups and interaction together."""
        return math.hypot(self.between_groups, self.interaction)

    @property
    def measuring(self) -> float:
        """Repeatability and reproducibility together: all that measuring adds."""
        return math.hypot(self.repeatability, self.reproducibility)

    @property
    def total(self) -> float:
        """Measuring and chambers together."""
        return math.hypot(self.measuring, self.between_chambers)

    @property
    def measuring_share(self) -> float:
        """Measuring over total, as standard deviations: AIAG's % of total variation."""
        return self.measuring / self.total

    @property
    def categories(self) -> int | None:
        """Number of distinct categories of chambers that the class can tell apart.

        None where measuring adds nothing that shows. Source: √2 · chambers / measuring, rounded
        down, at least 1; AIAG.
        """
        if not self.measuring:
            return None
        return max(1, math.floor(2**0.5 * self.between_chambers / self.measuring))

    @property
    def out_of_line(self) -> tuple[GroupCheck, ...]:
        """The groups to look at again."""
        return tuple(check for check in self.checks if check.out_of_line)

    def verdict(self) -> str:
        """How good the class is as a measuring system, in a sentence.

        Source: 10 % and 30 %, AIAG (from memory).
        """
        share = f"measuring is {100 * self.measuring_share:.0f} % of the total variation"
        if self.measuring_share < 0.10:
            return f"{share}: good"
        if self.measuring_share <= 0.30:
            return f"{share}: usable, with care"
        return f"{share}: too much; agree on one way to pour and read, and try again"

    def table(self) -> str:
        """The parts of the variation as lines of text."""
        parts = (
            ("repeatability", self.repeatability),
            ("reproducibility", self.reproducibility),
            ("  between groups", self.between_groups),
            ("  interaction", self.interaction),
            ("measuring", self.measuring),
            ("chambers", self.between_chambers),
            ("total", self.total),
        )
        lines = [f"{'part':18}{'s, ' + self.unit:>10}{'of total':>10}{'of variance':>13}"]
        for name, s in parts:
            share = s / self.total
            lines.append(f"{name:18}{s:10.4f}{100 * share:8.1f} %{100 * share * share:11.1f} %")
        return "\n".join(lines)


def analyse(study: Study) -> MeasuringSystem:
    """Split the variation of a study into tool and hand, groups, and chambers.

    Args:
        study: see `enginemath.sheets.study_file.read_study`.

    Returns:
        Standard deviations in the study's unit, the analysis of variance, and the groups that
        are out of line.

    Raises:
        Refused: readings that are all the same.

    Source: AIAG, Measurement Systems Analysis, 4th ed., analysis of variance (from memory).

    >>> study = Study(("red", "blue"), ("1", "2"), "cc",
    ...               (((47.1, 47.2), (48.0, 48.1)), ((47.3, 47.3), (48.2, 48.3))))
    >>> system = analyse(study)
    >>> round(system.repeatability, 3), system.categories
    (0.057, 6)
    """
    chambers, groups, interaction, repeats = _sums(study)
    with_interaction = _f_test(interaction, repeats)
    pooled = with_interaction.p is not None and with_interaction.p > POOL_ABOVE
    within = _pooled(interaction, repeats) if pooled else repeats
    noise = within if pooled else interaction
    between = _f_test(chambers, noise), _f_test(groups, noise)
    readings_of_a_group = len(study.chambers) * study.repeats
    readings_of_a_chamber = len(study.groups) * study.repeats
    system = MeasuringSystem(
        unit=study.unit,
        effects=(*between, with_interaction, repeats),
        pooled=pooled,
        repeatability=within.mean_square**0.5,
        between_groups=_excess(groups, noise, readings_of_a_group),
        interaction=0.0 if pooled else _excess(interaction, repeats, study.repeats),
        between_chambers=_excess(chambers, noise, readings_of_a_chamber),
        checks=_checks(study, noise),
    )
    if not system.total:
        raise Refused("all readings are the same: no spread to split; are they copied?")
    return system


def _sums(study: Study) -> tuple[Effect, Effect, Effect, Effect]:
    groups, chambers, repeats = len(study.groups), len(study.chambers), study.repeats
    mean = study.mean
    of_group = [study.mean_of_group(group) - mean for group in study.groups]
    of_chamber = [study.mean_of_chamber(chamber) - mean for chamber in study.chambers]
    together = math.fsum(
        (fmean(cell) - mean - of_group[g] - of_chamber[c]) ** 2
        for g, row in enumerate(study.readings)
        for c, cell in enumerate(row)
    )
    return (
        Effect("chambers", groups * repeats * _squares(of_chamber), chambers - 1),
        Effect("groups", chambers * repeats * _squares(of_group), groups - 1),
        Effect("interaction", repeats * together, (groups - 1) * (chambers - 1)),
        Effect(
            "repeatability",
            math.fsum(_within(row) for row in study.readings),
            groups * chambers * (repeats - 1),
        ),
    )


def _squares(values: Sequence[float]) -> float:
    return math.fsum(value * value for value in values)


def _within(row: Sequence[Sequence[float]]) -> float:
    """Sum of squares of a group's repeats about the mean of each chamber."""
    return math.fsum(_squares([value - fmean(cell) for value in cell]) for cell in row)


def _pooled(*effects: Effect) -> Effect:
    squares = math.fsum(effect.sum_of_squares for effect in effects)
    return Effect("repeatability", squares, sum(effect.degrees_of_freedom for effect in effects))


def _f_test(effect: Effect, noise: Effect) -> Effect:
    f = _over(effect.mean_square, noise.mean_square)
    p = f_tail(f, effect.degrees_of_freedom, noise.degrees_of_freedom)
    return replace(effect, f=f, p=p)


def _over(above: float, below: float) -> float:
    if below:
        return above / below
    return math.inf if above else 0.0


def _excess(effect: Effect, noise: Effect, readings: int) -> float:
    """Standard deviation that an effect shows beyond the noise; 0 where it shows none."""
    return max(0.0, (effect.mean_square - noise.mean_square) / readings) ** 0.5


def _checks(study: Study, noise: Effect) -> tuple[GroupCheck, ...]:
    in_line, limit = _groups_in_line(study, noise)
    scatter = [_within(row) for row in study.readings]
    degrees = len(study.chambers) * (study.repeats - 1)
    others = len(study.groups) - 1
    checks = []
    for group, squares in zip(study.groups, scatter, strict=True):
        rest = (math.fsum(scatter) - squares) / others
        checks.append(
            GroupCheck(
                group=group,
                mean=study.mean_of_group(group),
                offset=_offset(study, group, in_line),
                offset_limit=limit,
                stands_off=group not in in_line,
                scatter=(squares / degrees) ** 0.5,
                p_of_scatter=f_tail(_over(squares, rest), degrees, others * degrees),
                p_limit=FALSE_ALARM / len(study.groups),
            )
        )
    return tuple(checks)


def _groups_in_line(study: Study, noise: Effect) -> tuple[list[str], float]:
    """Set the worst group aside, again and again, until the rest agree or only two are left."""
    readings = len(study.chambers) * study.repeats
    k = coverage_factor(1 - FALSE_ALARM / len(study.groups), noise.degrees_of_freedom)
    in_line = list(study.groups)
    while True:
        limit = k * (noise.mean_square / readings * (1 + 1 / (len(in_line) - 1))) ** 0.5
        worst = max(in_line, key=lambda group: abs(_offset(study, group, in_line)))
        if len(in_line) == 2 or abs(_offset(study, worst, in_line)) <= limit:
            return in_line, limit
        in_line.remove(worst)


def _offset(study: Study, group: str, in_line: Sequence[str]) -> float:
    others = [other for other in in_line if other != group]
    return study.mean_of_group(group) - fmean(study.mean_of_group(other) for other in others)


@dataclass(frozen=True)
class Study:
    """Readings of every chamber by every group, equally often.

    >>> study = Study(("red", "blue"), ("1", "2"), "cc",
    ...               (((47.1, 47.2), (48.0, 48.1)), ((47.3, 47.3), (48.2, 48.3))))
    >>> study.repeats, study.mean_of_group("red")
    (2, 47.6)
    """

    groups: tuple[str, ...]
    chambers: tuple[str, ...]
    unit: str
    readings: tuple[tuple[tuple[float, ...], ...], ...]
    """The readings by group, by chamber, by repeat."""

    @property
    def repeats(self) -> int:
        """Readings of one chamber by one group."""
        return len(self.readings[0][0])

    @property
    def mean(self) -> float:
        """The mean of all readings."""
        return fmean(value for group in self.readings for cell in group for value in cell)

    def mean_of_group(self, group: str) -> float:
        """Mean of all that one group read."""
        cells = self.readings[self.groups.index(group)]
        return fmean(value for cell in cells for value in cell)

    def mean_of_chamber(self, chamber: str) -> float:
        """Mean of all readings of one chamber."""
        number = self.chambers.index(chamber)
        return fmean(value for group in self.readings for value in group[number])


def study_table(study: Study) -> str:
    """Mean of every chamber by every group, and how far a group's repeats scatter.

    >>> study = Study(("red", "blue"), ("1", "2"), "cc",
    ...               (((47.1, 47.2), (48.0, 48.1)), ((47.3, 47.3), (48.2, 48.3))))
    >>> print(study_table(study))
    group  1      2      scatter
    red    47.15  48.05  0.07 cc
    blue   47.30  48.25  0.05 cc
    """
    rows = [["group", *study.chambers, "scatter"]]
    for group, cells in zip(study.groups, study.readings, strict=True):
        scatter = fmean(stdev(cell) ** 2 for cell in cells) ** 0.5
        means = [f"{fmean(cell):.2f}" for cell in cells]
        rows.append([group, *means, f"{scatter:.2f} {study.unit}"])
    return "\n".join(in_columns(rows))


def without(study: Study, group: str) -> Study:
    """A study without one group.

    Raises:
        Refused: no such group.
    """
    kept = [place for place, name in enumerate(study.groups) if name != group]
    if len(kept) == len(study.groups):
        raise Refused(f'group "{group}": there are {", ".join(study.groups)}')
    return replace(
        study,
        groups=tuple(study.groups[place] for place in kept),
        readings=tuple(study.readings[place] for place in kept),
    )
