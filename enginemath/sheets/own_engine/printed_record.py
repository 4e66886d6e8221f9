"""The record sheet to print: ruled boxes, one for each reading, in the order of the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from enginemath.sheets.html_page import fill
from enginemath.sheets.own_engine.bench_order import TAKINGS, TOOLS, in_bench_order
from enginemath.sheets.readings_table import Row


def printed_record(name: str, rows: Sequence[Row], banks: Mapping[str, Sequence[int]]) -> str:
    """The page, for Letter and A4.

    Args:
        name: of the engine.
        rows: of its table, blank.
        banks: the cylinders of each bank.
    """
    bank_of = {number: bank for bank, numbers in banks.items() for number in numbers}
    whats = in_bench_order([row.what for row in rows])
    return fill(
        "sheets/own_engine/printed_record.html",
        name=name,
        kinds=[_kind(what, [row for row in rows if row.what == what], bank_of) for what in whats],
        tools=[name for name in TOOLS if any(name in (r.tool, r.depth_tool) for r in rows)],
    )


def _kind(what: str, rows: Sequence[Row], bank_of: Mapping[int, str]) -> dict[str, Any]:
    """One kind of reading: a line for each cylinder and pour, a box for each place or end."""
    taking, unit = TAKINGS[what], rows[0].unit
    columns = [f"{end}, {unit}" for end in ("start", "end")]
    if taking.depth_tool:
        columns.insert(0, f"depth, {rows[0].depth_unit}")
    if not taking.is_poured:
        columns = [f"{place or 'reading'}, {unit}" for place in taking.places]
    lines = dict.fromkeys((row.cylinder, row.pour) for row in rows)
    pours = len({pour for _, pour in lines}) > 1
    return {
        "name": what,
        "tool": " and ".join(filter(None, (taking.depth_tool, taking.tool))),
        "how": taking.how,
        "columns": columns,
        "lines": [
            {
                "cylinder": _line_name(cylinder, pour if pours else "", taking.where),
                "bank": bank_of.get(cylinder, "") if cylinder else "",
            }
            for cylinder, pour in lines
        ],
        "banked": bool(bank_of) and taking.each,
    }


def _line_name(cylinder: int, pour: str, where: str) -> str:
    named = f"cylinder {cylinder}" if cylinder else where or "the engine"
    return f"{named}, pour {pour}" if pour else named
