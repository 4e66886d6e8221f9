"""A work order as a page to print: one HTML file that needs no network, for Letter and A4."""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from textwrap import wrap

import pint

from enginemath.change.work_order.agreed import FILLED_BY_HAND, SIGNED_BY, to_sign
from enginemath.change.work_order.bench import for_the_bench
from enginemath.change.work_order.order import WorkOrder
from enginemath.change.work_order.section import Section
from enginemath.drawing.cylinder.section import section as cylinder_in_section
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.number_line import number_line, ratio_line, squish_line
from enginemath.drawing.paper.svg import escaped
from enginemath.engine.parts import one_cylinder, plain
from enginemath.sheets.text_file import write_atomically
from enginemath.units import Refused, in_mm, printable
from enginemath.units.columns import in_columns

_SECTION, _LINE = (680.0, 430.0), (680.0, 106.0)


def order_page(order: WorkOrder) -> str:
    """The order as a complete HTML page, drawings inside.

    Args:
        order: see `work_order`.
    """
    name = escaped(order.before.name)
    filled = "".join(f"<p><span>{field}</span></p>" for field in FILLED_BY_HAND)
    signed = "".join(
        f"<p><span>{who}</span><span>signature</span><span>date</span></p>" for who in SIGNED_BY
    )
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>Work order: {name}</title><style>{_style()}</style></head>\n<body>"
        f'<h1>Work order: {name}</h1>\n<div class="fill">{filled}</div>\n'
        f"{''.join(map(_section, to_sign(order)))}"
        f'<section class="sign"><h2>Signatures</h2>{signed}</section>\n'
        f'<div class="bench">{"".join(map(_section, for_the_bench(order)))}</div>\n'
        f"{_drawing(order)}</body></html>\n"
    )


def order_link(order: WorkOrder, file_name: str = "work-order.html") -> str:
    """The page as a link that a notebook can show: a click saves it, to be printed.

    Args:
        order: see `work_order`.
        file_name: under which it is saved.
    """
    page = b64encode(order_page(order).encode()).decode()
    return (
        f'<a download="{escaped(file_name)}" href="data:text/html;charset=utf-8;base64,{page}">'
        f"Save the work order “{escaped(order.before.name)}”, open it and print it</a>"
    )


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


@cache
def _style() -> str:
    return Path(__file__).with_name("page.css").read_text(encoding="utf-8")


def _section(section: Section) -> str:
    mark = "ol" if section.numbered else "ul"
    lines = "".join(f"<li>{escaped(line)}</li>" for line in section.lines)
    if len(section.lines) == 1:
        lines = f"<p>{escaped(section.lines[0])}</p>"
    elif lines:
        lines = f"<{mark}>{lines}</{mark}>"
    return f"<section><h2>{escaped(section.heading)}</h2>{lines}{_table(section)}</section>\n"


def _table(section: Section) -> str:
    if not section.rows:
        return ""
    head = "".join(f'<th scope="col">{escaped(name)}</th>' for name in section.columns)
    rows = "".join(
        f'<tr><th scope="row">{escaped(first)}</th>'
        f"{''.join(f'<td>{escaped(cell)}</td>' for cell in cells)}</tr>"
        for first, *cells in section.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _drawing(order: WorkOrder) -> str:
    """The tightest cylinder as planned, and where its engine stands on ratio and squish."""
    engine, target = plain(order.after), order.options.target
    number = min(range(engine.count), key=lambda i: in_mm(engine.decks[i].clearance))
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
    drawn = "".join(picture.svg() for picture in pictures)
    return (
        f"<section><h2>Cylinder {number + 1} as planned, the one with the least deck clearance"
        f"</h2>{drawn}</section>\n"
    )


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
        yield from wrap(f"{mark}{line}", PAGE_WIDTH, subsequent_indent=" " * len(mark))
    if section.rows:
        rows = [section.columns, *section.rows]
        yield from in_columns([[cell or _BLANK for cell in row] for row in rows])
