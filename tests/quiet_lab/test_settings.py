"""What Jupyter makes of the kit's settings."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from enginemath import quiet_lab

CELLS = [
    nbformat.v4.new_markdown_cell("**Area** of the bore: $\\frac{\\pi}{4}\\,b^2$, in *cc*."),
    nbformat.v4.new_markdown_cell(
        "$b$ is the **bore**.\n\n$$s$$\n\n| part | volume |\n|---|---|\n| $a$ | 1 |"
    ),
]
OUTSIDE = re.compile(r"""(?:src|href)=["'](?:https?:)?//|import\(["']https?:|url\(["']?https?:""")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    notebook = nbformat.v4.new_notebook(cells=CELLS)
    notebook.metadata["widgets"] = {
        "application/vnd.jupyter.widget-state+json": {
            "state": {},
            "version_major": 2,
            "version_minor": 0,
        }
    }
    nbformat.write(notebook, tmp_path / "page.ipynb")
    return tmp_path


def converted(folder: Path, to: str, environment: dict[str, str]) -> str:
    command = [sys.executable, "-m", "nbconvert", "--to", to, "--output", "page", "page.ipynb"]
    subprocess.run(command, cwd=folder, env=environment, check=True, capture_output=True)
    (page,) = folder.glob("page*.html")
    return page.read_text(encoding="utf-8")


def test_a_saved_page_names_no_other_host(folder: Path) -> None:
    assert OUTSIDE.search(converted(folder, "html", dict(os.environ))), "as Jupyter comes, it does"
    page = converted(folder, "html", quiet_lab.environment())
    assert not OUTSIDE.search(page)


def test_formulas_leave_the_text_around_them_as_it_is(folder: Path) -> None:
    page = converted(folder, "html", quiet_lab.environment())
    assert page.count("<math") == 4
    assert "<strong>Area</strong> of the bore: <math" in page
    assert "</math>, in <em>cc</em>.</p>" in page
    assert "</math> is the <strong>bore</strong>.</p>" in page
    assert re.search(r"<td><math.*?<mi>a</mi></math></td>", page)


def test_slides_keep_their_own_template(folder: Path) -> None:
    assert "Reveal.initialize" in converted(folder, "slides", quiet_lab.environment())


@pytest.mark.parametrize("name", ["JUPYTER_CONFIG_PATH", "JUPYTER_PATH"])
def test_the_users_own_settings_are_still_found(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str
) -> None:
    monkeypatch.setenv(name, str(tmp_path))
    assert quiet_lab.environment()[name].split(os.pathsep) == [
        str(quiet_lab.SETTINGS),
        str(tmp_path),
    ]
    monkeypatch.delenv(name)
    assert quiet_lab.environment()[name] == str(quiet_lab.SETTINGS)
