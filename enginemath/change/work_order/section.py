"""A section of a work order, for paper of any kind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pint

from enginemath.units import show

TO_FILL_IN = ""
"""A cell that somebody writes into."""


@dataclass(frozen=True)
class Section:
    """A heading with sentences, a table, or both.

    Args:
        heading: of the section.
        lines: sentences.
        numbered: whether the sentences are steps.
        columns, rows: of the table below them; an empty cell is to be filled in.
    """

    heading: str
    lines: Sequence[str] = ()
    numbered: bool = False
    columns: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()
    in_halves: bool = False
    """Whether a page has room for the table only in two halves, side by side."""

    @property
    def is_long(self) -> bool:
        """Whether the table has so many rows that they stand closer."""
        return not self.in_halves and len(self.rows) > _MANY

    @property
    def tables(self) -> list[Sequence[Sequence[str]]]:
        """The rows, of one table or of both halves."""
        half = (len(self.rows) + 1) // 2
        return [self.rows[:half], self.rows[half:]] if self.in_halves else [self.rows]


_MANY = 12


def in_both_units(length: pint.Quantity, unit: str) -> str:
    """A length in the shop's unit, and in the other one.

    >>> from enginemath.units import read
    >>> in_both_units(read("0.35 mm"), "mm"), in_both_units(read("0.010 in"), "in")
    ('0.350 mm (0.0138 in)', '0.0100 in (0.254 mm)')
    """
    return f"{show(length, unit)} ({show(length, other_unit(unit))})"


def other_unit(unit: str) -> str:
    """Inches beside mm, and mm beside inches."""
    return "in" if unit == "mm" else "mm"
