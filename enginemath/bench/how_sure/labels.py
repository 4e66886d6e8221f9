"""The name that a reading carries into an error budget."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import pint
from uncertainties import Variable

from enginemath.units import unit_text


@dataclass(frozen=True)
class Label:
    """What was read, in which unit, and how well its uncertainty is known.

    Args:
        name: in shop words.
        unit: of the reading.
        degrees_of_freedom: infinite for a limit taken as certain, n − 1 for n repeats.
        kind: "given" for a ± that was written, "scatter" of repeats, "tool" for a tool's own
            error, "division" of its scale, "rock" of the piston, "range" of a rule of thumb.
        count: of the repeats that were averaged.
        pool: standard deviation of one reading, where it was found from several things together:
            their scatters share it, whatever their counts are. None where each has its own.
    """

    name: str
    unit: str = ""
    degrees_of_freedom: float = math.inf
    kind: str = "given"
    count: int = 1
    pool: float | None = None

    @property
    def rectangular(self) -> bool:
        """Whether only limits are known, and every value within them is alike."""
        return self.kind in ("tool", "division", "rock", "range")

    @property
    def estimate(self) -> tuple[str, str, float, float] | None:
        """What all scatters of one pool have in common; None where it is none of them."""
        if self.pool is None:
            return None
        return self.name, self.unit, self.degrees_of_freedom, self.pool


def named(
    quantity: pint.Quantity, name: str, degrees_of_freedom: float = math.inf
) -> pint.Quantity:
    """Name a reading, so that the error budget can say which reading to improve.

    A reading keeps the first name it gets. A plain number, and a number worked out from other
    readings, has nothing to name and passes as it is.

    Args:
        quantity: as `enginemath.units.read` gives it.
        name: in shop words: "compressed thickness".
        degrees_of_freedom: n − 1 for the mean of n readings.

    Returns:
        The same quantity.

    >>> from enginemath.units import read
    >>> label = named(read("1.10 ± 0.03 mm"), "compressed thickness").m.tag
    >>> label.name, label.unit, label.degrees_of_freedom
    ('compressed thickness', 'mm', inf)
    """
    reading = quantity.magnitude
    if isinstance(reading, Variable) and reading.tag is None:
        unit = unit_text(quantity.units)
        reading.tag = Label(name, unit, degrees_of_freedom)
    return quantity


def label_of(reading: Variable) -> Label:
    """The label of a reading; one with no name is called by its value.

    >>> from uncertainties import ufloat
    >>> label_of(ufloat(1.10, 0.03)).name, label_of(ufloat(1.10, 0.03, "thickness")).name
    ('1.100+/-0.030', 'thickness')
    """
    if isinstance(reading.tag, Label):
        return reading.tag
    return Label(str(reading if reading.tag is None else reading.tag))


def by_estimate(readings: Iterable[Variable]) -> list[list[Variable]]:
    """Readings in bunches whose ± is one estimate: scatters of one pool, and each other by itself.

    What is too narrow by chance is so for a whole bunch, so it has its degrees of freedom once.

    Args:
        readings: each once.

    Returns:
        In the order of the first of each.

    >>> from uncertainties import ufloat
    >>> pool = Label("pour scatter", "cc", 3, "scatter", pool=0.1)
    >>> chamber, dish, deck = ufloat(47.5, 0.1, pool), ufloat(6.0, 0.1, pool), ufloat(0.4, 0.01)
    >>> [len(bunch) for bunch in by_estimate([chamber, deck, dish])]
    [2, 1]
    """
    bunches: dict[Hashable, list[Variable]] = defaultdict(list)
    for reading in readings:
        bunches[label_of(reading).estimate or id(reading)].append(reading)
    return list(bunches.values())
