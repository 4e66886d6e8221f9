"""Text files that people keep: read with clear refusals, written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from enginemath.units import Refused

LARGEST_FILE = 1_000_000


class SheetRefused(Refused):
    """A sheet that cannot be read: names the field, and the file and line where known."""

    def __init__(self, reason: str, field: str = "", file: str = "", line: int | None = None):
        self.reason, self.field, self.file, self.line = reason, field, file, line
        place = (
            f"{file}, line {line}" if line and file else file or (f"line {line}" if line else "")
        )
        super().__init__(": ".join(part for part in (place, field, reason) if part))


@contextlib.contextmanager
def within(name: str) -> Iterator[None]:
    """Put the field's name in front of whatever is refused inside."""
    try:
        yield
    except SheetRefused:
        raise
    except Refused as refusal:
        raise SheetRefused(str(refusal), field=name) from None


def from_file(path: str | os.PathLike[str], read: Callable[[str], Any]) -> Any:
    """Read a text file with a reader that may refuse it, naming the file in what is refused."""
    file = str(path)
    try:
        with open(path, "rb") as handle:
            content = handle.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetRefused(f"cannot be read ({reason})", file=file) from None
    if len(content) > LARGEST_FILE:
        raise SheetRefused("too large for a sheet", file=file)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetRefused("not a text file in UTF-8", file=file) from None
    try:
        return read(text)
    except SheetRefused as refusal:
        raise SheetRefused(refusal.reason, refusal.field, file, refusal.line) from None


def load_toml(text: str) -> dict[str, Any]:
    """Parse TOML; what is broken is refused with its line.

    >>> load_toml("a = ")
    Traceback (most recent call last):
        ...
    enginemath.files.SheetRefused: line 1: not TOML: Invalid value
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        reason, _, place = str(error).partition(" (at ")
        found = re.search(r"line (\d+)", place)
        line = int(found[1]) if found else text.count("\n") + 1
        raise SheetRefused(f"not TOML: {reason}", line=line) from None
    except (RecursionError, ValueError):
        raise SheetRefused("not TOML: nested too deep or a number too long") from None


def line_of(text: str, name: str) -> int | None:
    """Line on which a field such as ``cylinder.bore`` stands, as far as a quick look can tell."""
    wanted = re.sub(r"\[\d+\]", "", name).split(".")[:2]
    table = ""
    for number, line in enumerate(text.splitlines(), start=1):
        header = re.match(r"\s*\[+\s*([\w-]+)", line)
        if header:
            table = header[1]
            if wanted == [table]:
                return number
            continue
        key = re.match(r"\s*([\w.-]+)\s*=", line)
        if key and [part for part in [table, *key[1].split(".")] if part][:2] == wanted:
            return number
    return None


def write_atomically(path: str | os.PathLike[str], text: str) -> None:
    """Write a whole file or leave the old one as it was.

    Raises:
        SheetRefused: the file cannot be written; names it.
    """
    target = Path(path)
    try:
        handle, temporary = tempfile.mkstemp(
            dir=target.parent, prefix=f".{target.name}.", suffix=".tmp"
        )
    except OSError as error:
        raise SheetRefused(f"cannot be written ({error.strerror})", file=str(path)) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
        os.chmod(temporary, mode)
        os.replace(temporary, target)
    except OSError as error:
        raise SheetRefused(f"cannot be written ({error.strerror})", file=str(path)) from None
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(temporary)


def short(value: Any) -> str:
    """A value as it was written, cut to fit one line."""
    text = " ".join(repr(value).split())
    return text if len(text) <= 60 else text[:57] + "…"
