"""A work order as plain text, for any printer."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from enginemath.change.work_order.agreed import FILLED_BY_HAND, SIGNED_BY, to_sign
from enginemath.change.work_order.bench import for_the_bench
from enginemath.change.work_order.order import WorkOrder
from enginemath.change.work_order.section import Section
from enginemath.units import printable
from enginemath.units.columns import in_columns

PAGE_WIDTH = 92
"""Characters that fit on both Letter and A4 at twelve to the inch, with narrow margins."""
_BLANK = "_" * 7


def order_text(order: WorkOrder) -> str:
    """The order as a page of text.

    Args:
        order: see `work_order`.
    """
    name = printable(order.before.name)
    heading = f"WORK ORDER: {name}"
    lines = [heading, "=" * min(len(heading), PAGE_WIDTH), ""]
    lines += [f"{field:<22}{'_' * 40}" for field in FILLED_BY_HAND]
    for section in to_sign(order):
        lines += ["", *_section(section)]
    lines += ["", "Signatures", "-" * 10]
    lines += [f"{who:<28}{'_' * 36}  date {'_' * 14}" for who in SIGNED_BY]
    for section in for_the_bench(order):
        lines += ["", *_section(section)]
    return "\n".join(lines)


def _section(section: Section) -> Iterator[str]:
    yield section.heading
    yield "-" * len(section.heading)
    for number, line in enumerate(section.lines, start=1):
        mark = f"{number}. " if section.numbered else "- " if len(section.lines) > 1 else ""
        yield from wrap(f"{mark}{line}", PAGE_WIDTH, subsequent_indent=" " * len(mark))
    if section.rows:
        rows = [section.columns, *section.rows]
        yield from in_columns([[cell or _BLANK for cell in row] for row in rows])
