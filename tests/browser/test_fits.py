"""Every step of every lesson fits its screen: nothing scrolls, and every drawn letter can be read.

axe finds nothing serious in any of its states, and at 200 % nothing is lost.
The page talks with a `Session` of this very process, so that no server is needed.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages import server
from enginemath.pages.desk import Desk
from enginemath.pages.session import Session
from enginemath.pages.steps import Step, lesson_named, lesson_names

from .axe import findings

pytestmark = pytest.mark.browser
SITE = Path(server.__file__).parent / "site"
SOLVED = Path(__file__).parents[2] / "instructor" / "solved"
SCHOOL, PROJECTOR = (1366, 768, 12), (1920, 1080, 20)
"""Width, height and the smallest drawn letter, px."""
ZOOMED = {"width": 1366 // 2, "height": 768 // 2}
"""What a page has at 200 %, px of its own."""
GUESSES = {"01": "20 cc", "02": "43 mm", "06": "-4 cc"}
LONG = "the second one, I think, as it is wider, " * 15
NOT_YET: dict[tuple[int, int, int], dict[str, set[str]]] = {SCHOOL: {}, PROJECTOR: {}}
"""What does not fit yet, by screen and lesson: titles of its steps. It is to be empty."""

SCRIPT = Path(__file__).with_name("fits.js")


class Walk:
    """All lessons in one window, walked by messages; `found` says where one does not fit."""

    def __init__(self, browser: Any, folder: Path, screen: tuple[int, int, int]):
        width, height, self.least = screen
        self.projector = screen == PROJECTOR
        self.viewport = {"width": width, "height": height}
        self.name, self.found, self.faults = "", list[tuple[str, str]](), list[str]()
        self.context = browser.new_context(viewport=self.viewport, reduced_motion="reduce")
        self.page = self.context.new_page()
        self.page.set_default_timeout(15_000)
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        session = Session(Desk(folder), projector=self.projector)
        self.page.expose_function("toPython", session.take)
        self.page.add_init_script(path=SCRIPT)
        self.page.route("**/*", _serve)
        self.page.goto(f"http://kit.test/{'?projector=1' if self.projector else ''}")

    def open(self, name: str) -> None:
        """A lesson from its beginning."""
        self.name, self.found = name, []
        self.page.set_viewport_size(self.viewport)
        self.page.evaluate("name => { location.hash = name; }", name)
        self.page.wait_for_function("name => lesson && lesson.name === name", arg=name)
        self.page.evaluate("settled()")

    def do(self, script: str, *values: Any) -> Any:
        """Run a line of script, and wait until Python has answered."""
        done = self.page.evaluate(f"([a, b, c]) => {{ {script} }}", [*values, *[None] * 3][:3])
        self.page.evaluate("settled()")
        return done

    def say(self, **message: Any) -> None:
        """Send one message."""
        self.do("talk(a)", message)

    def look(self, step: Step, state: str) -> None:
        """Note what does not fit now."""
        not_fit = self.page.evaluate("doesNotFit", self.least)
        for what in [*not_fit, *findings(self.page, "section, figure")]:
            self.found.append((step.title, f"{step.number} {step.title}, {state}: {what}"))

    def step(self, step: Step, answers: dict[str, str]) -> None:
        """One step in all its states."""
        for part in range(1, len(step.parts) + 1):
            self.do("openPart(steps.get(now), a)", part)
            self.look(step, f"part {part}")
        if not step.parts:
            self.look(step, "opened")
        if self.projector:
            if self.do("return steps.get(now).covered"):
                self.say(do="uncover", step=step.number)
                self.look(step, "uncovered")
            return
        if step.predicts:
            self.say(do="guess", step=step.number, text=LONG)
        if self.do("const at = panels.get(now); return Boolean(at && !at.answered)"):
            self.say(do="guess", step=step.number, text="bananas")
            self.look(step, "guess refused")
            self.say(do="guess", step=step.number, text=GUESSES.get(self.name[:2], "9"))
            self.look(step, "guessed")
        for kind, wrong in (("refused", _refused), ("not right", _twice)):
            for part in sorted({box.part for box in step.boxes}):
                if part:
                    self.do("openPart(steps.get(now), a)", part)
                for box in (box for box in step.boxes if box.part == part):
                    text = wrong(answers[box.key])
                    self.say(do="answer", step=step.number, box=box.key, text=text)
                self.look(step, f"part {part} {kind}" if part else kind)
        for box in step.boxes:
            self.say(do="answer", step=step.number, box=box.key, text=answers[box.key])
        if step.boxes:
            self.look(step, "right")

    def on(self, step: Step) -> None:
        """To the next step."""
        parts = len(step.parts)
        self.do("if (b) opened.set(now, b); goOn(steps.get(a))", step.number, parts)

    def end(self) -> None:
        """The whole page at its last step, with the code; then every step at 200 %."""
        last = lesson_named(self.name).steps[-1]
        self.do("showCode(true)")
        self.found += [(last.title, f"with the code: {what}") for what in findings(self.page)]
        self.do("showCode(false)")
        if not self.projector:
            self.page.set_viewport_size(ZOOMED)
            self.found += map(tuple, self.page.evaluate("lostWhenZoomed()"))


def _serve(route: Any) -> None:
    name = route.request.url.partition("#")[0].rpartition("/")[2].partition("?")[0]
    file = SITE / name if name.endswith((".js", ".css")) else SITE / "page.html"
    kind = {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}[file.suffix]
    text = file.read_text("utf-8").replace("{site}", "/site").replace("{lab}", "")
    route.fulfill(body=text, content_type=kind)


def _refused(_: str) -> str:
    return "bananas"


def _twice(answer: str) -> str:
    return re.sub(r"[\d.]+", lambda number: f"{2 * float(number[0]):g}", answer, count=1)


def _answers(name: str) -> Iterator[tuple[str, str]]:
    """The answers of the solved notebook, by the keys of the boxes."""
    times: dict[str, int] = {}
    notebook = json.loads((SOLVED / f"{name}.ipynb").read_text("utf-8"))
    for cell in notebook["cells"]:
        if "answer" in cell["metadata"].get("tags", []):
            for node in ast.parse("".join(cell["source"])).body:
                assert isinstance(node, ast.Assign)
                (target,) = node.targets
                assert isinstance(target, ast.Name)
                again = times[target.id] = times.get(target.id, 0) + 1
                key = target.id if again == 1 else f"{target.id}-{again}"
                yield key, str(ast.literal_eval(node.value))


@pytest.mark.parametrize("screen", [SCHOOL, PROJECTOR], ids=["school", "projector"])
def test_every_step_fits_its_screen(
    browser: Any, tmp_path: Path, screen: tuple[int, int, int]
) -> None:
    """All lessons at school; on the projector, whose style is one for all, every third."""
    found: list[str] = []
    walk = Walk(browser, tmp_path, screen)
    for name in lesson_names()[:: 3 if screen == PROJECTOR else 1]:
        walk.open(name)
        answers = dict(_answers(name))
        for step in lesson_named(name).steps:
            walk.step(step, answers)
            if step.number < len(lesson_named(name).steps):
                walk.on(step)
        walk.end()
        fits_not = {title for title, _ in walk.found}
        known = NOT_YET[screen].get(name[:2], set())
        found += [f"{name[:2]} {what}" for title, what in walk.found if title not in known]
        found += [
            f"{name[:2]} {title}: fits now, take it off the list" for title in known - fits_not
        ]
    walk.context.close()
    assert not found, "\n".join(["", *found])
    assert walk.faults == []
