"""The core runs with pint, uncertainties and ipywidgets alone, as in a browser's own Python.

Each check is a process of its own, in which the heavy libraries cannot be imported.
"""

from __future__ import annotations

import json
import subprocess
import sys
import textwrap

import pytest

from enginemath.datasets import path

HEAVY = ("numpy", "pandas", "matplotlib", "scipy", "tomli_w", "tqdm", "jupyterlab")
LIGHT = (
    "enginemath",
    "enginemath.claims",
    "enginemath.classroom",
    "enginemath.cli",
    "enginemath.cycle",
    "enginemath.drawing",
    "enginemath.machining",
    "enginemath.panels",
    "enginemath.practice",
    "enginemath.propagation",
    "enginemath.report",
    "enginemath.running",
    "enginemath.uncertainty",
    "enginemath.wanted",
)

# Two ways in which a library can be missing.
REFUSE = f"""
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {HEAVY!r}:
            raise ImportError(f"{{name}} is not for this test")
sys.meta_path.insert(0, Refuse())
"""
ABSENT = f"""
import sys
sys.modules |= dict.fromkeys({HEAVY!r})
"""
MISSING = {"refused": REFUSE, "absent": ABSENT}


def python(code: str, *arguments: str) -> str:
    """What a fresh Python prints; warnings are errors of this test."""
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code), *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout


def command(missing: str, *arguments: str) -> str:
    code = missing + "import sys; from enginemath.cli import main; sys.exit(main(sys.argv[1:]))"
    return python(code, *arguments)


@pytest.mark.parametrize("missing", MISSING.values(), ids=MISSING)
def test_all_light_rooms_import_without_the_heavy_libraries(missing: str) -> None:
    python(
        f"""{missing}
from importlib import import_module
for room in {LIGHT!r}:
    import_module(room)
loaded = [name for name in {HEAVY!r} if sys.modules.get(name)]
assert not loaded, loaded
"""
    )


def test_the_blockade_works() -> None:
    for missing in MISSING.values():
        said = python(f"{missing}\ntry:\n    import numpy\nexcept ImportError:\n    print('none')")
        assert said == "none\n"


@pytest.mark.parametrize(
    ("missing", "sheet"),
    [("refused", "heron-one"), ("refused", "heron-eight"), ("absent", "heron-four")],
)
def test_ratio_answers_alike_without_them(missing: str, sheet: str) -> None:
    file = str(path(f"{sheet}.toml"))
    light = json.loads(command(MISSING[missing], "ratio", file, "--json"))
    full = json.loads(command("", "ratio", file, "--json"))
    # First order where Monte Carlo cannot be had; everything else to the last digit.
    assert light["u_compression_ratio"] == pytest.approx(full["u_compression_ratio"], rel=0.05)
    assert light["interval_95"] == pytest.approx(full["interval_95"], rel=0.005)
    apart = {"u_compression_ratio", "interval_95", "uncertainty_method"}
    assert {key: value for key, value in light.items() if key not in apart} == {
        key: value for key, value in full.items() if key not in apart
    }


def test_ratio_as_a_table_without_them() -> None:
    assert "Heron Four" in command(REFUSE, "ratio", str(path("heron-four.toml")))


def loaded_by(imports: str) -> set[str]:
    """Top-level libraries in memory after some imports."""
    names = python(f"import sys\n{imports}\nprint(*{{m.partition('.')[0] for m in sys.modules}})")
    return set(names.split())


def test_importing_the_kit_pulls_in_nothing_heavy() -> None:
    """What pint and uncertainties bring along themselves is not the kit's doing."""
    base = loaded_by("import pint, uncertainties")
    ours = loaded_by("import enginemath")
    assert ours - base - sys.stdlib_module_names - {"enginemath"} == set()


def test_rooms_pull_in_nothing_heavy() -> None:
    rooms = ("classroom", "cli", "drawing", "machining", "report")
    base = loaded_by("import pint, uncertainties")
    ours = loaded_by("\n".join(f"import enginemath.{room}" for room in rooms))
    assert ours - base - sys.stdlib_module_names - {"enginemath"} == set()


def test_panels_pull_in_widgets_and_nothing_heavier() -> None:
    base = loaded_by("import pint, uncertainties, ipywidgets")
    ours = loaded_by("import enginemath.panels")
    assert {"pandas", "matplotlib", "scipy"} & ours - base == set()
