"""The one value with its ± that a sheet holds, from all the readings of one thing."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pint
from uncertainties import ufloat

from enginemath.bench.measuring import Repeats
from enginemath.bench.tools import Instrument, combined, rectangular
from enginemath.units import Quantity, Refused, deviation, nominal, unit_text


def best_value(
    readings: Sequence[str | pint.Quantity], tool: Instrument, fills: int = 1
) -> pint.Quantity:
    """Mean of repeats with both of its doubts: their scatter, and what the tool may be off.

    The tool's own error is the same in every reading, so the mean does not make it smaller.

    Args:
        readings: two or more, of one thing with one tool.
        tool: see `enginemath.bench.tools`.
        fills: of the burette for each reading; its error comes with every fill.

    Returns:
        The mean with one standard uncertainty.

    Raises:
        Refused: one reading alone, or as `bench.Repeats`.

    Source: s/√n and a/√3, root sum of squares; JCGM 100:2008, 4.2, 4.3.7 and 5.1.2.

    >>> from enginemath.bench.tools import MICROMETER
    >>> on_paper(best_value(["92.00 mm", "92.02 mm", "92.01 mm"], MICROMETER))
    '92.0100 ± 0.0065 mm'
    """
    if len(readings) < 2:
        raise Refused("best value: one reading alone shows no scatter; take two more")
    repeats = Repeats.of(readings)
    unit = repeats.mean.units
    of_tool = fills * rectangular(tool.limit.m_as(unit))
    u = combined(deviation(repeats.mean.magnitude), of_tool)
    return Quantity(ufloat(nominal(repeats.mean.magnitude), u), unit)


def on_paper(quantity: pint.Quantity) -> str:
    """A value as it is written on a sheet: two digits of its ±, and no digit beyond them.

    Source: JCGM 100:2008, 7.2.6.

    >>> from enginemath.units import read
    >>> on_paper(read("46.8817 ± 0.0786 cc")), on_paper(read("88.3 mm"))
    ('46.882 ± 0.079 cc', '88.3 mm')
    """
    value, u = float(nominal(quantity.magnitude)), deviation(quantity.magnitude)
    unit = unit_text(quantity.units)
    if not u:
        return f"{value!r} {unit}"
    digits = max(0, 1 - math.floor(math.log10(u)))
    return f"{value:.{digits}f} ± {u:.{digits}f} {unit}"
