"""A student's work: kept the moment it is entered, whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from copy import deepcopy
from pathlib import Path

from enginemath.classroom.work_file import (
    MOST_BYTES,
    Data,
    Unfit,
    kit_version,
    new_lesson,
    new_work,
    read_work,
    slug,
    work_text,
)
from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import write_atomically
from enginemath.units import Refused

_FILE = "my-work"


class Work:
    """One student's work, in one file of a folder.

    Args:
        folder: the work folder; None keeps nothing.
        student: id; empty for whoever works here without having said so.

    `warnings` says of each file that could not be used why, and that work goes on beside it.
    """

    def __init__(self, folder: Path | None, student: str = ""):
        self.folder, self.warnings = folder, list[str]()
        self.data = new_work()
        self.path: Path | None = None
        self._seen: tuple[int, int] | None = None
        if folder is not None:
            self._open(folder, student)

    def _open(self, folder: Path, student: str) -> None:
        names = _names(student)
        if student and (folder / names[1]).exists():
            names = names[1:]  # their own file, whoever's the common one is
        for name in names:
            path = folder / name
            if not path.exists():
                self.path = path
                return
            try:
                self.data = self._read(path, student)
            except Unfit as why:
                self.warnings.append(f"{name} {why}. It is left as it is; work goes on beside it.")
                continue
            self.path = path
            return

    def _read(self, path: Path, student: str) -> Data:
        try:
            self._seen = _look(path)
            with plain_file(path) as file:
                content = file.read(MOST_BYTES + 1)
            if len(content) > MOST_BYTES:
                raise Unfit("is too long")
            data = read_work(content.decode("utf-8"))
        except (OSError, ValueError):
            raise Unfit("cannot be read") from None
        theirs = data["student"]["id"]
        if student and theirs and theirs != student:
            raise Unfit("holds another student's work")
        return data

    def read_again(self) -> None:
        """Go on with the file as it stands, if it was changed elsewhere and still fits."""
        if self.path is None or not self.path.exists() or _look(self.path) == self._seen:
            return
        with suppress(Unfit):
            self.data = self._read(self.path, self.data["student"]["id"])

    def lesson(self, name: str) -> Data:
        """What is kept of a lesson."""
        found: Data = self.data["lessons"].get(name) or new_lesson()
        return found

    def keep(self, change: Callable[[Data], None]) -> str:
        """Change the work and write it.

        Args:
            change: done to the data as it stands in the file, another window's entries included.

        Returns:
            Why it could not be written; empty if it was. What was changed is held all the same.
        """
        if self.path is None:
            change(self.data)
            return ""
        trouble = ""
        try:
            if self.path.exists() and _look(self.path) != self._seen:
                self.data = self._read(self.path, self.data["student"]["id"])
        except Unfit as why:
            self.path = _free(self.path)
            self.warnings.append(f"The file {why}. It is left as it is; work goes on beside it.")
        except OSError as error:
            trouble = _not_kept(error)
        change(self.data)
        self.data["kit"] = kit_version()
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(self.path, self.text())
            self._seen = _look(self.path)
        except (OSError, Refused) as error:
            trouble = _not_kept(error)
        return trouble

    def text(self) -> str:
        """All of it, as it stands in the file."""
        return work_text(self.data)

    def copy(self) -> Data:
        """All of it, to be changed by others."""
        return deepcopy(self.data)


def _names(student: str) -> list[str]:
    """File names to try: one's own file, then those beside it."""
    stem = f"{_FILE}-{slug(student)}" if student else _FILE
    beside = [f"{stem}.json", *(f"{stem}-{number}.json" for number in range(2, 1000))]
    return [f"{_FILE}.json", *beside] if student else beside


def _free(path: Path) -> Path:
    number = 2
    while (beside := path.with_name(f"{path.stem}-{number}.json")).exists():
        number += 1
    return beside


def _look(path: Path) -> tuple[int, int]:
    """By what a change of a file is seen."""
    found = path.stat()
    return found.st_mtime_ns, found.st_size


def _not_kept(error: Exception) -> str:
    reason = re.search(r"\(([^()]*)\)", str(error))
    told = reason[1] if reason else getattr(error, "strerror", "") or str(error)
    return f"Not kept: the file cannot be written ({told}). What you typed stays here."
