"""A student's work file: whole or not at all, and never written over another's."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import Any

import pytest

from enginemath.classroom.work_file import Unfit, new_lesson, new_work, read_work, slug
from enginemath.pages.work import Work


def answered(data: dict[str, Any], text: str = "9.8") -> None:
    lesson = data["lessons"].setdefault("07-add-it-up", new_lesson())
    lesson["answers"]["my_ratio"] = {"text": text, "kind": "right", "says": "right", "at": "now"}


def text_in(work: Work) -> str:
    return work.lesson("07-add-it-up")["answers"]["my_ratio"]["text"]


def test_what_is_kept_is_there_again(tmp_path: Path) -> None:
    work = Work(tmp_path)
    assert work.keep(answered) == ""
    assert text_in(Work(tmp_path)) == "9.8"
    assert [file.name for file in tmp_path.iterdir()] == ["my-work.json"], "nothing half written"
    assert json.loads((tmp_path / "my-work.json").read_text("utf-8"))["format"] == 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"format": 1, "lessons": {', "is cut off"),
        ("", "is not a student's work"),
        ("what is this", "is not a student's work"),
        ("[1, 2]", "is not a student's work"),
        ('{"format": true}', "is not a student's work"),
        ('{"format": 2}', "is of a newer format (2)"),
        ('{"format": 1, "lessons": []}', "is not a student's work"),
        ('{"format": 1, "student": {"id": 7}}', "is not a student's work"),
        ("[" * 100_000, "is not a student's work"),
    ],
)
def test_a_file_that_cannot_be_used_is_left_and_work_goes_on_beside_it(
    tmp_path: Path, text: str, told: str
) -> None:
    (tmp_path / "my-work.json").write_text(text, encoding="utf-8")
    work = Work(tmp_path)
    assert told in work.warnings[0]
    assert work.keep(answered) == ""
    assert (tmp_path / "my-work.json").read_text("utf-8") == text
    again = Work(tmp_path)
    assert text_in(again) == "9.8"
    assert again.path == tmp_path / "my-work-2.json"


@pytest.mark.skipif(os.name != "posix", reason="pipes as on Unix")
def test_a_pipe_is_left_and_work_goes_on_beside_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "my-work.json")
    work = Work(tmp_path)
    assert "cannot be read" in work.warnings[0]
    assert work.keep(answered) == ""
    assert (tmp_path / "my-work-2.json").is_file()


def test_half_a_letter_deep_down_is_no_work() -> None:
    deep = '{"format": 1, "x": "\\ud800", "y": ' + "[" * 950 + "]" * 950 + "}"
    with contextlib.suppress(Unfit):
        read_work(deep)


def test_another_student_s_work_is_left(tmp_path: Path) -> None:
    first = Work(tmp_path)
    first.keep(lambda data: data["student"].update(name="One", id="T-01"))
    second = Work(tmp_path, "T-02")
    assert "another student's work" in second.warnings[0]
    second.keep(answered)
    assert second.path == tmp_path / "my-work-T-02.json"
    assert Work(tmp_path, "T-01").path == tmp_path / "my-work.json"
    assert Work(tmp_path, "T-02").warnings == [], "their own file is found at once"
    assert "my_ratio" not in Work(tmp_path).text()


def test_work_without_a_name_becomes_that_of_who_says_so(tmp_path: Path) -> None:
    Work(tmp_path).keep(answered)
    assert text_in(Work(tmp_path, "T-07")) == "9.8"


def test_two_programs_on_one_file_lose_nothing(tmp_path: Path) -> None:
    one, other = Work(tmp_path), Work(tmp_path)
    one.keep(answered)
    os.utime(tmp_path / "my-work.json", ns=(1, 1))  # clocks are coarse on some disks
    other.keep(lambda data: data["student"].update(name="One", id="T-01"))
    both = Work(tmp_path)
    assert text_in(both) == "9.8"
    assert both.data["student"]["id"] == "T-01"


def test_a_file_spoilt_while_one_works_is_left_too(tmp_path: Path) -> None:
    work = Work(tmp_path)
    work.keep(answered)
    (tmp_path / "my-work.json").write_text("spoilt", encoding="utf-8")
    assert work.keep(lambda data: answered(data, "9.9")) == ""
    assert (tmp_path / "my-work.json").read_text("utf-8") == "spoilt"
    assert text_in(Work(tmp_path)) == "9.9"


def test_a_full_disk_is_told_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = Work(tmp_path)
    work.keep(answered)
    before = (tmp_path / "my-work.json").read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("enginemath.sheets.text_file.os.fsync", full)
    told = work.keep(lambda data: answered(data, "9.9"))
    assert told.startswith("Not kept: the file cannot be written (No space left on device)")
    assert (tmp_path / "my-work.json").read_bytes() == before
    assert text_in(work) == "9.9"
    monkeypatch.undo()
    assert work.keep(lambda _: None) == ""
    assert text_in(Work(tmp_path)) == "9.9"


def test_a_folder_that_went_away_comes_back(tmp_path: Path) -> None:
    work = Work(tmp_path / "work")
    assert work.keep(answered) == ""
    assert (tmp_path / "work" / "my-work.json").exists()


def test_odd_pieces_of_a_file_are_left_out() -> None:
    odd = {
        "reached": "x",
        "done": [1, "2"],
        "answers": {"a": 1, "b": {"text": 2}, "c": {"text": "9.8"}},
        "readings": {"a": 1, "b": "2 mm"},
        "panels": {"add_it_up": [["chamber", "46 cc"], "x", [1]], "x": 7},
        "guesses": [],
    }
    lesson = read_work(json.dumps({"format": 1, "lessons": {"07-add-it-up": odd}}))["lessons"]
    assert lesson["07-add-it-up"] == {
        "reached": 1,
        "done": [1],
        "answers": {"c": {"text": "9.8"}},
        "readings": {"b": "2 mm"},
        "panels": {"add_it_up": [("chamber", "46 cc")]},
        "guesses": {},
    }


def test_a_name_of_any_letters_is_kept(tmp_path: Path) -> None:
    name = "<script>alert(1)</script> 🔧 \u05d0\u05d1"
    Work(tmp_path).keep(lambda data: data["student"].update(name=name, id="../x"))
    assert Work(tmp_path).data["student"]["name"] == name
    assert slug("../x") == "x"


def test_a_file_name_comes_from_the_id_alone(tmp_path: Path) -> None:
    Work(tmp_path).keep(lambda data: data["student"].update(name="A", id="A"))
    Work(tmp_path, "../../etc/x").keep(answered)
    assert sorted(file.name for file in tmp_path.iterdir()) == [
        *("my-work-etc-x.json", "my-work.json")
    ]


def test_new_work_is_read_back_equal() -> None:
    text = json.dumps(new_work())
    assert read_work(text) == read_work(f"\ufeff{text}") == new_work()  # saved again by an editor
    with pytest.raises(Unfit):
        read_work("null")
