"""The notebooks beside the static pages, in Chromium; built where their packages are installed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.offline.build import build_site
from tests.browser.site import served

pytest.importorskip("jupyterlite_core", reason="pip install 'enginemath[notebooks]' brings it")
pytestmark = pytest.mark.browser
STARTS = 90_000


def test_a_lesson_opens_from_the_map_and_its_panel_runs(browser: Any, tmp_path: Path) -> None:
    build_site(tmp_path / "site", lab=True)
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    with served(tmp_path / "site") as server:
        page = context.new_page()
        page.goto(server.address)
        with context.expect_page() as opened:
            page.click("[aria-label='notebook of 02 Two volumes, one ratio']", timeout=STARTS)
        notebook = opened.value
        for place in range(2):
            cell = notebook.locator(".jp-CodeCell .cm-content").nth(place)
            cell.click(timeout=STARTS)
            cell.press("Shift+Enter")
        notebook.wait_for_selector(".jp-OutputArea-output svg", timeout=STARTS)
        context.close()
    assert "python_for_notebooks.mjs" in " ".join(asked)
    others = [url for url in asked if not re.match(r"http://127\.0\.0\.1:|data:|blob:", url)]
    assert others == []
