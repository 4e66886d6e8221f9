"""Rows of text in columns."""

from __future__ import annotations

from collections.abc import Container, Sequence


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
