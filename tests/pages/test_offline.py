"""Pages without a server: what is built from what, and the session in a worker; no browser here."""

from __future__ import annotations

import ast
import io
import json
import os
import re
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath import cli
from enginemath.pages.offline import build, python_for_browsers
from enginemath.pages.offline.build import MARK, build_site, integrity
from enginemath.pages.offline.in_worker import Host
from enginemath.pages.offline.library import LIBRARIES, library
from enginemath.pages.offline.licences import write_licences
from enginemath.pages.offline.one_file import lettered
from enginemath.pages.offline.python_for_browsers import NO_USE_IN_A_PAGE
from enginemath.pages.work import read_work
from enginemath.units import Refused


def _imported(source: bytes) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module)
    return found


class TestWhatIsBuilt:
    @given(st.binary(max_size=200))
    def test_letters_read_back(self, data: bytes) -> None:
        """As `unlettered` in line.js reads them."""
        bits = "".join(f"{ord(letter) - 0x1000:015b}" for letter in lettered(data))
        found = [int(bits[at : at + 8], 2) for at in range(0, 8 * len(data), 8)]
        assert bytes(found) == data
        assert len(lettered(data)) == -(-8 * len(data) // 15)

    @given(st.binary(min_size=1, max_size=60))
    def test_no_letter_is_mark_up_or_half_a_letter(self, data: bytes) -> None:
        assert all(0x1000 <= ord(letter) <= 0x8FFF for letter in lettered(data))

    def test_hashes_are_as_browsers_check_them(self) -> None:
        """Source: W3C, Subresource Integrity, the example of its section on metadata."""
        told = "sha384-H8BRh8j48O9oYatfu5AZzq6A9RINhZO5H16dQZngK7T62em8MUt1FLm52t+eX6xO"
        assert integrity(b"alert('Hello, world.');") == told

    def test_the_library_holds_no_key_no_results_and_no_server(self) -> None:
        with zipfile.ZipFile(io.BytesIO(library())) as archive:
            names = archive.namelist()
            lessons = [name for name in names if name.endswith(".ipynb")]
            assert len(lessons) == 12
            for name in lessons:
                cells = json.loads(archive.read(name))["cells"]
                assert not any(cell.get("outputs") for cell in cells)
                assert not any("instructor" in cell["metadata"].get("tags", []) for cell in cells)
        apart = ("/marking/", "server", "/solved/", "/pages/offline/b")
        assert not [name for name in names if any(each in name for each in apart)]
        assert not [n for n in names if n.endswith((".so", ".pyd", ".dylib", ".pyc"))]

    def test_the_library_is_all_that_the_pages_need(self, tmp_path: Path) -> None:
        """No package of this environment is at hand, as in a browser; all lessons open."""
        with zipfile.ZipFile(io.BytesIO(library())) as archive:
            archive.extractall(tmp_path)
        code = (
            f"import sys; sys.path.insert(0, {str(tmp_path)!r})\n"
            "sys.path = [each for each in sys.path if 'site-packages' not in each]\n"
            "from enginemath.pages.offline import in_worker; in_worker.get_ready()\n"
            "import enginemath; print(enginemath.__file__)"
        )
        done = subprocess.run([sys.executable, "-IS", "-c", code], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr[-1000:]
        assert str(tmp_path) in done.stdout

    def test_nothing_imports_what_stays_behind(self) -> None:
        """Whoever may run in a page finds its part of the standard library there."""
        lacks = set()
        with zipfile.ZipFile(io.BytesIO(library())) as archive:
            for file in archive.namelist():
                for name in _imported(archive.read(file)) if file.endswith(".py") else ():
                    path = name.replace(".", "/")
                    if f"{path}.py".startswith(NO_USE_IN_A_PAGE) or f"{path}/".startswith(
                        NO_USE_IN_A_PAGE
                    ):
                        lacks.add(f"{file}: {name}")
        never_called = {"docutils/nodes.py: xml.dom", "docutils/nodes.py: xml.dom.minidom"}
        no_processes_there = {"enginemath/classroom/in_parallel.py: multiprocessing"}
        assert lacks == never_called | no_processes_there

    def test_the_same_files_make_the_same_library(self) -> None:
        assert library() == library()

    def test_every_library_brings_its_licence_and_its_source(self, tmp_path: Path) -> None:
        write_licences(tmp_path)
        told = (tmp_path / "README.txt").read_text(encoding="utf-8")
        for name in ("enginemath", *LIBRARIES):
            line = next(line for line in told.splitlines() if line.startswith(f"{name} "))
            texts = line.partition(": ")[2].split(", ")
            assert all((tmp_path / text).stat().st_size > 40 for text in texts), name
        assert told.count("source: https://") == len(LIBRARIES) + 2
        assert "Mozilla Public License Version 2.0" in (tmp_path / "MPL-2.0.txt").read_text()


def test_the_scripts_of_a_page_share_no_name() -> None:
    """All stand in one scope: a name that two of them declare ends both."""
    pages = Path(build.__file__).parents[1]
    scripts = [
        *pages.glob("site/*.js"),
        pages / "offline/web/line.js",
        pages / "offline/web/sheets.js",
    ]
    seen: dict[str, str] = {}
    for script in scripts:
        text = script.read_text(encoding="utf-8")
        starts = re.findall(
            r"^(?:const|let|var) (.*)|^(?:async )?(?:function|class) (\w+)", text, re.M
        )
        names = [name for line, name in starts if name]
        names += [
            n
            for line, _ in starts
            for n in re.findall(r"(?:^|, )([A-Za-z_$][\w$]*) =(?!=|>)", line)
        ]
        for name in {*names}:
            assert seen.setdefault(name, script.name) == script.name, name
    assert len(seen) > 100


class TestWhatIsMissing:
    def test_another_file_is_not_taken_for_pyodide(self, tmp_path: Path) -> None:
        other = tmp_path / "pyodide.tgz"
        other.write_bytes(b"not it")
        with pytest.raises(Refused, match=r"^pyodide.tgz is not npm's file of pyodide [\d.]+, or"):
            python_for_browsers.unpack(tmp_path, other)
        with pytest.raises(Refused, match=r"none\.tgz cannot be read: No such file"):
            python_for_browsers.unpack(tmp_path, tmp_path / "none.tgz")

    def test_without_npm_it_says_what_brings_it(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("PATH", str(tmp_path))
        with pytest.raises(Refused, match=r"^npm is missing: .*Node\.js, which brings npm"):
            python_for_browsers.unpack(tmp_path)

    @pytest.mark.skipif(os.name == "nt", reason="a shell script stands in for npm")
    def test_without_a_network_it_says_what_to_bring(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        npm = tmp_path / "npm"
        npm.write_text("#!/bin/sh\nexit 1\n")
        npm.chmod(npm.stat().st_mode | stat.S_IXUSR)
        monkeypatch.setenv("PATH", str(tmp_path))
        with pytest.raises(Refused, match=r"a network\? Else bring the file .* --pyodide$"):
            python_for_browsers.unpack(tmp_path)

    def test_a_folder_with_something_else_is_left_alone(self, tmp_path: Path) -> None:
        (tmp_path / "thesis.txt").write_text("mine")
        with pytest.raises(Refused, match="holds something else: name a new folder"):
            build_site(tmp_path)
        (tmp_path / MARK).write_text("{}")  # once built here, it may be built anew
        with pytest.raises(Refused, match=r"cannot be read"):
            build_site(tmp_path, pyodide=tmp_path / "none.tgz")
        assert (tmp_path / "thesis.txt").read_text() == "mine"
        with pytest.raises(Refused, match="is a file: name a folder"):
            build_site(tmp_path / "thesis.txt")

    def test_the_command_says_it_in_one_line(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        brought = str(tmp_path / "none.tgz")
        assert cli.main(["site", "--out", str(tmp_path / "site"), "--pyodide", brought]) == 2
        assert capsys.readouterr().err.count("\n") == 1
        assert not (tmp_path / "site").exists()


class Browser:
    """Windows of one browser: what one keeps, the others are told, as line.js does it."""

    def __init__(self, folder: Path):
        self.folder, self.files, self.windows = folder, dict[str, str](), list[Host]()
        self.pushed: list[tuple[int, str]] = []

    def open(self) -> Host:
        folder = self.folder / str(len(self.windows))
        number = len(self.windows)
        told = lambda text: self.pushed.append((number, json.loads(text)["show"]))  # noqa: E731
        self.windows.append(Host(json.dumps(self.files), False, told, folder))
        return self.windows[-1]

    def say(self, window: Host, **message: object) -> list[dict]:
        files, *told = map(json.loads, window.take(json.dumps(message)).split("\n"))
        self.files |= files
        if files:
            for other in self.windows:
                if other is not window:
                    other.changed_elsewhere(json.dumps(files))
        return told


class TestInAWorker:
    LESSON = "02-two-volumes-one-ratio"

    @pytest.fixture
    def browser(self, tmp_path: Path) -> Browser:
        return Browser(tmp_path)

    def guessed(self, browser: Browser, window: Host) -> list[dict]:
        browser.say(window, do="open", lesson=self.LESSON)
        browser.say(window, do="on", step=1)
        return browser.say(window, do="guess", step=2, text="about 9")

    def steps_of(self, browser: Browser, window: Host) -> list[dict]:
        told = browser.say(window, do="open", lesson=self.LESSON)
        return [each for each in told if each["show"] in ("lesson", "step")]

    def test_what_is_kept_is_there_again(self, browser: Browser) -> None:
        told = self.guessed(browser, browser.open())
        assert [each["show"] for each in told][-1] == "kept"
        assert list(browser.files) == ["my-work.json"]
        (text,) = browser.files.values()
        guesses = read_work(text)["lessons"][self.LESSON]["guesses"].values()
        assert [guess["text"] for guess in guesses] == ["about 9"]
        again = browser.say(browser.open(), do="open", lesson=self.LESSON)
        assert again[0]["at"] == 2
        (asked,) = [each for each in again if each["show"] == "step" and each["step"] == 2]
        assert asked["guess"]["text"] == "about 9"

    def test_practice_moves_a_picture_and_leaves_no_trace(self, browser: Browser) -> None:
        """What the browser is to make quick is what a key does, each time with another picture."""
        window = browser.open()
        self.guessed(browser, window)
        before = self.steps_of(browser, window)
        opened, *moved = [each.split("\n") for each in window.practice()]
        assert json.loads(opened[1])["show"] == "lesson"
        pictures = {json.loads(told)["svg"] for files, told in moved if files == "{}"}
        assert len(pictures) == len(moved) >= 60
        assert self.steps_of(browser, window) == before
        assert list(browser.files) == ["my-work.json"]
        assert browser.pushed == []

    def test_only_what_has_changed_comes_back(self, browser: Browser) -> None:
        window = browser.open()
        self.guessed(browser, window)
        files, *_ = window.take(json.dumps({"do": "map"})).split("\n")
        assert files == "{}"

    def test_two_windows_lose_nothing(self, browser: Browser) -> None:
        first, second = browser.open(), browser.open()
        self.guessed(browser, first)
        browser.say(second, do="who", name="Student Seven", id="T-07")
        browser.say(first, do="on", step=2)
        (work,) = (read_work(text) for text in browser.files.values())
        assert work["student"]["id"] == "T-07"
        assert work["lessons"][self.LESSON]["reached"] == 3
        assert browser.say(second, do="open", lesson=self.LESSON)[0]["at"] == 3

    def test_a_window_on_the_same_lesson_alone_is_told(self, browser: Browser) -> None:
        """As at home: of what was entered, not of a step that was gone on to."""
        first, second, third = browser.open(), browser.open(), browser.open()
        browser.say(second, do="open", lesson=self.LESSON)
        browser.say(third, do="open", lesson="01-bore-and-stroke")
        browser.say(first, do="open", lesson=self.LESSON)
        browser.say(first, do="on", step=1)
        assert browser.pushed == []
        browser.say(first, do="guess", step=2, text="about 9")
        assert browser.pushed == [(1, "changed")]

    def test_the_file_handed_in_is_that_of_home(self, browser: Browser) -> None:
        window = browser.open()
        self.guessed(browser, window)
        browser.say(window, do="who", name="Student Seven", id="T-07")
        (file,) = browser.say(window, do="hand in")
        assert file["name"] == "T-07-handed-in.json"
        handed_in = read_work(file["text"])
        (kept,) = (read_work(text) for text in browser.files.values())
        assert {**handed_in, "handed_in": 0} == {**kept, "handed_in": 0}

    def test_file_names_from_the_page_stay_in_the_folder(self, tmp_path: Path) -> None:
        Host(json.dumps({"../outside.json": "{}"}), False, lambda _: None, tmp_path / "work")
        assert [path.name for path in tmp_path.rglob("*.json")] == ["outside.json"]
        assert (tmp_path / "work" / "outside.json").exists()
