"""The static pages in Chromium: nothing but this computer answers, and often nobody does."""

from __future__ import annotations

import csv
import gzip
import json
import re
import zipfile
from collections.abc import Iterator
from functools import cache
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w

from enginemath import cli
from enginemath.classroom.commands import mark
from enginemath.classroom.sets.givens import givens
from enginemath.classroom.sets.key import Entry, read_key
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.pages.desk import Desk
from enginemath.pages.lesson_book import Book
from enginemath.pages.session import Session
from enginemath.pages.steps import lesson_named, lesson_names
from enginemath.pages.work import read_work
from tests.browser.site import SECRET, Server, built_class, built_site, served

pytestmark = pytest.mark.browser

LESSON = "02-two-volumes-one-ratio"
PICTURE = "figure .picture svg"
STARTS = 90_000
"""Milliseconds; a busy machine that starts Python without the picture takes long."""


@pytest.fixture(scope="module")
def site() -> Path:
    return built_site()


@pytest.fixture
def server(site: Path) -> Iterator[Server]:
    with served(site) as server:
        yield server


@pytest.fixture
def window(browser: Any) -> Iterator[Any]:
    """A browser of its own; what it asks of anybody else is an error."""
    context = browser.new_context(viewport={"width": 1366, "height": 768}, accept_downloads=True)
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    yield context
    context.close()
    others = [url for url in asked if not re.match(r"http://127\.0\.0\.1:|file:|data:|blob:", url)]
    assert others == []


def opened(window: Any, address: str, start: str = "picture") -> Any:
    """A page, as soon as its picture is there."""
    page = window.new_page()
    page.set_default_timeout(STARTS)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(address)
    page.wait_for_selector(PICTURE)
    assert faults == []
    assert page.evaluate("enginemathTimes.start") == start
    return page


def guess(page: Any) -> None:
    """Go on to the guess, and give it; back once it lies in the browser's storage.

    That the page says "kept" is not enough: it says so of going on, too.
    """
    page.click("section:not([hidden]) .on")
    page.fill("[name=guess]", "about nine")
    page.keyboard.press("Tab")
    page.wait_for_function(
        "async () => Object.values(await kept.all()).some((text) => text.includes('about nine'))"
    )
    page.wait_for_function("document.querySelector('.kept').textContent.startsWith('kept')")


def move(page: Any) -> None:
    """Open the panel and turn its first handle by a key: the picture follows."""
    page.click("section:not([hidden]) .on")
    box = page.locator("section:not([hidden]) input[name=guess]")
    box.wait_for()
    box.fill("44 mm")
    page.keyboard.press("Enter")
    slider = page.locator("figure [role=slider]:not([aria-disabled=true]):visible").first
    slider.focus()
    before = page.inner_html(PICTURE)
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "before => document.querySelector('figure .picture svg').innerHTML !== before", arg=before
    )


def hand_in(
    page: Any, folder: Path, name: str = "Student Seven", id: str = "T-07"
) -> dict[str, Any]:
    """The work that the button saves; `mark` takes it, too."""
    page.click("#hand")
    page.fill("#who", name)
    page.fill("#id", id)
    with page.expect_download() as download:
        page.click("dialog [value=save]")
    saved = folder / "back" / download.value.suggested_filename
    download.value.save_as(saved)
    report = mark(saved.parent, folder / "marks", book=Book())
    assert report.lessons is not None
    assert id in [one.student.id for one in report.lessons.came]
    return read_work(saved.read_text(encoding="utf-8"))


def sheets_of_the_class() -> list[Entry]:
    return list(read_key(built_class() / "instructor" / "key.json", ClassSecret(SECRET)).entries)


def words_of(student: Student) -> str:
    """As they stand on the slip."""
    text = (built_class() / "slips" / "words.csv").read_text(encoding="utf-8-sig")
    return next(row["words"] for row in csv.DictReader(StringIO(text)) if row["id"] == student.id)


def open_sheet(page: Any, id: str, words: str) -> None:
    page.fill("[name='sheet of']", id)
    page.fill("[name='sheet words']", words)
    page.click("text=open my sheet")


def guessed(work: dict[str, Any]) -> str:
    """The first guess of the lesson, as it is kept."""
    return next(iter(work["lessons"][LESSON]["guesses"].values()))["text"]


def test_a_lesson_lives_is_kept_and_handed_in(window: Any, server: Server, tmp_path: Path) -> None:
    page = opened(window, f"{server.address}#{LESSON}")
    guess(page)
    again = opened(window, f"{server.address}#{LESSON}")  # beside the first one
    move(page)
    again.wait_for_selector("section:nth-of-type(3)", state="attached")
    page.close()
    again.reload()
    again.wait_for_selector("section:nth-of-type(3)", state="attached")
    work = hand_in(again, tmp_path)
    assert work["student"] == {"name": "Student Seven", "id": "T-07"}
    assert guessed(work) == "about nine"
    assert work["lessons"][LESSON]["reached"] == 3


def begin_an_engine(page: Any) -> None:
    """From the map: a new engine of one cylinder, and its first two readings."""
    page.click(".own-engines summary")
    page.fill("[aria-label='name of the engine']", "bay3")
    page.fill("[aria-label=cylinders]", "1")
    page.click(".own-engines .new button")
    for number in (1, 2):
        page.wait_for_selector(f".kind >> text=/^{number} of/")
        page.fill("#entry", "0.35")
        page.press("#entry", "Enter")
    page.wait_for_selector(".kind >> text=/^3 of/")


def read_by_the_command(page: Any, folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """Save the readings, and give what `enginemath ratio` says of the saved files."""
    saved = []
    page.on("download", lambda download: saved.append(download))
    page.click("#save")
    page.wait_for_selector("text=saved as bay3.toml")
    for download in saved:
        download.save_as(folder / download.suggested_filename)
    capsys.readouterr()
    assert cli.main(["ratio", str(folder / "bay3.toml")]) == 2  # the other readings are missing
    return capsys.readouterr().err


def test_it_opens_with_the_server_stopped_and_says_that_it_is_newer(
    window: Any, site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with served(site) as server:
        page = opened(window, f"{server.address}#{LESSON}")
        guess(page)
        page.wait_for_function(
            "() => navigator.serviceWorker.controller !== null"
        )  # kept, and in use
        page.close()
        server.asked.clear()
        page = opened(window, f"{server.address}#{LESSON}")
        assert not [path for path in server.asked if "edition-" in path]  # no byte a second time
        keeper = (site / "keeper.js").read_text(encoding="utf-8")
        newer = keeper.replace('"edition": "', '"edition": "edition-next-')
        server.instead["keeper.js"] = newer.encode()
        older = page  # while no window is open, the newer edition would come without asking
        page = opened(window, f"{server.address}#{LESSON}")
        page.wait_for_selector(".of-site button", timeout=20_000)
        page.click(".home")  # what is said of the work does not take its place
        page.wait_for_selector(".lies")
        with page.expect_navigation():
            page.click(".of-site button")
        page.wait_for_selector(PICTURE)
        older.close()
        begin_an_engine(page)
        page.close()
    page = opened(window, f"{server.address}#{LESSON}")
    assert page.input_value("[name=guess]") == "about nine"
    page.goto(f"{server.address}#own/bay3.toml")
    page.wait_for_selector(".kind >> text=/^3 of/")
    page.click("#all")
    assert page.input_value("[data-line='2']") == "0.35 mm"
    missing = read_by_the_command(page, tmp_path, capsys)
    assert "readings missing: bore," in missing
    assert "deck clearance" not in missing


def test_the_one_file_opens_from_the_disk(window: Any, site: Path, tmp_path: Path) -> None:
    page = opened(window, f"{(site / 'enginemath.html').as_uri()}#{LESSON}")
    guess(page)
    move(page)
    page.reload()
    page.wait_for_selector("section:nth-of-type(3):not([hidden])")
    work = hand_in(page, tmp_path)
    assert guessed(work) == "about nine"
    page.click(".home")
    whose = sheets_of_the_class()[1].student
    open_sheet(page, whose.id, words_of(whose))
    page.wait_for_selector(".my-sheet a")
    assert whose.name in page.inner_text(".who")


HOLDS = """async (text) => {
    const asked = indexedDB.open("enginemath", 1);
    const base = await new Promise(done => { asked.onsuccess = () => done(asked.result); });
    const all = base.transaction("work").objectStore("work").getAll();
    const files = await new Promise(done => { all.onsuccess = () => done(all.result); });
    base.close();
    return JSON.stringify(files).includes(text);
}"""
"""Whether the browser's storage holds a text."""


def test_a_student_opens_their_own_sheet_alone_and_it_is_marked(
    window: Any, server: Server, tmp_path: Path
) -> None:
    ours, another, _ = sheets_of_the_class()
    student = ours.student
    page = opened(window, server.address)
    open_sheet(page, student.id, words_of(another.student))
    page.wait_for_selector("text=no sheet opens with this id and these words")
    assert page.locator(".my-sheet").count() == 0
    open_sheet(page, student.id.upper(), words_of(student).title().replace(" ", " - "))
    page.click(".my-sheet a")
    page.click("section:not([hidden]) .on")
    question = ours.assignment.questions[0]
    box = page.locator(f"[name='box {question.name}']")
    written = ours.assignment.written(question.name)
    box.fill(written)
    box.press("Enter")
    page.wait_for_selector(".verdict.right")
    page.wait_for_function(HOLDS, arg=written)
    page.reload()  # it needs no words a second time
    page.wait_for_selector(f"[name='box {question.name}']")
    hand_in(page, tmp_path, student.name, student.id)
    report = mark(tmp_path / "back", tmp_path / "again", SECRET, None, built_class(), Book())
    assert report.marks is not None
    scores = {one.student.id: one.score for one in report.marks.returned}
    assert scores == {student.id: 1}


def test_no_byte_of_the_site_tells_of_a_student_or_their_engine(site: Path) -> None:
    """All files of the folder, unpacked, and all that lies in the one file."""
    told = [SECRET]
    for entry in sheets_of_the_class():
        lines = sorted(tomli_w.dumps(entry.written).splitlines(), key=len)[-3:]
        told += [*lines, *(json.dumps(line)[1:-1] for line in lines)]
        told += [f"| {what} | {read} |" for what, read in givens(entry.assignment)][-3:]
        told += [entry.student.name, entry.student.id, entry.tag, words_of(entry.student)]
        told += [entry.assignment.written("swept_volume")]
    needles = [each.encode() for each in told]
    seen = {}
    for data in everything_in(site):
        known = hash(data)
        if known not in seen:
            seen[known] = len(data)
            assert [each for each in needles if each in data] == []
    assert sum(seen.values()) > 60e6
    notebook = next((built_class() / "students").glob("*.ipynb")).read_bytes()
    assert sum(each in notebook for each in needles) >= 5  # so they would be found


def everything_in(site: Path) -> Iterator[bytes]:
    for file in site.rglob("*"):
        if file.is_file():
            yield from unpacked(file.read_bytes())
    page = (site / "enginemath.html").read_bytes().decode("utf-16")
    for size, letters in re.findall(r'data-size="(\d+)"[^>]*>([^<]*)</script>', page):
        yield from unpacked(unlettered(letters, int(size)))
    yield page.encode()


def unpacked(data: bytes) -> Iterator[bytes]:
    yield data
    if data.startswith(b"\x1f\x8b"):
        yield from unpacked(gzip.decompress(data))
    if data.startswith(b"PK"):
        with zipfile.ZipFile(BytesIO(data)) as archive:
            yield from map(archive.read, archive.namelist())


def unlettered(letters: str, size: int) -> bytes:
    """As line.js reads them: 15 bits a letter."""
    held = np.frombuffer(letters.encode("utf-16-be"), ">u2") - 0x1000
    bits = np.unpackbits(held.astype(">u2").view(np.uint8).reshape(-1, 2), axis=1)[:, 1:]
    return np.packbits(bits.ravel()[: 8 * size]).tobytes()


REPLIES = """
async ([messages, end]) => {
  const line = lineToPython(true), said = [];
  const pause = () => new Promise((done) => setTimeout(done, 50));
  await new Promise((done) => { line.onopen = done; line.onmessage = () => {}; });
  line.onmessage = ({ data }) => said.push(JSON.parse(data));
  for (const message of [...messages, { do: end }]) line.send(JSON.stringify(message));
  while (!said.some((each) => each.says && each.says.includes(end))) await pause();
  return said;
}
"""


def every_step(name: str) -> list[dict[str, Any]]:
    """Messages that open a lesson, uncover every step and go on to the last."""
    messages: list[dict[str, Any]] = [{"do": "open", "lesson": name}]
    last = len(lesson_named(name).steps)
    for step in range(1, last + 1):
        messages.append({"do": "uncover", "step": step})
        if step < last:
            messages.append({"do": "on", "step": step})
    return messages


@cache
def every_message() -> list[dict[str, Any]]:
    return [message for name in lesson_names() for message in every_step(name)]


@cache
def told_at_home() -> list[dict[str, Any]]:
    session = Session(Desk(None), projector=True)
    messages = [*every_message(), {"do": "that was all"}]
    return [json.loads(text) for message in messages for text in session.take(json.dumps(message))]


def renumbered(messages: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Panels are numbered through as long as a Python lives: here from the first that is seen."""
    text, seen = json.dumps(messages), dict[str, str]()
    text = re.sub(r"\bem\d+\b", lambda at: seen.setdefault(at[0], f"em#{len(seen)}"), text)
    found: list[dict[str, Any]] = json.loads(text)
    return found


@pytest.mark.parametrize("start", ["picture", "ordinary"])
def test_every_lesson_says_and_draws_what_it_does_at_home(
    window: Any, server: Server, start: str
) -> None:
    """From the picture of Python's memory, and where it cannot be had: all texts and drawings."""
    if start == "ordinary":
        server.instead["memory.bin"] = b"cut off"
    page = opened(window, server.address, start=start)
    said = renumbered(page.evaluate(REPLIES, [every_message(), "that was all"]))
    home = renumbered(told_at_home())
    assert len(said) == len(home) > 20 * len(lesson_names())
    for here, there in zip(said, home, strict=True):
        assert here == there


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("data.bin", None),
        ("python_stdlib.zip", b"cut off"),
        ("lesson.js", b"cut off"),
        ("record.js", None),
        ("worker.js", b"cut off"),
        ("page.css", b"cut off"),
    ],
)
def test_half_a_site_is_said_in_a_sentence(
    window: Any, server: Server, name: str, data: bytes | None
) -> None:
    server.instead[name] = data
    page = window.new_page()
    page.goto(server.address)
    alert = page.wait_for_selector("[role=alert]", timeout=STARTS)
    assert alert.inner_text().startswith(f"These pages cannot start: the file {name} of this site")


def test_a_page_that_never_starts_says_what_it_needs(window: Any, server: Server) -> None:
    server.instead["line.js"] = None
    page = window.new_page()
    page.goto(server.address)
    page.wait_for_selector("text=they need WebAssembly and workers, as Chromium", timeout=STARTS)


LACKS = {
    "WebAssembly": ("delete globalThis.WebAssembly", "it lacks WebAssembly"),
    "workers": ("delete globalThis.Worker", "it lacks workers"),
    "DecompressionStream": (
        "delete globalThis.DecompressionStream",
        "it lacks DecompressionStream",
    ),
    "leave": (
        "Worker = function () { throw new DOMException('no', 'SecurityError'); }",
        "They need WebAssembly and workers",
    ),
}


@pytest.mark.parametrize(
    ("start", "what"),
    [*(("folder", what) for what in LACKS), ("one file", "WebAssembly"), ("one file", "leave")],
)
def test_what_a_browser_lacks_is_named(
    window: Any, server: Server, site: Path, start: str, what: str
) -> None:
    without, says = LACKS[what]
    window.add_init_script(without)
    page = window.new_page()
    address = (site / "enginemath.html").as_uri() if start == "one file" else server.address
    page.goto(address, wait_until="commit")
    alert = page.wait_for_selector("[role=alert]", timeout=STARTS)
    assert alert.inner_text().startswith("These pages cannot start: this browser ")
    assert says in alert.inner_text()


def test_workers_that_take_no_modules_are_named(window: Any, server: Server, site: Path) -> None:
    worker = next(site.glob("edition-*/worker.js")).read_text(encoding="utf-8")
    refused = "Promise.reject(new TypeError('import() is not supported'))"
    server.instead["worker.js"] = worker.replace("import(address)", refused).encode()
    page = window.new_page()
    page.goto(server.address)
    alert = page.wait_for_selector("[role=alert]", timeout=STARTS)
    assert "too old for these pages: its workers take no modules" in alert.inner_text()


def test_where_nothing_may_be_kept_the_file_still_works(
    window: Any, server: Server, tmp_path: Path
) -> None:
    window.add_init_script(  # as a browser does where cookies are blocked
        "const no = function () { throw new DOMException('no', 'SecurityError'); };"
        "indexedDB.open = no; window.BroadcastChannel = no;"
    )
    server.unknown = (".wasm", ".mjs", ".bin")  # nor does this host know its kinds of file
    page = opened(window, server.address)
    assert "This browser keeps nothing here" in page.inner_text("[role=alert]")
    page.goto(f"{server.address}#{LESSON}")
    page.wait_for_selector("section")
    page.click("section:not([hidden]) .on")
    page.fill("[name=guess]", "about nine")
    page.keyboard.press("Tab")
    page.wait_for_selector("text=This browser keeps nothing here")
    work = hand_in(page, tmp_path)
    assert guessed(work) == "about nine"


def test_the_map_says_where_the_work_lies_and_reads_well(window: Any, server: Server) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = opened(window, server.address)
    assert "in this browser, on this computer" in page.inner_text(".lies >> nth=0")
    assert "made and marked where Python is installed" in page.inner_text(".lies >> nth=1")
    assert page.locator("[href$='.ipynb']").count() == 0
    with window.expect_page() as licences:
        page.click("text=licences")
    assert "Mozilla" not in licences.value.url
    assert "MPL-2.0" in licences.value.inner_text("body")
    found = Axe().run(page).response["violations"]
    assert [each["id"] for each in found if each["impact"] in ("serious", "critical")] == []
