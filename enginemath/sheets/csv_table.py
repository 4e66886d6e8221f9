"""The rows of a CSV text as spreadsheets write it, or a refusal that names the row."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from io import StringIO

from enginemath.units import Refused

MOST_ROWS = 20_000
MOST_CELLS = 500
"""In one row."""
_PARTED = ",;\t"


def csv_rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Rows of a CSV text with their number, the headings being row 1; empty rows are left out.

    Commas, semicolons or tabs part the cells, as the first row shows.

    Raises:
        Refused: not a table, a quote that is never closed or swallows a row, or a row with more
            cells than there are headings; names the row.

    >>> list(csv_rows('name;id\\n"Silva, Ana";7\\n'))
    [(1, ['name', 'id']), (2, ['Silva, Ana', '7'])]
    >>> list(csv_rows("name,id\\nSilva, Ana,7\\n"))
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: row 2: 3 cells under 2 headings; write a decimal \
point, not a comma, or put a cell that holds a comma between quotes
    """
    for row, found in rows_or_refusals(text):
        if isinstance(found, Refused):
            raise found
        yield row, found


def rows_or_refusals(text: str) -> Iterator[tuple[int, list[str] | Refused]]:
    """Rows as `csv_rows` reads them, and in place of one that cannot be read why it cannot.

    After a quote that is left open nothing more is read.

    Raises:
        Refused: not a plain text.
    """
    if "\0" in text:
        row = text.count("\n", 0, text.index("\0")) + 1
        raise Refused(f"row {row}: not a plain text file; save it as CSV, UTF-8")
    text, parted, before = how_parted(text)
    reader = csv.reader(StringIO(text, newline=""), delimiter=parted, strict=True)
    headings, row = 0, before
    try:
        for each in reader:
            began, row = row + 1, reader.line_num + before
            cells = [cell.strip() for cell in each]
            if row > MOST_ROWS:
                yield row, Refused(f"more than {MOST_ROWS} rows; hand it in in pieces")
                return
            if not any(cells):
                continue
            why = _why_not(cells, headings, parted)
            headings = headings or len(cells)
            yield began, Refused(f"row {began}: {why}") if why else cells
    except csv.Error as error:
        yield row + 1, Refused(f"row {row + 1}: {_broken(error)}")


def comma_is_decimal(text: str) -> bool:
    """Whether the commas in a table's numbers can only be decimal commas.

    So it is where semicolons or tabs part the cells, no number has a point, and at least one has
    a comma that does not stand before three digits, as one between thousands does.

    >>> comma_is_decimal("id;volume\\n7;588,31\\n"), comma_is_decimal("id;volume\\n7;1,234\\n")
    (True, False)
    """
    text, parted, _ = how_parted(text)
    if parted == "," or re.search(r"[0-9]\.[0-9]", text):
        return False
    numbers = re.findall(r"(?<![0-9,])([0-9]*),([0-9]+)(?![0-9,])", text)
    return any(len(rest) != 3 or whole in ("", "0") for whole, rest in numbers)


def how_parted(text: str) -> tuple[str, str, int]:
    """A table's text, what parts its cells as the first row shows, and how many rows stand before.

    >>> how_parted("sep=;\\na;b,c")
    ('a;b,c', ';', 1)
    """
    said = re.match(r"sep=([,;\t])\r?\n", text)
    if said:
        return text[said.end() :], said[1], 1
    first = text.lstrip("\r\n").partition("\n")[0]
    bare = re.sub(r'"[^"]*"', "", first)
    return text, max(_PARTED, key=bare.count), 0


def _why_not(cells: list[str], headings: int, parted: str) -> str:
    if any("\n" in cell or "\r" in cell for cell in cells):
        return "a cell goes on in the next row: is a quote left open?"
    if len(cells) > MOST_CELLS:
        return f"more than {MOST_CELLS} cells"
    if headings and any(cells[headings:]):
        mark = {",": "a comma", ";": "a semicolon", "\t": "a tab"}[parted]
        decimal = "write a decimal point, not a comma, or " if parted == "," else ""
        return (
            f"{len(cells)} cells under {headings} headings; {decimal}put a cell that holds {mark} "
            "between quotes"
        )
    return ""


def _broken(error: csv.Error) -> str:
    said = str(error)
    if "end of data" in said:
        return "a quote is left open; nothing after it is read"
    if "expected after" in said:
        return "letters after a closing quote: is one left open? Nothing after it is read"
    if "field larger" in said:
        return "a cell far too long; nothing after it is read"
    return f"not a table that can be read ({said})"
