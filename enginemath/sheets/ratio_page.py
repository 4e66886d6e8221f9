"""The ratio report of one or several sheets as a page that prints clean, and as a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from typing import Any

from uncertainties import ufloat

from enginemath.drawing.charts.error_budget import BudgetBar, error_budget
from enginemath.engine.parts import Engine
from enginemath.engine.stack import PARTS
from enginemath.sheets.before_and_after import are_before_and_after, columns, rows
from enginemath.sheets.html_page import fill
from enginemath.sheets.ratio_report import budget_sentences, findings, heading
from enginemath.sheets.so_far import ratio_so_far
from enginemath.units import MM_PER_INCH, Quantity, fixed, shop_unit, show, show_ratio

MOST_BARS = 8
"""Of the error budget's chart; the rest is one bar more."""


def report_page(
    reports: Sequence[dict[str, Any]], engines: Sequence[Engine | None], unit: str = ""
) -> str:
    """A page with every sheet's stack, ratio, ± and warnings, and the sheets side by side.

    Args:
        reports: of `ratio_report.sheet_report` or `so_far.report_so_far`, in the page's order.
        engines: of the reports; None for one on which readings are missing.
        unit: "in" or "mm" of all lengths; by default each sheet's own.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> from enginemath.sheets.ratio_report import sheet_report
    >>> sheet = parse(EXAMPLE)
    >>> "<h1>Bench engine, bay 3</h1>" in report_page([sheet_report(sheet)], [sheet.engine])
    True
    """
    shown = [
        _so_far(report) if engine is None else _shown(report, engine, unit)
        for report, engine in zip(reports, engines, strict=True)
    ]
    title = shown[0]["name"] if len(shown) == 1 else "Compression ratios side by side"
    compared = None
    if None not in engines and are_before_and_after(reports):
        title = "Before and after"
        in_unit = unit or shown[0]["unit"]
        heads = columns(reports[0], in_unit)
        compared = {"heads": heads, "rows": rows(reports[0], reports[1], in_unit)}
    template = "sheets/ratio_page.html"
    return fill(template, title=title, reports=shown, parts=PARTS, compared=compared)


def _so_far(report: dict[str, Any]) -> dict[str, Any]:
    """A sheet on which readings are missing, ready for the template."""
    low_high = report["ratio_range"]
    return {
        "name": report["name"],
        "record": "",
        "lines": [f"Readings missing: {', '.join(report['missing'])}"],
        "known": [
            [str(cylinder["number"]), *(_known(cylinder[f"{name}_cc"]) for name in _VOLUMES)]
            for cylinder in report["cylinders"]
        ],
        "ratio": f"{show_ratio(low_high[0])} to {show_ratio(low_high[1])}" if low_high else "",
        "limits": f"{len(report['missing'])} readings missing",
        "findings": [ratio_so_far(report)],
        "budget": [],
        "warnings": report["warnings"],
        "left_out": [],
    }


_VOLUMES = ("swept", *PARTS)


def _known(volume: float | None) -> str:
    return "?" if volume is None else fixed(volume, 2)


def _shown(report: dict[str, Any], engine: Engine, unit: str) -> dict[str, Any]:
    """A report in words, ready for the template."""
    unit = unit or shop_unit(engine.cylinder.bore)
    return {
        "name": engine.name,
        "record": "; ".join(filter(None, report.get("record", {}).values())),
        "lines": heading(engine, report, unit)[1:],
        "known": [],
        "unit": unit,
        "rows": [_row(cylinder, unit) for cylinder in report["cylinders"]],
        "banked": bool(engine.banks),
        "trapped": engine.is_two_stroke,
        "ratio": _ratio(report),
        "limits": _limits(report["interval_95"]),
        "findings": findings(report, unit),
        "budget": budget_sentences(report),
        "chart": _chart(report),
        "warnings": report["warnings"],
        "left_out": report.get("left_out", []),
    }


def _row(cylinder: dict[str, Any], unit: str) -> dict[str, Any]:
    squish, u = cylinder["squish_mm"], cylinder["u_squish_mm"]
    length = None if squish is None else Quantity(ufloat(squish, u) if u else squish, "mm")
    return {
        "number": cylinder["number"],
        "bank": cylinder["bank"] or "",
        "volumes": [fixed(cylinder[f"{name}_cc"], 2) for name in (*PARTS, "clearance")],
        "ratio": _ratio(cylinder, 3),
        "limits": _limits(cylinder["interval_95"]),
        "squish": "" if length is None else show(length, unit).rpartition(" ")[0],
        "effective": _of(cylinder, "effective_ratio", 2) or _of(cylinder, "trapped_ratio", 2),
    }


def _ratio(report: dict[str, Any], decimals: int = 2) -> str:
    return _of(report, "compression_ratio", decimals)


def _of(report: dict[str, Any], name: str, decimals: int) -> str:
    if name not in report:
        return ""
    u = report[f"u_{name}"]
    return show_ratio(ufloat(report[name], u) if u else report[name], decimals)


def _limits(interval: list[float] | None) -> str:
    return f"{show_ratio(interval[0])} to {show_ratio(interval[1])}" if interval else ""


def _chart(report: dict[str, Any]) -> str:
    """The error budget of the mean ratio, drawn; empty where nothing is unsure."""
    lines = report["budget"]
    if not lines:
        return ""
    bars = [BudgetBar(line["source"], line["share"]) for line in lines[:MOST_BARS]]
    rest = sum(line["share"] for line in lines[MOST_BARS:])
    if rest:
        bars.append(BudgetBar(f"{len(lines) - MOST_BARS} others", rest))
    u = report["u_compression_ratio"]
    chart = error_budget(bars, value=report["compression_ratio"], u=u, decimals=3)
    return chart.svg()


def report_csv(reports: Sequence[dict[str, Any]], unit: str = "mm") -> str:
    """A table with one row a cylinder, all sheets below each other; no cell begins a formula.

    Where there are several, the first column says which sheet it is, counted from 1.

    Args:
        reports: as for `report_page`.
        unit: "in" or "mm" of the lengths.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> from enginemath.sheets.ratio_report import sheet_report
    >>> print(report_csv([sheet_report(parse(EXAMPLE))]).splitlines()[1][:24])
    "Bench engine, bay 3",1,
    """
    table = [
        ({"sheet": number} if len(reports) > 1 else {}) | row
        for number, report in enumerate(reports, start=1)
        for row in _csv_rows(report)
    ]
    names = list(dict.fromkeys(name for row in table for name in row))
    lengths = [name for name in names if name.endswith("_mm")] if unit == "in" else []
    heads = {n: n.replace("_mm", "_in") if n in lengths else n for n in names}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads.values())
    for row in table:
        for name in lengths:
            if row.get(name) is not None:
                row[name] /= MM_PER_INCH
        writer.writerow(_harmless(row.get(name)) for name in names)
    return out.getvalue()


def _csv_rows(report: dict[str, Any]) -> Iterator[dict[str, Any]]:
    if report.get("missing"):
        yield from _csv_rows_so_far(report)
        return
    for cylinder in report["cylinders"]:
        low, high = cylinder["interval_95"] or (None, None)
        squish_low, squish_high = cylinder["squish_interval_95_mm"] or (None, None)
        row = {"engine": report["name"], "cylinder": cylinder["number"], "bank": cylinder["bank"]}
        row |= {name: value for name, value in cylinder.items() if _is_cell(name, value)}
        row |= {"ratio_low_95": low, "ratio_high_95": high}
        yield row | {"squish_low_mm": squish_low, "squish_high_mm": squish_high}


def _csv_rows_so_far(report: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """What is known, and over all cylinders where the ratio can lie."""
    low, high = report["ratio_range"] or (None, None)
    for cylinder in report["cylinders"]:
        row = {"engine": report["name"], "cylinder": cylinder["number"]}
        row |= {name: value for name, value in cylinder.items() if _is_cell(name, value)}
        row |= {"ratio_so_far_low": low, "ratio_so_far_high": high}
        yield row | {"missing": "; ".join(report["missing"])}


def _is_cell(name: str, value: Any) -> bool:
    return name not in ("number", "bank") and not isinstance(value, (list, dict, str))


def _harmless(value: Any) -> Any:
    """A name that begins like a formula gets an apostrophe before it."""
    if isinstance(value, str) and value.lstrip().startswith(("=", "+", "-", "@")):
        return f"'{value}"
    return "" if value is None else value
