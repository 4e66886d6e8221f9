"""An engine's name as somebody may type it: very long, and with a script in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from .conftest import serve
from .test_lessons import Visit
from .test_panels import notebook_of

pytestmark = pytest.mark.browser
NAME = "<script>window.ran = true</script> " + "Engine of the third bay, no papers; " * 4
SHEET = f"""
from enginemath.buildsheet import EXAMPLE, parse
engine = parse(EXAMPLE.replace("Bench engine, bay 3", {NAME!r}))
"""


@pytest.mark.parametrize("width", [640, 1280])
def test_a_long_name_with_a_script_stays_a_name(browser: Any, tmp_path: Path, width: int) -> None:
    notebook_of([SHEET, "add_it_up(engine)"], tmp_path / "panel.ipynb")
    for address in serve("jupyterlab", tmp_path):
        visit = Visit(browser, f"{address}/lab/tree/panel.ipynb")
        visit.run_all()
        panel = visit.page.locator(".em-panel").first
        panel.locator(".em-drawing svg").wait_for(timeout=60_000)
        visit.page.set_viewport_size({"width": width, "height": 800})
        visit.page.wait_for_timeout(300)
        assert "Engine of the third bay" in panel.locator(".em-entry label").first.text_content()
        assert visit.page.evaluate("window.ran") is None
        room = panel.bounding_box()
        for part in panel.locator("select, label, button").all():
            box = part.bounding_box()
            if box:
                assert box["x"] + box["width"] <= room["x"] + room["width"] + 1
        assert visit.errors == []
        visit.page.close()
