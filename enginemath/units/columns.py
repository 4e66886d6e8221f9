"""Text set for a terminal or a sheet of paper: rows in columns, long lines folded."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from textwrap import wrap

from enginemath.units.printing import NO_BREAK, unbroken

PAGE_WIDTH = 96
"""The width of a report, in letters."""


def in_columns(rows: Sequence[Sequence[str]], *, right: Container[int] = ()) -> list[str]:
    """Rows as lines of text, each column as wide as its widest cell.

    Args:
        rows: their cells, as many in each.
        right: columns, counted from 0, whose cells end level; in the others they begin level.

    >>> volumes = [("part", "cc"), ("dish", "6.0"), ("reliefs", "12.8")]
    >>> print(*in_columns(volumes, right=[1]), sep="\\n")
    part       cc
    dish      6.0
    reliefs  12.8
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def folded(lines: Iterable[str], width: int = PAGE_WIDTH) -> list[str]:
    """Lines as lines of a page; what does not fit on one goes on below, indented.

    >>> folded(["a piston stands 0.38 mm below the deck"], 24)
    ['a piston stands 0.38 mm', '  below the deck']
    """
    return [part for line in lines for part in wrapped(line, width, "  ")]


def wrapped(line: str, width: int, indent: str = "") -> list[str]:
    """One line as lines of a page; a number stays with its unit and its ±.

    >>> wrapped("the piston stands 0.38 ± 0.02 mm below", 22)
    ['the piston stands', '0.38 ± 0.02 mm below']
    """
    parts = wrap(unbroken(line), width, subsequent_indent=indent)
    return [part.replace(NO_BREAK, " ") for part in parts]
