"""A kit that was updated: the student is told, chooses, and loses nothing of what was typed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from enginemath.classroom import editions
from enginemath.classroom.editions import came_with_a_kit, edition_of, text_of_edition
from enginemath.pages.desk import Desk
from enginemath.pages.older_lesson import reached_in
from enginemath.pages.steps import Lesson, Step, lesson_named
from enginemath.quiet_lab.workfolder import RECORD, deliver
from enginemath.sheets.kit_data import kit_folder
from tests.classroom.work_files import RIGHT, lesson, work
from tests.pages.test_session import Page

NAME = "07-add-it-up"
FILE = f"{NAME}.ipynb"
TURN = next(step.number for step in lesson_named(NAME).steps if step.boxes)


def older_text() -> str:
    """The lesson as an older kit had it: other words at its beginning, one step less at its end."""
    content = json.loads((kit_folder("lessons") / FILE).read_text(encoding="utf-8"))
    first = content["cells"][0]
    first["source"] = ["".join(first["source"]).replace("Add it up", "Add it all up")]
    last = [n for n, each in enumerate(content["cells"]) if each["cell_type"] == "markdown"][-1]
    del content["cells"][last:]
    return json.dumps(content, indent=1)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A work folder with an older edition, in which a student is half through."""
    text = older_text()
    known = {NAME: [edition_of(text)]}
    monkeypatch.setattr(editions, "_listed", lambda: known)
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    begun = lesson(
        RIGHT,
        reached=TURN,
        guesses={"predict": {"text": "lower"}, "add_it_up": {"text": "9.2"}},
        panels={"add_it_up": [["guess", "9.2"]]},
        edition=edition_of(text),
    )
    (tmp_path / "my-work.json").write_text(
        json.dumps(work("T-07", "Student Seven", {NAME: begun})), encoding="utf-8"
    )
    return tmp_path


def kept(home: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((home / "my-work.json").read_text(encoding="utf-8"))
    return found["lessons"][NAME]


def test_the_older_edition_goes_on_until_the_student_takes_the_newer(home: Path) -> None:
    page = Page(Desk(home))
    opened = page.one("lesson", "open", lesson=NAME)
    assert (opened["edition"], opened["title"]) == ("older", "Add it all up")
    page.say("answer", step=TURN, box="my_swept", text="130.6 cc")
    assert kept(home)["edition"] == edition_of(older_text())

    before = kept(home)
    replies = page.say("take newer")
    (now,) = [each for each in replies if each["show"] == "lesson"]
    assert (now["edition"], now["title"]) == ("", "Add it up")
    assert now["steps"] > opened["steps"]
    assert now["at"] == TURN
    after = kept(home)
    for part in ("answers", "guesses", "panels"):
        assert after[part] == before[part]
    (step,) = [each for each in replies if each["show"] == "step" and each["step"] == TURN]
    assert {box["key"]: box["text"] for box in step["boxes"]}["my_swept"] == "130.6 cc"

    assert (home / "07-add-it-up-older.ipynb").read_text(encoding="utf-8") == older_text()
    assert (home / FILE).read_bytes() == (kit_folder("lessons") / FILE).read_bytes()
    assert Page(Desk(home)).one("lesson", "open", lesson=NAME)["edition"] == ""
    assert page.one("refusal", "take newer")["says"] == (
        "this is the newest edition that the kit has"
    )


def test_an_older_edition_that_no_kit_ever_had_never_runs(home: Path) -> None:
    """A notebook that somebody put there, and work that says it was begun: both can be made up."""
    trap = home / "trap"
    content = json.loads(older_text())
    content["cells"].insert(
        1, {"cell_type": "code", "metadata": {}, "source": [f"open({str(trap)!r}, 'w')"]}
    )
    text = json.dumps(content)
    (home / FILE).write_text(text, encoding="utf-8")
    data = json.loads((home / "my-work.json").read_text(encoding="utf-8"))
    data["lessons"][NAME]["edition"] = edition_of(text)
    (home / "my-work.json").write_text(json.dumps(data), encoding="utf-8")
    opened = Page(Desk(home)).one("lesson", "open", lesson=NAME)
    assert (opened["edition"], opened["title"]) == ("newer", "Add it up")
    assert not trap.exists()


def test_where_the_older_is_gone_the_newer_is_told_once(home: Path) -> None:
    (home / FILE).unlink()
    page = Page(Desk(home))
    opened = page.one("lesson", "open", lesson=NAME)
    assert (opened["edition"], opened["at"]) == ("newer", TURN)
    page.say("answer", step=TURN, box="my_swept", text="130.63 cc")
    assert Page(Desk(home)).one("lesson", "open", lesson=NAME)["edition"] == ""
    assert kept(home)["answers"]["my_gasket"]["text"] == RIGHT["my_gasket"]


def test_working_that_runs_no_more_gives_way_to_the_newer(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = json.loads(older_text())
    for cell in content["cells"]:
        if cell["cell_type"] == "code" and "add_it_up" in "".join(cell["source"]):
            cell["source"] = ["a_panel_of_long_ago()"]
    text = json.dumps(content)
    monkeypatch.setattr(editions, "_listed", lambda: {NAME: [edition_of(text)]})
    (home / FILE).write_text(text, encoding="utf-8")
    data = json.loads((home / "my-work.json").read_text(encoding="utf-8"))
    data["lessons"][NAME]["edition"] = edition_of(text)
    (home / "my-work.json").write_text(json.dumps(data), encoding="utf-8")
    opened = Page(Desk(home)).one("lesson", "open", lesson=NAME)
    assert opened["edition"] == "newer"


def test_a_guess_that_the_newer_edition_asks_for_comes_first(home: Path) -> None:
    """Nothing that comes after it is sent: its name was another in the older edition."""
    data = json.loads((home / "my-work.json").read_text(encoding="utf-8"))
    data["lessons"][NAME]["guesses"].pop("predict")
    (home / "my-work.json").write_text(json.dumps(data), encoding="utf-8")
    page = Page(Desk(home))
    page.say("open", lesson=NAME)
    replies = page.say("take newer")
    predicts = next(step.number for step in lesson_named(NAME).steps if step.predicts)
    assert max(each["step"] for each in replies if each["show"] == "step") == predicts


def test_a_delivery_leaves_what_was_begun_as_a_page(home: Path, tmp_path: Path) -> None:
    kit = tmp_path / "kit"
    kit.mkdir()
    (kit / FILE).write_bytes((kit_folder("lessons") / FILE).read_bytes())
    deliver(home, kit)
    (home / RECORD).unlink()
    (home / "07-add-it-up-new.ipynb").unlink()
    (home / FILE).unlink()
    older = tmp_path / "older"
    older.mkdir()
    (older / FILE).write_text(older_text(), encoding="utf-8")
    assert deliver(home, older).new == [FILE]
    delivery = deliver(home, kit)
    assert (delivery.updated, delivery.begun, delivery.beside) == ([], [FILE], [])
    assert (home / FILE).read_text(encoding="utf-8") == older_text()
    assert "there the newer version waits for you: 07-add-it-up.ipynb" in str(delivery)
    (home / "my-work.json").unlink()
    assert deliver(home, kit).updated == [FILE]


def test_a_folder_that_cannot_be_written_keeps_the_older(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    page = Page(Desk(home))
    page.say("open", lesson=NAME)
    monkeypatch.setattr("enginemath.quiet_lab.workfolder._copy", full)
    assert "No space left" in page.one("refusal", "take newer")["says"]
    assert (home / FILE).read_text(encoding="utf-8") == older_text()
    assert Page(Desk(home)).one("lesson", "open", lesson=NAME)["edition"] == "older"


def steps(*titles: str) -> Lesson:
    every = tuple(Step(number, title) for number, title in enumerate(titles, start=1))
    return Lesson("x", 1, "X", "", every)


@pytest.mark.parametrize(
    ("newer", "older", "reached", "at"),
    [
        ("abc", "abc", 2, 2),
        ("axbc", "abc", 2, 3),
        ("ac", "abc", 2, 1),
        ("abbbc", "abbc", 3, 3),
        ("xyz", "abc", 3, 1),
        ("abcd", "abc", 3, 3),
    ],
)
def test_how_far_a_student_is_in_a_newer_edition(
    newer: str, older: str, reached: int, at: int
) -> None:
    assert reached_in(steps(*newer), steps(*older), reached) == at


def test_the_list_of_editions_names_lessons_of_the_kit() -> None:
    file = kit_folder("lessons") / editions.LIST
    listed = json.loads(file.read_text(encoding="utf-8"))
    assert set(listed) <= {path.stem for path in kit_folder("lessons").glob("*.ipynb")}
    assert all(len(edition) == 64 for each in listed.values() for edition in each)
    assert not came_with_a_kit(NAME, "")
    assert came_with_a_kit(NAME, listed[NAME][0])
    for name, every in listed.items():
        assert all(text_of_edition(name, edition) for edition in every), name
    assert text_of_edition(NAME, "0" * 64) == ""
