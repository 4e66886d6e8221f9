"""Lesson pages in a real browser: lessons 04 and 07 all the way, the others opened once."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.editions import edition_of
from enginemath.pages.lesson_book import Book
from enginemath.pages.steps import lesson_named, lesson_names
from enginemath.panels import add_it_up_numbers
from enginemath.units import show_ratio
from tests.classroom.bay_sets import AtTheBench, make_bay
from tests.classroom.class_sets import SECRET
from tests.classroom.work_files import RIGHT, lesson, work
from tests.pages.test_newer_lesson import FILE, NAME, older_text

from .axe import findings
from .conftest import free_port

pytestmark = pytest.mark.browser
RATIO = show_ratio(add_it_up_numbers("heron-four")["ratio"])
PREDICT, SEE, HOLD, TURN = (
    next(step.number for step in lesson_named("07-add-it-up").steps if step.title == title)
    for title in ("Predict", "See", "Take hold", "Your turn")
)
TOKEN = "made-up-token"
SCHOOL = {"width": 1366, "height": 768}
NOW = "section:not([hidden])"
KNOWS_AN_OLDER_EDITION = f"""\
from enginemath.classroom import editions
editions._listed().setdefault({NAME!r}, []).append({edition_of(older_text())!r})
"""
"""As a later kit would: it lists an edition of lesson 07 that was handed out before."""


class Server:
    """The command `enginemath lessons --no-browser`, over a work folder."""

    def __init__(self, folder: Path):
        self.folder, self.port = folder, free_port()
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> str:
        """Start it; the address that it prints."""
        options = {
            "ServerApp": {
                "port": self.port,
                "port_retries": 0,
                "allow_root": True,
                "ip": "127.0.0.1",
            },
            "IdentityProvider": {"token": TOKEN},
        }
        home = self.folder / ".home"
        (home / "config").mkdir(parents=True, exist_ok=True)
        (home / "sitecustomize.py").write_text(KNOWS_AN_OLDER_EDITION)
        (home / "config" / "jupyter_server_config.json").write_text(json.dumps(options))
        names = {"HOME": home, "JUPYTER_CONFIG_DIR": home / "config"}
        names |= {"PYTHONPATH": home}
        names |= {"JUPYTER_RUNTIME_DIR": home / "runtime", "JUPYTER_DATA_DIR": home / "data"}
        command = [sys.executable, "-m", "enginemath", "lessons", "--no-browser"]
        self.process = subprocess.Popen(
            [*command, "--folder", str(self.folder)],
            env={**os.environ, **{name: str(path) for name, path in names.items()}},
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
        )
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith("http"):
                return line.strip()
        raise AssertionError("the server printed no address")

    def kill(self) -> None:
        """As a power cut does it."""
        if self.process is not None:
            os.killpg(self.process.pid, 9)
            self.process.wait(10)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for all tests of this file."""
    server = Server(tmp_path_factory.mktemp("pages"))
    yield server
    server.kill()


@pytest.fixture(scope="module")
def address(server: Server) -> str:
    """Where the map is, token and all."""
    return server.start()


class Visit:
    """A page that remembers what went wrong on it and whom it asked."""

    def __init__(self, browser: Any, address: str, lesson: str = "", **how: Any):
        self.context = browser.new_context(viewport=how.pop("viewport", SCHOOL), **how)
        self.page = self.context.new_page()
        self.page.set_default_timeout(15_000)
        self.errors: list[str] = []
        self.hosts: set[str | None] = set()
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on(
            "console", lambda said: self.errors.append(said.text) if said.type == "error" else None
        )
        self.page.on("request", lambda asked: self.hosts.add(urlsplit(asked.url).hostname))
        self.page.on("websocket", lambda asked: self.hosts.add(urlsplit(asked.url).hostname))
        self.page.goto(f"{address}#{lesson}" if lesson else address)
        self.page.locator(f"{NOW} h1, {NOW} h2").first.wait_for()

    @property
    def step(self) -> Any:
        """The step that is on."""
        return self.page.locator(NOW)

    def turn_round(self) -> None:
        """Turn the crank once round by keys, where the step waits for it."""
        self.step.locator(".on:visible, .waits:not(:empty)").first.wait_for()
        if self.step.locator(".waits").text_content():
            crank = self.page.get_by_role("slider", name="crank angle")
            crank.focus()
            at = int(float(crank.get_attribute("aria-valuenow")))
            for angle in range(at + 10, 360, 10):  # as a hand does it: each is seen
                self.page.keyboard.press("PageUp")
                self.page.locator(".picture text", has_text=f"crank {angle}°").wait_for()
            self.step.get_by_role("button", name="go on").wait_for()

    def on(self) -> None:
        """Go on to the next step."""
        self.turn_round()
        parts = self.step.locator(".part h3 button")
        if parts.count():
            parts.last.click()
        before = self.step.get_attribute("data-step")
        self.page.evaluate("opened.set(now, steps.get(now).parts.length || 1)")  # its last part
        self.step.get_by_role("button", name="go on").click()
        self.page.locator(f'{NOW}:not([data-step="{before}"])').wait_for()

    def part(self, title: str) -> None:
        """Open a part of the step."""
        head = self.step.get_by_role("button", name=title)
        if head.get_attribute("aria-expanded") == "false":
            head.click()

    def go_to(self, number: int) -> None:
        """Work through the lesson up to a step."""
        while int(self.step.get_attribute("data-step")) < number:
            guess = self.step.get_by_label("guess")
            if guess.count() and not guess.input_value():
                guess.fill("lower" if guess.evaluate("e => e.tagName") == "TEXTAREA" else "9.2")
                guess.press("Tab")
                if self.step.get_by_role("button", name="show", exact=True).count():
                    guess.press("Enter")
                    self.step.locator(".said").wait_for()
            self.on()

    def kept(self) -> None:
        """Wait until the bar says that it is kept."""
        self.page.locator(".kept", has_text="kept").wait_for()

    def close(self) -> None:
        """Nothing went wrong, and nobody else was asked."""
        assert self.errors == []
        assert self.hosts == {"127.0.0.1"}
        self.context.close()


def said(visit: Visit, box: str) -> Any:
    """What is said of an answer."""
    return visit.step.locator(".box", has=visit.page.get_by_label(box, exact=True)).locator(
        ".verdict"
    )


_ids = count(1)


@pytest.fixture
def new_student() -> str:
    """An id of its own for each test: work of its own on the same server."""
    return f"T-{next(_ids):02d}"


def signed_in(browser: Any, address: str, who: str, **how: Any) -> Visit:
    """The map, opened by a student of this id."""
    visit = Visit(browser, address, **how)
    form = visit.page.locator("form.who")
    if not form.count():
        visit.page.get_by_role("button", name="not you?").click()
    visit.page.get_by_label("your name").fill("Made Up")
    visit.page.get_by_label("your id").fill(who)
    form.get_by_role("button", name="keep").click()
    visit.page.locator(".who b", has_text=who).wait_for()
    return visit


def as_student(browser: Any, address: str, who: str, lesson: str, **how: Any) -> Visit:
    """A lesson opened by a student of this id."""
    visit = signed_in(browser, address, who, **how)
    visit.page.evaluate("name => { location.hash = name; }", lesson)
    visit.page.locator(".dots button").first.wait_for()
    visit.page.locator(NOW).wait_for()
    return visit


def reads(page: Any) -> None:
    """axe finds nothing serious, once nothing fades in any more."""
    page.wait_for_function(
        "() => document.getAnimations().every(({ playState }) => playState === 'finished')"
    )
    assert findings(page) == []


def test_without_the_token_nothing_is_shown(address: str) -> None:
    plain = address.partition("?")[0]
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    with opener.open(plain, timeout=20) as reply:
        assert "login" in reply.url
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(f"{plain}talk", timeout=20)


def test_lesson_07_by_the_keyboard_alone(browser: Any, address: str, new_student: str) -> None:
    """From the map to the first "right", and the picture moved, without a mouse."""
    visit = as_student(browser, address, new_student, "07-add-it-up")
    page, keys = visit.page, visit.page.keyboard
    assert page.locator(".picture svg").is_visible(), "it opens on its picture"
    assert page.locator("pre:visible").count() == 0, "no code on the screen"
    crank = page.get_by_role("slider", name="crank angle")
    crank.focus()
    keys.press("PageUp")
    page.locator(".picture text", has_text="crank 10°").wait_for()
    assert not visit.step.get_by_role("button", name="go on").is_visible(), "not yet once round"
    visit.turn_round()
    visit.step.get_by_role("button", name="go on").press("Enter")
    guess = visit.step.get_by_label("guess")
    guess.wait_for()
    assert guess.evaluate("e => e === document.activeElement"), "the box has the keyboard"
    keys.type("lower")
    keys.press("Tab")
    visit.step.get_by_role("button", name="go on").press("Enter")
    guess = visit.step.locator("input[name=guess]")
    guess.wait_for()
    assert RATIO not in page.locator("body").text_content()
    keys.type("9.2")
    keys.press("Enter")
    visit.step.locator(".said", has_text=f"It is {RATIO}").wait_for()
    visit.on()
    chamber = page.get_by_role("slider", name="chamber", exact=True)
    chamber.focus()
    keys.press("ArrowRight")
    page.locator(".words", has_text="clearance 68.49 cc").wait_for()
    assert chamber.get_attribute("aria-valuetext") == "47.00 cc"
    assert chamber.evaluate("e => e === document.activeElement"), "the focus stays"
    keys.press("PageDown")
    page.locator(".words", has_text="clearance 67.49 cc").wait_for()
    keys.press("Enter")
    keys.type("twelve")
    keys.press("Enter")
    page.locator(".dimension .said", has_text="write a number and its unit").wait_for()
    keys.press("Control+a")
    keys.type("46.9 cc")
    keys.press("Enter")
    page.locator(".words", has_text=f"compression ratio {RATIO}").wait_for()
    visit.go_to(TURN)
    box = visit.step.get_by_label("swept volume", exact=True)
    box.focus()
    keys.type("130.63")
    keys.press("Enter")
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    visit.kept()
    visit.close()


def test_answers_are_judged_beside_their_boxes(
    browser: Any, address: str, new_student: str
) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up", bypass_csp=True)
    visit.go_to(SEE)
    reads(visit.page)
    visit.go_to(TURN)
    visit.part("Two thin discs")
    box = visit.step.get_by_label("gasket volume", exact=True)
    box.fill("1.74 mm")
    visit.step.get_by_role("button", name="check").click()
    verdict = said(visit, "gasket volume")
    verdict.get_by_text("a volume is wanted here").wait_for()
    assert verdict.locator("b").text_content() == "?"
    assert box.get_attribute("aria-invalid") == "true"
    box.fill("1.74")
    visit.step.get_by_role("button", name="check").click()
    verdict.get_by_text("right", exact=True).wait_for()
    assert verdict.count() == 1, "the older verdict is gone"
    assert verdict.locator("b").text_content() == "✓"
    assert box.get_attribute("aria-invalid") == "false"
    visit.page.get_by_role("button", name="show the code").click()
    assert visit.step.locator(".code pre").first.is_visible()
    reads(visit.page)
    visit.page.get_by_role("button", name="show the code").click()
    visit.close()


def test_the_chamber_is_poured_on_the_page(browser: Any, address: str, new_student: str) -> None:
    """Lesson 04, as a student does it by keys: plug, grease, plate, reading, tap."""
    visit = as_student(browser, address, new_student, "04-cc-the-chamber")
    page = visit.page
    visit.go_to(3)
    for name, key in (("spark plug", "End"), ("line of grease", "End"), ("clear plate", "Home")):
        page.get_by_role("slider", name=name).press(key)
    start = visit.step.get_by_label("start, fill 1")
    start.fill("0.95 mL")
    start.press("Enter")
    page.locator(".picture .em-ring-words").first.wait_for()
    visit.step.get_by_role("button", name="go on with this reading").click()
    tap = page.get_by_role("slider", name="tap")
    tap.wait_for()
    before = page.locator(".picture svg desc").text_content()
    tap.focus()
    page.keyboard.down("ArrowRight")
    page.wait_for_timeout(1500)
    page.keyboard.up("ArrowRight")
    page.wait_for_timeout(800)
    after = page.locator(".picture svg desc").text_content()
    assert after != before, "it ran while the key was held"
    page.wait_for_timeout(400)
    assert page.locator(".picture svg desc").text_content() == after, "and is shut since"
    assert tap.get_attribute("aria-valuenow") == "0"
    visit.close()


def test_all_is_there_after_a_reload_and_a_power_cut(
    browser: Any, server: Server, address: str, new_student: str
) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up")
    page = visit.page
    visit.go_to(TURN)
    box = visit.step.get_by_label("swept volume", exact=True)
    box.fill("130.63")
    box.press("Enter")
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    page.reload()
    visit.part("What the piston sweeps")
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    assert box.input_value() == "130.63"
    server.kill()
    page.locator(".kept", has_text="not connected").wait_for()
    visit.part("Two thin discs")
    deck = visit.step.get_by_label("deck volume", exact=True)
    deck.fill("0.65")
    deck.press("Enter")
    visit.errors.clear()  # the browser says that nobody answers
    server.start()
    said(visit, "deck volume").get_by_text("right", exact=True).wait_for(timeout=30_000)
    assert deck.input_value() == "0.65", "typed while nobody listened"
    visit.part("What the piston sweeps")
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    visit.errors.clear()
    files = [json.loads(file.read_text("utf-8")) for file in server.folder.glob("my-work*.json")]
    (work,) = [each for each in files if each["student"]["id"] == new_student]
    kept = work["lessons"]["07-add-it-up"]["answers"]
    assert {box: entry["text"] for box, entry in kept.items()} == {
        "my_swept": "130.63",
        "my_deck": "0.65",
    }
    visit.close()


def test_two_windows_show_the_later_entry(browser: Any, address: str, new_student: str) -> None:
    one = as_student(browser, address, new_student, "07-add-it-up")
    one.go_to(TURN)
    other = as_student(browser, address, new_student, f"07-add-it-up/{TURN}")
    one.step.get_by_label("swept volume", exact=True).fill("120")
    one.step.get_by_label("swept volume", exact=True).press("Enter")
    theirs = other.step.get_by_label("swept volume", exact=True)
    other.page.locator(".verdict", has_text="not yet").first.wait_for()
    assert theirs.input_value() == "120"
    theirs.fill("130.63")
    theirs.press("Enter")
    said(one, "swept volume").get_by_text("right", exact=True).wait_for()
    ours = one.step.get_by_label("swept volume", exact=True)
    assert ours.input_value() == "130.63"
    assert ours.evaluate("e => e === document.activeElement"), "who types there goes on typing"
    one.close()
    other.close()


def test_handed_in_with_one_button(browser: Any, address: str, new_student: str) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up")
    visit.go_to(SEE)
    visit.page.get_by_role("button", name="hand in").click()
    with visit.page.expect_download() as waiting:
        visit.page.get_by_role("button", name="Save the file").click()
    file = waiting.value
    assert file.suggested_filename == f"{new_student}-handed-in.json"
    data = json.loads(Path(file.path()).read_text("utf-8"))
    assert data["student"]["id"] == new_student
    assert data["lessons"]["07-add-it-up"]["guesses"]["predict"]["text"] == "lower"
    visit.close()


def test_a_handle_in_the_drawing_is_pulled_and_has_its_box(
    browser: Any, address: str, new_student: str
) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up")
    visit.go_to(HOLD)
    page = visit.page
    handle = page.get_by_role("slider", name="chamber")
    handle.wait_for()
    upwards = float(handle.get_attribute("data-pull").split()[1])
    scale = page.locator(".picture svg").evaluate("svg => svg.getScreenCTM().a")
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    held = page.locator(".dimension.held")
    assert held.locator("input").input_value() == "46.90 cc", "its box stands beside it"
    page.mouse.move(x, y + 2 * upwards * scale, steps=4)  # two cc
    page.mouse.up()
    page.locator(".words", has_text="clearance 70.39 cc").wait_for()
    assert held.locator("input").input_value() == "48.90 cc"
    assert page.locator(".picture text", has_text="as found").count() == 1, "the ghost stays"
    visit.close()


def test_the_crank_is_turned_once_round_before_any_guess(
    browser: Any, address: str, new_student: str
) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up")
    page = visit.page
    crank = page.get_by_role("slider", name="crank angle")
    box = crank.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    across, down = page.locator("[data-turn]").evaluate(
        """handle => {
            const [x, y] = handle.dataset.turn.split(" ").map(Number);
            const at = new DOMPoint(x, y).matrixTransform(handle.closest("svg").getScreenCTM());
            return [at.x, at.y];
        }"""
    )
    throw, begin = math.hypot(x - across, y - down), math.atan2(x - across, down - y)
    page.mouse.move(x, y)
    page.mouse.down()
    for degrees in range(10, 360, 10):
        turned = begin + math.radians(degrees)
        page.mouse.move(across + throw * math.sin(turned), down - throw * math.cos(turned))
        page.wait_for_timeout(20)  # three quarters of a second for a turn: as a hand does it
    page.mouse.up()
    visit.step.get_by_text("Once round. The space").wait_for()
    assert int(crank.get_attribute("aria-valuenow")) == 350
    assert page.locator(".picture .em-travelled").count() == 1
    assert RATIO not in page.content()
    visit.close()


def test_every_lesson_opens_on_a_picture_that_a_key_moves(
    browser: Any, address: str, new_student: str
) -> None:
    """One after the other in one window, as a student goes through them."""
    visit = signed_in(browser, address, new_student)
    page = visit.page
    for name in lesson_names():
        page.evaluate("name => { location.hash = name; }", name)
        page.wait_for_function(
            "title => document.title.endsWith(title)", arg=f" · {lesson_named(name).title}"
        )
        page.locator(NOW).wait_for()
        if name != "11-build-sheet":  # its panel shows results: it waits for its step
            page.locator(".picture svg").wait_for()
        wide = page.evaluate("document.documentElement.scrollWidth")
        high = page.evaluate("document.documentElement.scrollHeight")
        assert (wide, high) == (SCHOOL["width"], SCHOOL["height"]), f"{name} needs no scrolling"
        handles = page.locator(".picture .em-handle:not([aria-disabled=true]):visible")
        if handles.count():
            handle = handles.first
            before = handle.get_attribute("aria-valuenow")
            for key in ("ArrowUp", "ArrowDown", "PageUp"):  # from an end there is one way
                handle.press(key)
            page.wait_for_function(
                "([handle, before]) => handle.getAttribute('aria-valuenow') !== before",
                arg=[handle.element_handle(), before],
            )
            page.wait_for_function("() => !moving.busy && !moving.later.size")
    visit.close()


def test_a_lesson_is_printed_with_every_result_in_its_step(
    browser: Any, address: str, new_student: str
) -> None:
    visit = as_student(browser, address, new_student, "07-add-it-up")
    visit.go_to(TURN + 1)
    page = visit.page
    reason = " ".join(50 * ["Mara is right: 86.12 ± 0.02 mm holds the deck too."])
    page.locator("section textarea").last.evaluate("(box, text) => { box.value = text; }", reason)
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    written = page.locator(".written", has_text="Mara is right").inner_text()
    assert written == reason.replace("86.12 ± 0.02 mm", "86.12\u00a0±\u00a00.02\u00a0mm")
    foot = page.evaluate("document.adoptedStyleSheets[0].cssRules[0].cssText")
    assert [
        part for part in ("@bottom-right", "Add it up", "counter(page)") if part not in foot
    ] == []
    told = page.locator("main").inner_text().replace("\u00a0", " ")
    results = page.evaluate(
        """() => [...steps.values()].flatMap(step => step.working).flatMap(each => each.shown)
            .filter(each => each.kind === 'text').flatMap(each => each.value.split('\\n'))"""
    )
    assert len(results) > 10
    assert [line for line in results if line.strip() and line.strip() not in told] == []
    assert page.get_by_text("depth gauge on the deck").locator("visible=true").count() == 1
    for width, height in ((216, 279), (210, 297)):  # Letter and A4, mm
        page.set_viewport_size({"width": round((width - 30) * 96 / 25.4), "height": 1000})
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.viewport_size["width"], f"nothing is cut off on {width} × {height}"
    page.emulate_media(media="screen")
    boxes, closed = page.locator("section .box input"), page.locator("section[hidden]")
    assert boxes.count() == page.locator("section .box input:visible").count() > 3, "not empty"
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert closed.count() == TURN
    assert visit.errors == []
    visit.close()


def test_the_projector_goes_by_arrow_keys_and_covers_answers(browser: Any, address: str) -> None:
    large = {"width": 1920, "height": 1080}
    shown = address.replace("?", "?projector=1&lesson=07-add-it-up&")
    visit = Visit(browser, shown, viewport=large)
    page = visit.page
    page.locator(".picture svg").wait_for()
    for step in range(2, HOLD):
        page.keyboard.press("ArrowRight")
        page.locator(f'{NOW}[data-step="{step}"]').wait_for()
    assert RATIO not in page.locator("body").text_content()
    page.keyboard.press("ArrowRight")
    page.locator(".words", has_text=f"compression ratio is {RATIO}").wait_for()
    sizes = page.locator(".picture svg text").evaluate_all(
        "all => all.map(t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a)"
    )
    assert min(sizes) >= 12
    page.keyboard.press("ArrowLeft")
    page.locator(f'{NOW}[data-step="{PREDICT}"]').wait_for()
    visit.close()


def test_the_map_leads_to_page_notebook_and_sheet(browser: Any, address: str) -> None:
    visit = Visit(browser, address, bypass_csp=True)
    page = visit.page
    links = page.get_by_role("navigation", name="Lessons").get_by_role("link")
    assert links.count() == 36
    reads(page)
    with visit.context.expect_page() as opened:
        page.get_by_role("link", name="sheet to print of 04 cc the chamber").click()
    assert opened.value.get_by_role("heading", name="On the bench").is_visible()
    opened.value.close()
    notebook = page.get_by_role("link", name="notebook of 07 Add it up").get_attribute("href")
    assert notebook == "/lab/tree/07-add-it-up.ipynb"
    page.locator("ol a.page", has_text="Add it up").click()
    page.locator(".dots button").first.wait_for()
    assert "07 · Add it up" in page.title()
    visit.close()


def test_the_server_holds_little_for_a_page(browser: Any, server: Server, address: str) -> None:
    """A page adds at most 5 MB to the server: 30 students on one machine need no more."""
    first = [Visit(browser, address, name) for name in ("07-add-it-up", "09-choose-the-change")]
    time.sleep(1)
    before = memory_of(server)
    pages = [Visit(browser, address, "07-add-it-up") for _ in range(6)]
    for page in pages:
        page.page.locator(".dots button").first.wait_for()
    assert (memory_of(server) - before) / len(pages) <= 5.0
    for page in (*first, *pages):
        page.close()


def memory_of(server: Server) -> float:
    """MB of the server's own process, as the system counts them."""
    assert server.process is not None
    found = subprocess.run(
        ["ps", "-o", "rss=", "-g", str(server.process.pid)], capture_output=True, text=True
    )
    return sum(map(int, found.stdout.split())) / 1024


def test_a_newer_lesson_is_told_and_taken_with_one_button(
    browser: Any, server: Server, address: str, new_student: str
) -> None:
    signed_in(browser, address, f"{new_student}-before").close()  # the first file is theirs
    (server.folder / FILE).write_text(older_text(), encoding="utf-8")
    begun = lesson(
        RIGHT,
        reached=TURN,
        guesses={"predict": {"text": "lower"}, "add_it_up": {"text": "9.2"}},
        panels={"add_it_up": [["guess", "9.2"]]},
        edition=edition_of(older_text()),
    )
    (server.folder / f"my-work-{new_student}.json").write_text(
        json.dumps(work(new_student, "Made Up", {NAME: begun})), encoding="utf-8"
    )
    visit = as_student(browser, address, new_student, NAME, bypass_csp=True)
    page = visit.page
    page.locator(".warnings", has_text="A newer edition of this lesson has come").wait_for()
    assert "Add it all up" in str(page.locator(".bar").text_content())
    reads(page)
    box = visit.step.get_by_label("swept volume", exact=True)
    assert box.input_value() == RIGHT["my_swept"]
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight"), "all on a screen"
    page.get_by_role("button", name="take the newer lesson").click()
    page.locator(".bar", has_text="Add it up").wait_for()
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    assert box.input_value() == RIGHT["my_swept"]
    assert page.locator(".warnings").count() == 0
    assert (server.folder / "07-add-it-up-older.ipynb").exists()
    page.reload()
    said(visit, "swept volume").get_by_text("right", exact=True).wait_for()
    assert page.locator(".warnings").count() == 0
    visit.close()


def test_my_sheet_is_read_worked_and_handed_in(
    browser: Any, server: Server, address: str, tmp_path: Path
) -> None:
    """A class set's sheet about the engine in the bay, as a page at home, from map to marks."""
    made = make_bay(tmp_path / "set", 1)
    (entry,) = made.key.entries
    assert entry.bay
    paper = AtTheBench(entry.bay.record, 3).paper(entry)
    name = f"{entry.student.file}.ipynb"
    (server.folder / name).write_bytes((made.students / name).read_bytes())
    visit = signed_in(browser, address, entry.student.id, bypass_csp=True)
    page = visit.page
    page.locator(".my-sheet a", has_text=made.key.title).click()
    visit.step.get_by_role("button", name="go on").wait_for()
    reads(page)
    visit.on()
    bore = visit.step.get_by_label("bore", exact=True)
    bore.fill("88,34 mm")
    bore.press("Enter")
    said(visit, "bore").get_by_text("write a decimal point").wait_for()
    for step in range(2, 20):
        for box in visit.step.locator(".box input").all():
            box.fill(paper.get(str(box.get_attribute("name")).removeprefix("box "), ""))
        box.press("Enter")
        if step == 5:
            assert visit.step.get_by_label("chamber volume, fill 2, end", exact=True).is_visible()
            onward = visit.step.get_by_role("button", name="go on").bounding_box()
            assert onward
            assert onward["y"] + onward["height"] <= SCHOOL["height"], "without scrolling"
        if step < 19:
            visit.on()
    board = page.locator(".board")
    assert board.get_by_text(paper["read_bore"].replace(" ", "\u00a0")).is_visible()
    assert page.locator(".box .verdict").count() == 0, "nothing is told before it is marked"
    reads(page)
    visit.kept()
    page.get_by_role("button", name="hand in").click()
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save the file").click()
    back = tmp_path / "back"
    back.mkdir()
    saved.value.save_as(back / saved.value.suggested_filename)
    report = mark(back, tmp_path / "marks", SECRET, key=made.folder, book=Book())
    assert str(report).startswith("1 of 1 papers marked, 100 % on average")
    visit.close()
