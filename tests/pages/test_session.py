"""One open page spoken to in messages: what is sent, when, and what is refused."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.session import Desk, Session
from enginemath.pages.steps import lesson_names
from enginemath.panels import add_it_up_numbers
from enginemath.units import show_ratio

ADD_IT_UP = "07-add-it-up"
RATIO = show_ratio(add_it_up_numbers("heron-four")["ratio"])
each_lesson = pytest.mark.parametrize("name", lesson_names())
Told = list[dict[str, Any]]


def spoken(sent: str) -> str:
    """What can be read or heard of what was sent: no coordinates of a drawing."""
    heard = re.findall(r'(?:aria-\w+|alt)=\\?"([^"]*)"', sent)
    return " ".join([re.sub(r"<[^>]*>", " ", sent), *heard])


class Page:
    """A page as a test drives it: every message goes as text, and every reply comes as text."""

    def __init__(self, desk: Desk, **how: Any):
        self.pushed: Told = []
        clock = {"now": lambda: datetime(2026, 3, 2, 10, 5)}
        self.session = Session(desk, push=self.pushed.append, **clock, **how)
        self.sent = ""

    def say(self, do: str, **fields: Any) -> Told:
        texts = self.session.take(json.dumps({"do": do, **fields}))
        self.sent += "\n".join(texts)
        return [json.loads(text) for text in texts]

    def one(self, show: str, do: str, **fields: Any) -> dict[str, Any]:
        """The one reply of a kind."""
        told = self.say(do, **fields)
        found = [reply for reply in told if reply["show"] == show]
        assert len(found) >= 1, told
        return found[-1]

    def refused(self, do: str, **fields: Any) -> str:
        (reply,) = self.say(do, **fields)
        assert reply["show"] == "refusal"
        return reply["says"]

    def go_to(self, step: int, name: str = ADD_IT_UP) -> None:
        """Work through a lesson up to a step, guessing as it is asked."""
        self.say("open", lesson=name)
        for number in range(1, step):
            reply = self.one("step", "on", step=number) if not self.waits(number) else None
            if reply is None:
                self.guess(number)
                self.one("step", "on", step=number)

    def waits(self, number: int) -> bool:
        lesson = self.session.lesson
        assert lesson is not None
        step = lesson.step(number)
        panel = self.session._panels.get(number)
        return step.predicts or bool(step.has_panel and panel and not panel.answer_is_shown)

    def guess(self, number: int) -> None:
        lesson, panel = self.session.lesson, self.session._panels.get(number)
        assert lesson is not None
        text = "lower"
        if not lesson.step(number).predicts:
            assert panel is not None
            assert panel.guess is not None
            unit = panel.guess.question.unit
            text = f"9.2 {unit}" if unit else "9.2"
        self.say("guess", step=number, text=text)


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return Page(Desk(tmp_path))


class TestTheOrder:
    def test_a_lesson_opens_with_its_first_step_and_its_picture_alone(self, page: Page) -> None:
        told = page.say("open", lesson=ADD_IT_UP)
        assert [reply["show"] for reply in told] == ["lesson", "step", "panel"]
        lesson, step, panel = told
        assert (lesson["title"], lesson["at"]) == ("Add it up", 1)
        assert step["step"] == 1
        assert not panel["answered"]
        assert re.sub(r"em\d+", "", panel["svg"]) == re.sub(r"em\d+", "", picture)

    def test_two_windows_see_each_other_and_the_later_entry_wins(self, tmp_path: Path) -> None:
        desk = Desk(tmp_path)
        one, other = Page(desk), Page(desk)
        one.go_to(17)
        other.say("open", lesson=ADD_IT_UP)
        one.say("answer", step=17, box="my_swept", text="130 cc")
        assert other.pushed[-1] == {"show": "changed", "step": 17}
        other.say("answer", step=17, box="my_swept", text="130.63 cc")
        assert one.pushed[-1] == {"show": "changed", "step": 17}
        for page in (one, other):
            told = page.say("open", lesson=ADD_IT_UP)
            (step,) = [r for r in told if r["show"] == "step" and r["step"] == 17]
            assert step["boxes"][0]["text"] == "130.63 cc"
        other.session.close()
        one.say("answer", step=17, box="my_swept", text="130.6 cc")
        assert len(other.pushed) == 1, "a page that is gone is told nothing"

    def test_a_full_disk_is_told_beside_the_box(
        self, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        page.go_to(17)

        def full(_: int) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr("enginemath.sheets.text_file.os.fsync", full)
        kept = page.one("kept", "answer", step=17, box="my_swept", text="130.63 cc")
        assert "No space left on device" in kept["trouble"]
        assert (kept["step"], kept["box"]) == (17, "my_swept")

    def test_a_newer_file_is_told_on_map_and_lesson(self, tmp_path: Path) -> None:
        (tmp_path / "my-work.json").write_text('{"format": 9}', encoding="utf-8")
        page = Page(Desk(tmp_path))
        for show, do, how in (("map", "map", {}), ("lesson", "open", {"lesson": ADD_IT_UP})):
            (warning,) = page.one(show, do, **how)["warnings"]
            assert "is of a newer format (9)" in warning


class TestWho:
    def test_a_name_is_asked_for_before_handing_in(self, page: Page) -> None:
        page.go_to(17)
        page.say("answer", step=17, box="my_swept", text="130.63 cc")
        assert page.refused("hand in").startswith("first say who you are")
        assert page.refused("who", name=" ", id="T-07") == "write your name and your id"
        page.say("who", name="Student  Seven", id="T-07")
        file = page.one("file", "hand in")
        assert file["name"] == "T-07-handed-in.json"
        data = json.loads(file["text"])
        assert (data["format"], data["student"]) == (1, {"name": "Student Seven", "id": "T-07"})
        answer = data["lessons"][ADD_IT_UP]["answers"]["my_swept"]
        assert (answer["text"], answer["kind"]) == ("130.63 cc", "right")
        assert data["handed_in"] == "2026-03-02T10:05:00"

    def test_another_student_begins_anew_on_the_same_machine(self, page: Page) -> None:
        page.say("who", name="One", id="T-01")
        page.go_to(17)
        told = page.one("map", "who", name="Two", id="T-02")
        assert told["student"]["id"] == "T-02"
        assert {lesson["state"] for lesson in told["lessons"]} == {"new"}
        back = page.one("map", "map", student="T-01")
        assert back["student"]["name"] == "One"
        assert "begun" in {lesson["state"] for lesson in back["lessons"]}

    def test_a_saved_file_is_taken_back(self, page: Page, tmp_path: Path) -> None:
        page.say("who", name="One", id="T-01")
        page.go_to(17)
        page.say("answer", step=17, box="my_swept", text="130.63 cc")
        text = page.one("file", "hand in")["text"]
        elsewhere = Page(Desk(tmp_path / "elsewhere"))
        told = elsewhere.one("map", "take back", text=text)
        assert told["student"]["id"] == "T-01"
        steps = elsewhere.say("open", lesson=ADD_IT_UP)
        (step,) = [r for r in steps if r["show"] == "step" and r["step"] == 17]
        assert step["boxes"][0]["text"] == "130.63 cc"

    def test_a_file_that_cannot_be_taken_back(self, page: Page) -> None:
        page.say("who", name="One", id="T-01")
        theirs = '{"format": 1, "student": {"name": "Two", "id": "T-02"}}'
        assert page.refused("take back", text=theirs) == "this file holds another student's work"
        assert page.refused("take back", text="{").startswith("this file is cut off")

    def test_a_name_is_text(self, page: Page) -> None:
        name = "<script>alert(1)</script> 🔧 \u05d0\u05d1"
        assert page.one("map", "who", name=name, id="<b>")["student"]["name"] == name
        assert page.one("file", "hand in")["name"] == "b-handed-in.json"


class TestMap:
    def test_where_am_i_what_is_done_what_is_next(self, page: Page) -> None:
        told = page.one("map", "map")
        assert [lesson["number"] for lesson in told["lessons"]] == list(range(12))
        assert told["next"] == "00-start-here"
        page.go_to(5)
        told = page.one("map", "map")
        states = {lesson["name"]: lesson["state"] for lesson in told["lessons"]}
        assert states[ADD_IT_UP] == "begun"
        assert told["next"] == ADD_IT_UP


class TestProjector:
    @pytest.fixture
    def screen(self, tmp_path: Path) -> Page:
        return Page(Desk(tmp_path), projector=True)

    def test_answers_are_covered_until_asked_for(self, screen: Page) -> None:
        screen.say("open", lesson=ADD_IT_UP)
        for step in range(1, 5):
            screen.say("on", step=step)
        assert RATIO not in spoken(screen.sent)
        told = screen.say("uncover", step=4)
        assert [reply["show"] for reply in told] == ["step", "panel"]
        assert RATIO in spoken(screen.sent)
        covered = screen.one("step", "on", step=4)
        assert covered["covered"]
        assert [working["shown"] for working in covered["working"]] == [[]]
        assert screen.one("step", "uncover", step=5)["working"][0]["shown"] != []

    def test_the_picture_is_large_and_nothing_is_kept(self, screen: Page, tmp_path: Path) -> None:
        told = screen.say("open", lesson=ADD_IT_UP)
        assert told[0]["mode"] == "projector"
        assert screen.session._panels[4].projector.on
        screen.say("on", step=1)
        assert list(tmp_path.iterdir()) == []


class TestUnknown:
    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("not JSON", "this message is not JSON"),
            ("[" * 100_000, "this message is not JSON"),
            ("[]", "a message says what it wants done"),
            ("7", "a message says what it wants done"),
            ('{"do": 7}', "a message says what it wants done"),
            ('{"do": "run", "code": "1"}', 'there is no message "run"'),
            ('{"do": "__init__"}', 'there is no message "__init__"'),
            ('{"do": "on"}', '"on" needs "step"'),
            ('{"do": "on", "step": "1"}', '"on": "step" cannot be "1"'),
            ('{"do": "on", "step": true}', '"on": "step" cannot be true'),
            ('{"do": "map", "code": "1"}', '"map" takes no "code"'),
            ('{"do": "on", "step": 1}', "open a lesson first"),
            ('{"do": "open", "lesson": "../x"}', 'there is no lesson "../x"'),
            ('{"do": "set", "step": 4, "name": "x", "entry": [1]}', '"entry" cannot be [1]'),
        ],
    )
    def test_it_is_refused_in_a_sentence(self, page: Page, text: str, told: str) -> None:
        (reply,) = page.session.take(text)
        assert json.loads(reply)["show"] == "refusal"
        assert told in json.loads(reply)["says"]

    def test_a_text_without_end_is_refused(self, page: Page) -> None:
        page.go_to(17)
        told = page.refused("answer", step=17, box="my_swept", text="9" * 2_001)
        assert "longer than 2000 characters" in told

    def test_every_message_of_the_reference_exists_and_every_one_is_there(self) -> None:
        from enginemath.pages.session import _MESSAGES

        page = Path(__file__).parents[2] / "docs" / "reference" / "lesson-pages.md"
        table = page.read_text("utf-8").split("| page sends |")[1].split("| Python sends |")[0]
        listed = [line.split("`")[1] for line in table.splitlines() if line.startswith("| `")]
        assert sorted(listed) == sorted(_MESSAGES)
