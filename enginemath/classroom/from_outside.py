"""Opening a file from outside: a plain file of a fair size, or a refusal that says why."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import unicodedata
from collections.abc import Iterable, Sequence
from io import StringIO
from typing import Any

from enginemath.sheets.plain_file import plain_file
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
    try:
        with plain_file(path, follow=False) as file:
            size = os.fstat(file.fileno()).st_size
            if size > largest:
                raise Refused(f"too large: {_size(size)}, at most {_size(largest)} are read")
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


_MOST_PARTS = 400_000
"""Of lists, tables and their items in a JSON text: each takes room in memory, however short."""
_MOST_QUOTES = 2_000_000
_STRING = re.compile(r'"[^"\\]*+(?:\\.[^"\\]*+)*+(?:"|\Z)', re.DOTALL)


def json_of(text: str) -> Any:
    """What a JSON text holds, if it is of fewer parts than would fill the memory.

    Raises:
        Refused: too many parts.
        ValueError, RecursionError: not JSON, or nested too deep.
    """
    if _parts(text) > _MOST_PARTS and (
        # Commas and brackets inside of strings are no parts.
        text.count('"') > _MOST_QUOTES or _parts(_STRING.sub("", text)) > _MOST_PARTS
    ):
        raise Refused(
            f"too many parts: at most {_MOST_PARTS:,} numbers, texts and lists are read; clear "
            "the outputs and save it again"
        )
    return json.loads(text)


def _parts(text: str) -> int:
    return sum(map(text.count, ",[{"))


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


def file_stem(name: str, id: str, taken: bool = False) -> str:
    """A file name without its ending: plain letters, and never the same for two ids of one name.

    Args:
        name: of the student.
        id: of the student.
        taken: whether somebody else's name and id give the same letters.

    >>> file_stem("Jörg Müller", "1042"), file_stem("../../x", "a/b")
    ('jorg-muller-1042', 'x-a-b-c14cdd')
    >>> file_stem("Li", "2-14"), file_stem("Li 2", "14"), file_stem("Li 2", "14", taken=True)
    ('li-2-14', 'li-2-14', 'li-2-14-8527a8')
    """
    plain_id = _slug(id, 40)
    stem = f"{_slug(name, 40) or 'student'}-{plain_id or 'id'}"
    if plain_id != id or taken:
        stem += f"-{hashlib.sha256(id.encode()).hexdigest()[:6]}"
    return stem


def no_surrogates(text: str) -> str:
    """A text that can be written into a file: half a letter becomes a question mark.

    >>> no_surrogates("9" + chr(0xD800))
    '9?'
    """
    return text if text.isascii() else text.encode("utf-8", "replace").decode()


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
