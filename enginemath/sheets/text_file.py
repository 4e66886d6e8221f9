"""Text files that people keep: read with clear refusals, written whole or not at all."""

from __future__ import annotations

import contextlib
import datetime
import os
import re
import tempfile
import time
import tomllib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.toml_lines import line_of, too_deep, written_twice
from enginemath.units import Refused, printable

T = TypeVar("T")

LARGEST_FILE = 200_000
_SAYS_TWICE = re.compile("twice|overwrite|duplicate|immutable", re.IGNORECASE)
"""How Python's reader speaks of a name that is given again."""


class SheetRefused(Refused):
    """A sheet that cannot be read: names the field, and the file and line where known."""

    def __init__(self, reason: str, field: str = "", file: str = "", line: int | None = None):
        self.reason, self.file, self.line = reason, file, line
        place = ", ".join(part for part in (file, f"line {line}" if line else "") if part)
        said = (_one_line(part) for part in (place, field, reason) if part)
        super().__init__(": ".join(said), field)

    def at_line(self, line: int | None) -> None:
        """Say on which line of the file the field stands."""
        SheetRefused.__init__(self, self.reason, self.field, self.file, line)

    def in_file(self, file: str) -> SheetRefused:
        """The same refusal, with the file's name where it has none yet."""
        SheetRefused.__init__(self, self.reason, self.field, self.file or file, self.line)
        return self


@contextlib.contextmanager
def within(name: str) -> Iterator[None]:
    """Put the field's name in front of whatever is refused inside."""
    try:
        yield
    except SheetRefused:
        raise
    except Refused as refusal:
        field = f"{name}.{refusal.field}" if refusal.field else name
        raise SheetRefused(str(refusal), field=field) from None


def from_file(path: str | os.PathLike[str], read: Callable[[str], T]) -> T:
    """Read a text file with a reader that may refuse it, naming the file in what is refused."""
    file = str(path)
    try:
        with plain_file(path) as handle:
            content = handle.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        raise SheetRefused(f"cannot be read ({_reason(error)})", file=file) from None
    if len(content) > LARGEST_FILE:
        raise SheetRefused("too large for a sheet", file=file)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetRefused("not a text file in UTF-8", file=file) from None
    try:
        return read(text)
    except SheetRefused as refusal:
        raise refusal.in_file(file) from None
    except Refused as refusal:
        raise SheetRefused(str(refusal), file=file) from None


@contextlib.contextmanager
def lines_from(text: str) -> Iterator[None]:
    """Add its line in a TOML text to whatever is refused inside."""
    try:
        yield
    except SheetRefused as refusal:
        if not refusal.file:
            line = line_of(text, refusal.field) if refusal.field else None
            refusal.at_line(refusal.line or line)
        raise


_TWO_VERSIONS = re.compile(r"^(?:<{7}|={7}|>{7})(?: .*)?$", re.MULTILINE)


def refuse_two_versions(text: str, file: str = "") -> None:
    """Refuse a text into which the versions of two people were saved, marked off from each other.

    Raises:
        SheetRefused: names the first mark's line.

    >>> refuse_two_versions("count = 4\\n<<<<<<< mine\\nbore = 1")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: line 2: two people saved this file at once: keep \
one of the versions between the lines <<<<<<< and >>>>>>>, and delete these lines
    """
    mark = _TWO_VERSIONS.search(text)
    if mark:
        raise SheetRefused(
            "two people saved this file at once: keep one of the versions between the lines "
            "<<<<<<< and >>>>>>>, and delete these lines",
            file=file,
            line=text.count("\n", 0, mark.start()) + 1,
        )


def load_toml(text: str) -> dict[str, Any]:
    """Parse TOML; what is broken is refused with its line, what stands twice with its name.

    >>> load_toml("a = ")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: line 1: not TOML: Invalid value
    >>> load_toml("a = 1\\na = 2")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: line 2: a: written twice, first on line 1
    """
    refuse_two_versions(text)
    monster = SheetRefused("not TOML: nested too deep or a number too long")
    if too_deep(text):
        raise monster
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        reason, _, place = str(error).partition(" (at ")
        found = re.search(r"line (\d+), column (\d+)", place)
        lines = text.split("\n")
        if found:
            lines = lines[: int(found[1])]
            lines[-1] = lines[-1][: int(found[2]) - 1]
        twice = written_twice("\n".join(lines)) if _SAYS_TWICE.search(reason) else None
        if twice:
            name, first, second = twice
            raise SheetRefused(f"written twice, first on line {first}", name, line=second) from None
        from enginemath.sheets.toml_slips import slip_of

        slip = slip_of(text, len(lines))
        if slip:
            raise SheetRefused(slip[1], slip[0], line=len(lines)) from None
        raise SheetRefused(f"not TOML: {reason}", line=len(lines)) from None
    except (RecursionError, MemoryError, ValueError):
        raise monster from None


def write_atomically(
    path: str | os.PathLike[str], text: str, for_owner_alone: bool = False
) -> None:
    """Write a whole file or leave the old one as it was.

    Args:
        path: of the file.
        text: all of it.
        for_owner_alone: nobody else may read it; else an old file's permissions stay.

    Raises:
        SheetRefused: the file cannot be written; names it.
    """
    mode = [0o600] if for_owner_alone else []
    try:
        _replace(Path(os.path.realpath(path)), text.encode("utf-8"), *mode)
    except (OSError, ValueError) as error:
        raise SheetRefused(f"cannot be written ({_reason(error)})", file=str(path)) from None


def _replace(target: Path, content: bytes, mode: int | None = None) -> None:
    handle, temporary = tempfile.mkstemp(
        # A part of the name: the whole of a long one would be too long with what is added.
        dir=target.parent, prefix=f".{target.name[:_NAMED]}.{os.getpid()}.", suffix=_HALF
    )  # fmt: skip
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if mode is None:
            mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
        os.chmod(temporary, mode)
        os.replace(temporary, target)
    finally:
        with contextlib.suppress(OSError):
            os.unlink(temporary)


_HALF, _NAMED = ".tmp", 40
_LEFT = re.compile(r"\..+\.(?P<by>[0-9]+)\.[a-z0-9_]{8}\.tmp")
_OLD = 3600.0
"""Seconds after which a half-written file is nobody's any more where its writer is not known."""


def clear_half_written(folder: str | os.PathLike[str]) -> None:
    """Remove what a killed run left half written in a folder; what is being written stays."""
    try:
        names = [each.name for each in os.scandir(folder) if each.name.endswith(_HALF)]
    except OSError:
        return
    for name in names:
        left, file = _LEFT.fullmatch(name), Path(folder) / name
        with contextlib.suppress(OSError):
            if left and not _is_being_written(file, left["by"]):
                file.unlink()


def _is_being_written(file: Path, by: str) -> bool:
    if os.name != "posix":
        return time.time() - file.stat().st_mtime < _OLD
    try:
        os.kill(int(by), 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return int(by) != os.getpid()


def _reason(error: OSError | ValueError) -> str:
    return getattr(error, "strerror", None) or str(error)


def short(value: Any) -> str:
    """A value as it was written, cut to fit one line; a table, a date and a time by that name.

    >>> short(["92.0 mm", True, {"bore": 92}])
    "['92.0 mm', true, a table]"
    """
    try:
        text = _as_written(value)
    except (RecursionError, ValueError):
        return "what is written there"
    return _cut(" ".join(text.split()), 60)


def _as_written(value: Any) -> str:
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list):
        return f"[{', '.join(map(_as_written, value))}]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, datetime.date):
        return "a date"
    return "a time" if isinstance(value, datetime.time) else repr(value)


def _one_line(text: str) -> str:
    return _cut(printable(text), 400)


def _cut(text: str, length: int) -> str:
    return text if len(text) <= length else text[: length - 1] + "…"
