"""How long from a key to a changed picture, against an empty slider and against matplotlib.

    python tests/benchmarks/bench_slider.py

Headless Chromium, JupyterLab on loopback, a kernel of its own for each: (a) a slider that echoes
its value, (b) panels, (c) the same drawing by `interact` and matplotlib inline, all in one run, in
turns, so that a drift of the machine falls on all. Prints p50 and p95 from the key to the new
picture in the page, the lag behind 60 changes at 60 Hz, Python's work a change and the kernel's
memory. Exits 1 where a ratio is over its limit. Run it on a machine that does nothing else.

Two servers, one after the other. Jupyter as it comes may hold an answer back for 40 ms (see
`enginemath.quiet_lab.prompt_socket`), and there even the empty slider is not many times faster
than matplotlib; its kernels hold a debugger. As the kit starts it nothing is held back, and no
kernel holds a debugger. So the panels are measured against the empty slider and the empty kernel of
Jupyter as it comes, on both servers. Against the kit's own empty slider, which takes so little that
the few ms of a picture tell, the ratios are printed, without a limit.
"""

from __future__ import annotations

import math
import re
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import nbformat

REPOSITORY = Path(__file__).parents[2]
sys.path.insert(0, str(REPOSITORY))

from enginemath.panels.fuel_air_and_cam import PRESSURE  # noqa: E402
from tests.browser.conftest import CHROMIUM, FLAGS, serve  # noqa: E402
from tests.browser.test_lessons import Visit  # noqa: E402
from tests.panels.opened import WITH_A_GUESS, opened  # noqa: E402

NUMBERS = {
    "add_it_up": "Compression ratio ([0-9.]+)",
    "gasket_and_deck": "mean deck clearance ([0-9.]+)",
    "fuel_air_and_cam": "effective ([0-9.]+)",
}
"""By panel: what its picture says and the first slider moves."""
ROUNDS, PRESSES, BURSTS = 3, 20, 7
LIMITS = {"p50": 1.25, "p95": 1.5, "lag": 1.5, "memory": 1.3}
"""At most, against the empty slider."""
FASTER = 8
"""At least, against matplotlib."""
ECHO = """\
import ipywidgets
slider = ipywidgets.FloatSlider(40, min=0, max=200, step=0.1)
said = ipywidgets.HTML("40.0").add_class("em-drawing")
slider.observe(lambda change: setattr(said, "value", f"{change['new']:.1f}"), "value")
ipywidgets.VBox([slider, said]).add_class("em-panel")
"""
MATPLOTLIB = """\
%matplotlib inline
import ipywidgets, matplotlib.pyplot as plt
from enginemath.panels import add_it_up_numbers
numbers = {k: float(getattr(v, "magnitude", v)) for k, v in add_it_up_numbers("heron-four").items()}
def draw(chamber):
    figure, (cylinder, blocks, line) = plt.subplots(1, 3, figsize=(9, 5.4))
    for corners, hatch in (((-6, 6, 5, -5), "/"), ((-5, 5, 3, -3), "|"), ((-5, 5, 5, -5), "-")):
        cylinder.fill(corners, (0, 0, 2, 2), hatch=hatch, alpha=0.5, edgecolor="k")
    for text in ("chamber", "gasket", "deck clearance", "dish", "reliefs", "bore", "stroke"):
        cylinder.annotate(text, (0, 1), (6, len(text) / 4), arrowprops={"arrowstyle": "-"})
    foot = 0
    for part in ("crevice", "crown", "deck", "gasket"):
        blocks.bar([0], [numbers[part]], bottom=foot, hatch="x", edgecolor="k")
        blocks.annotate(f"{part} {numbers[part]:.2f} cc", (0.5, foot + numbers[part] / 2))
        foot += numbers[part]
    blocks.bar([0], [chamber], bottom=foot, hatch="|", edgecolor="k")
    ratio = (numbers["swept"] + foot + chamber) / (foot + chamber)
    line.plot([6, 14], [0, 0]); line.fill_between([9, 9.5], 0, 1); line.plot([ratio], [0], "v")
    line.set_title(f"compression ratio {ratio:.2f}")
    plt.show()
made = ipywidgets.interactive(draw, chamber=(40.0, 60.0, 0.1))
made.children[-1].add_class("em-drawing")
made.add_class("em-panel")
made
"""
PANELS = {name: f"from enginemath.lesson import *\n{name}(predict=False)" for name in NUMBERS}
WATCH = """() => {
    const picture = document.querySelector('.em-drawing');
    const sign = () => {
        const image = picture.querySelector('img');
        const drawn = picture.querySelector('svg');
        return image ? image.src : drawn ? drawn.textContent : picture.textContent;
    };
    window.seen = [];
    let last = sign();
    new MutationObserver(() => {
        const now = sign();
        if (now === last || now === '') return;
        last = now;
        window.seen.push([performance.now(), now]);
    }).observe(picture, {childList: true, subtree: true, attributes: true, characterData: true});
}"""
KEYS = """
    window.keys = [];
    window.addEventListener('keydown', () => window.keys.push(performance.now()), true);
"""
BURST = """async () => {
    const target = document.querySelector('.em-panel .noUi-target').noUiSlider;
    const step = target.options.step;
    window.seen = [];
    for (let change = 0; change < 60; change += 1) {
        const at = Number(target.get()) + (change < 30 ? step : -step);
        target.set(at);
        window.lastChange = performance.now();
        await new Promise(done => setTimeout(done, 1000 / 60));
    }
}"""


class Watched:
    """A browser whose pages note every key before anybody else hears of it."""

    def __init__(self, browser: Any):
        self.browser = browser

    def new_page(self, **look: Any) -> Any:
        """A new page."""
        page = self.browser.new_page(**look)
        page.add_init_script(KEYS)
        return page


def key_times(visit: Visit) -> list[float]:
    """Milliseconds from each key to its picture."""
    page = visit.page
    page.bring_to_front()
    page.locator(".em-panel .noUi-handle").first.focus()
    times = []
    for press in range(PRESSES + 3):
        before = page.evaluate("() => window.seen.length")
        page.keyboard.press("ArrowRight" if press % 2 == 0 else "ArrowLeft")
        page.wait_for_function("before => window.seen.length > before", arg=before, polling=20)
        key = page.evaluate("() => window.keys.at(-1)")
        times.append(page.evaluate("before => window.seen[before][0]", before) - key)
        page.wait_for_timeout(30)
    return times[3:]


def burst_lag(visit: Visit) -> tuple[float, list[str]]:
    """Milliseconds from the last of 60 quick changes to the last picture; all pictures seen."""
    page = visit.page
    page.bring_to_front()
    page.evaluate(BURST)
    quiet, seen = 0, -1
    while quiet < 4:
        page.wait_for_timeout(250)
        now = page.evaluate("() => window.seen.length")
        quiet, seen = (quiet + 1, seen) if now == seen else (0, now)
    shown = page.evaluate("() => window.seen")
    return shown[-1][0] - page.evaluate("() => window.lastChange"), [text for _, text in shown]


def kernel_memory(visit: Visit) -> float:
    """Resident memory of the page's kernel, in MB."""
    text = visit.page.locator(".jp-OutputArea-output").first.text_content()
    status = Path(f"/proc/{text.strip()}/status").read_text()
    return int(status.split("VmRSS:")[1].split()[0]) / 1024


def opened_page(browser: Any, address: str, folder: Path, name: str, source: str) -> Visit:
    """A notebook with one slider and its picture, run and watched."""
    cells = ["import os, ipywidgets\nprint(os.getpid())", source]
    notebook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(cell) for cell in cells],
        metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}},
    )
    nbformat.write(notebook, folder / f"{name}.ipynb")
    visit = Visit(Watched(browser), f"{address}/lab/tree/{name}.ipynb?reset")
    visit.run_all()
    visit.page.locator(".em-panel .noUi-handle").first.wait_for()
    if name == "fuel_air_and_cam":
        visit.page.get_by_label("picture", exact=True).select_option(PRESSURE)
    visit.page.wait_for_timeout(1500)
    visit.page.evaluate(WATCH)
    return visit


def summary(times: list[float], visit: Visit) -> dict[str, Any]:
    """What was measured on one page, and what is measured last: memory and the bursts."""
    ordered = sorted(times)
    memory = kernel_memory(visit)
    bursts = [burst_lag(visit) for _ in range(BURSTS)]
    return {
        "p50": statistics.median(ordered),
        "p95": ordered[round(0.95 * len(ordered)) - 1],
        "lag": statistics.median(lag for lag, _ in bursts),
        "bursts": [pictures for _, pictures in bursts],
        "memory": memory,
    }


def in_order(name: str, pictures: list[str]) -> bool:
    """Thirty changes up and thirty down: the number falls and climbs back, or the other way."""
    ratios = [float(re.findall(NUMBERS[name], text)[0]) for text in pictures]
    low, high = ratios.index(min(ratios)), ratios.index(max(ratios))
    fall, rise = sorted(ratios[: low + 1], reverse=True), sorted(ratios[low:])
    climb, drop = sorted(ratios[: high + 1]), sorted(ratios[high:], reverse=True)
    return ratios in (fall[:-1] + rise, climb[:-1] + drop)


def python_work(name: str) -> float:
    """Milliseconds of Python for one change, the median over all controls of a panel."""
    panel = opened(name, "heron-eight")
    times = []
    for control in panel.controls:
        if control in panel.hidden():
            continue
        start = control.at
        for turn in range(1, 16):
            place = min(start + (turn % 5 + 1) * control.step, control.high)
            begun = time.process_time()
            panel.take(control.name, place)
            times.append(1000 * (time.process_time() - begun))
        panel.take(control.name, start)
    return statistics.median(times)


def measured(browser: Any, quiet: bool) -> dict[str, dict[str, Any]]:
    """Every page's figures on one server."""
    found = {}
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        sources = {"echo": ECHO, **PANELS, "matplotlib": MATPLOTLIB}
        for address in serve("jupyterlab", folder, quiet=quiet):
            pages = {
                name: opened_page(browser, address, folder, name, source)
                for name, source in sources.items()
            }
            times: dict[str, list[float]] = {name: [] for name in pages}
            for _ in range(ROUNDS):
                for name, visit in pages.items():
                    times[name] += key_times(visit)
            found = {name: summary(times[name], visit) for name, visit in pages.items()}
            for visit in pages.values():
                visit.page.close()
    return found


def show_figures(found: dict[str, dict[str, Any]]) -> None:
    """Print what was measured on one server."""
    for name, row in found.items():
        print(
            f"{name}: p50 {row['p50']:.0f} ms, p95 {row['p95']:.0f} ms, lag behind 60 changes at "
            f"60 Hz {row['lag']:.0f} ms, kernel {row['memory']:.0f} MB"
        )
    echo, slow = found["echo"], found["matplotlib"]
    print(f"echo: {slow['p50'] / echo['p50']:.1f} times faster than matplotlib")


def show_ratios(
    found: dict[str, dict[str, Any]],
    echo: dict[str, Any],
    limits: dict[str, float],
    faster: float,
) -> bool:
    """Print the panels' figures against an empty slider's; whether all are within their limits.

    Args:
        found: see `measured`.
        echo: figures of the empty slider.
        limits: at most, against the empty slider; what is left out has none.
        faster: at least, against matplotlib.
    """
    good = True
    for name in PANELS:
        row = found[name]
        times = found["matplotlib"]["p50"] / row["p50"]
        wanted = f" (at least {faster:g})" if faster else ""
        print(f"{name}: {times:.1f} times faster than matplotlib{wanted}{_over(times >= faster)}")
        good &= times >= faster
        for what in LIMITS:
            ratio, most = row[what] / echo[what], limits.get(what, math.inf)
            wanted = f" (at most {most:g})" if what in limits else ""
            print(f"{name}: {what} {ratio:.2f} of the empty one's{wanted}{_over(ratio <= most)}")
            good &= ratio <= most
        if not all(in_order(name, pictures) for pictures in row["bursts"]):
            print(f"{name}: a picture came out of order")
            good = False
    return good


def _over(within: bool) -> str:
    return "" if within else "  OVER"


def main() -> int:
    """Measure everything and print ratios."""
    from playwright.sync_api import sync_playwright

    good = True
    for name in WITH_A_GUESS:
        work = python_work(name)
        print(f"Python's work a change, {name}: {work:.2f} ms (at most 4){_over(work <= 4)}")
        good &= work <= 4
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        plain, kits = measured(browser, quiet=False), measured(browser, quiet=True)
    echo = plain["echo"]
    print("\nJupyter as it comes")
    show_figures(plain)
    but_memory = {what: most for what, most in LIMITS.items() if what != "memory"}
    good &= show_ratios(plain, echo, but_memory, faster=0)
    print("\nas the kit starts it, against the empty slider of Jupyter as it comes")
    show_figures(kits)
    good &= show_ratios(kits, echo, LIMITS, FASTER)
    print("\nas the kit starts it, against its own empty slider")
    good &= show_ratios(kits, kits["echo"], {}, faster=0)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
