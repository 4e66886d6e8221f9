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


CONVERT = """
import sys
from nbconvert.nbconvertapp import NbConvertApp
for to in sys.argv[1:]:
    NbConvertApp.launch_instance(["--to", to, "--output", f"as-{to}", "page.ipynb"])
    NbConvertApp.clear_instance()
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("saved")
    notebook = nbformat.v4.new_notebook(cells=CELLS)
    notebook.metadata["widgets"] = {
        "application/vnd.jupyter.widget-state+json": {
            "state": {},
            "version_major": 2,
            "version_minor": 0,
        }
    }
    nbformat.write(notebook, folder / "page.ipynb")
    return folder


def converted(folder: Path, environment: dict[str, str], *to: str) -> list[str]:
    """The notebook saved in some formats, by one nbconvert: most of its time goes into starting."""
    subprocess.run(
        [sys.executable, "-c", CONVERT, *to],
        cwd=folder,
        env=environment,
        check=True,
        capture_output=True,
    )
    pages = [next(folder.glob(f"as-{one}*.html")) for one in to]
    return [page.read_text(encoding="utf-8") for page in pages]


@pytest.fixture(scope="module")
def as_the_kit(folder: Path) -> list[str]:
    """The notebook as a page and as slides, by the kit's settings."""
    return converted(folder, quiet_lab.environment(), "html", "slides")


def test_a_saved_page_names_no_other_host(folder: Path, as_the_kit: list[str]) -> None:
    (as_it_comes,) = converted(folder, dict(os.environ), "html")
    assert OUTSIDE.search(as_it_comes), "as Jupyter comes, it does"
    page, _ = as_the_kit
    assert not OUTSIDE.search(page)


def test_formulas_leave_the_text_around_them_as_it_is(as_the_kit: list[str]) -> None:
    page, _ = as_the_kit
    assert page.count("<math") == 4
    assert "<strong>Area</strong> of the bore: <math" in page
    assert "</math>, in <em>cc</em>.</p>" in page
    assert "</math> is the <strong>bore</strong>.</p>" in page
    assert re.search(r"<td><math.*?<mi>a</mi></math></td>", page)


def test_slides_keep_their_own_template(as_the_kit: list[str]) -> None:
    _, slides = as_the_kit
    assert "Reveal.initialize" in slides


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
