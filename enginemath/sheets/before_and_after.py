"""Two sheets of one engine, before the work and after it, cylinder by cylinder."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginemath.units import Quantity, fixed, show, show_ratio

Report = dict[str, Any]
"""What `ratio_report.sheet_report` says."""


def are_before_and_after(reports: Sequence[Report]) -> bool:
    """Whether two reports can be set side by side cylinder by cylinder."""
    if len(reports) != 2 or any(report.get("missing") for report in reports):
        return False
    before, after = (len(report["cylinders"]) for report in reports)
    return before == after


def columns(before: Report, unit: str) -> list[str]:
    """Heads of the table of `rows`.

    Args:
        before: of the first sheet.
        unit: "in" or "mm" of all lengths.
    """
    running = [_running(before).replace("_", " ")] if _running(before) else []
    lengths = (f"deck clearance, {unit}", f"squish, {unit}")
    return ["cylinder", "ratio", "chamber, cc", "crown, cc", "gasket, cc", *lengths, *running]


def rows(before: Report, after: Report, unit: str) -> list[list[str]]:
    """A row a cylinder, each cell as it was and as it is; the last row is the mean.

    What stayed the same is said once.

    Args:
        before, after: reports of the two sheets; see `are_before_and_after`.
        unit: "in" or "mm" of all lengths.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> from enginemath.sheets.ratio_report import sheet_report
    >>> old, new = EXAMPLE, EXAMPLE.replace('"0.35 mm"', '"0.15 mm"')
    >>> rows(sheet_report(parse(old)), sheet_report(parse(new)), "mm")[0][:3]
    ['1', '9.896 → 10.079', '47.50']
    """
    pairs = zip(before["cylinders"], after["cylinders"], strict=True)
    found = [_row(old, new, unit, _running(before)) for old, new in pairs]
    mean = [_changed(_ratio(before), _ratio(after)), "", "", "", "", ""]
    if _running(before):
        mean.append(_changed(*(_bare(each.get(_running(before)), 2) for each in (before, after))))
    return [*found, ["mean", *mean]]


def _row(old: Report, new: Report, unit: str, running: str) -> list[str]:
    volumes = (
        [_bare(each[f"{part}_cc"], 2) for each in (old, new)]
        for part in ("chamber", "crown", "gasket")
    )
    lengths = (
        [_length(each[name], unit) for each in (old, new)]
        for name in ("deck_clearance_mm", "squish_mm")
    )
    runs = [[_bare(each.get(running), 2) for each in (old, new)]] if running else []
    pairs = ([_ratio(old), _ratio(new)], *volumes, *lengths, *runs)
    return [str(old["number"]), *(_changed(*pair) for pair in pairs)]


def _running(report: Report) -> str:
    return next((name for name in ("effective_ratio", "trapped_ratio") if name in report), "")


def _changed(old: str, new: str) -> str:
    return old if old == new else f"{old} → {new}"


def _ratio(each: Report) -> str:
    return show_ratio(each["compression_ratio"], 3)


def _bare(value: float | None, decimals: int) -> str:
    return "-" if value is None else fixed(value, decimals)


def _length(mm: float | None, unit: str) -> str:
    return "-" if mm is None else show(Quantity(mm, "mm"), unit).rpartition(" ")[0]
