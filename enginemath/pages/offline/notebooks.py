"""The notebooks in the browser, beside the pages: JupyterLite with the kit, for who wants code.

All of it is taken from what pip has put here; nothing is fetched when it is used.
"""

from __future__ import annotations

import io
import json
import shutil
import sys
import zipfile
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from importlib.util import find_spec
from pathlib import Path

from enginemath.pages.offline import python_for_browsers
from enginemath.pages.offline.library import LIBRARIES, files_of, kit_data, metadata
from enginemath.pages.offline.programs import run
from enginemath.sheets.kit_data import kit_folder
from enginemath.units import Refused

FOLDER = "notebooks"
ADDRESS = f"{FOLDER}/notebooks/index.html?path=lessons"
"""Before a notebook's name."""
_HERE = Path(__file__).parent
_PYTHON = "static/python"
"""Within the folder: Python, its library and the kit."""
_LACKING = (
    "the notebooks need packages that are missing; they come by pip install 'enginemath[notebooks]'"
)
FOR_NOTEBOOKS = (
    *("ipython", "ipython-pygments-lexers", "traitlets", "matplotlib-inline", "prompt_toolkit"),
    *("wcwidth", "pygments", "stack-data", "executing", "asttokens", "pure-eval", "ipywidgets"),
    "comm",
)
"""What a notebook's Python needs besides the kit, by the name that pip knows."""
ON_THE_PAGE = ("jupyterlite-core", "jupyterlite-pyodide-kernel", "jupyterlab_widgets")
"""What a notebook's page is made of."""
_OF_KERNEL = ("ipykernel", "pyodide_kernel", "widgetsnbextension-4")
_IN_MEMORY = ["comm", "ipykernel", "ipython", "jedi", "micropip", "piplite", "pyodide-kernel"]
"""Not to be fetched: it is there, or (the completer) not needed."""
_NO_INSTALLER = '''\
"""Stands where the kernel looks for what installs packages."""


async def install(*packages, **_):
    raise RuntimeError("nothing is fetched here: this Python has what the lessons need")
'''
_EXTENSIONS = ("@jupyter-widgets/jupyterlab-manager", "@jupyterlite/pyodide-kernel-extension")
_LEFT_OUT = ("enginemath/_kit/", "enginemath/pages/offline/", "pint/testsuite/")
_SUFFIXES = (".py", ".txt", ".css", ".html", ".js", ".json", ".csv", ".toml", ".svg", "METADATA")


def need_packages() -> None:
    """Raise `Refused` where what the notebooks are built with is not installed; says what is."""
    if any(find_spec(name) is None for name in ("jupyterlite_core", "jupyterlite_pyodide_kernel")):
        raise Refused(_LACKING)
    for name in FOR_NOTEBOOKS:
        _distribution(name)


def build_notebooks(out: Path, work: Path, pyodide: Path) -> None:
    """Build the folder of notebooks.

    Args:
        out: to be made.
        work: a new folder to work in.
        pyodide: npm's file of the pinned edition.
    """
    lite, content = work / "lite", work / "content"
    python = work / "python"
    for folder in (work, lite, python):
        folder.mkdir()
    python_for_browsers.unpack(python, pyodide, whole=True)
    _compile(python, work / "library.zip")
    shutil.copy(_HERE / "web" / "python_for_notebooks.mjs", python)
    write_lessons(content)
    (lite / "jupyter-lite.json").write_text(json.dumps(_settings()), encoding="utf-8")
    (lite / "overrides.json").write_text(json.dumps(_QUIET), encoding="utf-8")
    command = [
        *(sys.executable, "-m", "jupyter", "lite", "build"),
        *("--lite-dir", str(lite), "--contents", str(content), "--output-dir", str(out.resolve())),
        *("--apps", "lab", "--apps", "notebooks", "--no-sourcemaps", "--no-unused-shared-packages"),
        *("--no-libarchive", "--ignore-sys-prefix"),
        *(f"--LiteBuildConfig.federated_extensions={_extension(name)}" for name in _EXTENSIONS),
    ]
    run(command, "JupyterLite could not be built", folder=work)
    shutil.copytree(python, out / _PYTHON)


def _distribution(name: str) -> Distribution:
    try:
        return distribution(name)
    except PackageNotFoundError:
        raise Refused(_LACKING) from None


def _extension(name: str) -> Path:
    from jupyter_core.paths import jupyter_path

    places = [Path(place) / name for place in jupyter_path("labextensions")]
    found = next((place for place in places if place.is_dir()), None)
    if found is None:
        raise Refused(_LACKING)
    return found


def _compile(python: Path, library: Path) -> None:
    with zipfile.ZipFile(library, "w") as archive:
        for name, data in sorted(dict([*library_files(), *_kernel_files()]).items()):
            archive.writestr(zipfile.ZipInfo(name), data)
    script = _HERE / "compile_library.mjs"
    run([python_for_browsers.node(), script, python, library], "Node.js could not load the kit")


def library_files() -> Iterator[tuple[str, bytes]]:
    """What a notebook imports, by its place in the folder that Python imports from."""
    for name in (*FOR_NOTEBOOKS, *LIBRARIES):
        found = _distribution(name)
        for file in found.files or ():
            place = file.as_posix()
            if _goes_along(place):
                yield place, Path(str(found.locate_file(file))).read_bytes()
    for place, path in files_of("enginemath"):
        if _goes_along(place):
            yield place, path.read_bytes()
    yield from kit_data()
    yield "enginemath-0.dist-info/METADATA", metadata()


def _kernel_files() -> Iterator[tuple[str, bytes]]:
    """What the kernel brings along, and a stand-in for what would fetch packages."""
    for wheel in (_extension(_EXTENSIONS[1]) / "static" / "pypi").glob("*.whl"):
        if wheel.name.startswith(_OF_KERNEL):
            with zipfile.ZipFile(io.BytesIO(wheel.read_bytes())) as archive:
                for place in archive.namelist():
                    if _goes_along(place):
                        yield place, archive.read(place)
    yield "piplite/__init__.py", _NO_INSTALLER.encode()
    yield "piplite/piplite.py", b""


def _goes_along(place: str) -> bool:
    apart = place.startswith(("..", *_LEFT_OUT)) or "__pycache__" in place or "/tests/" in place
    return place.endswith(_SUFFIXES) and not apart


def write_lessons(content: Path) -> None:
    """The lessons without their results, and their data."""
    kernel = {"display_name": "Python (in this browser)", "language": "python", "name": "python"}
    (content / "lessons").mkdir(parents=True)
    for path in sorted(kit_folder("lessons").glob("*.ipynb")):
        data = json.loads(path.read_text(encoding="utf-8"))
        data["metadata"]["kernelspec"] = kernel
        for cell in data["cells"]:
            if cell["cell_type"] == "code":
                cell["outputs"], cell["execution_count"] = [], None
        text = json.dumps(data, ensure_ascii=False, indent=1)
        (content / "lessons" / path.name).write_text(text, encoding="utf-8")
    shutil.copytree(kit_folder("datasets"), content / "datasets")


def _settings() -> dict[str, object]:
    """Python from this folder, nothing from elsewhere."""
    kernel = {
        "pyodideUrl": f"./{_PYTHON}/python_for_notebooks.mjs",
        "disablePyPIFallback": True,
        "loadPyodideOptions": {"packages": _IN_MEMORY},
    }
    settings = {"@jupyterlite/pyodide-kernel-extension:kernel": kernel}
    told = {
        "appName": "Engine mathematics",
        "contentsStorageName": "enginemath-notebooks",
        "litePluginSettings": settings,
    }
    return {"jupyter-lite-schema-version": 0, "jupyter-config-data": told}


_QUIET = {
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
    "@jupyterlab/apputils-extension:notification": {
        "fetchNews": "false",
        "checkForUpdates": False,
        "doNotDisturbMode": True,
    },
}
