"""From a key to the changed picture of a lesson page, against an empty slider in the same server.

    python tests/benchmarks/bench_pages.py

Prints p50 and p95 of both, Python's work for one message of each lesson's slowest handle, what a
page adds to the server's memory, and the time from the server's first line to a picture. Ends with
1 where a limit is broken: p50 no slower than the empty slider, p95 at most 1.5 times as slow, 4 ms
of Python for half of the moves of every handle of every panel, 5 MB a page.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from enginemath.pages.desk import Desk
from enginemath.pages.session import Session
from enginemath.pages.steps import lesson_named
from tests.benchmarks.bench_slider import ECHO, KEYS, opened_page
from tests.benchmarks.every_handle import report
from tests.browser.conftest import CHROMIUM, FLAGS, serve

LESSONS = {
    "02-two-volumes-one-ratio": ("crank angle", "40 mm", 0),
    "05-gasket-and-deck": ("compressed thickness", "9.2", 0),
    "07-add-it-up": ("chamber", "9.2", 1),
}
"""By lesson: what is moved, a guess to begin with, and how many steps after it it is moved."""
PRESSES, ROUNDS = 30, 4
PYTHON_LIMIT = 4.0
"""Milliseconds of the processor for one message, its answer written out."""
WATCH = """() => {
    const sign = () => document.querySelector('.words').textContent
        + document.querySelector('.picture svg title').textContent;
    window.seen = [];
    let last = sign();
    new MutationObserver(() => {
        const now = sign();
        if (now !== last) { last = now; window.seen.push([performance.now(), now]); }
    }).observe(document.querySelector('figure'),
        {childList: true, subtree: true, characterData: true});
}"""


def begun(lesson: str, guess: str, further: int) -> dict[str, Any]:
    """A student's work who has given the guesses of a lesson and stands at its panel."""
    session = Session(Desk(None))
    session.answer({"do": "open", "lesson": lesson})
    panel = next(each.number for each in lesson_named(lesson).steps if each.has_panel)
    for step in range(1, panel):
        if session.answer({"do": "on", "step": step})[0]["show"] == "refusal":
            session.answer({"do": "guess", "step": step, "text": "lower"})
            session.answer({"do": "on", "step": step})
    session.answer({"do": "guess", "step": panel, "text": guess})
    for more in range(panel, panel + further):
        session.answer({"do": "on", "step": more})
    return session.work.data["lessons"][lesson]


def opened(browser: Any, address: str, lesson: str) -> Any:
    """A lesson's page, watched, its handle focused."""
    context = browser.new_context(viewport={"width": 1366, "height": 768}, bypass_csp=True)
    page = context.new_page()
    page.add_init_script(KEYS)
    page.goto(f"{address}/enginemath/#{lesson}")
    page.locator(".words").filter(has_text=" ").wait_for(state="attached")
    page.wait_for_timeout(500)
    page.evaluate(WATCH)
    return page


def key_times(page: Any, handle: Any) -> list[float]:
    """Milliseconds from each key to its picture."""
    page.bring_to_front()
    handle.focus()
    times = []
    for press in range(PRESSES + 3):
        before = page.evaluate("() => window.seen.length")
        page.keyboard.press("ArrowRight" if press % 2 == 0 else "ArrowLeft")
        page.wait_for_function("before => window.seen.length > before", arg=before, polling=20)
        key = page.evaluate("() => window.keys.at(-1)")
        times.append(page.evaluate("before => window.seen[before][0]", before) - key)
        page.wait_for_timeout(30)
    return times[3:]


def memory(folder: Path) -> float:
    """MB of the server that serves a folder, without its kernels."""
    found = subprocess.run(["ps", "-eo", "rss=,args="], capture_output=True, text=True).stdout
    sizes = [line.split()[0] for line in found.splitlines() if f"root_dir={folder}" in line]
    return max(map(int, sizes)) / 1024


def line(name: str, times: list[float]) -> tuple[float, float]:
    """Print and give p50 and p95."""
    ordered = sorted(times)
    p50, p95 = statistics.median(ordered), ordered[round(0.95 * len(ordered)) - 1]
    print(f"{name}: p50 {p50:.1f} ms, p95 {p95:.1f} ms ({len(ordered)} keys)")
    return p50, p95


def main() -> int:
    """Measure everything and print it."""
    from playwright.sync_api import sync_playwright

    good = True
    good &= report(PYTHON_LIMIT)
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as place:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        folder = Path(place)
        work = {name: begun(name, *how) for name, (_, *how) in LESSONS.items()}
        (folder / "my-work.json").write_text(json.dumps({"format": 1, "lessons": work}))
        for address in serve("jupyterlab", folder):
            since = time.monotonic()
            first = opened(browser, address, "07-add-it-up")
            took = time.monotonic() - since - 0.5
            print(f"from the server's line to a live picture: {took:.1f} s (at most 3)")
            good &= took <= 3
            echo = opened_page(browser, address, folder, "echo", ECHO)
            pages = {lesson: opened(browser, address, lesson) for lesson in LESSONS}
            times: dict[str, list[float]] = {name: [] for name in ("echo", *pages)}
            for _ in range(ROUNDS):
                slider = echo.page.locator(".em-panel .noUi-handle").first
                times["echo"] += key_times(echo.page, slider)
                for lesson, page in pages.items():
                    handle = page.get_by_role("slider", name=LESSONS[lesson][0], exact=True)
                    times[lesson] += key_times(page, handle)
            empty = line("empty slider in JupyterLab", times.pop("echo"))
            for lesson, each in times.items():
                p50, p95 = line(lesson, each)
                good &= p50 <= empty[0] and p95 <= 1.5 * empty[1]
            before = memory(folder)
            more = [opened(browser, address, "07-add-it-up") for _ in range(10)]
            each_adds = (memory(folder) - before) / len(more)
            print(f"server {before:.0f} MB; a page adds {each_adds:.2f} MB (at most 5)")
            good &= each_adds <= 5
            for page in (first, *pages.values(), *more):
                page.context.close()
            echo.page.close()
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
