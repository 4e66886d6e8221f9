"""No lesson needs NumPy, pandas, matplotlib or SciPy: every cell prints what is committed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.lessons import without_arrays

SOLVED = sorted((Path(__file__).parents[2] / "instructor" / "solved").glob("*.ipynb"))


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    """All twelve notebooks in one process."""
    program = without_arrays.__file__
    done = subprocess.run(
        [sys.executable, program, *map(str, SOLVED)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=tmp_path_factory.mktemp("lessons"),
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


@pytest.mark.parametrize("notebook", SOLVED, ids=lambda file: file.stem)
def test_every_cell_prints_what_is_committed(
    notebook: Path, printed: dict[str, dict[str, str]]
) -> None:
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    committed = {
        str(number): "".join(
            "".join(output["text"])
            for output in cell["outputs"]
            if output["output_type"] == "stream" and output["name"] == "stdout"
        )
        for number, cell in enumerate(cells)
        if cell["cell_type"] == "code"
    }
    assert len(SOLVED) == 12
    assert printed[notebook.name] == committed


def test_the_libraries_are_missing() -> None:
    """So that the test above cannot pass by having them after all."""
    code = (
        "import sys\nfrom tests.lessons import without_arrays as w\n"
        "sys.meta_path.insert(0, w.Missing())\n"
        "for name in w.MISSING:\n    try:\n        __import__(name)\n"
        "    except ModuleNotFoundError:\n        print(name)"
    )
    root = Path(__file__).parents[2]
    said = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True)
    assert said.stdout.split() == list(without_arrays.MISSING)
