"""The core runs with pint and uncertainties alone, as in a browser's own Python.

The checks run in processes of their own, in which the heavy libraries cannot be imported.
"""

from __future__ import annotations

import json
import subprocess
import sys
import textwrap
from functools import cache

import pytest

from enginemath.sheets.kit_data import path

HEAVY = (
    *("numpy", "pandas", "matplotlib", "scipy", "tomli_w", "tqdm", "jinja2"),
    *("ipywidgets", "IPython", "jupyterlab", "jupyter_server", "tornado"),
)
LIGHT = (
    "enginemath",
    "enginemath.engine.claims",
    "enginemath.answers",
    "enginemath.cli",
    "enginemath.engine.cycle",
    "enginemath.drawing",
    "enginemath.change",
    "enginemath.panels",
    "enginemath.answers.tool_reading",
    "enginemath.bench.how_sure.propagation",
    "enginemath.sheets.ratio_report",
    "enginemath.engine.running",
    "enginemath.bench.how_sure.error_budget",
    "enginemath.engine.part_for_ratio",
)

SHEETS = ("heron-one", "heron-four", "heron-eight")

# Two ways in which a library can be missing.
REFUSE = f"""
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {HEAVY!r}:
            raise ModuleNotFoundError(f"{{name}} is not for this test", name=name)
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


@cache
def ratios(missing: str) -> list[str]:
    """What `ratio` prints in one process: of some sheets as JSON, then of one as a table."""
    code = """
import sys
from enginemath.cli import main
*sheets, last = sys.argv[1:]
for arguments in (*([sheet, "--json"] for sheet in sheets), [last]):
    assert not main(["ratio", *arguments])
    print("\\f")
"""
    files = [str(path(f"{sheet}.toml")) for sheet in (*SHEETS, "heron-four")]
    *printed, rest = python(missing + code, *files).split("\f\n")
    assert not rest
    return printed


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


@pytest.mark.parametrize("missing", MISSING.values(), ids=MISSING)
@pytest.mark.parametrize("sheet", SHEETS)
def test_ratio_answers_alike_without_them(missing: str, sheet: str) -> None:
    place = SHEETS.index(sheet)
    light, full = json.loads(ratios(missing)[place]), json.loads(ratios("")[place])
    # First order where Monte Carlo cannot be had; everything else to the last digit.
    assert light["u_compression_ratio"] == pytest.approx(full["u_compression_ratio"], rel=0.05)
    assert light["interval_95"] == pytest.approx(full["interval_95"], rel=0.005)
    apart = {"u_compression_ratio", "interval_95", "uncertainty_method"}
    assert {key: value for key, value in light.items() if key not in apart} == {
        key: value for key, value in full.items() if key not in apart
    }


def test_ratio_as_a_table_without_them() -> None:
    assert "Heron Four" in ratios(REFUSE)[-1]


@cache
def loaded_by(*steps: str) -> list[set[str]]:
    """Top-level libraries in memory after each of some imports, one after the other."""
    look = "print(*{m.partition('.')[0] for m in sys.modules})"
    printed = python("\n".join(["import sys", *(f"{step}\n{look}" for step in steps)]))
    return [set(line.split()) for line in printed.splitlines()]


def base() -> list[set[str]]:
    """With pint and uncertainties: what they bring is not the kit's doing."""
    return loaded_by("import pint, uncertainties")


def ours() -> list[set[str]]:
    """With the kit, then with its rooms, then with its panels."""
    rooms = ("answers", "change", "classroom", "cli", "drawing", "sheets.ratio_report")
    return loaded_by(
        "import enginemath",
        "\n".join(f"import enginemath.{room}" for room in rooms),
        "import enginemath.panels",
    )


def test_importing_the_kit_pulls_in_nothing_heavy() -> None:
    kit, _, _ = ours()
    assert kit - base()[0] - sys.stdlib_module_names - {"enginemath"} == set()


def test_rooms_pull_in_nothing_heavy() -> None:
    _, rooms, _ = ours()
    assert rooms - base()[0] - sys.stdlib_module_names - {"enginemath"} == set()


def test_panels_pull_in_no_widgets() -> None:
    _, _, panels = ours()
    assert panels - base()[0] - sys.stdlib_module_names - {"enginemath"} == set()


@pytest.mark.parametrize("missing", MISSING.values(), ids=MISSING)
def test_a_panel_lives_without_widgets(missing: str) -> None:
    told = python(
        f"""{missing}
from enginemath.panels import two_volumes
panel = two_volumes(predict=False)
panel.take("crank angle", 90.0)
print(panel.view().words)
"""
    )
    assert told.startswith("Crank 90.0° after top dead centre")
