"""Two lessons worked from top to bottom in JupyterLab with the keyboard alone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import nbformat
import pytest

from .conftest import LESSONS, stop_kernels
from .test_lessons import Visit

pytestmark = pytest.mark.browser
SOLVED = LESSONS.parent / "instructor" / "solved"

CELL = "const cell = document.querySelectorAll('.jp-Notebook .jp-Cell')[place];"
IN_HAND = f"""([place]) => {{ {CELL}
    return cell && cell.matches('.jp-mod-active') && cell.contains(document.activeElement); }}"""
DONE = f"""([place]) => {{ {CELL}
    return cell.matches('.jp-MarkdownCell')
        ? cell.matches('.jp-mod-rendered')
        : /\\[\\d+\\]/.test(cell.querySelector('.jp-InputArea-prompt').textContent); }}"""
WRITING = f"""([place]) => {{ {CELL}
    return document.activeElement === cell.querySelector('.cm-content'); }}"""
WRITTEN = f"""([place, source]) => {{ {CELL}
    const lines = [...cell.querySelectorAll('.cm-line')].map(line => line.textContent);
    return lines.join('\\n') === source; }}"""
HAS_KEYBOARD = "node => node === document.activeElement"
IS_SEEN = """node => { const style = getComputedStyle(node);
    return style.outlineStyle !== 'none' || style.boxShadow !== 'none'; }"""
HANDLE = """() => { const handle = document.activeElement;
    return handle.matches('.noUi-handle') && [handle.getAttribute('aria-valuetext'),
        handle.closest('.em-panel').querySelector('.em-drawing svg').outerHTML]; }"""


class Student:
    """Someone with a keyboard and eyes: keys are pressed, and the page is only looked at."""

    def __init__(self, page: Any, lesson: str):
        self.page, self.keyboard = page, page.keyboard
        solved = nbformat.read(SOLVED / f"{lesson}.ipynb", as_version=4)
        self.cells = [cell for cell in solved.cells if "instructor" not in tags(cell)]
        self.panel = page.locator(".em-panel")

    def until(self, condition: str, *arguments: Any) -> None:
        """Look until something is so."""
        self.page.wait_for_function(condition, arg=list(arguments), timeout=60_000)

    def work(self, at_the_panel: Callable[[Student], None]) -> None:
        """Work the lesson: every cell from the first to the last, the panel, the answers."""
        assert sum(map(opens_panel, self.cells)) == 1
        self.page.get_by_text("| Idle").first.wait_for(timeout=60_000)
        for place, cell in enumerate(self.cells):
            self.until(IN_HAND, place)
            if "answer" in tags(cell):
                self.write(place, cell.source)
            self.keyboard.press("Shift+Enter")
            self.until(DONE, place)
            if cell.cell_type == "code":
                self.hear(place, cell)
            if opens_panel(cell):
                self.into_the_panel(place)
                at_the_panel(self)
                self.back_from_the_panel(place)

    def write(self, place: int, source: str) -> None:
        """Put other code into the cell in hand."""
        self.keyboard.press("Enter")
        self.until(WRITING, place)
        self.keyboard.press("Control+A")
        self.keyboard.type(source)
        self.until(WRITTEN, place, source)

    def hear(self, place: int, cell: Any) -> None:
        """What a cell prints is what the solved lesson has stored."""
        from playwright.sync_api import expect

        printed = "".join(output.text for output in cell.outputs if output.output_type == "stream")
        shown = self.page.locator(".jp-Notebook .jp-Cell").nth(place)
        shown = shown.locator('.jp-OutputArea-output[data-mime-type*="stdout"] pre')
        if printed:
            expect(shown).to_have_js_property("textContent", printed, timeout=20_000)

    def into_the_panel(self, place: int) -> None:
        """Up from the next cell; from there the Tab key leads into the panel."""
        self.panel.locator(".em-drawing svg").wait_for(timeout=60_000)
        self.until(IN_HAND, place + 1)
        self.keyboard.press("ArrowUp")
        self.until(IN_HAND, place)

    def back_from_the_panel(self, place: int) -> None:
        """Escape leads to the panel's cell, an arrow key to the next one."""
        self.keyboard.press("Escape")
        self.until(f"([place]) => {{ {CELL} return document.activeElement === cell; }}", place)
        self.keyboard.press("ArrowDown")
        self.until(IN_HAND, place + 1)

    def tab_to(self, role: str, name: str, key: str = "Tab") -> Any:
        """Press Tab until a part of the panel has the keyboard, and shows that it has it."""
        numbered = re.compile(rf"^(\d\. )?{re.escape(name)}$")
        goal = self.panel.get_by_role(role, name=numbered)
        for _ in range(40):
            self.keyboard.press(key)
            if goal.evaluate(HAS_KEYBOARD):
                assert goal.evaluate(IS_SEEN), f"{name}: the focus can be seen"
                return goal
        raise AssertionError(f"no way to the {role} {name!r} with {key}")

    def enter(self, text: str) -> None:
        """Type into the box in hand, in place of what is there."""
        self.keyboard.press("Control+A")
        self.keyboard.type(text)
        self.keyboard.press("Enter")

    def reply(self, words: str) -> None:
        """The reply to what was entered has come, and the keyboard has not got lost."""
        self.until("([words]) => document.activeElement.matches('.em-feedback')"
                   " && document.activeElement.textContent.includes(words)", words)  # fmt: skip

    def told(self, words: str) -> None:
        """What was answered is out of the way, and the keyboard is at the words of what is next."""
        self.until("([words]) => document.activeElement.matches('.em-status')"
                   " && document.activeElement.textContent.includes(words)", words)  # fmt: skip

    def move(self, key: str) -> str:
        """An arrow key moves the handle in hand and the picture; what the handle then says."""
        before = self.page.evaluate(HANDLE)
        self.keyboard.press(key)
        self.until(f"""([before]) => {{ const now = ({HANDLE})();
            return now && now[0] !== before[0] && now[1] !== before[1]; }}""", before)  # fmt: skip
        return self.page.evaluate(HANDLE)[0]

    def press(self, name: str, key: str = "Enter", *, back: bool = False) -> None:
        """Go to a button and press it; the picture answers, and the button keeps the keyboard."""
        button = self.tab_to("button", name, "Shift+Tab" if back else "Tab")
        self.press_again(key)
        assert button.evaluate(HAS_KEYBOARD)

    def press_again(self, key: str) -> None:
        """Press a key where the keyboard is; the picture answers."""
        picture = self.panel.locator(".em-drawing svg").evaluate("svg => svg.outerHTML")
        self.keyboard.press(key)
        self.until("([before]) => document.querySelector('.em-panel .em-drawing svg').outerHTML"
                   " !== before", picture)  # fmt: skip

    def says(self, words: str) -> None:
        """The panel says something below its picture."""
        self.panel.locator(".em-status").get_by_text(words).wait_for()


def tags(cell: Any) -> list[str]:
    """How a cell is marked."""
    return cell.metadata.get("tags", [])


def opens_panel(cell: Any) -> bool:
    """Whether a cell of the solved lesson shows a panel."""
    return any("<panel" in str(output.get("data", "")) for output in cell.get("outputs", []))


@pytest.fixture
def visit(browser: Any, lab: str, request: pytest.FixtureRequest) -> Iterator[Visit]:
    """A lesson just opened, in a workspace that no other test has seen."""
    place = f"lab/workspaces/keyboard-{request.param[:2]}/tree/lessons/{request.param}.ipynb"
    visit = Visit(browser, f"{lab}/{place}")
    yield visit
    visit.page.close()
    stop_kernels(lab)


def nothing_went_wrong(visit: Visit) -> None:
    """No error in the console or below a cell, and no other host was asked."""
    wrong = ", ".join(f'[data-mime-type*="{kind}"]' for kind in ("stderr", "jupyter.error"))
    assert visit.page.locator(wrong).count() == 0
    assert visit.errors == []
    assert visit.hosts <= {"127.0.0.1"}


@pytest.mark.parametrize("visit", ["07-add-it-up"], indirect=True)
def test_add_it_up(visit: Visit) -> None:
    Student(visit.page, "07-add-it-up").work(guess_and_move)
    nothing_went_wrong(visit)


def guess_and_move(student: Student) -> None:
    """Guess, move a slider, type a bad value and one beyond the slider's end, reset, zoom in."""
    student.tab_to("textbox", "Heron Four: Your guess for the compression ratio of cylinder 1:")
    student.enter("9.0")
    student.reply("You guessed 9.00")
    handle = student.tab_to("slider", "chamber")
    assert student.move("ArrowRight") == "47.00 cc"
    assert student.move("ArrowUp") == "47.10 cc"
    assert student.move("PageDown") == "46.60 cc"
    box = student.tab_to("textbox", "chamber", "Shift+Tab")
    student.enter("80 mm")
    student.panel.locator("input[aria-invalid=true]").wait_for()
    assert handle.get_attribute("aria-valuetext") == "46.60 cc", "what is refused is not said"
    student.enter("80 cc")
    student.panel.locator(".noUi-handle[aria-valuetext='80.00 cc']").wait_for()
    assert box.evaluate(HAS_KEYBOARD)
    student.tab_to("slider", "chamber")
    assert student.move("ArrowLeft") == "79.90 cc"
    assert student.move("ArrowLeft") == "79.80 cc", "the keyboard stays on the handle"
    student.press("reset chamber", back=True)
    student.says("clearance 68.39 cc")
    scroll_the_picture(student)


def scroll_the_picture(student: Student) -> None:
    """In a window zoomed to 200 % the picture is too wide: an arrow key scrolls it."""
    wide = student.page.viewport_size
    student.page.set_viewport_size({"width": wide["width"] // 2, "height": wide["height"] // 2})
    student.panel.locator(".em-drawing[tabindex]").wait_for()
    student.tab_to("group", "picture, scrolls sideways")
    student.keyboard.press("ArrowRight")
    student.until("() => document.activeElement.scrollLeft > 0")
    student.tab_to("slider", "stroke", "Shift+Tab")
    student.page.set_viewport_size(wide)


@pytest.mark.parametrize("visit", ["04-cc-the-chamber"], indirect=True)
def test_cc_the_chamber(visit: Visit) -> None:
    Student(visit.page, "04-cc-the-chamber").work(pour_with_care)
    nothing_went_wrong(visit)


def pour_with_care(student: Student) -> None:
    """Close the head, fill it from two burettes full, let the air out, lay measured over true."""
    for name, place in (("spark plug", "1"), ("line of grease", "5"), ("clear plate", "0")):
        student.tab_to("textbox", name)
        student.enter(place)
    student.says("the burette is filled")
    start = note(student, "start, fill 1", "Hold the tap")
    run(student, "5 cc", 4)
    run(student, "1 cc", 4)
    poured = note(student, "end, fill 1", "refill the burette") - start
    assert poured == pytest.approx(24.0)
    student.tab_to("button", "refill the burette", "Shift+Tab")
    student.press_again("Enter")
    student.told("write down the start")
    start = note(student, "start, fill 2", "Hold the tap")
    student.tab_to("textbox", "tilt of the head")
    student.enter("3")
    student.tab_to("button", "1 cc", "Shift+Tab")
    for _ in range(22):
        student.press_again(" ")
    student.tab_to("button", "0.2 cc")
    while "nearly full" in student.panel.locator(".em-drawing svg").text_content():
        student.press_again(" ")
    poured += note(student, "end, fill 2", "Full, and all written down") - start
    student.panel.get_by_label("picture").select_option("measured")
    student.says("you measured")
    told = student.panel.locator(".em-status").text_content()
    measured, true = (
        float(re.search(rf"{what} ([\d.]+)", told)[1]) for what in ("measured", "true")
    )
    assert measured == pytest.approx(poured, abs=0.005)
    assert abs(measured - true) < 0.2, "no more than what was let run last"


def run(student: Student, tap: str, times: int) -> None:
    """Let so much run from the burette, some times over."""
    student.press(tap, " ")
    for _ in range(times - 1):
        student.press_again(" ")


def note(student: Student, reading: str, then: str) -> float:
    """Read the burette in what is said of its picture, and write the reading down, in mL."""
    said = student.panel.locator(".em-drawing svg desc").text_content()
    found = re.search(r"(?:([\d.]+) divisions of 0\.1 mL below|on) the line marked (\d+)", said)
    stands = int(found[2]) + 0.1 * float(found[1] or 0)
    student.tab_to("textbox", reading, "Shift+Tab")
    student.enter(f"{stands:.2f} mL")
    student.told(then)
    return stands
