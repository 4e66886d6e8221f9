"""The session of a page whose Python runs in the page's own worker.

The page gives the student's work when it opens and keeps what comes back: see `web/line.js`.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import random
from collections.abc import Callable, Iterator
from pathlib import Path

from enginemath.pages.desk import Desk
from enginemath.pages.session import Session
from enginemath.pages.steps import lesson_names
from enginemath.panels.frame.on_first_call import read_all

FOLDER = Path("/work")
"""In the worker's own memory; the browser's storage is the page's to write."""
_KEPT = (".json", ".toml", ".csv", ".jsonl", ".html")
"""Work files, and the sheets, tables and record sheets of one's own engines."""
_PRACTISED, _MOVES = "07-add-it-up", 80
"""What `Host.practice` moves, and how often: after that a browser has little left to compile."""
_LOADED_LATE = ("enginemath.lesson", "enginemath.panels", "enginemath.change.plan_report")


class Host:
    """One page's session, and the work files that go with it.

    Args:
        files: the student's work files as the browser has kept them, text by name, as JSON.
        projector: see `Session`.
        push: called with a message, as JSON text, that the page did not ask for.
        folder: where Python reads and writes the files.
    """

    def __init__(
        self,
        files: str,
        projector: bool,
        push: Callable[[str], None],
        folder: Path = FOLDER,
    ):
        random.seed()  # a picture of Python's memory holds the generator as it was
        self.folder = folder
        self._known: dict[str, tuple[int, int, int]] = {}
        self._write(files)
        self._desk = Desk(folder)
        self._session = Session(
            self._desk,
            projector=projector,
            push=lambda reply: push(json.dumps(reply, ensure_ascii=False)),
        )

    def take(self, message: str) -> str:
        """Take one message.

        Returns:
            A line of JSON each: the work files that have changed, text by name; every reply.
        """
        told = self._session.take(message)
        return "\n".join((json.dumps(self._changed(), ensure_ascii=False), *told))

    def changed_elsewhere(self, files: str) -> None:
        """Another window of this browser has kept something: read it.

        Args:
            files: the changed files, as for `Host`.
        """
        before = self._session.entries
        self._write(files)
        self._desk.read_again()
        if self._session.entries != before:
            self._session.push({"show": "changed", "step": 0})

    def practice(self) -> Iterator[str]:
        """Do for nobody what a hand is about to ask for, a message at a time.

        A browser compiles anew, and keeps for the next visit, what it sees done often: so it has
        done that before the first hand comes. Nothing of it is kept or shown.

        Yields:
            What `take` would have given a page.
        """
        other = Host("{}", False, lambda _: None, self.folder.with_name("practice"))
        opened = other.take(json.dumps({"do": "open", "lesson": _PRACTISED}))
        yield opened
        _, *told = map(json.loads, opened.split("\n"))
        panel = next(each for each in told if each["show"] == "panel")
        for degrees in range(1, _MOVES + 1):
            move = {"do": "set", "step": panel["step"], "name": "crank angle", "entry": degrees}
            yield other.take(json.dumps(move))

    def _write(self, files: str) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        for name, text in json.loads(files).items():
            (self.folder / Path(name).name).write_text(text, encoding="utf-8")
        self._changed()

    def _changed(self) -> dict[str, str]:
        """What stands in the folder otherwise than it did."""
        found, changed = dict[str, tuple[int, int, int]](), dict[str, str]()
        for entry in os.scandir(self.folder):
            path = Path(entry.path)
            if path.suffix in _KEPT and entry.is_file():
                look = entry.stat()
                found[path.name] = look.st_ino, look.st_mtime_ns, look.st_size
                if self._known.get(path.name) != found[path.name]:
                    changed[path.name] = path.read_text(encoding="utf-8")
        self._known = found
        return changed


def get_ready() -> None:
    """Load and work out, before a picture of the memory is taken, what every page will need."""
    for name in _LOADED_LATE:
        read_all(importlib.import_module(name))
    session = Session(Desk(None))
    session.answer({"do": "map"})
    for name in lesson_names():
        session.answer({"do": "open", "lesson": name})
    del session
    gc.collect()
    gc.freeze()  # what is loaded stays: nobody need look through it again
