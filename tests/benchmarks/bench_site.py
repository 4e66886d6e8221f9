"""How soon the static pages show a picture, and how much they ask for.

    python tests/benchmarks/bench_site.py [--rounds N] [--no-tests]

Headless Chromium, the site of this very source on loopback, lesson 07. Prints the first picture
of a new browser, of a second visit, of the one file and of the ordinary start; the same with the
whole browser held to half a core (a control group: the browser's own throttling does not reach
workers); the time from a key to the changed picture; the memory of the page's process; and the
bytes sent, gzip where it helps. Beside each first picture stands the processor's time for it, of
all of the browser, and that of a page with nothing but a square: on a busy machine these tell more
than the clock. What is no figure (texts and pictures as at home, the server stopped, handing in,
nothing asked of another host, axe) is what `tests/browser/test_site.py` holds; it runs at the end.
Exits 1 where a figure is over its limit or a test fails. Run it on a machine that does nothing
else: the load that it began and ended with is printed.
"""

from __future__ import annotations

import argparse
import gzip
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

REPOSITORY = Path(__file__).parents[2]
sys.path.insert(0, str(REPOSITORY))

from tests.browser.conftest import CHROMIUM, FLAGS  # noqa: E402
from tests.browser.site import Server, built_site, served  # noqa: E402

LESSON, PICTURE = "07-add-it-up", "figure .picture svg"
HALF, GROUPS = 50_000, Path("/sys/fs/cgroup")
LIMITS = {
    "first picture, cold": 3.0,
    "second visit": 2.0,
    "one file": 3.0,
    "half a core: first picture, cold": 8.0,
    "half a core: one file": 10.0,
    "key, p50, ms": 16.0,
    "key, p95, ms": 32.0,
    "half a core: key, p50, ms": 45.0,
    "half a core: key, p95, ms": 95.0,
    "memory of the page, MB": 220.0,
    "sent at the first visit, MB": 20.0,
    "sent of an edition at the second visit, MB": 0.0,
    "the one file, MB": 20.0,
}
SQUARE = "<!doctype html><figure><p class='picture'><svg width='9' height='9'></svg></p></figure>"
WATCH = """
() => {
  window.waits = [];
  let pressed = 0, seen = () => {};
  window.anotherWait = (count) => new Promise((done) => {
    seen = () => { if (waits.length > count) done(); };
    seen();
  });
  const figure = document.querySelector("figure");
  window.addEventListener("keydown", () => { pressed = performance.now(); }, true);
  new MutationObserver(() => {
    if (!pressed) return;
    const since = pressed;
    pressed = 0;
    requestAnimationFrame(() => {
      waits.push(performance.now() - since);
      seen();
    });
  }).observe(figure.querySelector(".picture"), { childList: true, subtree: true });
}
"""


@contextmanager
def chromium(playwright: Any, *, half: bool = False) -> Iterator[Any]:
    """A browser with a profile of its own, held to half a core if wanted."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        program = CHROMIUM
        group = None
        if half:
            group = GROUPS / "cpu" / f"enginemath-bench-{os.getpid()}"
            group.mkdir(exist_ok=True)
            (group / "cpu.cfs_quota_us").write_text(str(HALF))
            wrapper = Path(profile) / "half"
            wrapper.write_text(f'#!/bin/sh\necho $$ > {group}/tasks\nexec "{CHROMIUM}" "$@"\n')
            wrapper.chmod(0o755)
            program = str(wrapper)
        context = playwright.chromium.launch_persistent_context(
            f"{profile}/profile",
            executable_path=program,
            args=FLAGS,
            viewport={"width": 1366, "height": 768},
        )
        context.set_default_timeout(180_000)
        try:
            yield context
        finally:
            context.close()
            if group:
                time.sleep(0.5)
                group.rmdir()


def first_picture(context: Any, address: str) -> tuple[Any, float, float]:
    """A page with its picture; seconds that it took, and those of the processor."""
    page = context.new_page()
    begun, worked = time.perf_counter(), processor_time()
    page.goto(address)
    page.wait_for_selector(PICTURE)
    return page, time.perf_counter() - begun, processor_time() - worked


def processor_time() -> float:
    """Seconds that the processes begun from here have worked: those of the browser."""
    return sum(worked for _, worked in _begun_here()) / os.sysconf("SC_CLK_TCK")


def _begun_here() -> list[tuple[Path, int]]:
    """The processes begun from here, and their ticks of work."""
    children: dict[int, list[tuple[Path, int]]] = {}
    for process in Path("/proc").glob("[0-9]*"):
        try:
            fields = (process / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        worked = int(fields[11]) + int(fields[12])
        children.setdefault(int(fields[1]), []).append((process, worked))
    found = list(children.get(os.getpid(), []))
    for process, _ in found:
        found += children.get(int(process.name), [])
    return found


def keys(page: Any, presses: int = 60) -> list[float]:
    """Milliseconds from a key to the frame in which the picture has changed."""
    slider = page.locator("figure [role=slider]:not([aria-disabled=true]):visible").first
    for _ in range(10):  # up to the step in which the engine may be taken by hand
        if slider.count():
            break
        guess = page.locator("section:not([hidden]) [name=guess]:not([readonly])")
        if guess.count():
            guess.fill("9")
            guess.press("Enter")
            guess.blur()
            page.wait_for_timeout(1500)
        page.click("section:not([hidden]) .on")
        page.wait_for_timeout(1500)
    slider.focus()
    page.evaluate(WATCH)
    for press in range(presses):
        page.keyboard.press("ArrowRight" if press % 20 < 10 else "ArrowLeft")
        page.evaluate("count => anotherWait(count)", press)  # asking at each frame is work, too
        page.wait_for_timeout(40)
    return page.evaluate("waits")


def page_memory(page: Any) -> float:
    """MB that the largest renderer process holds for itself and shares with others, by its part."""
    sizes = []
    for process, _ in _begun_here():
        try:
            if b"--type=renderer" in (process / "cmdline").read_bytes():
                rollup = (process / "smaps_rollup").read_text()
                sizes.append(int(rollup.split("\nPss:")[1].split()[0]) / 1000)
        except OSError:
            continue
    return max(sizes)


def compressed(site: Path, asked: list[str]) -> float:
    """MB of what was asked for, as a host sends it that compresses."""
    sent = 0
    for path in asked:
        data = (site / (path.lstrip("/") or "index.html")).read_bytes()
        sent += min(len(data), len(gzip.compress(data, 6)))
    return sent / 1e6


def visits(playwright: Any, site: Path, found: dict[str, list[float]], *, half: bool) -> None:
    """One round: a new browser, the same again, the one file."""
    before = "half a core: " if half else ""

    def note(name: str, value: float) -> None:
        found.setdefault(before + name, []).append(value)

    with served(site) as server, chromium(playwright, half=half) as context:
        page, took, worked = first_picture(context, f"{server.address}#{LESSON}")
        note("first picture, cold", took)
        note("first picture, cold, processor", worked)
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        _wait_until_kept(page)
        if not half:
            note("sent at the first visit, MB", compressed(site, sorted(set(server.asked))))
        page.close()
        server.asked.clear()
        page, took, worked = first_picture(context, f"{server.address}#{LESSON}")
        note("second visit", took)
        note("second visit, processor", worked)
        edition = [path for path in server.asked if "edition-" in path]
        if not half:
            note("sent of an edition at the second visit, MB", compressed(site, edition))
        waits = sorted(keys(page))
        note("key, p50, ms", statistics.median(waits))
        note("key, p95, ms", waits[int(0.95 * len(waits))])
        note("memory of the page, MB", page_memory(page))
        page.close()
        if not half:
            note("ordinary start", first_picture(context, _ordinary(server))[1])
    with chromium(playwright, half=half) as context:
        address = f"{(site / 'enginemath.html').as_uri()}#{LESSON}"
        _, took, worked = first_picture(context, address)
        note("one file", took)
        note("one file, processor", worked)
    with chromium(playwright, half=half) as context:
        _, took, worked = first_picture(context, f"data:text/html,{SQUARE}")
        note("a square", took)
        note("a square, processor", worked)


def _ordinary(server: Server) -> str:
    return f"{server.address}?start=ordinary#{LESSON}"


def _wait_until_kept(page: Any) -> None:
    page.wait_for_function(
        "navigator.serviceWorker.getRegistration().then((keeper) => Boolean(keeper.active))"
    )


def main() -> int:
    """Measure, print, and say by the exit code whether all limits are kept."""
    from playwright.sync_api import sync_playwright

    ask = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    ask.add_argument("--rounds", type=int, default=3)
    ask.add_argument("--no-tests", action="store_true", help="figures alone")
    wanted = ask.parse_args()
    rounds = wanted.rounds
    site = built_site()
    can_halve = os.access(GROUPS / "cpu" / "cpu.cfs_quota_us", os.W_OK) or os.geteuid() == 0
    can_halve = can_halve and (GROUPS / "cpu").is_dir()
    found: dict[str, list[float]] = {}
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    with sync_playwright() as playwright:
        for _ in range(rounds):
            visits(playwright, site, found, half=False)
            if can_halve:
                visits(playwright, site, found, half=True)
    if not can_halve:
        print("half a core was not measured: no control group of version 1 may be made here")
    found["the one file, MB"] = [(site / "enginemath.html").stat().st_size / 1e6]
    over = []
    for name, values in found.items():
        least, middle, most = min(values), statistics.median(values), max(values)
        limit = LIMITS.get(name)
        words = f"{name:45} {middle:8.2f} ({least:.2f} to {most:.2f})"
        print(words, "" if limit is None else f"limit {limit:g}")
        if limit is not None and middle > limit:
            over.append(name)
    print(f"load {os.getloadavg()[0]:.1f}; over the limit: {', '.join(over) or 'none'}")
    if not wanted.no_tests:
        print("equal to home, kept, handed in, without a server, axe, no other host:", flush=True)
        tests = REPOSITORY / "tests/browser/test_site.py"
        over += [""] * subprocess.run([sys.executable, "-m", "pytest", "-v", str(tests)]).returncode
    return int(bool(over))


if __name__ == "__main__":
    sys.exit(main())
