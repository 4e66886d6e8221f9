"""Opening a file from outside: a plain file of a fair size, or a refusal that says why."""

from __future__ import annotations

import csv
import hashlib
import os
import re
import stat
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from io import StringIO

from enginemath.units import Refused

_ARCHIVES = {
    b"PK\x03\x04": "a zip archive",
    b"PK\x05\x06": "a zip archive",
    b"\x1f\x8b": "a gzip archive",
    b"BZh": "a bzip2 archive",
    b"\xfd7zXZ": "an xz archive",
    b"7z\xbc\xaf": "a 7z archive",
    b"Rar!": "a rar archive",
}
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def read_plain(path: str | os.PathLike[str], largest: int) -> bytes:
    """What a plain file holds.

    Links are not followed, archives not opened, and nothing larger than `largest` is read.

    Raises:
        Refused: says why it was not read.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        if os.path.islink(path):
            raise Refused("a link to another place; not followed")
        handle = os.open(path, flags | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as file:
            found = os.fstat(handle)
            if not stat.S_ISREG(found.st_mode):
                raise Refused("not a plain file")
            if found.st_size > largest:
                raise Refused(
                    f"too large: {_size(found.st_size)}, at most {_size(largest)} are read"
                )
            content = file.read(largest + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, Refused):
            raise
        raise Refused(f"cannot be read ({getattr(error, 'strerror', None) or error})") from None
    if len(content) > largest:
        raise Refused(f"too large: at most {_size(largest)} are read")
    for start, name in _ARCHIVES.items():
        if content.startswith(start):
            raise Refused(f"{name}; not opened: unpack it and look what is inside")
    return content


def read_text(path: str | os.PathLike[str], largest: int) -> str:
    """What a text file holds; see `read_plain`."""
    content = read_plain(path, largest)
    try:
        text = content.decode("utf-16" if content.startswith(_UTF16) else "utf-8-sig")
    except UnicodeDecodeError:
        raise Refused("not a text file in UTF-8") from None
    if "\0" in text:
        raise Refused("not a text file")
    return text


def _size(bytes: int) -> str:
    return f"{bytes / 1e6:.0f} MB" if bytes >= 1e6 else f"{bytes / 1e3:.0f} kB"


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
