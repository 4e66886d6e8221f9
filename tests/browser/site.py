"""The static pages with a class's sheets in them, built once, and a server to fail."""

from __future__ import annotations

import functools
import getpass
import hashlib
import os
import shutil
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import make_class_set
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.pages.offline import build
from enginemath.pages.offline.build import build_site
from enginemath.pages.offline.library import library
from enginemath.units import Refused
from tests.browser.conftest import REQUIRED

SECRET = "tin heron, second year, tall reeds"
STUDENTS = [
    Student("heron-7301", "Wilhelmina Testwright"),
    Student("heron-7302", "Bartholomew Trialsmith"),
    Student("heron-7303", "Ottoline Sampleton"),
]
_KEPT_FOR = 3600
"""Seconds without use; another run may be at work on the one that it has built."""


def built_site() -> Path:
    """The site of this very source, built anew where its source has changed."""
    return _built() / "site"


def built_class() -> Path:
    """The class set whose sheets are in the site."""
    return _built() / "class"


@functools.cache
def _built() -> Path:
    room = Path(build.__file__).parent
    digest = hashlib.sha256(library())
    for path in _sources(room, room.parent / "site"):
        digest.update(path.read_bytes())
    whole = digest.hexdigest()[:16]
    kept = Path(tempfile.gettempdir()) / f"enginemath-site-{getpass.getuser()}" / whole
    if not kept.is_dir():
        for old in kept.parent.glob("*"):
            if time.time() - old.stat().st_mtime > _KEPT_FOR:
                shutil.rmtree(old, ignore_errors=True)
        new = kept.parent / f"{whole}-{os.getpid()}"
        secret = ClassSecret(SECRET)
        make_class_set(STUDENTS, new / "class", LEVELS["dish"], secret, hints=True)
        try:
            build_site(new / "site", single=True, sets=new / "class")
        except Refused as refusal:
            if REQUIRED or shutil.which("npm"):
                pytest.fail(str(refusal))
            pytest.skip(str(refusal))
        new.rename(kept)
    os.utime(kept)
    return kept


def _sources(*folders: Path) -> list[Path]:
    found = [path for folder in folders for path in folder.rglob("*") if path.is_file()]
    return sorted(path for path in found if "__pycache__" not in path.parts)


class Server:
    """A plain static server on loopback.

    `asked` lists the paths that were asked for; `instead` gives other bytes for a file's name, or
    None for a file that is missing; `unknown` holds endings of names that it can say nothing of.
    """

    def __init__(self, folder: Path):
        self.asked: list[str] = []
        self.instead: dict[str, bytes | None] = {}
        self.unknown: tuple[str, ...] = ()
        self._http = ThreadingHTTPServer(
            ("127.0.0.1", 0), functools.partial(_Handler, self, directory=str(folder))
        )
        self.address = f"http://127.0.0.1:{self._http.server_port}/"
        threading.Thread(target=self._http.serve_forever, daemon=True).start()

    def stop(self) -> None:
        """Nobody answers any more."""
        self._http.shutdown()
        self._http.server_close()


class _Handler(SimpleHTTPRequestHandler):
    extensions_map = {  # noqa: RUF012
        **SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
    }

    def __init__(self, server: Server, *arguments: object, **named: object):
        self.ours = server
        super().__init__(*arguments, **named)  # type: ignore[arg-type]

    def guess_type(self, path: str | os.PathLike[str]) -> str:
        unknown = str(path).endswith(self.ours.unknown)
        return "application/octet-stream" if unknown else super().guess_type(path)

    def do_GET(self) -> None:
        path = self.path.split("?")[0]
        self.ours.asked.append(path)
        name = path.rsplit("/", 1)[-1]
        if name not in self.ours.instead:
            super().do_GET()
            return
        data = self.ours.instead[name]
        self.send_response(404 if data is None else 200)
        self.send_header("Content-Type", self.guess_type(path))
        self.send_header("Content-Length", str(len(data or b"")))
        self.end_headers()
        self.wfile.write(data or b"")

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@contextmanager
def served(folder: Path) -> Iterator[Server]:
    """A server over a folder, stopped at the end."""
    server = Server(folder)
    try:
        yield server
    finally:
        server.stop()
