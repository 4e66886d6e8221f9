"""A plan's report as a table for a spreadsheet, and as a page that prints clean."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from enginemath.change.plan_report import CAUTIONS, DIGITS, cells_of, checks_after, heading_of
from enginemath.sheets.html_page import fill
from enginemath.sheets.text_file import write_atomically
from enginemath.units import MM_PER_INCH, Refused


def plan_csv(report: dict[str, Any]) -> str:
    """A table with one row a plan, or a nearest miss where there is none.

    Lengths are in the report's unit; cuts and heights have a column for each bank. No cell begins
    a formula.

    Args:
        report: see `plan_report.plan_report`.
    """
    rows = list(_csv_rows(report))
    names = list(dict.fromkeys(name for row in rows for name in row))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    for row in rows:
        writer.writerow(_harmless(row.get(name)) for name in names)
    return out.getvalue()


def _csv_rows(report: dict[str, Any]) -> Iterator[dict[str, Any]]:
    unit = report["unit"]
    for what, plans in (("plan", report["plans"]), ("nearest miss", report["nearest_misses"])):
        for number, plan in enumerate(plans, start=1):
            row: dict[str, Any] = {"engine": report["name"], "list": what, "number": number}
            for name, value in plan.items():
                if isinstance(value, dict):
                    row |= {f"{name}, {bank}": mm for bank, mm in value.items()}
                elif isinstance(value, list):
                    row[name] = "; ".join(value)
                elif name not in ("deck_cut_mm", "head_cut_mm"):
                    row[name] = value
            yield dict(_in_unit(name, value, unit) for name, value in row.items())


def _in_unit(name: str, value: Any, unit: str) -> tuple[str, Any]:
    if unit != "in" or "_mm" not in name:
        return name, value
    inches = None if value is None else round(value / MM_PER_INCH, DIGITS)
    return name.replace("_mm", "_in"), inches


def _harmless(value: Any) -> Any:
    """A name that begins like a formula gets an apostrophe before it."""
    if isinstance(value, str) and value.lstrip().startswith(("=", "+", "-", "@")):
        return f"'{value}"
    return "" if value is None else value


def plan_page(report: dict[str, Any]) -> str:
    """The report as a complete HTML page, which needs no network.

    Args:
        report: see `plan_report.plan_report`.
    """
    plans, misses = report["plans"], report["nearest_misses"]
    unit = report["unit"]
    return fill(
        "change/plan_page.html",
        name=report["name"],
        heading=list(heading_of(report))[1:],
        plans=_table(plans, unit),
        front=_table(report["front"] or [], unit) if plans else None,
        front_count=report["front_count"],
        misses=_table(misses, unit),
        breaks=[(number, plan["breaks"]) for number, plan in enumerate(misses, start=1)],
        checks=list(checks_after(report)) if plans else [],
        warnings=report["warnings"],
        notes=report["notes"],
        cautions=CAUTIONS,
    )


def _table(plans: Sequence[dict[str, Any]], unit: str) -> dict[str, Any] | None:
    if not plans:
        return None
    cells = [cells_of(plan, unit) for plan in plans]
    lengths = ("squish", "deck", "deck cut", "head cut")
    heads = [f"{head}, {unit}" if head in lengths else head for head in cells[0]]
    return {"heads": heads, "rows": [list(row.values()) for row in cells]}


def write_plan(
    report: dict[str, Any], table: Path | None, page: Path | None, own: Sequence[str]
) -> None:
    """Write the table and the page that were asked for, each whole or not at all.

    Args:
        report: see `plan_report.plan_report`.
        table, page: the files; None: not asked for.
        own: the files that the plan was made from.

    Raises:
        Refused: a file that would be written over one of them.
        SheetRefused: a file that cannot be written.
    """
    taken = {Path(name).resolve() for name in own}
    for target in filter(None, (table, page)):
        if target.resolve() in taken:
            raise Refused(f"{target}: the plan is made from that; write to another file")
    if table is not None:
        write_atomically(table, plan_csv(report))
    if page is not None:
        write_atomically(page, plan_page(report))
