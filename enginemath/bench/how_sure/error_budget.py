"""How sure a result is: the error budget, the effective degrees of freedom, the interval.

A result worked out from readings with uncertainty remembers which readings went in. One reading
that goes in at several places - the bore in swept volume, deck and crevice - counts once.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from uncertainties import Variable

from enginemath.bench.how_sure.degrees_of_freedom import welch_satterthwaite
from enginemath.bench.how_sure.distributions import coverage_factor
from enginemath.bench.how_sure.labels import by_estimate, label_of
from enginemath.units import Number, Refused, percent, true_minus, unit_text
from enginemath.units.columns import in_columns


@dataclass(frozen=True)
class Line:
    """What one reading brings to the uncertainty of the result.

    `value`, `u` and `sensitivity` are None where several readings share the name.
    """

    name: str
    unit: str
    value: float | None
    u: float | None
    sensitivity: float | None
    """Change of the result for one unit more of the reading."""
    contribution: float
    """What it adds to the uncertainty, in the result's unit, positive."""
    share: float
    """Its share of the variance, 0 to 1."""
    degrees_of_freedom: float


@dataclass(frozen=True)
class Budget:
    """The error budget of a result: its lines, the largest share first."""

    value: float
    u: float
    unit: str
    lines: tuple[Line, ...]

    @property
    def effective_degrees_of_freedom(self) -> float:
        """Degrees of freedom of the whole; infinite where every u is taken as certain."""
        return welch_satterthwaite(
            (line.contribution, line.degrees_of_freedom) for line in self.lines
        )

    def expanded(self, coverage: float = 0.95) -> float:
        """Half-width that holds a share of the values, in the result's unit.

        Source: Student's t at the degrees of freedom rounded down; JCGM 100:2008, G.4.1.
        """
        degrees = self.effective_degrees_of_freedom
        whole = degrees if math.isinf(degrees) else max(1, math.floor(degrees))
        return coverage_factor(coverage, whole) * self.u

    def interval(self, coverage: float = 0.95) -> tuple[float, float]:
        """Limits that hold a share of the values, in the result's unit."""
        half_width = self.expanded(coverage)
        return self.value - half_width, self.value + half_width

    def advice(self) -> str:
        """Which reading to improve first."""
        first = self.lines[0]
        return f"{first.name} carries {percent(first.share)} of the variance: measure that better"

    def table(self) -> str:
        """The budget as lines of text with a bar for each share."""
        heads = ("reading", "value", "u", "sensitivity", "contribution", "share", "")
        return "\n".join(in_columns([heads, *map(_row, self.lines)], right=range(1, 6)))


def budget(result: Number) -> Budget:
    """The error budget of a result worked out from uncertain readings.

    Args:
        result: a number with uncertainty, or a quantity of one. Readings are told apart by the
            names that `labels.named` gave them; those that share a name are one line.

    Returns:
        The budget, in the unit of the result.

    Raises:
        Refused: nothing that went in carries an uncertainty.

    Source: JCGM 100:2008, 5.1 (independent readings, first order).

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.labels import named
    >>> from enginemath.units import read
    >>> bore = named(read("93.2 ± 0.05 mm"), "gasket bore")
    >>> thickness = named(read("1.10 ± 0.02 mm"), "compressed thickness")
    >>> gasket = budget(disc(bore, thickness).to("cc"))
    >>> print(gasket.table())
    reading                 value     u  sensitivity  contribution  share
    compressed thickness   1.1 mm  0.02         6.82         0.136  >99 %  ████████████████████
    gasket bore           93.2 mm  0.05        0.161       0.00805   <1 %
    >>> gasket.advice()
    'compressed thickness carries >99 % of the variance: measure that better'
    """
    magnitude, unit = _magnitude_and_unit(result)
    slopes = {
        reading: slope
        for reading, slope in getattr(magnitude, "derivatives", {}).items()
        if reading.std_dev and slope
    }
    if not slopes:
        raise Refused("no reading carries an uncertainty: write one, like 47.5 ± 0.3 cc")
    variance = math.fsum((slope * reading.std_dev) ** 2 for reading, slope in slopes.items())
    alike: dict[str, list[Variable]] = defaultdict(list)
    for reading in slopes:
        alike[label_of(reading).name].append(reading)
    lines = [_line(readings, slopes, variance) for readings in alike.values()]
    lines.sort(key=lambda line: (-line.share, line.name))
    return Budget(magnitude.nominal_value, variance**0.5, unit, tuple(lines))


def uncertainties_table(result: Number) -> str:
    """Each reading's u and sensitivity, by name: what a budget is worked out from.

    >>> from enginemath.formulas.geometry import disc
    >>> from enginemath.bench.how_sure.labels import named
    >>> from enginemath.units import read
    >>> print(uncertainties_table(disc(93.2, named(read("1.10 ± 0.02 mm"), "gasket thickness").m)))
    reading           u        sensitivity
    gasket thickness  0.02 mm  6.82e+03 for 1 mm
    """
    rows = [("reading", "u", "sensitivity")]
    for line in sorted(budget(result).lines, key=lambda line: line.name):
        if line.u is not None and line.sensitivity is not None:
            size = f"{line.u:.3g} {line.unit}"
            rows.append((line.name, size, f"{abs(line.sensitivity):.3g} for 1 {line.unit}"))
    return "\n".join(in_columns(rows))


def _magnitude_and_unit(result: Number) -> tuple[Number, str]:
    if not hasattr(result, "units"):
        return result, ""
    if result.dimensionless:
        return result.m_as(""), ""
    return result.magnitude, unit_text(result.units)


def _line(readings: list[Variable], slopes: dict[Variable, float], variance: float) -> Line:
    first = label_of(readings[0])
    contribution = _together(readings, slopes)
    alone = readings[0] if len(readings) == 1 else None
    return Line(
        name=first.name,
        unit=first.unit,
        value=None if alone is None else alone.nominal_value,
        u=None if alone is None else alone.std_dev,
        sensitivity=None if alone is None else slopes[alone],
        contribution=contribution,
        share=contribution * contribution / variance,
        degrees_of_freedom=welch_satterthwaite(
            (_together(bunch, slopes), label_of(bunch[0]).degrees_of_freedom)
            for bunch in by_estimate(readings)
        ),
    )


def _together(readings: list[Variable], slopes: dict[Variable, float]) -> float:
    return math.hypot(*(slopes[reading] * reading.std_dev for reading in readings))


def _row(line: Line) -> tuple[str, ...]:
    value = (
        "several" if line.value is None else true_minus(f"{line.value:.6g} {line.unit}".rstrip())
    )
    u, sensitivity = (
        "" if x is None else true_minus(f"{x:.3g}") for x in (line.u, line.sensitivity)
    )
    bar = "█" * round(20 * line.share)
    contribution, share = f"{line.contribution:.3g}", percent(line.share)
    return line.name, value, u, sensitivity, contribution, share, bar
