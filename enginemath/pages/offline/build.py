"""Build the lesson pages as a folder of static files, and as one file."""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from enginemath.classroom.sets.slips import FOLDER
from enginemath.pages.offline import notebooks, python_for_browsers
from enginemath.pages.offline.library import kit_version, library
from enginemath.pages.offline.licences import write_licences
from enginemath.pages.offline.one_file import one_file
from enginemath.pages.offline.page import PAPER, SHEETS, SITE, page, scripts, styles
from enginemath.pages.offline.programs import run
from enginemath.pages.offline.sealed_sheets import seal_sheets
from enginemath.pages.student_sheet import papers
from enginemath.units import Refused
from enginemath.units.words import count

WEB = Path(__file__).parent / "web"
MARK = "enginemath-site.json"
"""Says that a folder was made here, so that it may be made anew."""
_LINES = ("sheets.js", "line.js")
_IN_WORKER = (WEB / "picture.js", WEB / "files.js")
"""Both to pack and to lay what is packed."""


def build_site(
    out: Path,
    *,
    single: bool = False,
    pyodide: Path | None = None,
    sets: Path | None = None,
    lab: bool = False,
) -> str:
    """Build the pages.

    Args:
        out: the folder; it is new, empty, or was built before.
        single: whether the one file is made too, beside the folder's own page.
        pyodide: npm's file of the pinned edition, where there is no network.
        sets: folder of a class set, or of several; see `seal_sheets`.
        lab: whether the notebooks are put beside the pages.

    Returns:
        What was built, in a few lines.

    Raises:
        Refused: something is missing, or the folder holds something else; says what.
    """
    _may_be_filled(out)
    if lab:
        notebooks.need_packages()
    sheets, students = seal_sheets(sets, out) if sets else ("", 0)
    with TemporaryDirectory() as temporary:
        work = Path(temporary)
        edition = work / "edition"
        edition.mkdir()
        pyodide = python_for_browsers.npm_file(work, pyodide)
        python_for_browsers.unpack(edition, pyodide)
        _take_picture(work, edition)
        if sets:
            (edition / SHEETS).write_text(sheets, encoding="utf-8")
        of_pages = [SITE / name for name in (*styles(), *scripts())]
        for source in (*of_pages, *map(WEB.joinpath, _LINES)):
            shutil.copy(source, edition)
        parts = [path.read_text(encoding="utf-8") for path in (WEB / "worker.js", *_IN_WORKER)]
        (edition / "worker.js").write_text("\n".join(parts), encoding="utf-8")
        name = f"edition-{_digest(edition)}"
        if lab:
            notebooks.build_notebooks(work / notebooks.FOLDER, work / "lab", pyodide)
        _fill(out, edition, name, work / notebooks.FOLDER if lab else None)
    told = [f"{out}: {_megabytes(_size(out))}; put the whole folder on a web host"]
    if single:
        file = out / "enginemath.html"
        file.write_bytes(one_file(out / name, out / "licences"))
        told.append(f"{file}: {_megabytes(file.stat().st_size)}; opens with a double-click")
    if lab:
        told.append(f"{out / notebooks.FOLDER}: the notebooks; the map leads to them")
    if sets:
        slips = sets / FOLDER
        told.append(f"sheets of {count(students, 'student')}; the slips that open them: {slips}")
    return "\n".join(told)


def _may_be_filled(out: Path) -> None:
    if out.exists() and not out.is_dir():
        raise Refused(f"{out} is a file: name a folder")
    if out.is_dir() and any(out.iterdir()) and not (out / MARK).is_file():
        raise Refused(f"{out} holds something else: name a new folder")


def _take_picture(work: Path, edition: Path) -> None:
    plain = work / "library.zip"
    plain.write_bytes(library())
    script = Path(__file__).parent / "make_picture.mjs"
    command: list[str | Path] = [python_for_browsers.node(), script, edition, plain, *_IN_WORKER]
    run(command, "Node.js could not load the kit")


def _fill(out: Path, edition: Path, name: str, beside: Path | None) -> None:
    """Put an edition in its place; what was built before goes."""
    if out.is_dir():
        for old in out.iterdir():
            shutil.rmtree(old) if old.is_dir() else old.unlink()
    out.mkdir(parents=True, exist_ok=True)
    shutil.copytree(edition, out / name)
    lab = notebooks.ADDRESS if beside else ""
    hashes = {path.name: integrity(path.read_bytes()) for path in (out / name).iterdir()}
    (out / "index.html").write_text(page(name, hashes, lab), encoding="utf-8")
    if beside:
        shutil.copytree(beside, out / notebooks.FOLDER)
    (out / PAPER).mkdir()
    for lesson, sheet in papers().items():
        (out / PAPER / f"{lesson}.html").write_text(sheet, encoding="utf-8")
    printed = [f"{PAPER}/{lesson}.html" for lesson in papers()]
    kept = ["index.html", *(f"{name}/{file}" for file in sorted(hashes)), *printed]
    keeper = (WEB / "keeper.js").read_text(encoding="utf-8")
    listed = json.dumps({"edition": name, "files": kept})
    (out / "keeper.js").write_text(keeper.replace("{list}", listed), encoding="utf-8")
    more = (*notebooks.FOR_NOTEBOOKS, *notebooks.ON_THE_PAGE) if beside else ()
    write_licences(out / "licences", more)
    mark = {"kit": kit_version(), "edition": name, "pyodide": python_for_browsers.VERSION}
    (out / MARK).write_text(json.dumps(mark), encoding="utf-8")


def integrity(data: bytes) -> str:
    """A file's hash as a browser checks it.

    Source: W3C, Subresource Integrity.

    >>> integrity(b"")
    'sha384-OLBgp1GsljhM2TJ+sbHjaiH9txEUvgdDTAzHv2P24donTt6/529l+9Ua0vFImLlb'
    """
    return f"sha384-{base64.b64encode(hashlib.sha384(data).digest()).decode()}"


def _digest(folder: Path) -> str:
    """A name for what a folder holds, so that no browser mixes two editions."""
    whole = hashlib.sha256()
    for path in sorted(folder.iterdir()):
        whole.update(path.name.encode() + b"\0" + path.read_bytes())
    return whole.hexdigest()[:12]


def _size(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


def _megabytes(size: int) -> str:
    return f"{size / 1e6:.1f} MB"
