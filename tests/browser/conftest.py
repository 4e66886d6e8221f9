"""A JupyterLab server on loopback and a real Chromium to open it in."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest

from enginemath import quiet_lab

CHROMIUM = os.environ.get("ENGINEMATH_CHROMIUM") or next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
REQUIRED = os.environ.get("ENGINEMATH_BROWSER_TESTS") == "required"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SETTINGS = {
    "notebook-extension/tracker": {"windowingMode": "none"},  # also the cells off the screen
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
}
LESSONS = Path(__file__).parents[2] / "lessons"


@pytest.fixture(scope="session")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a JupyterLab server that serves a copy of the lessons, outputs cleared."""
    folder = tmp_path_factory.mktemp("lab")
    (folder / "lessons").mkdir()
    for lesson in LESSONS.glob("*.ipynb"):
        notebook = nbformat.read(lesson, as_version=4)
        for cell in notebook.cells:
            if cell.cell_type == "code":
                cell.outputs, cell.execution_count = [], None
        nbformat.write(notebook, folder / "lessons" / lesson.name)
    yield from serve("jupyterlab", folder)


def free_port() -> int:
    """A port that nobody uses."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    return port


def serve(program: str, folder: Path, *options: str, quiet: bool = True) -> Iterator[str]:
    """Run a Jupyter server program over `folder` and yield its address.

    Args:
        quiet: with the settings that the kit opens its lessons with.
    """
    port = free_port()
    home = folder / ".home"
    home.mkdir(exist_ok=True)
    settings = home / "config" / "lab" / "user-settings" / "@jupyterlab"
    for name, content in SETTINGS.items():
        file = settings / f"{name}.jupyterlab-settings"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps(content))
    environment = {
        **(quiet_lab.environment() if quiet else os.environ),
        "HOME": str(home),
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_RUNTIME_DIR": str(home / "runtime"),
        "JUPYTER_DATA_DIR": str(home / "data"),
        "IPYTHONDIR": str(home / "ipython"),
    }
    command = [
        *(sys.executable, "-m", program, "--no-browser", "--allow-root"),
        *("--ip=127.0.0.1", f"--port={port}", "--ServerApp.token=", "--ServerApp.password="),
        "--ServerApp.disable_check_xsrf=True",
        *(f"--ServerApp.root_dir={folder}", *options),
    ]
    log = (home / "server.log").open("w")
    with subprocess.Popen(command, env=environment, stdout=log, stderr=log) as server:
        address = f"http://127.0.0.1:{port}"
        try:
            _wait_for(f"{address}/api", server, home / "server.log")
            yield address
        finally:
            server.terminate()
            try:
                server.wait(10)
            except subprocess.TimeoutExpired:
                server.kill()


def stop_kernels(address: str) -> None:
    """End every kernel, so that one lesson does not slow the next."""
    with urllib.request.urlopen(f"{address}/api/kernels", timeout=20) as reply:
        kernels = json.load(reply)
    for kernel in kernels:
        request = urllib.request.Request(f"{address}/api/kernels/{kernel['id']}", method="DELETE")
        urllib.request.urlopen(request, timeout=20).close()


def _wait_for(url: str, server: subprocess.Popen[bytes], log: Path, seconds: float = 60) -> None:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline and server.poll() is None:
        try:
            with urllib.request.urlopen(url, timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    raise RuntimeError(f"the server did not start: {log.read_text()[-2000:]}")


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    """Headless Chromium; without one the test skips, or fails where it is required."""
    if CHROMIUM is None:
        if REQUIRED:
            pytest.fail("no Chromium on this machine, and the browser tests are required here")
        pytest.skip("no Chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()
