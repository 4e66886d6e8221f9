"""The name that a reading carries into an error budget."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pint
from uncertainties import Variable

from enginemath.units import unit_text


@dataclass(frozen=True)
class Label:
    """What was read, in which unit, and how well its uncertainty is known.

    `degrees_of_freedom` is infinite for a limit taken as certain, n − 1 for n repeats.
    """

    name: str
    unit: str = ""
    degrees_of_freedom: float = math.inf


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
    >>> named(read("1.10 ± 0.03 mm"), "compressed thickness").m.tag
    Label(name='compressed thickness', unit='mm', degrees_of_freedom=inf)
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
