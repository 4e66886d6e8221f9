"""A class set's sheet as a page: the same boxes, kept, handed in, marked; nothing given away."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.pages.class_sheet import sheets_in
from enginemath.pages.desk import Desk
from enginemath.pages.lesson_book import Book
from enginemath.pages.steps import lesson_names
from tests.classroom.bay_sets import AtTheBench, make_bay
from tests.classroom.class_sets import SECRET, make, right
from tests.pages.test_session import Page


def handed_out(folder: Path, level: str = "full", **options: Any) -> tuple[ClassSet, Path]:
    """A class set, and the work folder of its first student."""
    made = make(folder / "set", 2, level, **options)
    home = folder / "home"
    home.mkdir()
    name = f"{made.key.entries[0].student.file}.ipynb"
    (home / name).write_bytes((made.students / name).read_bytes())
    return made, home


def opened(home: Path, who: str = "1000") -> tuple[Page, str]:
    page = Page(Desk(home))
    page.say("who", name="Student 0", id=who)
    (sheet,) = page.one("map", "map")["sheets"]
    page.say("open", lesson=sheet["name"])
    return page, sheet["name"]


def answer_all(page: Page, entry: Entry, answers: dict[str, str]) -> list[dict[str, Any]]:
    told = []
    for step, question in enumerate(entry.assignment.questions, start=2):
        page.say("on", step=step - 1)
        text = answers.get(question.name, "")
        told.append(page.one("verdicts", "answer", step=step, box=question.name, text=text))
    return told


def test_a_sheet_is_opened_filled_handed_in_and_marked(tmp_path: Path) -> None:
    made, home = handed_out(tmp_path)
    entry = made.key.entries[0]
    page, name = opened(home)
    told = answer_all(page, entry, right(entry))
    assert all(each["verdicts"] == [] for each in told), "no verdict before it is marked"
    assert all(each["done"] for each in told)
    file = page.one("file", "hand in")
    back = tmp_path / "back"
    back.mkdir()
    (back / file["name"]).write_text(file["text"], encoding="utf-8")
    report = mark(back, tmp_path / "marks", SECRET, key=made.folder, book=Book())
    assert str(report).startswith("1 of 2 papers marked, 100 % on average")
    again, _ = opened(home)
    (sheet,) = again.one("map", "map")["sheets"]
    assert (sheet["name"], sheet["state"]) == (name, "done")


def test_the_page_holds_what_was_read_and_no_answer(tmp_path: Path) -> None:
    made, home = handed_out(tmp_path)
    entry = made.key.entries[0]
    page, _ = opened(home)
    answer_all(page, entry, {})
    texts = re.sub(r"base64,[A-Za-z0-9+/=]+", "", page.sent)
    texts = re.sub(r"<(?:path|rect|circle|polygon|polyline|line|g|text)\b[^>]*>", "", texts)  # px
    for answer in right(entry).values():
        assert answer not in texts
    assert entry.tag not in texts.replace(f"sheet-{entry.tag}", ""), "the mark names the page alone"
    assert "Compressed" in texts or "compressed" in texts
    for question in entry.assignment.questions:
        assert question.ask.split(".")[0].split(";")[0] in texts


@pytest.mark.parametrize("level", ["flat", "plan"])
def test_with_hints_a_sheet_tells_what_the_judge_says(tmp_path: Path, level: str) -> None:
    made, home = handed_out(tmp_path, level, hints=True)
    entry = made.key.entries[0]
    page, _ = opened(home)
    half = {"swept_volume": "1 cc"}
    told = answer_all(page, entry, right(entry) | half)
    assert told[0]["verdicts"][0]["kind"] in ("mistake", "unknown")
    assert [each["verdicts"][0]["kind"] for each in told[1:]][:1] == ["right"]
    mended = page.one(
        "verdicts", "answer", step=2, box="swept_volume", text=right(entry)["swept_volume"]
    )
    assert mended["verdicts"][0]["kind"] == "right"
    assert mended["verdicts"][0]["says"] == "right"


def test_another_s_sheet_is_not_shown(tmp_path: Path) -> None:
    _, home = handed_out(tmp_path, "flat")
    page = Page(Desk(home))
    page.say("who", name="Somebody", id="77")
    assert page.one("map", "map")["sheets"] == []
    assert len(sheets_in(home)) == 1
    assert page.one("refusal", "open", lesson=sheets_in(home)[0].name)


def test_two_windows_on_one_sheet_see_each_other_and_the_later_entry_wins(tmp_path: Path) -> None:
    made, home = handed_out(tmp_path, "flat")
    first = made.key.entries[0].assignment.questions[0].name
    one, name = opened(home)
    other = Page(one.session.desk)
    other.say("who", name="Student 0", id="1000")
    one.say("on", step=1)
    for page in (other, one):
        page.say("open", lesson=name)
    one.say("answer", step=2, box=first, text="520 cc")
    assert other.pushed[-1] == {"show": "changed", "step": 2}
    other.say("answer", step=2, box=first, text="525 cc")
    assert one.pushed[-1] == {"show": "changed", "step": 2}
    for page in (one, other):
        told = page.say("open", lesson=name)
        (step,) = [reply for reply in told if reply["show"] == "step" and reply["step"] == 2]
        assert [(box["key"], box["text"]) for box in step["boxes"]] == [(first, "525 cc")]
    other.say("open", lesson=lesson_names()[0])
    one.say("answer", step=2, box=first, text="530 cc")
    assert len(other.pushed) == 1, "a window that is elsewhere is not disturbed"


def test_a_projector_shows_no_sheet(tmp_path: Path) -> None:
    _, home = handed_out(tmp_path, "flat")
    assert Page(Desk(home), projector=True).one("map", "map")["sheets"] == []


def test_a_hostile_notebook_is_text_and_never_runs(tmp_path: Path) -> None:
    _, home = handed_out(tmp_path, "flat", hints=True)
    (file,) = home.glob("*.ipynb")
    content = json.loads(file.read_text(encoding="utf-8"))
    trap = tmp_path / "trap"
    for cell in content["cells"]:
        source = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            cell["source"] = (
                f"{source}\n\n<script>x</script><img src=x onerror=x> [a](javascript:x)"
            )
            for forms in cell.get("attachments", {}).values():
                forms.update(dict.fromkeys(forms, '"><script>x</script>'))
        elif "check" in source:
            cell["source"] = f"sheet = open({str(trap)!r}, 'w')\ncheck_sheet(sheet)\n{'(' * 5000}"
        else:
            cell["source"] = f"{source}\nopen({str(trap)!r}, 'w')"
    content["cells"][1:1] = [7, {"cell_type": "markdown", "source": 7}, {"source": [None]}]
    file.write_text(json.dumps(content), encoding="utf-8")
    page, _ = opened(home)
    told = page.one("verdicts", "answer", **page_on(page))
    assert told["verdicts"] == []
    assert not trap.exists()
    for tag in ("<script", "<img src=x", 'href="javascript'):
        assert tag not in page.sent.replace('\\"', '"')


def page_on(page: Page) -> dict[str, Any]:
    page.say("on", step=1)
    return {"step": 2, "box": "swept_volume", "text": "1 cc"}


def at_the_bay(folder: Path, **options: Any) -> tuple[ClassSet, Page, dict[str, str]]:
    """A set about the bay, its first student's sheet opened, and what that student writes."""
    made = make_bay(folder / "set", 2, "heron-eight", **options)
    entry = made.key.entries[0]
    assert entry.bay
    home = folder / "home"
    home.mkdir()
    name = f"{entry.student.file}.ipynb"
    (home / name).write_bytes((made.students / name).read_bytes())
    page, _ = opened(home)
    return made, page, AtTheBench(entry.bay.record, 3).paper(entry)


def write_all(page: Page, written: dict[str, str]) -> dict[str, dict[str, Any]]:
    """Go through the sheet and write; what was told at each box."""
    told: dict[str, dict[str, Any]] = {}
    for step in range(2, 20):
        now = page.say("on", step=step - 1)
        (shown,) = [each for each in now if each["show"] == "step" and each["step"] == step]
        for box in shown["boxes"]:
            text = written.get(box["key"], "")
            told[box["key"]] = page.one("verdicts", "answer", step=step, box=box["key"], text=text)
    return told


def test_readings_of_the_bay_are_written_kept_in_sight_and_marked(tmp_path: Path) -> None:
    made, page, written = at_the_bay(tmp_path)
    bare = {name: text.removesuffix(" in").removesuffix(" mL") for name, text in written.items()}
    told = write_all(page, bare)
    assert all(each["verdicts"] == [] for each in told.values())
    assert told["read_chamber_end_2"]["done"], "the last fill is to spare"
    assert not told["read_chamber_start_2"]["done"]
    again = page.say("answer", step=2, box="read_bore", text="<b>3.9</b>")
    (board,) = [each for each in again if each["show"] == "step"]
    html = board["working"][0]["shown"][0]["value"]
    assert "<td>bore</td><td>&lt;b&gt;3.9&lt;/b&gt;</td>" in html
    first, second = bare["read_chamber_start_1"], bare["read_chamber_end_1"]
    assert f"<td>{first}\u00a0mL to {second}\u00a0mL; " in html
    page.say("answer", step=2, box="read_bore", text=bare["read_bore"])
    file = page.one("file", "hand in")
    back = tmp_path / "back"
    back.mkdir()
    (back / file["name"]).write_text(file["text"], encoding="utf-8")
    report = mark(back, tmp_path / "marks", SECRET, key=made.folder, book=Book())
    assert str(report).startswith("1 of 2 papers marked, 100 % on average")
    assert report.marks
    assert {reading.verdict.kind for reading in report.marks.marked[0].readings} == {"right"}


def test_a_reading_that_cannot_be_read_is_told_at_the_bench(tmp_path: Path) -> None:
    _, page, _ = at_the_bay(tmp_path)
    page.say("on", step=1)
    told = page.one("verdicts", "answer", step=2, box="read_bore", text="3,8 in")
    assert [each["kind"] for each in told["verdicts"]] == ["unreadable"]
    assert "decimal point" in told["verdicts"][0]["says"]
    mended = page.one("verdicts", "answer", step=2, box="read_bore", text="3.8")
    assert mended["verdicts"] == []


def test_with_hints_the_bay_s_answers_are_judged_from_the_own_readings(tmp_path: Path) -> None:
    _, page, written = at_the_bay(tmp_path, hints=True)
    told = write_all(page, written | {"gasket_volume": "1 cc"})
    kinds = {
        name: [verdict["kind"] for verdict in each["verdicts"]]
        for name, each in told.items()
        if not name.startswith("read_")
    }
    assert kinds.pop("gasket_volume") != ["right"]
    assert set(map(tuple, kinds.values())) == {("right",)}


NO_SHEETS = [
    *("", "{", "[]", "[" * 100_000 + '"enginemath"'),
    '{"metadata": {"enginemath": 7}, "cells": []}',
    '{"metadata": {"enginemath": {"student": "1", "sheet": "../../x"}}, "cells": []}',
    '{"metadata": {"enginemath": {"student": "1", "sheet": "01234567"}}, "cells": []}',
]


@pytest.mark.parametrize("text", NO_SHEETS, ids=range(len(NO_SHEETS)))
def test_other_notebooks_are_no_sheets(tmp_path: Path, text: str) -> None:
    (tmp_path / "x.ipynb").write_text(text, encoding="utf-8")
    assert sheets_in(tmp_path) == []
