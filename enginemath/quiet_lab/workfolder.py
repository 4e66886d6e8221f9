"""A learner's own copy of the lessons: brought up to date, never written over."""

from __future__ import annotations

import hashlib
import json
import shutil
from dataclasses import dataclass, field
from pathlib import Path

from enginemath.classroom.editions import edition_of
from enginemath.classroom.work_file import MOST_BYTES, Unfit, read_work
from enginemath.sheets.kit_data import kit_folder
from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import SheetRefused, write_atomically
from enginemath.units import Refused

_MOST_WORKS = 200
RECORD = ".delivered.json"
"""What the kit put into the folder, as a digest of each file; tells a learner's change."""


@dataclass
class Delivery:
    """What happened to each lesson in the learner's folder."""

    folder: Path
    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    """The files that the learner changed, so they are left alone."""
    beside: list[str] = field(default_factory=list)
    """The kit's newer versions, put beside kept lessons under another name."""
    begun: list[str] = field(default_factory=list)
    """The files of lessons that were begun as pages: the page offers the newer version."""

    def __str__(self) -> str:
        lines = [f"Lessons in {self.folder}"]
        for what, names in (
            ("new", self.new),
            ("brought up to date (you had not changed them)", self.updated),
            ("kept as you left them", self.kept),
            ("newer version put beside yours", self.beside),
            ("begun as pages; there the newer version waits for you", self.begun),
        ):
            if names:
                lines.append(f"  {what}: {', '.join(names)}")
        return "\n".join(lines)


def deliver(folder: Path, source: Path | None = None) -> Delivery:
    """Copy the lessons into a working folder without touching what a learner changed.

    Args:
        folder: made if it is not there.
        source: the lessons; by default those that came with the kit.

    Returns:
        What was new, brought up to date, kept, or put beside.

    Raises:
        SheetRefused: the folder cannot be written.
    """
    source = source or kit_folder("lessons")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return _deliver(folder, source)
    except (OSError, Refused) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetRefused(f"cannot be written ({reason})", file=str(folder)) from None


def put_beside(folder: Path, lesson: str, source: Path | None = None) -> None:
    """Put the kit's edition of a lesson into a working folder; what stood there goes beside it.

    Args:
        folder: with an older edition.
        lesson: name of its file.
        source: see `deliver`.

    Raises:
        SheetRefused: the folder cannot be written.
    """
    source = source or kit_folder("lessons")
    mine = folder / lesson
    try:
        if mine.exists():
            _copy(mine, _free_name(folder, mine, "older"))
        _copy(source / lesson, mine)
        record = {**_record(folder), lesson: _digest(source / lesson)}
        write_atomically(folder / RECORD, json.dumps(record, indent=1, sort_keys=True))
    except OSError as error:
        reason = error.strerror or str(error)
        raise SheetRefused(f"cannot be written ({reason})", file=str(folder)) from None


def _deliver(folder: Path, source: Path) -> Delivery:
    delivery = Delivery(folder)
    record, begun = _record(folder), _begun(folder)
    for lesson in sorted(path for path in source.iterdir() if path.suffix == ".ipynb"):
        mine, ours = folder / lesson.name, _digest(lesson)
        there = _digest(mine) if mine.exists() else None
        if there is None:
            _copy(lesson, mine)
            delivery.new.append(lesson.name)
        elif there == ours:
            pass
        elif there == record.get(lesson.name) and edition_of(_text(mine)) in begun:
            delivery.begun.append(lesson.name)
            continue
        elif there == record.get(lesson.name):
            _copy(lesson, mine)
            delivery.updated.append(lesson.name)
        else:
            delivery.kept.append(lesson.name)
            if record.get(lesson.name) != ours:
                other = _free_name(folder, lesson)
                _copy(lesson, other)
                delivery.beside.append(other.name)
        record[lesson.name] = ours
    write_atomically(folder / RECORD, json.dumps(record, indent=1, sort_keys=True))
    return delivery


def _copy(lesson: Path, target: Path) -> None:
    temporary = target.with_name(f".{target.name}.tmp")
    shutil.copyfile(lesson, temporary)
    temporary.replace(target)


def _free_name(folder: Path, lesson: Path, which: str = "new") -> Path:
    name = folder / f"{lesson.stem}-{which}{lesson.suffix}"
    number = 2
    while name.exists():
        name = folder / f"{lesson.stem}-{which}-{number}{lesson.suffix}"
        number += 1
    return name


def _record(folder: Path) -> dict[str, str]:
    try:
        record = json.loads(_bytes(folder / RECORD))
    except (OSError, ValueError, RecursionError):
        return {}
    return record if isinstance(record, dict) else {}


def _begun(folder: Path) -> set[str]:
    """The editions of lessons that were begun as pages, whoever's work it is."""
    found = set()
    for file in sorted(folder.glob("my-work*.json"))[:_MOST_WORKS]:
        try:
            work = read_work(_bytes(file, MOST_BYTES).decode("utf-8"))
        except (OSError, ValueError, Unfit):
            continue
        found |= {str(lesson.get("edition", "")) for lesson in work["lessons"].values()}
    return found - {""}


def _text(path: Path) -> str:
    return _bytes(path).decode("utf-8", "replace")


def _bytes(path: Path, most: int = -1) -> bytes:
    """What a plain file holds, or as much of it: a pipe among a learner's files stops nobody."""
    with plain_file(path) as file:
        return file.read(most)


def _digest(path: Path) -> str:
    """Digest of what is written in a lesson's cells: a lesson that was only run is not changed."""
    content = _bytes(path)
    try:
        cells = json.loads(content)["cells"]
        content = "\0".join("".join(each["source"]) for each in cells).encode()
    except (ValueError, LookupError, TypeError, RecursionError):
        pass  # no whole notebook any more: every byte of it is the learner's
    return hashlib.sha256(content).hexdigest()
