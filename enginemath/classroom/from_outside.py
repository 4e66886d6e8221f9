"""Opening a file from outside: a plain file of a fair size, or a refusal that says why."""

from __future__ import annotations

import os
import stat

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
