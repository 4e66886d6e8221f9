"""From an empty folder to the first ratio of an eight, with the keyboard alone."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from enginemath.cli import main
from enginemath.sheets.so_far import report_so_far
from tests.sheets.own_engine.bench import shown

pytestmark = pytest.mark.browser
SEEN = """() => ['#entry', '.at-work svg', '.so-far svg', '.said-so', '.order li:last-child'].map(
    (query) => { const { top, left, bottom, right } = document.querySelector(query)
            .getBoundingClientRect();
        return top >= 0 && left >= 0 && bottom <= innerHeight && right <= innerWidth; })"""
NEXT = "(name) => document.querySelector('#entry').getAttribute('aria-label') !== name"
IN_HAND = "() => document.activeElement === document.querySelector('#entry')"


@pytest.fixture
def recorded(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[tuple[Path, str]]:
    """A new sheet, and the address that `enginemath record` prints for it."""
    sheet = tmp_path / "bay3.toml"
    assert main(["new", str(sheet), "--cylinders=8", "--banks=left,right", "--units=in"]) == 0
    capsys.readouterr()
    home = tmp_path / "home"
    home.mkdir()
    (home / "jupyter_server_config.json").write_text('{"ServerApp": {"allow_root": true}}')
    environment = {**os.environ, "HOME": str(home), "JUPYTER_CONFIG_DIR": str(home)}
    command = [sys.executable, "-m", "enginemath", "record", str(sheet), "--no-browser"]
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        start_new_session=True,
    ) as server:  # fmt: skip
        assert server.stdout is not None
        try:
            yield sheet, next(line.strip() for line in server.stdout if "token=" in line)
        finally:
            os.killpg(server.pid, 15)


def test_from_an_empty_folder_to_the_first_ratio_by_keyboard(
    recorded: tuple[Path, str], browser: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, address = recorded
    page = browser.new_page(viewport={"width": 1366, "height": 768})
    page.set_default_timeout(15_000)
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(address)
    page.wait_for_function(IN_HAND)
    page.locator(".so-far svg").wait_for()
    assert "token" not in page.url
    taken = 0
    while not page.locator(".said-so", has_text="Every reading is taken").count():
        name = page.locator("#entry").get_attribute("aria-label")
        if name == "deck clearance, cylinder 3, left of the pin":
            # A slip is told at once; the keyboard goes on to its answers and back.
            page.keyboard.type("0.40")
            page.keyboard.press("Enter")
            page.get_by_text("0.40 in among 0.021 in: did you mean 0.040 in?").wait_for()
            assert page.evaluate(SEEN) == 5 * [True]
            page.keyboard.press("Control+a")
        page.keyboard.type(shown(name.split(",")[0], name.rpartition(", ")[2]))
        page.keyboard.press("Enter")
        taken += 1
        if taken < 72:
            page.wait_for_function(NEXT, arg=name)
        else:
            page.get_by_text("Every reading is taken").wait_for()
    assert taken == 72
    page.get_by_text("ratio 9.67 ± 0.03", exact=True).wait_for()
    assert page.get_by_role("textbox", name="compressed thickness, at the fire ring, rear").count()
    # Another day: all of it is there, box by box and as a whole.
    page.reload()
    page.wait_for_function(IN_HAND)
    page.locator("#all").press("Enter")
    line = page.get_by_role("textbox", name="chamber, cylinder 3, pour 1, end")
    line.wait_for()
    assert line.input_value() == "64.40 mL"
    assert not errors
    page.goto((sheet.parent / "bay3-record.html").as_uri())
    for paper in ("Letter", "A4"):  # the printed record: no more than a sheet and its back
        assert 1 <= page.pdf(format=paper).count(b"/Type /Page\n") <= 2
    page.close()
    assert main(["ratio", str(sheet)]) == 0
    assert "9.67" in capsys.readouterr().out
    assert report_so_far(sheet)["missing"] == []
