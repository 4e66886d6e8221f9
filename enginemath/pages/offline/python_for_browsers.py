"""The browser's own Python: one pinned edition of pyodide, from npm or from a file brought."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tarfile
from pathlib import Path

from enginemath.units import Refused

VERSION = "314.0.6"
SHA256 = "d78ac549b28a2a58600cd06f44e017024151775f8c6b2d73fab1475400d38ea2"
"""Of npm's own file. The picture of Python's memory rests on two functions that are not promised
to stay: another edition is taken up by hand, with the tests of both ways to start."""
FILES = (
    "pyodide.mjs",
    "pyodide.asm.mjs",
    "pyodide.asm.wasm",
    "python_stdlib.zip",
    "pyodide-lock.json",
)
_WAIT = 300


def unpack(folder: Path, brought: Path | None = None) -> None:
    """Put the files that a browser needs into a folder.

    Args:
        folder: to be filled.
        brought: npm's file of the pinned edition; None asks npm for it.

    Raises:
        Refused: npm or the network is missing, or the file is another; says what to do.
    """
    packed = brought or _from_npm(folder)
    try:
        data = packed.read_bytes()
    except OSError as error:
        raise Refused(f"{packed} cannot be read: {error.strerror}") from None
    if hashlib.sha256(data).hexdigest() != SHA256:
        raise Refused(f"{packed.name} is not npm's file of pyodide {VERSION}, or not all of it")
    with tarfile.open(packed) as archive:
        for name in FILES:
            found = archive.extractfile(f"package/{name}")
            assert found is not None
            (folder / name).write_bytes(found.read())


def node() -> str:
    """Where Node.js is.

    Raises:
        Refused: it is missing.
    """
    return _program("node")


def _from_npm(folder: Path) -> Path:
    npm = _program("npm")
    try:
        done = subprocess.run(
            [npm, "pack", f"pyodide@{VERSION}", "--silent"],
            cwd=folder,
            capture_output=True,
            text=True,
            timeout=_WAIT,
        )
    except subprocess.TimeoutExpired:
        raise Refused(f"npm gave no answer within {_WAIT // 60} minutes; {_BRING}") from None
    found = folder / f"pyodide-{VERSION}.tgz"
    if done.returncode or not found.is_file():
        raise Refused(f"npm cannot get pyodide {VERSION}: is there a network? Else {_BRING}")
    return found


def _program(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise Refused(
            f"{name} is missing: the site is built with Node.js, which brings npm; "
            "it is needed here only, not where the site is used"
        )
    return found


_BRING = (
    f'bring the file that "npm pack pyodide@{VERSION}" makes on another computer, '
    "and name it with --pyodide"
)
