"""A work file of an earlier edition: nothing that was typed is lost from sight."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.desk import Desk
from enginemath.pages.earlier_edition import LeftOver, left_over
from enginemath.pages.steps import lesson_named
from tests.classroom.work_files import lesson, work
from tests.pages.test_session import Page

TWO, FIVE, EIGHT = (
    "02-two-volumes-one-ratio",
    "05-gasket-and-deck",
    "08-how-sure",
)
OLD = {
    TWO: {
        "In between: why it is more than half, my reason": "the rod leans",
        "Any angle: which cc needs more care, my reason": "the one at the top",
    },
    FIVE: {"Both sides of the pin: one side alone, my reason": "half of the rock"},
    EIGHT: {"The error budget: why the chambers are low, my reason": "they are <b>poured</b> 🔧"},
}
"""Why-boxes as the first editions of these lessons kept them, from their notebooks."""
NEW = {
    TWO: {"why it is more than half, my reason": "the rod leans"},
    FIVE: {"one side alone, my reason": "half of the rock"},
}


def opened(
    folder: Path, name: str, answers: dict[str, str] | None = None, **more: Any
) -> tuple[Page, list[dict[str, Any]]]:
    """A lesson that was worked through in an earlier edition."""
    kept = lesson(
        answers or {}, readings=OLD.get(name, {}), reached=99, edition="an earlier one", **more
    )
    kept["guesses"] = {"predict": {"text": "lower"}, **kept["guesses"]}
    data = work("T-07", "Student Seven", {name: kept})
    (folder / "my-work.json").write_text(json.dumps(data), encoding="utf-8")
    page = Page(Desk(folder))
    replies = page.say("open", lesson=name, student="T-07")
    guess = next((each["step"] for each in replies[::-1] if each["show"] == "step"), 1)
    while guess < len(lesson_named(name).steps):
        if page.waits(guess):
            page.guess(guess)
        page.say("on", step=guess)
        guess += 1
    steps = page.at_work.reached
    return page, [page.session._step(lesson_named(name).step(number)) for number in steps]


def kept(folder: Path, name: str) -> dict[str, str]:
    data = json.loads((folder / "my-work.json").read_text(encoding="utf-8"))
    found: dict[str, str] = data["lessons"][name]["readings"]
    return found


@pytest.mark.parametrize("name", [TWO, FIVE])
def test_a_why_box_that_moved_holds_what_was_written(tmp_path: Path, name: str) -> None:
    page, steps = opened(tmp_path, name)
    shown = {box: text for step in steps for box, text in step["readings"].items()}
    assert NEW[name].items() <= shown.items()
    assert sorted(shown.values()) == sorted(OLD[name].values())
    assert not any(step["written_earlier"] for step in steps)
    box, text = next(iter(NEW[name].items()))
    (where,) = [step["step"] for step in steps if box in step["readings"]]
    page.say("reading", step=where, box=box, text=f"{text}, I think")
    again = Page(Desk(tmp_path))
    again.say("open", lesson=name, student="T-07")
    step = again.session._step(lesson_named(name).step(where))
    assert step["readings"][box] == f"{text}, I think"
    assert text not in kept(tmp_path, name).values(), "once, where it is now"
    page.say("reading", step=where, box=box, text="")
    assert page.session._step(lesson_named(name).step(where))["readings"][box] == ""


def test_what_has_no_place_any_more_stands_at_the_end(tmp_path: Path) -> None:
    """Every lesson whose first edition had more, and boxes and guesses likewise."""
    _, steps = opened(tmp_path, TWO, {"old_box-2": "0.5 cc <b>"}, guesses={"gone": {"text": "9.2"}})
    *before, last = steps
    assert not any(step["written_earlier"] for step in before)
    told = [{"where": "old box, 2", "text": "0.5 cc <b>"}, {"where": "guess", "text": "9.2"}]
    assert last["written_earlier"] == told
    ((why, text),) = OLD[EIGHT].items()
    gone = lesson({"eight_piston-2": "flat top", "eight_gasket-2": " "}, readings={why: text})
    assert left_over(lesson_named(EIGHT), gone) == [
        LeftOver(why, text),
        LeftOver("eight piston, 2", "flat top"),
    ]
