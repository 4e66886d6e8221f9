"""`enginemath ratio`: one sheet or several, as text, JSON, a table and a page."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from enginemath.sheets.before_and_after import are_before_and_after, columns, rows
from enginemath.sheets.build_sheet import Sheet, read_sheet
from enginemath.sheets.ratio_report import ratio_text, sheet_report
from enginemath.sheets.text_file import from_file, load_toml, write_atomically
from enginemath.units import Refused, printable, shop_unit, show_ratio
from enginemath.units.columns import folded, in_columns

_last_read: dict[str, Sheet] = {}
"""The sheet that was reported last: it is printed next, and need not be read twice."""


def report_of(path: str, so_far: bool = False, unit: str = "") -> dict[str, Any]:
    """The report of one file; lengths in words are in the unit, or else the sheet's own.

    Raises:
        SheetRefused: names the file, and all readings that are missing.
    """
    if so_far:
        from enginemath.sheets.so_far import report_so_far

        return report_so_far(path, unit)
    _last_read.clear()
    sheet = _last_read[path] = read_sheet(path)
    return sheet_report(sheet, unit)


def printed(
    paths: Sequence[str], reports: Sequence[dict[str, Any]], unit: str, as_json: bool
) -> str:
    """What the command prints: one sheet in full, several side by side.

    Args:
        paths: of the sheets.
        reports: of the sheets, in the same order.
        unit: "in" or "mm" of all lengths; empty for each sheet's own.
        as_json: as an object, or a list where there are several.
    """
    if as_json:
        found = reports[0] if len(reports) == 1 else list(reports)
        return json.dumps(found, indent=2, allow_nan=False)
    if len(reports) > 1:
        if not unit and are_before_and_after(reports):
            unit = shop_unit(read_sheet(paths[0]).engine.cylinder.bore)
        return "\n".join(side_by_side(reports, unit))
    if reports[0].get("missing"):
        from enginemath.sheets.so_far import so_far_text

        return so_far_text(reports[0])
    sheet = _last_read.pop(paths[0], None) or read_sheet(paths[0])
    return ratio_text(sheet.engine, reports[0], unit)


def side_by_side(reports: Sequence[dict[str, Any]], unit: str = "") -> list[str]:
    """One line for each sheet; two of as many cylinders are compared one by one below.

    Args:
        reports: of the sheets.
        unit: "in" or "mm" of all lengths; empty for mm.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> print(side_by_side([sheet_report(parse(EXAMPLE))] * 2)[1])
    Bench engine, bay 3          4   9.90          9.896 to 9.896                         1
    """
    lines: list[tuple[str, ...]] = [
        ("engine", "cylinders", "ratio", "95 %", "of the cylinders", "effective", "warnings")
    ]
    lines += [_line(report) for report in reports]
    return [*in_columns(lines, right=range(1, 7)), *_compared(reports, unit), *folded([_CAUTION])]


def _compared(reports: Sequence[dict[str, Any]], unit: str) -> list[str]:
    if not are_before_and_after(reports):
        return []
    before, after = reports
    cells = [columns(before, unit or "mm"), *rows(before, after, unit or "mm")]
    return ["", "Before → after, cylinder by cylinder", *in_columns(cells), ""]


_CAUTION = (
    "± is one standard uncertainty. Ask for one sheet alone to read its warnings. A computed "
    "ratio is not permission to run the engine."
)


def _line(report: dict[str, Any]) -> tuple[str, ...]:
    count = str(len(report["cylinders"]))
    if report.get("missing"):
        low, high = report["ratio_range"] or (None, None)
        so_far = f"{show_ratio(low)} to {show_ratio(high)}" if low is not None else ""
        missing = f"missing: {len(report['missing'])}"
        return printable(report["name"]), count, missing, so_far, "", "", ""
    ratios = [cylinder["compression_ratio"] for cylinder in report["cylinders"]]
    u, limits = report["u_compression_ratio"], report["interval_95"]
    ratio = show_ratio(report["compression_ratio"])
    effective = report.get("effective_ratio", report.get("trapped_ratio"))
    return (
        printable(report["name"]),
        count,
        f"{ratio} ± {show_ratio(u)}" if u else ratio,
        f"{show_ratio(limits[0])} to {show_ratio(limits[1])}" if limits else "",
        f"{show_ratio(min(ratios), 3)} to {show_ratio(max(ratios), 3)}",
        "" if effective is None else show_ratio(effective),
        str(len(report["warnings"])),
    )


def write_files(
    paths: Sequence[str],
    reports: Sequence[dict[str, Any]],
    unit: str,
    table: Path | None,
    page: Path | None,
) -> None:
    """Write the table and the page that were asked for, each whole or not at all.

    Args:
        paths: of the sheets.
        reports: of the sheets, in the same order.
        unit: "in" or "mm" of all lengths; empty for each sheet's own.
        table, page: where to, or None.

    Raises:
        Refused: a file that would be written over a sheet or its readings.
        SheetRefused: a sheet that cannot be, or a file that cannot be written.
    """
    if table is None and page is None:
        return
    from enginemath.sheets.ratio_page import report_csv, report_page

    own = {file.resolve() for path in paths for file in _files_of(path)}
    for target in filter(None, (table, page)):
        _refuse_own_files(target, own)
    if table is not None:
        write_atomically(table, report_csv(reports, unit or "mm"))
    if page is not None:
        engines = [
            None if report.get("missing") else read_sheet(path).engine
            for path, report in zip(paths, reports, strict=True)
        ]
        write_atomically(page, report_page(reports, engines, unit))


def _files_of(path: str) -> list[Path]:
    """The sheet and its tables of readings."""
    names = from_file(path, load_toml).get("readings", [])
    tables = [names] if isinstance(names, str) else names
    return [Path(path), *(Path(path).parent / name for name in tables)]


def _refuse_own_files(target: Path, own: set[Path]) -> None:
    if target.resolve() in own:
        raise Refused(f"{target}: that is a sheet or its readings; write to another file")
