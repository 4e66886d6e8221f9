"""The learner's folder: brought up to date, never written over."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from enginemath.quiet_lab.workfolder import RECORD, deliver
from enginemath.sheets.text_file import SheetRefused

LESSON = "07-add-it-up.ipynb"


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    folder = tmp_path / "kit"
    folder.mkdir()
    (folder / LESSON).write_text("first edition")
    (folder / "09-choose-the-change.ipynb").write_text("first edition")
    (folder / "notes.txt").write_text("not a lesson")
    return folder


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    return tmp_path / "deep" / "mine"


def test_first_delivery_is_all_new(kit: Path, mine: Path) -> None:
    delivery = deliver(mine, kit)
    assert delivery.new == [LESSON, "09-choose-the-change.ipynb"]
    assert sorted(path.name for path in mine.iterdir()) == [
        RECORD,
        LESSON,
        "09-choose-the-change.ipynb",
    ]
    assert "new: 07-add-it-up.ipynb, 09-choose-the-change.ipynb" in str(delivery)


def test_second_delivery_does_nothing(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    again = deliver(mine, kit)
    assert (again.new, again.updated, again.kept, again.beside) == ([], [], [], [])


def test_a_changed_lesson_is_kept(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    (mine / LESSON).write_text("my answers")
    delivery = deliver(mine, kit)
    assert (mine / LESSON).read_text() == "my answers"
    assert (delivery.kept, delivery.beside) == ([LESSON], [])


def test_an_untouched_lesson_is_brought_up_to_date(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    (kit / LESSON).write_text("second edition")
    delivery = deliver(mine, kit)
    assert (mine / LESSON).read_text() == "second edition"
    assert delivery.updated == [LESSON]


def test_a_newer_edition_lands_beside_a_changed_lesson_once(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    (mine / LESSON).write_text("my answers")
    (kit / LESSON).write_text("second edition")
    first = deliver(mine, kit)
    assert first.beside == ["07-add-it-up-new.ipynb"]
    assert (mine / LESSON).read_text() == "my answers"
    assert (mine / "07-add-it-up-new.ipynb").read_text() == "second edition"
    assert deliver(mine, kit).beside == []
    (kit / LESSON).write_text("third edition")
    assert deliver(mine, kit).beside == ["07-add-it-up-new-2.ipynb"]


def test_a_lesson_that_was_there_before_the_kit_is_kept(kit: Path, mine: Path) -> None:
    mine.mkdir(parents=True)
    (mine / LESSON).write_text("somebody's own file")
    delivery = deliver(mine, kit)
    assert (mine / LESSON).read_text() == "somebody's own file"
    assert (delivery.kept, delivery.beside) == ([LESSON], ["07-add-it-up-new.ipynb"])


@pytest.mark.parametrize("damage", ["", "[]", "{broken", "\x00", "[" * 100_000])
def test_a_damaged_record_loses_nobody_s_work(kit: Path, mine: Path, damage: str) -> None:
    deliver(mine, kit)
    (mine / LESSON).write_text("my answers")
    (mine / RECORD).write_text(damage)
    assert (deliver(mine, kit).kept, (mine / LESSON).read_text()) == ([LESSON], "my answers")


@pytest.mark.skipif(os.name != "posix", reason="pipes as on Unix")
def test_a_pipe_among_the_work_keeps_nobody_waiting(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    (mine / LESSON).write_text("[" * 100_000)
    os.mkfifo(mine / "my-work-T-01.json")
    assert deliver(mine, kit).kept == [LESSON]
    (mine / LESSON).unlink()
    os.mkfifo(mine / LESSON)
    with pytest.raises(SheetRefused, match="not a plain file"):
        deliver(mine, kit)


def test_a_deleted_lesson_comes_back(kit: Path, mine: Path) -> None:
    deliver(mine, kit)
    (mine / LESSON).unlink()
    assert deliver(mine, kit).new == [LESSON]


def test_a_folder_that_is_a_file_is_refused(kit: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(SheetRefused, match="cannot be written"):
        deliver(tmp_path / "file" / "mine", kit)


def test_a_lesson_that_was_only_run_is_brought_up_to_date(kit: Path, mine: Path) -> None:
    def lesson(source: object, count: int | None) -> str:
        cell = {"cell_type": "code", "source": source, "execution_count": count, "outputs": []}
        return json.dumps({"cells": [cell], "nbformat": 4})

    (kit / LESSON).write_text(lesson(["bore = 92\n", "bore"], None))
    deliver(mine, kit)
    (mine / LESSON).write_text(lesson("bore = 92\nbore", 7))
    assert deliver(mine, kit).kept == []
    (kit / LESSON).write_text(lesson("second edition", None))
    assert deliver(mine, kit).updated == [LESSON]
    (mine / LESSON).write_text(lesson("my answer", None))
    assert deliver(mine, kit).kept == [LESSON]
