"""Run the code cells of solved notebooks where no array library is, and no notebook either.

What a notebook would show besides print, pictures and links, goes nowhere.

    python without_arrays.py NOTEBOOK …

Prints JSON: of each notebook, by its cells' numbers, what each prints.
"""

from __future__ import annotations

import ast
import io
import json
import sys
from contextlib import redirect_stdout
from pathlib import Path
from types import ModuleType
from typing import Any

MISSING = (
    *("numpy", "pandas", "matplotlib", "scipy", "tqdm"),
    *("ipywidgets", "jupyterlab", "jupyter_server"),
)


class Missing:
    """Finds nothing of what the browser's own Python lacks."""

    def find_spec(self, name: str, *_: Any) -> None:
        if name.partition(".")[0] in MISSING:
            raise ModuleNotFoundError(f"{name} is not for this test", name=name)


def printed(notebook: Path) -> dict[int, str]:
    """What each code cell prints; a cell's last line shows nothing by itself."""
    names: dict[str, Any] = {"__name__": "__main__"}
    told = {}
    for number, cell in enumerate(json.loads(notebook.read_text(encoding="utf-8"))["cells"]):
        if cell["cell_type"] == "code":
            code = ast.parse("".join(cell["source"]))
            with redirect_stdout(io.StringIO()) as out:
                exec(compile(code, f"{notebook.name}, cell {number}", "exec"), names)
            told[number] = out.getvalue()
    return told


def page() -> ModuleType:
    """In place of the notebook's own display."""
    module = ModuleType("IPython.display")
    module.__dict__.update(display=lambda *_, **__: None, HTML=str)
    return module


if __name__ == "__main__":
    sys.modules |= {"IPython": ModuleType("IPython"), "IPython.display": page()}
    sys.meta_path.insert(0, Missing())
    files = [Path(name) for name in sys.argv[1:]]
    print(json.dumps({file.name: printed(file) for file in files}))
