"""The folder of licences: the text of each thing that is handed on, and where its source is."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.metadata import Distribution, distribution
from pathlib import Path

from enginemath.pages.offline.library import LIBRARIES
from enginemath.pages.offline.python_for_browsers import VERSION

TEXTS = Path(__file__).parent / "licences"
_LICENCE_NAMES = ("licen", "copying", "authors", "notice")
_SOURCE_NAMES = ("source", "source code", "code", "repository", "homepage", "home")
_INTRODUCTION = f"""\
What is handed on in these pages, under which licence, and where its source is.

pyodide {VERSION}: MPL-2.0 (MPL-2.0.txt), handed on as npm gives it, unchanged; its own modules
in Python compiled
  source: https://github.com/pyodide/pyodide
Python, in pyodide: Python.txt; its standard library compiled, without what no page uses
  source: https://www.python.org
"""


def write_licences(folder: Path, more: Iterable[str] = ()) -> None:
    """Write the texts, and a list of what they belong to.

    Args:
        folder: to be filled.
        more: names of libraries that are handed on besides those of the pages.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for text in TEXTS.glob("*.txt"):
        (folder / text.name).write_bytes(text.read_bytes())
    told = [_INTRODUCTION]
    for name in ("enginemath", *LIBRARIES, *more):
        found = distribution(name)
        texts = _texts(found)
        for file, words in texts.items():
            (folder / file).write_text(words, encoding="utf-8")
        told.append(f"{name} {found.version}: {', '.join(texts)}\n{_source(found)}")
    (folder / "README.txt").write_text("".join(told), encoding="utf-8")


def _texts(found: Distribution) -> dict[str, str]:
    """Licence texts by the name that they get in the folder."""
    texts = {}
    for file in found.files or []:
        inside = ".dist-info/" in file.as_posix()
        if inside and file.name.casefold().startswith(_LICENCE_NAMES):
            name = f"{found.name}-{file.name.removesuffix('.txt').removesuffix('.rst')}.txt"
            texts[name] = Path(str(found.locate_file(file))).read_text("utf-8", "replace")
    return texts


def _source(found: Distribution) -> str:
    links = [line.partition(", ") for line in found.metadata.get_all("Project-URL") or []]
    known = {label.casefold(): address for label, _, address in links}
    address = next((known[name] for name in _SOURCE_NAMES if name in known), "")
    address = address or next(iter(found.metadata.get_all("Home-page") or []), "")
    return f"  source: {address}\n" if address else ""
