"""Nothing is imported from the folder that a command is run in: a student may have filled it.

Beside the hand-ins lies a file of the name of every module that Python or an installed package has;
each writes its name down where it is run.
"""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets.kit_data import path

SECRET = "four words, but long ones"
SHEET, OPTIONS = str(path("heron-four.toml")), str(path("heron-four-options.toml"))

COMMANDS = {
    "ratio": ["ratio", SHEET],
    "plan": ["plan", SHEET, OPTIONS],
    "order": ["order", SHEET, OPTIONS, "--plan", "1", "--out", "order.html"],
    "new": ["new", "bay.toml"],
    "merge": ["merge", SHEET, str(path("heron-four-readings.csv"))],
    "diagnose": ["diagnose", SHEET, "--quantity", "swept_volume", "--answer", "5"],
    "audit": ["audit", SHEET, "swept_volume=5"],
    "class-set": ["class-set", "roster.csv", "--out", "new", "--level", "flat", "--secret", SECRET],
    "mark": ["mark", "returned", "--key", "set", "--out", "marks", "--secret", SECRET],
    "lessons": ["lessons", "--folder", "mine", "--copy-only"],
    "check": ["lessons", "--check"],
}

AS_INSTALLED = """\
import sys
from enginemath.cli import main
if __name__ == "__main__":
    raise SystemExit(main())
"""
SPAWNING = AS_INSTALLED.replace(
    "import sys\n",
    """\
import sys
import multiprocessing
if __name__ == "__main__":
    multiprocessing.set_start_method({method!r})
""",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class set of enough students for more than one process, and the canaries beside it."""
    folder = tmp_path_factory.mktemp("class")
    (folder / "home").mkdir()
    work = folder / "work"
    work.mkdir()
    with open(work / "roster.csv", "w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("name", "id"), *((f"Student {n}", n) for n in range(41))])
    given = ["--level", "flat", "--secret", SECRET]
    made = ["class-set", str(work / "roster.csv"), "--out", str(work / "set"), *given]
    assert main(made) == 0
    (work / "set" / "students").rename(work / "returned")
    return folder


def plant(work: Path, names: set[str]) -> Path:
    sung = work.parent / "sung.txt"
    sung.unlink(missing_ok=True)
    for old in work.glob("*.py"):
        old.unlink()
    for name in names:
        song = f"open({str(sung)!r}, 'a').write({name!r} + '\\n')\n"
        (work / f"{name}.py").write_text(song, encoding="utf-8")
    return sung


def every_module() -> set[str]:
    names = {*sys.stdlib_module_names, *packages_distributions(), "sitecustomize", "usercustomize"}
    names |= {name.partition(".")[0] for name in sys.modules}
    return {name for name in names if name.isidentifier() and name != "enginemath"}


def run(work: Path, *command: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")} | {
        "HOME": str(work.parent / "home")
    }
    return subprocess.run(
        [sys.executable, *command], cwd=work, capture_output=True, text=True, env=kept
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_as_a_module(folder: Path, command: str) -> None:
    """What `python -m` itself imports before it looks at the kit is out of the kit's reach."""
    work = folder / "work"
    plant(work, set())
    (work / "bare.py").write_text("import sys; print(*sys.modules)", encoding="utf-8")
    before = {name.partition(".")[0] for name in run(work, "-m", "bare").stdout.split()}
    sung = plant(work, every_module() - before)
    done = run(work, "-m", "enginemath", *COMMANDS[command])
    assert done.returncode in (0, 1), done.stderr
    assert not sung.exists(), sung.read_text()


@pytest.mark.parametrize(
    ("command", "method"), [("ratio", ""), ("class-set", "spawn"), ("mark", "forkserver")]
)
def test_as_it_is_installed(folder: Path, command: str, method: str) -> None:
    if method == "forkserver" and os.name == "nt":
        pytest.skip("Windows has no fork server")
    work, script = folder / "work", folder / "enginemath-command.py"
    script.write_text(SPAWNING.format(method=method) if method else AS_INSTALLED, "utf-8")
    sung = plant(work, {*every_module(), "enginemath"})
    done = run(work, str(script), *COMMANDS[command])
    assert (done.returncode, done.stderr) == (0, "")
    assert not sung.exists(), sung.read_text()
