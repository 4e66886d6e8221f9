"""Text from outside made safe to show, to name a file, and to open in a spreadsheet."""

from __future__ import annotations

import csv
import hashlib
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from io import StringIO

from enginemath.units import Refused

_JOINERS = "\u200d\ufe0f"
"""What holds an emoji together; not printable alone."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "|", "%")
_BYTE_ORDER_MARK = "\ufeff"


def clean(text: str, longest: int = 120) -> str:
    """One line of printable text, whatever was there.

    >>> clean("Ana\\x07  Silva\\n")
    'Ana? Silva'
    """
    shown = "".join(c if c.isprintable() or c in _JOINERS else "?" for c in " ".join(text.split()))
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"


def file_stem(name: str, id: str) -> str:
    """A file name without its ending: plain letters, and never the same for two ids.

    >>> file_stem("Jörg Müller", "1042"), file_stem("../../x", "a/b")
    ('jorg-muller-1042', 'x-a-b-c14cdd')
    """
    plain_id = _slug(id, 40)
    stem = f"{_slug(name, 40) or 'student'}-{plain_id or 'id'}"
    if plain_id != id:
        stem += f"-{hashlib.sha256(id.encode()).hexdigest()[:6]}"
    return stem


def _slug(text: str, longest: int) -> str:
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", letters.lower()).strip("-")[:longest].strip("-")


def cell(value: object) -> str:
    """A value that a spreadsheet shows and never works out.

    >>> cell("=cmd()"), cell(7.5), cell("Ana")
    ("'=cmd()", '7.5', 'Ana')
    """
    if not isinstance(value, str):
        return f"{value:g}" if isinstance(value, float) else str(value)
    text = clean(value, 400)
    return f"'{text}" if text.lstrip().startswith(_FORMULA) else text


def csv_text(rows: Iterable[Sequence[object]]) -> str:
    """A CSV file's text, marked as UTF-8 for the spreadsheets that ask for it."""
    table = StringIO()
    csv.writer(table, lineterminator="\r\n").writerows([cell(each) for each in row] for row in rows)
    return _BYTE_ORDER_MARK + table.getvalue()


def csv_rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Rows of a CSV text with their number, the headings being row 1; empty rows are left out.

    Commas, semicolons or tabs part the cells, as the first row shows.

    Raises:
        Refused: not a table.

    >>> list(csv_rows('name;id\\n"Silva, Ana";7\\n'))
    [(1, ['name', 'id']), (2, ['Silva, Ana', '7'])]
    """
    if "\0" in text:
        raise Refused("not a plain text file; save it as CSV, UTF-8")
    first = text.lstrip("\r\n").partition("\n")[0]
    parted = max(",;\t", key=first.count)
    reader = csv.reader(StringIO(text, newline=""), delimiter=parted)
    try:
        for row in reader:
            cells = [each.strip() for each in row]
            if any(cells):
                yield reader.line_num, cells
    except csv.Error as error:
        raise Refused(f"row {reader.line_num}: not a table that can be read ({error})") from None
