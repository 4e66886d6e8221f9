"""Printing what a lesson shows: readings, price lists, records, orders."""

from __future__ import annotations

from typing import Any

from enginemath.answers.writing_questions import how_read, task_numbered
from enginemath.bench.how_sure.class_study import Study, analyse, without
from enginemath.change.combination import bank_names, choice_of
from enginemath.change.cuts import metal_left
from enginemath.change.job import job_of_choices
from enginemath.change.limits_kept import check_limits
from enginemath.change.price_list import Options, price_list
from enginemath.change.wishes import by_wish
from enginemath.change.work_order import Height, WorkOrder, order_link, order_text, work_order
from enginemath.formulas.compression import height_of
from enginemath.lesson.plainly import as_written
from enginemath.lesson.telling import display_html
from enginemath.sheets import Sheet, printed_records
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.class_readings import every_pour, record
from enginemath.sheets.ratio_report import ratio_report, ratio_text
from enginemath.units import Refused, read, read_as, show
from enginemath.units.columns import in_columns


def show_without(study: Study, *, group: Any) -> None:
    """Print how well a class measures with one group left out.

    >>> from enginemath.lesson import *
    >>> show_without(load_study("class-chambers"), group="")
    group: nothing written yet
    """
    letter = as_written(group).strip()
    if not letter:
        print("group: nothing written yet")
        return
    try:
        system = analyse(without(study, letter.upper()))
    except Refused as refusal:
        print(refusal)
        return
    print(system.table(), system.verdict(), sep="\n")
    print("kinds of chamber that can be told apart:", system.categories)


def show_layers(volume: Any, **widths: str) -> None:
    """Print how thick a volume lies on discs of some widths, a line for each.

    >>> from enginemath.lesson import *
    >>> show_layers("0.78 cc", spark_plug="14 mm")
    spark plug: 5.067 mm = 0.1995 in
    """
    text = as_written(volume)
    if not text.strip():
        print("offset: nothing written yet")
        return
    try:
        lying = read_as(text, "cc")
    except Refused as refusal:
        print(refusal)
        return
    for name, width in widths.items():
        layer = height_of(lying, read(width)).to("mm")
        print(f"{name.replace('_', ' ')}: {show(layer, 'mm')} = {show(layer, 'in')}")


def show_prices(options: Options) -> None:
    """Print what the shop can fit and cut, and for how much."""
    print(price_list(options))


def show_limits(sheet: Sheet, options: Options) -> None:
    """Print what is wanted of an engine, and which limits it breaks as it is.

    >>> from enginemath.lesson import *
    >>> show_limits(load_sheet("heron-four"), load_options("heron-four"))
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    print(*check_limits(sheet.engine, options), sep="\n")


def show_report(sheet: Sheet) -> None:
    """Print an engine's whole stack, its ratios and their uncertainty."""
    print(ratio_text(sheet.engine, ratio_report(sheet.engine)))


def show_order(
    sheet: Sheet, options: Options, *, block: Height | None = None, **choice: Any
) -> None:
    """Print a work order, or why it may not be written.

    Args:
        sheet: the engine as measured.
        options: the price list.
        block: height of the block against the maker's minimum.
        choice: see `check_choice`.

    >>> from enginemath.lesson import *
    >>> show_order(load_sheet("heron-four"), load_options("heron-four"),
    ...            gasket="as measured", piston="", deck_cut="0 mm", head_cut="0 mm")
    piston: nothing written yet; write "as measured" to keep it
    """
    try:
        made = choice_of(options, banks=bank_names(sheet.engine), **choice)
        print(order_text(work_order(sheet, options, made, block=block)))
    except Refused as refusal:
        print(refusal)


def show_link(order: WorkOrder) -> None:
    """Show a link that saves a work order as a page to print."""
    display_html(order_link(order))


def show_metal_left(height: str, *, minimum: str, cut: str) -> None:
    """Print how much may still be cut after a cut, or why the cut may not be made.

    Args:
        height: of head or block as measured now, a length.
        minimum: the least height that the maker allows, a length.
        cut: planned, a length.

    >>> from enginemath.lesson import *
    >>> show_metal_left("212.46 mm", minimum="212.10 mm", cut="0.35 mm")
    left to cut after this: 0.010 mm = 0.0004 in
    """
    try:
        left = metal_left(height, minimum, cut)
    except Refused as refusal:
        print(refusal)
    else:
        print(f"left to cut after this: {show(left, 'mm')} = {show(left, 'in')}")


def try_all(sheet: Sheet, options: Options, top: int = 3) -> None:
    """Try every combination on a price list; print the best, or the nearest misses."""
    from enginemath.change.plan_report import plan_report, plan_text

    print(plan_text(plan_report(sheet, options, top)))


def show_wishes(sheet: Sheet, options: Options) -> None:
    """Print the plan that serves each wish best, of all that keep to every limit.

    >>> from enginemath.lesson import *
    >>> show_wishes(load_sheet("heron-four"), load_options("heron-four"))
    wish         price  ratio  tightest squish  deck cut  head cut  gasket        piston
    cheapest     208    9.221  0.980 mm         0.350 mm  0.000 mm  medium steel  as measured
    best squish  222    9.263  0.930 mm         0.250 mm  0.000 mm  thin steel    as measured
    least metal  370    9.182  1.030 mm         0.000 mm  0.000 mm  medium steel  tall, same dish
    """
    print(by_wish(job_of_choices(sheet, options)))


def givens(sheet: Sheet) -> None:
    """Print what was read on the bench, as it was written down, and nothing worked out.

    >>> from enginemath.lesson import *
    >>> givens(load_sheet("heron-one"))  # doctest: +ELLIPSIS
    Heron One
    cylinder: count 1
    piston: flat yes
    ...
    bore 58.640 mm, mean of 5
    ...
    known depth 3.988 mm, mean of 5
    poured to it 11.97 cc, mean of 5
    ...
    """
    print(sheet.name)
    for table, readings in sheet.written.items():
        if isinstance(readings, dict) and table not in ("record", "tools"):
            for name, value in readings.items():
                print(f"{table.replace('_', ' ')}: {name.replace('_', ' ')} {_given(value)}")
    if isinstance(sheet.readings, BenchFields):
        print(*sheet.readings.measured.told(), sep="\n")


def _given(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name} {text}" for name, text in value.items())
    if isinstance(value, list):
        return "; ".join(_given(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def show_record(table: str, *, cylinder: int, group: str | None = None) -> None:
    """Print rows of a record sheet, as the class wrote them, and nothing worked out.

    Args:
        table: name of the data file without its ending.
        cylinder: counted from 1.
        group: letter; None for all groups.

    >>> from enginemath.lesson import *
    >>> show_record("heron-four-deck", cylinder=2, group="D")
    group  cylinder  side   reading
    D      2         left   0.43 mm
    D      2         right  0.40 mm
    """
    rows = record(table, cylinder=cylinder, group=group)
    lines = [list(rows[0]), *(list(row.values()) for row in rows)]
    print(*in_columns(lines), sep="\n")


def show_pours(engine: str) -> None:
    """Print the chamber volume that each group poured, a line for each cylinder.

    >>> from enginemath.lesson import *
    >>> show_pours("heron-one")
    cylinder  A         B         C         D         E
    1         12.10 cc  12.05 cc  12.10 cc  11.95 cc  12.05 cc
    """
    pours = every_pour(engine)
    print("  ".join(["cylinder", *(group.ljust(8) for group in pours[1])]).rstrip())
    for cylinder, by_group in pours.items():
        print(f"{cylinder:<8}", *(show(volume, "cc") for volume in by_group.values()), sep="  ")


def what_if(row: int, **instead: Any) -> None:
    """Print what other numbers would make of a printed record of 1985.

    Args:
        row: its number.
        instead: `bore`, `stroke` or `size` with a unit, or `cylinders`.

    >>> from enginemath.lesson import *
    >>> what_if(112, stroke="3.19 in")
    row 112 as printed: 82.4 cu in worked out, 120 printed: −31.4 %
    with stroke 3.19 in: 120.0 cu in worked out, 120 printed: +0.0 %
    printed digits changed: 1
    the same bore, stroke, cylinders and size stand in rows 108, 110, 116
    """
    printed = printed_records.record_of(row)
    print(*printed_records.evidence(printed, printed_records.what_if(printed, **instead)), sep="\n")


def show_reading(*texts: str) -> None:
    """Print how the kit reads each text, or why it does not.

    >>> from enginemath.lesson import *
    >>> show_reading("1 in", "1 mil")
    "1 in" is 25.400 mm = 1.0000 in = 1000.0 thou
    "1 mil": a mil is a thousandth of an inch to some and a millimetre to others; write thou or mm
    """
    for text in texts:
        print(how_read(text))


def show_task(number: int) -> None:
    """Print what was said in the shop, to be written as a number with its unit."""
    print(task_numbered(number).words)
