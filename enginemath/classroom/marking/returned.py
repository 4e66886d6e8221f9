"""What came back: every file in the folder is read, or said why not; none is written to."""

from __future__ import annotations

import contextlib
import os
import unicodedata
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from enginemath.classroom.from_outside import clean, read_text
from enginemath.classroom.in_parallel import for_each
from enginemath.classroom.marking.fenced import fenced
from enginemath.classroom.marking.handed_in import HandedIn, only, read_handed_in
from enginemath.classroom.marking.papers import Paper, read_notebook, read_table
from enginemath.classroom.sets.key import FILE as KEY_FILE
from enginemath.classroom.sets.key import Entry, Key
from enginemath.classroom.work_file import MOST_BYTES, handed_in_by, slug
from enginemath.units import Refused

LARGEST_NOTEBOOK = 25_000_000
_LARGEST_TABLE = 5_000_000
_MOST_FILES = 50_000
_DEEPEST = 12
_LEFT_ALONE = {".ipynb_checkpoints", "__MACOSX", "__pycache__"}
_MOST_ROWS, _MOST_TOLD = 20, 50
"""Rows of one student in a table; and rows of a table that are told one by one."""
_PAPERS = {".ipynb", ".csv", ".json"}
_OTHER_THINGS = {".DS_Store", "Thumbs.db", "desktop.ini"}


@dataclass(frozen=True)
class Fault:
    """A file, or a row of one, that was not marked, and why.

    Args:
        students: ids of those whose paper it may be, as far as its marks or its name tell.
    """

    file: str
    reason: str
    students: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.file}: {self.reason}"


class Disputed(Refused):
    """A paper that was handed out to one student and signed by another."""

    def __init__(self, issued: Entry, signed: Entry):
        self.students = issued.student.id, signed.student.id
        super().__init__(
            f"the sheet of {_called(issued)}, signed as {_called(signed)}: not marked, ask both"
        )


@dataclass(frozen=True)
class Found:
    """A student's paper, and where it was.

    Args:
        genuine: whether it carries the valid mark of the sheet that this student was given.
    """

    entry: Entry
    file: str
    paper: Paper
    genuine: bool = False

    @property
    def filled(self) -> int:
        """How many questions have an answer."""
        return sum(not answer.is_blank for answer in self.paper.answers.values())


@dataclass
class CameBack:
    """What came back, in the order of the files' names.

    Args:
        papers: of the class set.
        works: work files of the lesson pages, of students on the roster where there is one.
    """

    papers: list[Found] = field(default_factory=list)
    works: list[HandedIn] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def add(self, other: CameBack) -> None:
        """Take in what one more file held."""
        self.papers += other.papers
        self.works += other.works
        self.faults += other.faults


def collect(folder: Path, key: Key | None, beside: Collection[Path] = ()) -> CameBack:
    """Read all that came back.

    Args:
        folder: searched with all folders in it; links are not followed.
        key: of the class set; None: lessons alone are marked.
        beside: folders in it to leave out: the marks, the key.

    Raises:
        Refused: no such folder.
    """
    if not folder.is_dir():
        raise Refused(
            f"{folder}: no such folder" if not folder.exists() else f"{folder}: not a folder"
        )
    out = {Path(os.path.realpath(each)) for each in beside}
    files = sorted(_files(folder, out))
    came = CameBack()
    for each in for_each(partial(_read_file, folder, key), files[:_MOST_FILES]):
        came.add(each)
    if len(files) > _MOST_FILES:
        said = clean(os.path.relpath(files[_MOST_FILES][0], folder), 200)
        left = f"more than {_MOST_FILES} files; this and all after it left"
        came.faults.append(Fault(said, left))
    return came


def _by_name(file: str, key: Key | None) -> Entry | None:
    """Whose file it is, as far as its name tells."""
    if key is None:
        return None
    stem = Path(file).stem
    who = handed_in_by(stem)
    theirs = [entry for entry in key.entries if who and slug(entry.student.id) == who]
    return key.files.get(stem) or (theirs[0] if len(theirs) == 1 else None)


def _read_file(folder: Path, key: Key | None, listed: tuple[str, str]) -> CameBack:
    """What is in one file, or why it was not read."""
    file, reason = listed
    said = clean(os.path.relpath(file, folder), 200)
    try:
        if reason:
            raise Refused(reason)
        return fenced(partial(_read, file, said, key))
    except Disputed as dispute:
        return CameBack(faults=[Fault(said, str(dispute), dispute.students)])
    except Refused as refusal:
        owner = _by_name(file, key)
        return CameBack(faults=[Fault(said, str(refusal), (owner.student.id,) if owner else ())])


def _files(folder: Path | str, out: Collection[Path], depth: int = 0) -> Iterator[tuple[str, str]]:
    """Every file, and why it cannot be read where that is known."""
    try:
        with os.scandir(folder) as entries:
            listed = list(entries)
    except OSError as error:
        yield str(folder), f"cannot be opened ({error.strerror})"
        return
    for each in listed:
        if each.name in _OTHER_THINGS or each.name.startswith("._"):
            continue
        if each.is_symlink():
            yield each.path, "a link to another place; not followed"
        elif each.is_dir(follow_symlinks=False):
            if each.name in _LEFT_ALONE or Path(os.path.realpath(each.path)) in out:
                continue
            if depth >= _DEEPEST:
                yield each.path, f"folders more than {_DEEPEST} deep"
            elif Path(each.path).suffix.lower() in _PAPERS and _is_empty(each.path):
                yield each.path, "a folder with nothing in it"
            else:
                yield from _files(each.path, out, depth + 1)
        else:
            yield each.path, ""


def _is_empty(folder: str) -> bool:
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        return next(entries, None) is None
    return False


def _read(file: str, said: str, key: Key | None) -> CameBack:
    kind = Path(file).suffix.lower()
    if Path(file).name == KEY_FILE:
        return CameBack()
    if kind == ".json":
        return _read_work(read_text(file, MOST_BYTES), said, key)
    if kind in (".zip", ".gz", ".7z", ".rar", ".tar", ".xz", ".bz2"):
        raise Refused("an archive; not opened: unpack it and look what is inside")
    if key is None:
        raise Refused("no work file; for papers of a class set say where it is with --key FOLDER")
    names = key.names
    if kind == ".ipynb":
        paper = read_notebook(read_text(file, LARGEST_NOTEBOOK), names)
        entry = _whose(paper, file, key)
        return CameBack([Found(entry, said, paper, _is_genuine(paper, entry))])
    if kind == ".csv":
        papers, faults = _read_table(read_text(file, _LARGEST_TABLE), said, key, names)
        return CameBack(papers, faults=faults)
    if _is_own_page(file, key):
        return CameBack()
    raise Refused("neither a notebook nor a table of answers")


def _read_work(text: str, said: str, key: Key | None) -> CameBack:
    """A work file: its lessons, and its sheets of this class set."""
    work = read_handed_in(text, said)
    if key is None:
        return CameBack(works=[work])
    came = CameBack()
    signed = key.by_id.get(_folded(work.id))
    names = key.names
    for sheet in work.sheets:
        entry = key.by_id.get(_folded(sheet.issued[0])) if sheet.issued else None
        if entry is None or not _is_genuine(sheet, entry):
            continue  # of another class set
        if signed and signed is not entry:
            dispute = Disputed(entry, signed)
            came.faults.append(Fault(said, str(dispute), dispute.students))
            continue
        paper = only(sheet, names)
        if not signed:
            paper.notes.append(f"signed with an id that is not on the roster: {clean(work.id, 60)}")
        came.papers.append(Found(entry, said, paper, genuine=True))
    if signed:
        came.works.append(work)
    elif not came.papers:
        came.faults.append(Fault(said, f"id {clean(work.id, 60)}: no such student on the roster"))
    return came


def _read_table(
    text: str, said: str, key: Key, names: Collection[str]
) -> tuple[list[Found], list[Fault]]:
    """The papers in a table: of a student with more than one row, each row, and all together."""
    refused: list[tuple[int, Refused]] = []
    rows: dict[str, list[tuple[int, Paper]]] = {}
    faults = []
    for row, paper in read_table(text, names, refused):
        entry = key.by_id.get(_folded(paper.signed)) or key.by_id.get(
            # The kit's own table keeps a spreadsheet from taking an id for a formula.
            _folded(paper.signed.removeprefix("'"))
        )
        if entry is None:
            who = f"id {clean(paper.signed, 60)}" if paper.signed else "no id"
            faults.append((row, f"{who}: not on the roster"))
            continue
        every = rows.setdefault(entry.student.id, [])
        if len(every) < _MOST_ROWS:
            every.append((row, paper))
        else:
            faults.append((row, f"more than {_MOST_ROWS} rows of {_called(entry)}: left out"))
    faults += [(row, str(refusal).removeprefix(f"row {row}: ")) for row, refusal in refused]
    found = []
    for id, every in rows.items():
        entry = key.by_id[_folded(id)]
        (_, together), *others = every
        for row, paper in others:
            together = _written_again(together, paper, f"{said}, row {row}")
        alone = [paper for _, paper in every if paper.answers != together.answers]
        found += [Found(entry, said, replace(paper, notes=together.notes)) for paper in alone]
        found.append(Found(entry, said, together))
    return found, _faults_of_rows(said, sorted(faults, key=lambda each: each[0]))


def _faults_of_rows(said: str, faults: list[tuple[int, str]]) -> list[Fault]:
    told = [Fault(f"{said}, row {row}", reason) for row, reason in faults[:_MOST_TOLD]]
    left = len(faults) - len(told)
    return [*told, Fault(said, f"and {left} more rows")] if left else told


def _written_again(earlier: Paper, later: Paper, place: str) -> Paper:
    """One paper of two rows of a table: of each question the last answer counts."""
    said = f"{place}: a second row of this student; of each question the last answer counts"
    if any(name in earlier.answers for name in later.answers):
        said += ", or one row alone where it earns more"
    answers = {**earlier.answers, **later.answers}
    return replace(later, answers=answers, notes=[*earlier.notes, *later.notes, said])


def _is_genuine(paper: Paper, entry: Entry) -> bool:
    """Whether it carries the mark of the sheet that was handed out to this student."""
    return paper.issued is not None and paper.issued[1] == entry.tag


def _is_own_page(file: str, key: Key) -> bool:
    """Whether it is a printed page that was handed out."""
    return Path(file).suffix == ".html" and Path(file).stem in key.files


def _whose(paper: Paper, file: str, key: Key) -> Entry:
    """The student whose paper it is: by the sheet's mark, the signature, and the file's name."""
    entries = key.by_id
    issued = entries.get(_folded(paper.issued[0])) if paper.issued else None
    signed = entries.get(_folded(paper.signed))
    if paper.issued and paper.issued[0] and not issued:
        raise Refused(f"handed out to id {clean(paper.issued[0], 60)}: not on the roster")
    if paper.issued and issued and paper.issued[1] != issued.tag:
        raise Refused("a sheet of another class set: its engine is not the one in the key")
    if issued and signed and issued is not signed:
        raise Disputed(issued, signed)
    if paper.signed and not signed:
        paper.notes.append(
            f"signed with an id that is not on the roster: {clean(paper.signed, 60)}"
        )
    entry = issued or signed or key.files.get(Path(file).stem)
    if entry is None:
        who = f"id {clean(paper.signed, 60)}" if paper.signed else "no id in it"
        raise Refused(f"{who}: no such student on the roster")
    if not issued and not signed:
        paper.notes.append("neither mark nor signature is left: known by the file's name alone")
    return entry


def _called(entry: Entry) -> str:
    return f"{entry.student.name} ({entry.student.id})"


def _folded(id: str) -> str:
    return unicodedata.normalize("NFC", id.strip()).casefold()
