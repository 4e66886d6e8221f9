"""One open page spoken to in messages: what is sent, when, and what is refused."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.desk import Desk
from enginemath.pages.lesson_at_work import LessonAtWork
from enginemath.pages.session import Session
from enginemath.pages.steps import lesson_named, lesson_names
from enginemath.panels import add_it_up_numbers
from enginemath.units import show_ratio

ADD_IT_UP = "07-add-it-up"
RATIO = show_ratio(add_it_up_numbers("heron-four")["ratio"])
PREDICT, SEE, HOLD, WORK, TURN, BENCH = (
    next(step.number for step in lesson_named(ADD_IT_UP).steps if step.title == title)
    for title in ("Predict", "See", "Take hold", "Work it", "Your turn", "On the bench")
)
GUESSED = [lesson_names()[number] for number in (1, 2, 5, 6, 8, 9, 10)]
"""Those that ask for a number before the panel answers; besides lesson 07, which is tried above."""
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

    @property
    def at_work(self) -> LessonAtWork:
        """The lesson that is open."""
        assert self.session.at_work is not None
        return self.session.at_work

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
        panel = self.at_work.panels.get(number)
        return step.predicts or bool(step.has_panel and panel and not panel.answer_is_shown)

    def guess(self, number: int) -> None:
        lesson, panel = self.session.lesson, self.at_work.panels.get(number)
        assert lesson is not None
        text = "lower"
        if not lesson.step(number).predicts:
            assert panel is not None
            assert panel.guess is not None
            unit = panel.guess.prediction.unit
            text = f"9.2 {unit}" if unit else "9.2"
        self.say("guess", step=number, text=text)


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return Page(Desk(tmp_path))


class TestTheOrder:
    def test_a_lesson_opens_with_its_first_step_and_its_picture_alone(self, page: Page) -> None:
        told = page.say("open", lesson=ADD_IT_UP)
        shown = [reply["show"] for reply in told]
        assert shown == ["lesson", "panel", "step"], "the step knows whether a hand is waited for"
        lesson, panel, step = told
        assert (lesson["title"], lesson["at"]) == ("Add it up", 1)
        assert step["step"] == 1
        assert not panel["answered"]
        assert panel["svg"].startswith("<svg")
        assert panel["words"] == ""

    def test_nothing_of_the_result_is_sent_before_the_guess(self, page: Page) -> None:
        page.go_to(SEE)
        assert RATIO not in spoken(page.sent)
        assert "68.39" not in spoken(page.sent), "nor what it is made of"
        page.say("guess", step=SEE, text="9.2")
        assert RATIO in spoken(page.sent)

    @pytest.mark.parametrize("name", GUESSED)
    def test_no_answer_to_a_guess_is_sent_before_it(self, page: Page, name: str) -> None:
        """Not even as a setting that is not shown: an inspector of the page reads that too."""
        page.go_to(SEE, name)
        before = spoken(page.sent)
        page.guess(SEE)
        answer = page.at_work.panels[SEE].guess.found.answer
        (number,) = re.findall(r"[0-9.]*[0-9]", answer)
        assert number in spoken(page.sent)
        assert number not in before

    @each_lesson
    def test_a_later_step_is_not_sent_not_even_its_title(self, page: Page, name: str) -> None:
        page.say("open", lesson=name)
        later = [step for step in lesson_named(name).steps if step.number > 1 and step.heading]
        titles = {step.title for step in later} - {lesson_named(name).title}
        assert titles
        for title in titles:
            assert f'"title": "{title}"' not in page.sent
        told = [cell.code for step in later for cell in step.cells]
        assert not [code for code in told if json.dumps(code)[1:-1] in page.sent]

    def test_a_guess_must_be_written_first(self, page: Page) -> None:
        page.go_to(PREDICT)
        assert "write your guess first" in page.refused("on", step=PREDICT)
        assert "write your guess first" in page.refused("guess", step=PREDICT, text="  ")
        page.say("guess", step=PREDICT, text="lower")
        assert page.one("step", "on", step=PREDICT)["step"] == SEE
        assert "give your guess first" in page.refused("on", step=SEE)
        assert page.refused("guess", step=SEE, text="a lot") == "write one number, like 9.5"
        assert page.one("panel", "guess", step=SEE, text="9.2")["answered"]
        assert page.one("step", "on", step=SEE)["step"] == HOLD

    def test_a_step_ahead_is_refused_whatever_is_asked_of_it(self, page: Page) -> None:
        page.say("open", lesson=ADD_IT_UP)
        assert page.refused("on", step=HOLD) == f"step {HOLD} comes later"
        assert page.refused("guess", step=SEE, text="9.2") == f"step {SEE} comes later"
        assert (
            page.refused("answer", step=TURN, box="my_ratio", text="9")
            == f"step {TURN} comes later"
        )
        assert page.refused("set", step=SEE, name="guess", entry="9.2") == f"step {SEE} comes later"
        assert "not to be set now" in page.refused("set", step=SEE, name="chamber", entry="46 cc")
        assert page.refused("uncover", step=1) == "nothing is covered here"

    @each_lesson
    def test_every_lesson_goes_to_its_end(self, page: Page, name: str) -> None:
        last = len(lesson_named(name).steps)
        page.go_to(last - 1, name)
        for row in lesson_named(name).steps[-1].predicted:
            assert json.dumps(row.found)[1:-1] not in page.sent, "nothing of it before"
        page.say("on", step=last - 1)
        assert page.refused("on", step=last) == "this is the last step"
        step = page.session._step(lesson_named(name).steps[-1])
        assert step["last"]
        words, *numbers = step["looks_back"]
        assert words["said"] == "lower", "what was found looks at the guess again"
        assert words["asked"]
        assert words["is"]
        assert all(row["said"].startswith("9.2") and row["off"] for row in numbers)
        assert len(numbers) == sum(bool(panel.guess) for panel in page.at_work.panels.values())
        for number in range(1, last + 1):
            for working in page.session._step(lesson_named(name).step(number))["working"]:
                for shown in working["shown"]:
                    assert "could not be worked out" not in shown["value"]
        states = {m["name"]: m["state"] for m in page.one("map", "map")["lessons"]}
        assert states[name] == "done"


ROW = {
    "asked": "the compression ratio of cylinder 1",
    "said": "9.2",
    "is": RATIO,
    "off": "0.52 too high",
}


class TestGuessBesideWhatWasFound:
    END = len(lesson_named(ADD_IT_UP).steps)

    def rows(self, page: Page) -> Told:
        step: dict[str, Any] = page.session._step(lesson_named(ADD_IT_UP).steps[-1])
        rows: Told = step["looks_back"]
        return rows

    def test_it_stays_as_it_was_found(self, page: Page, tmp_path: Path) -> None:
        page.go_to(self.END)
        assert self.rows(page)[1] == ROW
        page.say("set", step=SEE, name="chamber", entry="42 cc")
        page.say("keep", step=SEE)
        assert self.rows(page)[1] == ROW, "not as the engine was pulled about since"
        again = Page(Desk(tmp_path))
        again.say("open", lesson=ADD_IT_UP)
        assert self.rows(again) == self.rows(page)

    def test_only_the_last_step_looks_back(self, page: Page) -> None:
        page.go_to(self.END)
        told = [page.session._step(step)["looks_back"] for step in page.session.lesson.steps[:-1]]  # type: ignore[union-attr]
        assert not any(told)

    def test_a_guess_that_hits_is_told_so(self, page: Page) -> None:
        page.go_to(SEE)
        page.say("guess", step=SEE, text=RATIO)
        page.go_to(self.END)
        assert self.rows(page)[1]["off"] == "exactly"

    def test_on_the_projector_it_is_covered_until_asked_for(self, tmp_path: Path) -> None:
        page = Page(Desk(tmp_path), projector=True)
        page.say("open", lesson=ADD_IT_UP)
        for number in range(1, self.END):
            if number == SEE:
                page.say("guess", step=SEE, text="9.2")
            page.say("on", step=number)
        covered = self.rows(page)
        assert [row["said"] for row in covered] == ["", "9.2"]
        assert not any(row["is"] or row["off"] for row in covered)
        shown = page.one("step", "uncover", step=self.END)["looks_back"]
        assert [row["is"] for row in shown][1] == RATIO


class TestAnswers:
    def answer(self, page: Page, box: str, text: str) -> dict[str, Any]:
        told = page.one("verdicts", "answer", step=TURN, box=box, text=text)
        (ours,) = [each for each in told["verdicts"] if each["boxes"] == [box]]
        return ours

    def test_a_verdict_has_a_kind_a_name_and_a_sentence(self, page: Page) -> None:
        page.go_to(TURN)
        right = self.answer(page, "my_swept", "130.63 cc")
        assert (right["kind"], right["label"]) == ("right", "swept volume")
        assert right["says"] == "right"
        assert self.answer(page, "my_gasket", "") == {
            "boxes": ["my_gasket"],
            "label": "gasket volume",
            "kind": "nothing_written",
            "sign": "–",
            "says": "nothing written yet",
            "place": "",
        }

    def test_a_refused_text_leaves_no_older_verdict(self, page: Page) -> None:
        page.go_to(TURN)
        assert self.answer(page, "my_swept", "130.63 cc")["kind"] == "right"
        refused = self.answer(page, "my_swept", "130.63 mm")
        assert refused["kind"] == "unreadable"
        assert "a volume is wanted here" in refused["says"]

    @pytest.mark.parametrize(
        ("gasket", "cut", "kind"),
        [("medium steel", "0.35 mm", "right"), ("thin steel", "0 mm", "mistake"),
         ("medium", "0.35 mm", "unreadable")],
    )  # fmt: skip
    def test_a_choice_of_parts_is_judged_by_its_limits(
        self, page: Page, gasket: str, cut: str, kind: str
    ) -> None:
        name = "09-choose-the-change"
        turn = next(step.number for step in lesson_named(name).steps if step.title == "Your turn")
        page.go_to(turn, name)
        written = {"my_gasket": gasket, "my_piston": "as measured", "my_deck_cut": cut}
        for box, text in {**written, "my_head_cut": "0 mm"}.items():
            told = page.one("verdicts", "answer", step=turn, box=box, text=text)
        assert [each["kind"] for each in told["verdicts"] if box in each["boxes"]] == [kind]

    def test_a_wrong_answer_is_not_told_the_right_one(self, page: Page) -> None:
        page.go_to(TURN)
        wrong = self.answer(page, "my_gasket", "1.67 cc")
        assert wrong["kind"] == "mistake"
        assert "1.74" not in json.dumps(wrong)

    def test_all_right_is_done(self, page: Page) -> None:
        page.go_to(TURN)
        right = {
            "my_swept": "130.63 cc",
            "my_gasket": "1.74 cc",
            "my_deck": "0.65 cc",
            "my_clearance": "15.81 cc",
            "my_ratio": "9.26",
        }
        done = [
            page.one("verdicts", "answer", step=TURN, box=box, text=text)["done"]
            for box, text in right.items()
        ]
        assert done == [False, False, False, False, True]

    @pytest.mark.parametrize(
        "text",
        [
            '__import__("os").system("touch gone")',
            'print("x")',
            "9**9**9 cc",
            "{0.__class__}",
            '"; raise SystemExit; "',
            "\n\nimport os",
            "\u202e\u0000🔧",
            "9" * 2_000,
        ],
    )
    def test_a_text_is_never_run(self, page: Page, text: str, tmp_path: Path) -> None:
        page.go_to(TURN)
        assert self.answer(page, "my_swept", text)["kind"] in ("unreadable", "unknown", "mistake")
        assert not (tmp_path / "gone").exists()

    def test_a_box_that_there_is_not(self, page: Page) -> None:
        page.go_to(TURN)
        asked = {"step": TURN, "box": "heron_one", "text": "0"}
        assert page.refused("answer", **asked) == 'there is no box "heron_one" in this step'

    @each_lesson
    def test_every_box_has_a_name_and_a_verdict(self, page: Page, name: str) -> None:
        page.go_to(len(lesson_named(name).steps), name)
        for step in lesson_named(name).steps:
            boxes = page.session._step(step)["boxes"]
            labels = [(box["part"], box["label"]) for box in boxes]  # a part has a name of its own
            assert all(label.strip() for _, label in labels)
            assert len({part.title for part in step.parts}) == len(step.parts)
            assert len(labels) == len(set(labels)), f"step {step.number}: {labels}"
            for box in step.boxes:
                told = page.one("verdicts", "answer", step=step.number, box=box.key, text="17 mm")
                ours = [each for each in told["verdicts"] if box.key in each["boxes"]]
                assert len(ours) == 1
                assert ours[0]["says"]


class TestPanels:
    def test_an_entry_moves_the_picture(self, page: Page) -> None:
        page.go_to(HOLD)
        before = page.at_work.panels[SEE].svg
        view = page.one("panel", "set", step=SEE, name="chamber", entry=46.0)
        assert view["svg"] != before
        (chamber,) = [each for each in view["settings"] if each["name"] == "chamber"]
        assert (chamber["text"], chamber["at"]) == ("46.00 cc", 46.0)
        typed = page.one("panel", "set", step=SEE, name="chamber", entry="2.8 cu in")
        (chamber,) = [each for each in typed["settings"] if each["name"] == "chamber"]
        assert chamber["text"] == "45.88 cc"
        refused = page.one("panel", "set", step=SEE, name="chamber", entry="46 mm")
        (chamber,) = [each for each in refused["settings"] if each["name"] == "chamber"]
        assert "a volume is wanted here" in chamber["says"]
        assert refused["svg"] == typed["svg"], "the last good picture stays"

    def test_what_it_cannot_be_set_to_is_refused(self, page: Page) -> None:
        page.go_to(HOLD)
        assert "nothing here is named" in page.refused("set", step=SEE, name="__class__", entry=1)
        assert "cannot be set here" in page.refused("set", step=SEE, name="chamber", entry=True)
        assert "there is no" in page.refused("set", step=SEE, name="engine", entry="Heron Nine")
        assert page.refused("set", step=HOLD, name="chamber", entry=46) == "this step has no panel"
        texts = page.session.take(
            f'{{"do": "set", "step": {SEE}, "name": "chamber", "entry": NaN}}'
        )
        assert "cannot be" in json.loads(texts[0])["says"]

    def test_a_file_is_saved_in_the_work_folder_alone(self, page: Page, tmp_path: Path) -> None:
        page.go_to(4, "11-build-sheet")
        name = "file name for the sheet as planned"
        page.say("set", step=3, name=name, entry="planned")
        assert (tmp_path / "planned.toml").exists()
        view = page.one("panel", "set", step=3, name=name, entry="../planned")
        (save,) = [each for each in view["settings"] if each["name"] == name]
        assert "without a folder" in save["says"]


class TestKept:
    def test_all_is_there_again_the_next_day(self, page: Page, tmp_path: Path) -> None:
        page.go_to(TURN)
        page.say("answer", step=TURN, box="my_swept", text="130.63 cc")
        page.say("answer", step=TURN, box="my_gasket", text="1.67 cc")
        page.say("set", step=SEE, name="chamber", entry=46.0)
        page.say("keep", step=SEE)
        assert page.one("kept", "on", step=TURN)["at"] == "10:05"
        page.say("reading", step=BENCH, box="bore, mean", text="88.34 mm")

        again = Page(Desk(tmp_path))
        told = again.say("open", lesson=ADD_IT_UP)
        assert told[0]["at"] == BENCH
        steps = {reply["step"]: reply for reply in told if reply["show"] == "step"}
        assert steps[PREDICT]["guess"]["text"] == "lower"
        assert steps[SEE]["guess"]["text"] == "9.2"
        assert [box["text"] for box in steps[TURN]["boxes"][:2]] == ["130.63 cc", "1.67 cc"]
        assert [each["kind"] for each in steps[TURN]["verdicts"]][:3] == [
            *("right", "mistake", "nothing_written")
        ]
        assert steps[BENCH]["readings"] == {"bore, mean": "88.34 mm"}
        (panel,) = [reply for reply in told if reply["show"] == "panel"]
        assert panel["answered"]
        (chamber,) = [each for each in panel["settings"] if each["name"] == "chamber"]
        assert chamber["text"] == "46.00 cc"

    @each_lesson
    def test_a_lesson_half_done_opens_where_it_was_left(
        self, page: Page, tmp_path: Path, name: str
    ) -> None:
        half = len(lesson_named(name).steps) // 2
        page.go_to(half, name)
        told = Page(Desk(tmp_path)).say("open", lesson=name)
        assert told[0]["at"] == half
        assert [r["step"] for r in told if r["show"] == "step"] == list(range(1, half + 1))

    def test_an_instrument_is_at_the_setting_where_it_was_left(
        self, page: Page, tmp_path: Path
    ) -> None:
        page.go_to(4, "03-reading-the-tools")
        page.say("set", step=4, name="another setting", entry=True)
        picture = page.one("panel", "set", step=4, name="another setting", entry=True)["svg"]
        page.say("keep", step=4)
        told = Page(Desk(tmp_path)).say("open", lesson="03-reading-the-tools")
        (panel,) = [reply for reply in told if reply["show"] == "panel"]
        assert re.sub(r"em\d+", "", panel["svg"]) == re.sub(r"em\d+", "", picture)

    def test_the_score_is_that_of_the_page_and_counts_no_reading_twice(
        self, page: Page, tmp_path: Path
    ) -> None:
        page.go_to(4, "03-reading-the-tools")
        entry = {"name": "your reading, with its unit", "entry": "23.45 mL"}
        score = page.one("panel", "set", step=4, **entry)["words"]
        assert "no reading yet" not in score
        page.say("keep", step=4)
        for _ in range(2):
            told = Page(Desk(tmp_path)).say("open", lesson="03-reading-the-tools")
            (panel,) = [reply for reply in told if reply["show"] == "panel"]
            assert panel["words"] == score

    def test_a_long_pour_comes_back(self, page: Page, tmp_path: Path) -> None:
        page.go_to(4, "04-cc-the-chamber")
        for name, entry in (("spark plug", 1), ("line of grease", 5), ("clear plate", 0)):
            page.say("set", step=3, name=name, entry=entry)
        page.say("set", step=3, name="start reading", entry="0.30 mL")
        page.say("set", step=3, name="go on with this reading", entry=True)
        first = page.one("panel", "set", step=3, name="tap", entry=30)
        for _ in range(150):
            last = page.one("panel", "set", step=3, name="tap", entry=30)
        last = page.one("panel", "set", step=3, name="tap", entry=0)
        assert last["svg"] != first["svg"], "water ran"
        page.say("keep", step=3)
        told = Page(Desk(tmp_path)).say("open", lesson="04-cc-the-chamber")
        (panel,) = [reply for reply in told if reply["show"] == "panel"]
        assert re.sub(r"em\d+", "", panel["svg"]) == re.sub(r"em\d+", "", last["svg"])

    def test_a_lesson_cut_otherwise_keeps_what_was_entered(
        self, page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """A new version of the kit has a step more in front."""
        page.go_to(BENCH)
        page.say("answer", step=TURN, box="my_swept", text="130.63 cc")
        page.say("reading", step=BENCH, box="bore, mean", text="88.34 mm")
        old = lesson_named(ADD_IT_UP)
        first = replace(old.steps[0], number=1, title="New", text="New.")
        rest = [replace(step, number=step.number + 1) for step in old.steps]
        newer = replace(old, steps=(first, *rest))
        monkeypatch.setattr("enginemath.pages.shelf.lesson_named", lambda _: newer)
        told = Page(Desk(tmp_path)).say("open", lesson=ADD_IT_UP)
        steps = {reply["step"]: reply for reply in told if reply["show"] == "step"}
        assert steps[PREDICT + 1]["guess"]["text"] == "lower"
        assert steps[SEE + 1]["guess"]["text"] == "9.2"
        assert steps[TURN + 1]["boxes"][0]["text"] == "130.63 cc"

    def test_two_windows_see_each_other_and_the_later_entry_wins(self, tmp_path: Path) -> None:
        desk = Desk(tmp_path)
        one, other = Page(desk), Page(desk)
        one.go_to(TURN)
        other.say("open", lesson=ADD_IT_UP)
        one.say("answer", step=TURN, box="my_swept", text="130 cc")
        assert other.pushed[-1] == {"show": "changed", "step": TURN}
        other.say("answer", step=TURN, box="my_swept", text="130.63 cc")
        assert one.pushed[-1] == {"show": "changed", "step": TURN}
        for page in (one, other):
            told = page.say("open", lesson=ADD_IT_UP)
            (step,) = [r for r in told if r["show"] == "step" and r["step"] == TURN]
            assert step["boxes"][0]["text"] == "130.63 cc"
        other.session.close()
        one.say("answer", step=TURN, box="my_swept", text="130.6 cc")
        assert len(other.pushed) == 1, "a page that is gone is told nothing"

    def test_a_full_disk_is_told_beside_the_box(
        self, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        page.go_to(TURN)

        def full(_: int) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr("enginemath.sheets.text_file.os.fsync", full)
        kept = page.one("kept", "answer", step=TURN, box="my_swept", text="130.63 cc")
        assert "No space left on device" in kept["trouble"]
        assert (kept["step"], kept["box"]) == (TURN, "my_swept")

    def test_a_newer_file_is_told_on_map_and_lesson(self, tmp_path: Path) -> None:
        (tmp_path / "my-work.json").write_text('{"format": 9}', encoding="utf-8")
        page = Page(Desk(tmp_path))
        for show, do, how in (("map", "map", {}), ("lesson", "open", {"lesson": ADD_IT_UP})):
            (warning,) = page.one(show, do, **how)["warnings"]
            assert "is of a newer format (9)" in warning


class TestWho:
    def test_a_name_is_asked_for_before_handing_in(self, page: Page) -> None:
        page.go_to(TURN)
        page.say("answer", step=TURN, box="my_swept", text="130.63 cc")
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
        page.go_to(TURN)
        told = page.one("map", "who", name="Two", id="T-02")
        assert told["student"]["id"] == "T-02"
        assert {lesson["state"] for lesson in told["lessons"]} == {"new"}
        back = page.one("map", "map", student="T-01")
        assert back["student"]["name"] == "One"
        assert "begun" in {lesson["state"] for lesson in back["lessons"]}

    def test_a_saved_file_is_taken_back(self, page: Page, tmp_path: Path) -> None:
        page.say("who", name="One", id="T-01")
        page.go_to(TURN)
        page.say("answer", step=TURN, box="my_swept", text="130.63 cc")
        text = page.one("file", "hand in")["text"]
        elsewhere = Page(Desk(tmp_path / "elsewhere"))
        told = elsewhere.one("map", "take back", text=text)
        assert told["student"]["id"] == "T-01"
        steps = elsewhere.say("open", lesson=ADD_IT_UP)
        (step,) = [r for r in steps if r["show"] == "step" and r["step"] == TURN]
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
        page.go_to(HOLD)
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
        for step in range(1, HOLD):
            screen.say("on", step=step)
        assert RATIO not in spoken(screen.sent)
        told = screen.say("uncover", step=SEE)
        assert [reply["show"] for reply in told] == ["step", "panel"]
        assert RATIO in spoken(screen.sent)
        screen.say("on", step=SEE)
        covered = screen.one("step", "on", step=HOLD)
        assert covered["covered"]
        assert covered["working"]
        assert not any(working["shown"] for working in covered["working"])
        uncovered = screen.one("step", "uncover", step=WORK)["working"]
        assert any(working["shown"] for working in uncovered)

    def test_the_picture_is_large_and_nothing_is_kept(self, screen: Page, tmp_path: Path) -> None:
        told = screen.say("open", lesson=ADD_IT_UP)
        assert told[0]["mode"] == "projector"
        assert screen.at_work.panels[SEE].projector.on
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
        page.go_to(TURN)
        told = page.refused("answer", step=TURN, box="my_swept", text="9" * 2_001)
        assert "longer than 2000 characters" in told

    def test_every_message_of_the_reference_exists_and_every_one_is_there(self) -> None:
        from enginemath.pages.messages import MESSAGES
        from enginemath.pages.session import _DOES

        page = Path(__file__).parents[2] / "docs" / "reference" / "lesson-pages.md"
        table = page.read_text("utf-8").split("| page sends |")[1].split("| Python sends |")[0]
        listed = [line.split("`")[1] for line in table.splitlines() if line.startswith("| `")]
        assert sorted(listed) == sorted(MESSAGES) == sorted(_DOES)
