"""A work order as a page to print: one HTML file that needs no network, for Letter and A4."""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Iterator
from pathlib import Path

import pint

from enginemath.change.work_order.agreed import FILLED_BY_HAND, SIGNED_BY, to_sign
from enginemath.change.work_order.bench import for_the_bench
from enginemath.change.work_order.order import WorkOrder
from enginemath.change.work_order.section import Section
from enginemath.drawing.cylinder.section import section as cylinder_in_section
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.number_line import number_line, ratio_line, squish_line
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import one_cylinder, plain
from enginemath.sheets.html_page import fill
from enginemath.sheets.text_file import write_atomically
from enginemath.units import Refused, in_mm, printable
from enginemath.units.columns import in_columns, wrapped

_SECTION, _LINE = (600.0, 380.0), (640.0, 106.0)
_ALIKE = 0.001
"""mm: deck clearances nearer than this are the same on an order."""


def order_page(order: WorkOrder) -> str:
    """The order as a complete HTML page, drawings inside.

    Args:
        order: see `work_order`.
    """
    tightest, pictures = _drawings(order)
    return fill(
        "change/work_order/page.html",
        name=order.before.name,
        to_fill=FILLED_BY_HAND,
        to_sign=to_sign(order),
        signed_by=SIGNED_BY,
        for_the_bench=for_the_bench(order),
        drawn=tightest,
        pictures=pictures,
    )


def order_link(order: WorkOrder, file_name: str = "work-order.html", says: str = "") -> str:
    """The page as a link that a notebook can show: a click saves it, to be printed.

    Args:
        order: see `work_order`.
        file_name: under which it is saved.
        says: on the link; by default the engine's name, and what to do with the file.
    """
    page = b64encode(order_page(order).encode()).decode()
    link = "change/work_order/link.html"
    says = says or f"Save the work order “{order.before.name}”, open it and print it"
    return fill(link, file=file_name, page=page, says=says).rstrip()


def write_order(order: WorkOrder, path: str | os.PathLike[str]) -> None:
    """Save the order whole or not at all: a page for a name in .html, text for one in .txt.

    Raises:
        Refused: another ending, or the file cannot be written.
    """
    writers = {".html": order_page, ".txt": order_text}
    ending = Path(path).suffix.lower()
    if ending not in writers:
        raise Refused(f"{path}: a work order is saved as .html, to print, or as .txt")
    write_atomically(path, writers[ending](order))


def write_new_order(order: WorkOrder, path: str | os.PathLike[str]) -> None:
    """Save the order as `write_order` does, and never over a file that exists.

    Raises:
        Refused: the file exists, or as `write_order`.
    """
    if os.path.lexists(path):
        raise Refused(f"{path}: is there already; an order is never written over")
    write_order(order, path)


def _drawings(order: WorkOrder) -> tuple[str, list[Picture]]:
    """Which cylinder is drawn as planned, the tightest, and where its ratio and squish stand."""
    engine, target = plain(order.after), order.options.target
    clearances = [in_mm(deck.clearance) for deck in engine.decks]
    number = clearances.index(min(clearances))
    told = f"Cylinder {number + 1} as planned"
    if max(clearances) - min(clearances) >= _ALIKE:
        told += ", the one with the least deck clearance"
    report = order.reports[1]
    interval = report["interval_95"]
    ratio = ratio_line(
        report["compression_ratio"],
        (target.low, target.high),
        aim=target.aim,
        interval=tuple(interval) if interval else None,
    )
    pictures = [
        cylinder_in_section(
            section_view(one_cylinder(engine, number)),
            unit=order.unit,
            crank=False,
            size=_SECTION,
        ),
        number_line(ratio, size=_LINE),
    ]
    squish = engine.squish(number)
    if squish is not None:
        line = squish_line(squish.m_as("mm"), _band(target.squish), unit=order.unit)
        pictures.append(number_line(line, size=_LINE))
    return told, pictures


def _band(squish: tuple[pint.Quantity, pint.Quantity] | None) -> tuple[float, float] | None:
    if squish is None:
        return None
    low, high = squish
    return in_mm(low), in_mm(high)


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
        lines += ["", *_section_text(section)]
    lines += ["", "Signatures", "-" * 10]
    lines += [f"{who:<28}{'_' * 36}  date {'_' * 14}" for who in SIGNED_BY]
    for section in for_the_bench(order):
        lines += ["", *_section_text(section)]
    return "\n".join(lines)


def _section_text(section: Section) -> Iterator[str]:
    yield section.heading
    yield "-" * len(section.heading)
    for number, line in enumerate(section.lines, start=1):
        mark = f"{number}. " if section.numbered else "- " if len(section.lines) > 1 else ""
        yield from wrapped(f"{mark}{line}", PAGE_WIDTH, " " * len(mark))
    if section.rows:
        rows = [section.columns, *section.rows]
        yield from in_columns([[cell or _BLANK for cell in row] for row in rows])
