"""What the browser's Python is given besides its own: the kit, and the libraries that it stands on.

They are taken as pip has put them here; all are plain Python. What only a server, a notebook or a
command line needs stays behind.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from importlib.util import find_spec
from pathlib import Path
from typing import Literal

from enginemath.sheets.kit_data import kit_folder
from enginemath.units import Refused

LIBRARIES = {
    "pint": ("pint",),
    "uncertainties": ("uncertainties",),
    "flexcache": ("flexcache",),
    "flexparser": ("flexparser",),
    "platformdirs": ("platformdirs",),
    "typing_extensions": ("typing_extensions",),
    "tomli_w": ("tomli_w",),
    "mistune": ("mistune",),
    "docutils": ("docutils",),
    "jinja2": ("jinja2",),
    "markupsafe": ("markupsafe",),
}
"""What is imported, by the name under which it is installed."""
_LEFT_OUT = (
    *("pint/testsuite/", "pint/testing.py", "pint/matplotlib.py", "pint/pint_convert.py"),
    *("flexcache/testsuite/", "flexparser/testsuite/", "uncertainties/unumpy/"),
    *("mistune/directives/", "mistune/renderers/markdown.py", "mistune/renderers/rst.py"),
    *("mistune/toc.py", "mistune/__main__.py", "platformdirs/__main__.py"),
    *(f"platformdirs/{name}.py" for name in ("macos", "windows", "ios", "testing")),
    "platformdirs/pytest_plugin.py",
    *(f"jinja2/{name}.py" for name in ("ext", "sandbox", "nativetypes", "meta")),
    *("enginemath/classroom/marking/", "enginemath/cli.py", "enginemath/__main__.py"),
    *(f"enginemath/classroom/sets/{name}" for name in ("slips.", "words.")),
    *("enginemath/pages/server.py", "enginemath/pages/site/", "enginemath/_kit/"),
    *("enginemath/panels/frame/notebook.py", "enginemath/quiet_lab/"),
)
_OF_DOCUTILS = (
    "docutils/__init__.py",
    "docutils/io.py",
    "docutils/nodes.py",
    "docutils/utils/__init__.py",
    "docutils/utils/math/__init__.py",
    *(f"docutils/utils/math/{name}.py" for name in ("latex2mathml", "mathml_elements")),
    *(f"docutils/utils/math/{name}.py" for name in ("mathalphabet2unichar", "tex2unichar")),
)
"""Formulas alone are set by it."""
_KEPT = ("enginemath/quiet_lab/__init__.py", "enginemath/quiet_lab/formulas.py")
_OURS = "enginemath/pages/offline/"
_KINDS: tuple[Literal["lessons"], Literal["datasets"]] = ("lessons", "datasets")
_SUFFIXES = (".py", ".txt", ".css", ".html", ".js", ".json", ".csv", ".toml", ".svg")


def library() -> bytes:
    """All of it as one zip, laid out as an installed package is; the same for the same files."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(_files()):
            archive.writestr(zipfile.ZipInfo(name), data)
    return packed.getvalue()


def _files() -> Iterator[tuple[str, bytes]]:
    for package in ("enginemath", *(name for names in LIBRARIES.values() for name in names)):
        for name, path in files_of(package):
            if _goes_along(name):
                yield name, path.read_bytes()
    yield from kit_data()
    yield "enginemath-0.dist-info/METADATA", metadata()


def kit_data() -> Iterator[tuple[str, bytes]]:
    """The lessons and the datasets, as an installed kit has them."""
    for kind in _KINDS:
        folder = kit_folder(kind)
        for path in folder.iterdir():
            if path.suffix == ".ipynb":
                yield f"enginemath/_kit/{kind}/{path.name}", _without_outputs(path)
            elif path.suffix in (".csv", ".toml"):
                yield f"enginemath/_kit/{kind}/{path.name}", path.read_bytes()


def files_of(name: str) -> Iterator[tuple[str, Path]]:
    """A package's files, named as in the folder that Python imports from."""
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        raise Refused(f"{name} is missing: install the kit again")
    home = Path(spec.origin)
    if home.name != "__init__.py":
        yield home.name, home
        return
    for path in home.parent.rglob("*"):
        if path.is_file():
            yield path.relative_to(home.parents[1]).as_posix(), path


def _goes_along(name: str) -> bool:
    if "__pycache__" in name or not name.endswith(_SUFFIXES):
        return False
    if name.startswith(_OURS):
        return name.endswith(("/__init__.py", "/in_worker.py"))
    if name.startswith("docutils/"):
        return name in _OF_DOCUTILS
    return name in _KEPT or not name.startswith(_LEFT_OUT)


def _without_outputs(notebook: Path) -> bytes:
    """A lesson as a page reads it: the text and the working, no stored results."""
    data = json.loads(notebook.read_text(encoding="utf-8"))
    for cell in data["cells"]:
        if cell["cell_type"] == "code":
            cell["outputs"] = []
    return json.dumps(data, ensure_ascii=False).encode()


def kit_version() -> str:
    """The version of the kit that is installed."""
    try:
        return distribution("enginemath").version
    except PackageNotFoundError:
        return "0"


def metadata() -> bytes:
    """What says that the kit is installed, and its version."""
    return f"Metadata-Version: 2.1\nName: enginemath\nVersion: {kit_version()}\n".encode()
