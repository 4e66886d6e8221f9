"""Opening a plain file, and nothing else: a pipe or a device would keep everybody waiting."""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator
from typing import BinaryIO

from enginemath.units import Refused


@contextlib.contextmanager
def plain_file(path: str | os.PathLike[str], follow: bool = True) -> Iterator[BinaryIO]:
    """Open a plain file to read its bytes; nothing is waited for.

    Args:
        path: of the file.
        follow: whether a link is followed to the file that it names.

    Raises:
        Refused: a folder, a pipe, a device, or a link that is not followed.
        OSError: it cannot be opened.
        ValueError: a path that cannot be.
    """
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    if not follow:
        if os.path.islink(path):
            raise Refused("a link to another place; not followed")
        flags |= getattr(os, "O_NOFOLLOW", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise Refused("not a plain file")
        yield file
