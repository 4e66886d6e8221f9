"""The notebooks beside the static pages: what goes into them, and what is missing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from enginemath.pages.offline import notebooks
from enginemath.pages.offline.build import build_site
from enginemath.pages.offline.page import page
from enginemath.units import Refused


def test_without_their_packages_it_says_how_they_come(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(notebooks, "find_spec", lambda _: None)
    with pytest.raises(Refused, match=r"come by pip install 'enginemath\[notebooks\]'$"):
        build_site(tmp_path / "site", lab=True)
    assert not (tmp_path / "site").exists()


def test_every_library_of_a_notebook_is_here_and_plain_python() -> None:
    """All but the kernel's own, which come with the packages that build them."""
    names = [name for name, _ in notebooks.library_files()]
    for module in ("IPython", "ipywidgets", "traitlets", "enginemath/panels", "pint"):
        assert f"{module}/__init__.py" in names
    assert "enginemath/_kit/lessons/07-add-it-up.ipynb" in names
    assert not [name for name in names if name.endswith((".so", ".pyd", ".pyc", ".dylib"))]
    assert not [name for name in names if "/tests/" in name or name.startswith("..")]


def test_lessons_are_for_the_browsers_python_and_hold_no_results(tmp_path: Path) -> None:
    notebooks.write_lessons(tmp_path / "content")
    lessons = sorted((tmp_path / "content" / "lessons").iterdir())
    assert len(lessons) == 12
    for lesson in lessons:
        content = json.loads(lesson.read_text(encoding="utf-8"))
        assert content["metadata"]["kernelspec"]["name"] == "python"
        assert not any(cell.get("outputs") for cell in content["cells"])


def test_the_map_leads_to_them_only_where_they_are() -> None:
    assert 'data-lab="notebooks/notebooks/index.html?path=lessons"' in page(
        "edition", {}, notebooks.ADDRESS
    )
    assert 'data-lab=""' in page("edition", {})
