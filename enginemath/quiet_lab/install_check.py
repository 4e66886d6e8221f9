"""Whether the kit works on this machine, said in plain words: `enginemath lessons --check`."""

from __future__ import annotations

import importlib.metadata
import re
import subprocess
import sys
import tempfile
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from enginemath import quiet_lab
from enginemath.sheets.kit_data import kit_folder

OLDEST_PYTHON = (3, 11)


@dataclass(frozen=True)
class Finding:
    """One thing that was looked at."""

    what: str
    works: bool
    words: str

    def __str__(self) -> str:
        return f"{'ok ' if self.works else 'NOT'}  {self.what}: {self.words}"


def check_install() -> list[Finding]:
    """Look at Python, packages, lessons, kernel, widgets, fonts and browser."""
    checks: dict[str, Callable[[], str]] = {
        "Python": _python,
        "packages": _packages,
        "lessons": _lessons,
        "kernel": _kernel,
        "widgets": _widgets,
        "fonts": _fonts,
        "browser": _browser,
    }
    return [_tried(what, check) for what, check in checks.items()]


def summary(findings: list[Finding]) -> str:
    """What was found, a line each, and what to do."""
    broken = [finding.what for finding in findings if not finding.works]
    end = f"To mend: {', '.join(broken)}." if broken else "All works: start `enginemath lessons`."
    return "\n".join([*map(str, findings), end])


def _tried(what: str, check: Callable[[], str]) -> Finding:
    try:
        return Finding(what, True, check())
    except Exception as error:
        return Finding(what, False, " ".join(str(error).split()) or type(error).__name__)


def _python() -> str:
    version = ".".join(map(str, sys.version_info[:3]))
    if sys.version_info < OLDEST_PYTHON:
        wanted = ".".join(map(str, OLDEST_PYTHON))
        raise RuntimeError(f"{version} is too old; install Python {wanted} or newer")
    return f"{version} in {sys.prefix}"


def _packages() -> str:
    missing = []
    needed = _needed()
    for name in needed:
        try:
            importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            missing.append(name)
    if missing:
        raise RuntimeError(f"missing: {', '.join(missing)}; install the kit again")
    return ", ".join(f"{name} {importlib.metadata.version(name)}" for name in needed)


def _needed() -> list[str]:
    """The packages that the kit itself says it needs."""
    stated = importlib.metadata.requires("enginemath") or []
    return [re.split("[^A-Za-z0-9._-]", line)[0] for line in stated if "extra ==" not in line]


def _lessons() -> str:
    found = sorted(kit_folder("lessons").glob("*.ipynb"))
    if not found:
        raise RuntimeError("none found; install the kit again")
    return f"{len(found)} lessons"


def _kernel() -> str:
    from jupyter_client.kernelspec import KernelSpecManager
    from jupyter_client.manager import KernelManager

    kits = KernelSpecManager()
    kits.kernel_dirs.insert(0, str(quiet_lab.SETTINGS / "kernels"))
    manager = KernelManager(kernel_name="python3", kernel_spec_manager=kits)
    # In a folder of its own: nothing that lies where we stand is imported.
    folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
    manager.start_kernel(stderr=subprocess.DEVNULL, cwd=folder.name)
    client = manager.blocking_client()
    try:
        client.start_channels()
        client.wait_for_ready(timeout=60)
        reply = client.execute_interactive(
            "import enginemath", timeout=60, output_hook=lambda _: None
        )
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
        folder.cleanup()
    if reply["content"]["status"] != "ok":
        raise RuntimeError(
            f"cannot open the kit ({reply['content']['ename']}); install the kit again"
        )
    return "starts and opens the kit"


def _widgets() -> str:
    from jupyter_core.paths import jupyter_path

    for folder in jupyter_path("labextensions"):
        if (Path(folder) / "@jupyter-widgets" / "jupyterlab-manager").is_dir():
            return "JupyterLab can show sliders"
    raise RuntimeError("JupyterLab cannot show sliders; install jupyterlab_widgets")


def _fonts() -> str:
    from matplotlib.font_manager import FontProperties, findfont

    font = findfont(FontProperties(), fallback_to_default=False)
    return f"charts use {Path(font).stem}"


def _browser() -> str:
    try:
        return f"opens with {webbrowser.get().__class__.__name__}"
    except webbrowser.Error:
        raise RuntimeError(
            "none found; start `enginemath lessons` and open the address it prints"
        ) from None
