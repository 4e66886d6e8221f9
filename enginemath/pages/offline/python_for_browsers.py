"""The browser's own Python: one pinned edition of pyodide, from npm or from a file brought."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
import subprocess
import tarfile
import zipfile
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
STANDARD_LIBRARY = "python_stdlib.zip"
_USED_ENCODINGS = (
    *("__init__", "aliases", "ascii", "charmap", "cp1252", "cp437", "idna", "latin_1", "punycode"),
    *("raw_unicode_escape", "undefined", "unicode_escape", "utf_16", "utf_32", "utf_8"),
    "utf_8_sig",
)
NO_USE_IN_A_PAGE = (
    *("_pyio.py", "_pyrepl/", "_sysconfigdata", "antigravity.py", "bdb.py", "cProfile.py"),
    *("cmd.py", "code.py", "compileall.py", "ctypes/", "doctest.py", "ftplib.py", "http/"),
    *("imaplib.py", "mailbox.py", "modulefinder.py", "multiprocessing/", "optparse.py", "pdb.py"),
    *("pickletools.py", "plistlib.py", "poplib.py", "profile.py", "pstats.py", "pty.py"),
    *("pyclbr.py", "pydoc.py", "smtplib.py", "socketserver.py", "sqlite3/", "tabnanny.py"),
    *("this.py", "trace.py", "unittest/", "wave.py", "webbrowser.py", "wsgiref/", "xml/dom/"),
    *("xml/sax/", "xmlrpc/", "zipapp.py"),
)
"""Parts of the standard library that stay behind: for other programs, hosts, sounds and tests."""
_WAIT = 300


def npm_file(folder: Path, brought: Path | None = None) -> Path:
    """The file of the pinned edition.

    Args:
        folder: where npm puts it.
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
    return packed


def unpack(folder: Path, brought: Path | None = None, *, whole: bool = False) -> None:
    """Put the files that a browser needs into a folder; see `npm_file`.

    Args:
        folder: to be filled.
        brought: see `npm_file`.
        whole: with all of the standard library, also what no page uses.
    """
    with tarfile.open(npm_file(folder, brought)) as archive:
        for name in FILES:
            found = archive.extractfile(f"package/{name}")
            assert found is not None
            (folder / name).write_bytes(found.read())
    # Python's own list of packages is not needed: all that is used lies in the kit's.
    lock = folder / "pyodide-lock.json"
    info = json.loads(lock.read_text(encoding="utf-8"))["info"]
    lock.write_text(json.dumps({"info": info, "packages": {}}), encoding="utf-8")
    if not whole:
        library = folder / STANDARD_LIBRARY
        library.write_bytes(_what_is_used(library.read_bytes()))


def _what_is_used(library: bytes) -> bytes:
    """The standard library without what no page can use."""
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(library)) as every, zipfile.ZipFile(packed, "w") as used:
        for name in sorted(every.namelist()):
            if not name.endswith("/") and _is_used(name):
                used.writestr(zipfile.ZipInfo(name), every.read(name))
    return packed.getvalue()


def _is_used(name: str) -> bool:
    if name.startswith("encodings/"):
        return name.removeprefix("encodings/").removesuffix(".py") in _USED_ENCODINGS
    return not name.startswith(NO_USE_IN_A_PAGE)


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
