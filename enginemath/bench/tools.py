"""What an instrument's own limits say about a reading.

Each function gives one standard uncertainty in the unit of its argument, and works on floats
and quantities. Type B evaluation, JCGM 100:2008, 4.3.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import pint
from uncertainties import ufloat

from enginemath.bench.how_sure.labels import named
from enginemath.bench.measuring import Fill, poured_volume
from enginemath.units import (
    Number,
    Quantity,
    Refused,
    as_quantity,
    best,
    deviation,
    read,
    require_kind,
)
from enginemath.units import kind as kind_of


def rectangular(half_width: Number) -> Number:
    """Standard uncertainty of a value that may lie anywhere within limits, all alike.

    Args:
        half_width: from the value to either limit, positive.

    Returns:
        In the unit of `half_width`.

    Source: a/√3; JCGM 100:2008, 4.3.7.

    >>> round(rectangular(4.0), 2)
    2.31
    """
    return half_width / 3**0.5


def triangular(half_width: Number) -> Number:
    """Standard uncertainty of a value more likely near the middle of its limits.

    Args:
        half_width: from the value to either limit, positive.

    Returns:
        In the unit of `half_width`.

    Source: a/√6; JCGM 100:2008, 4.3.9.

    >>> round(triangular(4.0), 2)
    1.63
    """
    return half_width / 6**0.5


def normal(half_width: Number, coverage_factor: float = 2.0) -> Number:
    """Standard uncertainty behind an expanded one, as a certificate states it.

    Args:
        half_width: the expanded uncertainty, positive.
        coverage_factor: the certificate's k, a bare number.

    Returns:
        In the unit of `half_width`.

    Source: U/k; JCGM 100:2008, 4.3.3.

    >>> round(normal(0.075, 3), 6)
    0.025
    """
    return half_width / coverage_factor


def resolution(division: Number) -> Number:
    """Standard uncertainty of reading a scale to its nearest division.

    Args:
        division: of the scale, or the last digit's step, positive.

    Returns:
        In the unit of `division`.

    Source: half a division each way, rectangular; JCGM 100:2008, F.2.2.1.

    >>> round(resolution(0.01), 5)
    0.00289
    """
    return rectangular(division / 2)


def combined(*uncertainties: Number) -> Number:
    """Root sum of squares of independent standard uncertainties in one unit.

    Source: JCGM 100:2008, 5.1.2 with sensitivities of 1.

    >>> combined(3.0, 4.0)
    5.0
    """
    squares = [u * u for u in uncertainties]
    return sum(squares[1:], squares[0]) ** 0.5


class Instrument(NamedTuple):
    """A measuring tool: how far it may be off, and how finely it is divided.

    Args:
        name: in shop words.
        limit: largest error that the tool may have, a half-width, taken as rectangular.
        division: smallest step that is read.

    >>> print(MICROMETER.reads("92.00 mm", "bore"))
    92.000+/-0.004 millimeter
    """

    name: str
    limit: pint.Quantity
    division: pint.Quantity

    @property
    def standard_uncertainty(self) -> pint.Quantity:
        """The standard uncertainty of one reading: the tool's limit and its division together."""
        return combined(rectangular(self.limit), resolution(self.division))

    def reads(self, value: str | pint.Quantity, name: str) -> pint.Quantity:
        """A reading with the tool's standard uncertainty, or the one it already carries.

        Args:
            value: text with a unit, or a quantity.
            name: of what is read, for the error budget.

        Returns:
            A named quantity with uncertainty.

        Raises:
            Refused: no number with a unit, or another kind of thing than the tool measures.

        >>> print(MICROMETER.reads("92.00 ± 0.02 mm", "bore"))
        92.000+/-0.020 millimeter
        """
        quantity = as_quantity(value)
        require_kind(quantity, f"{self.limit.units}", f"{name}, read with a {self.name}")
        if not deviation(quantity.magnitude):
            u = self.standard_uncertainty.m_as(quantity.units)
            quantity = Quantity(ufloat(quantity.magnitude, u), quantity.units)
        return named(quantity, name)


MICROMETER = Instrument("micrometer", read("0.005 mm"), read("0.01 mm"))
"""Common practice, no source: read the limit on your own tool's certificate."""
DEPTH_MICROMETER = Instrument("depth micrometer", read("0.01 mm"), read("0.01 mm"))
"""Common practice, no source: read the limit on your own tool's certificate."""
DIAL_INDICATOR = Instrument("dial indicator", read("0.02 mm"), read("0.01 mm"))
"""Common practice, no source: read the limit on your own tool's certificate."""
DEPTH_GAUGE = Instrument("depth gauge", read("0.03 mm"), read("0.02 mm"))
"""A tool with a vernier. Common practice, no source: read the limit on your own certificate."""
CALIPER = Instrument("caliper", read("0.03 mm"), read("0.02 mm"))
"""A tool with a vernier. Common practice, no source: read the limit on your own certificate."""

_BURETTES = {10: ("0.02 mL", "0.02 mL"), 25: ("0.03 mL", "0.05 mL"),
             50: ("0.05 mL", "0.1 mL"), 100: ("0.1 mL", "0.2 mL")}  # fmt: skip


def burette(size: str | pint.Quantity, grade: str) -> Instrument:
    """A burette by its size and class.

    Args:
        size: 10, 25, 50 or 100 mL.
        grade: "A", or "B" with twice the limit of A.

    Returns:
        The instrument; its limit is the largest permissible error of any volume run out.

    Raises:
        Refused: a size or class that is not in the table.

    Source: ISO 385:2005, Table 1, from memory: check the standard before use.

    >>> print(burette("50 mL", "B").limit)
    0.1 milliliter
    """
    quantity = as_quantity(size)
    require_kind(quantity, "mL", f"burette {size}")
    millilitres = round(quantity.m_as("mL"), 6)
    if millilitres not in _BURETTES:
        raise Refused(f"burette {size}: the table has 10, 25, 50 and 100 mL")
    if grade not in ("A", "B"):
        raise Refused(f"burette class {grade}: A or B is engraved on the glass")
    limit, division = (read(text) for text in _BURETTES[millilitres])
    times = 1 if grade == "A" else 2
    return Instrument(f"{millilitres:g} mL burette, class {grade}", times * limit, division)


BORE_GAUGE = Instrument("bore gauge", read("0.005 mm"), read("0.01 mm"))
"""Set with a micrometer or a ring. Common practice, no source: read the limit on your own tool's
certificate, and count the setting tool's besides."""
FEELER_GAUGE = Instrument("feeler gauge", read("0.01 mm"), read("0.01 mm"))
"""Common practice, no source: read the limit on your own tool's certificate."""
RULER = Instrument("steel rule", read("0.15 mm"), read("0.5 mm"))
"""Common practice, no source."""
DEGREE_WHEEL = Instrument("degree wheel", read("1 deg"), read("1 deg"))
"""Its zero set at top dead centre with a stop. Common practice, no source."""
SYRINGE = Instrument("syringe", read("0.5 mL"), read("0.2 mL"))
"""10 mL, of plastic: 5 % of what it holds; ISO 7886-1, from memory: check it before use."""

KINDS: dict[str, Instrument] = {
    tool.name: tool
    for tool in (
        *(MICROMETER, BORE_GAUGE, DEPTH_MICROMETER, DIAL_INDICATOR, DEPTH_GAUGE, CALIPER),
        *(FEELER_GAUGE, RULER, DEGREE_WHEEL, SYRINGE),
    )
}
"""Tools whose limit and division the kit knows, by kind; a burette's go by size and class."""


def instrument(
    kind: str,
    *,
    size: str | pint.Quantity | None = None,
    grade: str | None = None,
    limit: str | pint.Quantity | None = None,
    division: str | pint.Quantity | None = None,
) -> Instrument:
    """A tool by its kind, or by what its maker or a calibration states.

    Args:
        kind: one of `KINDS`, or "burette"; any other needs both limit and division.
        size: of a burette: "50 mL".
        grade: class of a burette, "A" or "B"; without, the wider limit of B is taken.
        limit: largest error, a half-width; overrides the kind's.
        division: smallest step that is read; overrides the kind's.

    Returns:
        The instrument.

    Raises:
        Refused: an unknown kind without limit and division, no size of a burette, a limit or a
            division that cannot be.

    >>> print(instrument("burette", size="50 mL", grade="B").limit)
    0.1 milliliter
    >>> print(instrument("dial indicator", limit="0.01 mm").limit)
    0.01 millimeter
    """
    known = KINDS.get(kind)
    if kind == "burette" and size is not None:
        known = burette(size, "B" if grade is None else grade)
    step = known.division if known else None
    most = known.limit if known else None
    if limit is not None:
        most = _positive(limit, "limit")
    if division is not None:
        step = _positive(division, "division")
    if most is None or step is None:
        raise Refused(_not_known(kind), field="size" if kind == "burette" else "kind")
    if kind_of(most.units) != kind_of(step.units):
        raise Refused("limit and division do not measure the same kind of thing", field="division")
    return Instrument(known.name if known else kind, most, step)


def _positive(value: str | pint.Quantity, name: str) -> pint.Quantity:
    quantity = best(as_quantity(value))
    if not quantity.magnitude > 0:
        raise Refused(f"{name} {value}: a step and an error are above zero", field=name)
    return quantity


def _not_known(kind: str) -> str:
    if kind == "burette":
        return 'burette: its size is missing; write size = "50 mL", and the class on the glass'
    from difflib import get_close_matches

    near = get_close_matches(kind, [*KINDS, "burette"], n=1, cutoff=0.7)
    meant = f"did you mean {near[0]}? Else write its" if near else "write its"
    return f"{kind}: the kit does not know this kind; {meant} limit and division"


def poured_from(instrument: Instrument, fills: Sequence[Fill], name: str) -> pint.Quantity:
    """A poured volume with what the burette adds to its uncertainty.

    Every fill has two readings of the scale, each with its own error unless it carries one
    already. The burette's own error is the same in each fill, so it does not average out.

    Args:
        instrument: see `burette`.
        fills: one or several, the burette refilled between them.
        name: of what was poured, for the error budget.

    Returns:
        A volume with uncertainty, in cc.

    Source: JCGM 100:2008, 5.2.4 (one error common to several readings).

    >>> from enginemath.units import show
    >>> fills = [Fill("0.60 mL", "25.00 mL"), Fill("0.00 mL", "23.10 mL")]
    >>> print(show(poured_from(burette("25 mL", "A"), fills, "chamber"), "cc"))
    47.50 ± 0.05 cc
    """
    of_burette = Quantity(ufloat(0, rectangular(instrument.limit.m_as("cc"))), "cc")
    volume = poured_volume(fills) + len(fills) * named(of_burette, f"{name}: the burette's own")
    plain = sum(not deviation(end.m) for fill in fills for end in (fill.start, fill.end))
    if plain:
        of_scale = Quantity(
            ufloat(0, resolution(instrument.division.m_as("cc")) * plain**0.5), "cc"
        )
        volume = volume + named(of_scale, f"{name}: reading the scale")
    return volume
