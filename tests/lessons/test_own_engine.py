"""The group's own engine in the last part of lesson 11: readings, plans by banks, orders."""

from __future__ import annotations

import base64
import re
from dataclasses import replace
from pathlib import Path

from enginemath.lesson.own_engine import NONE_YET
from enginemath.pages.lesson_at_work import LessonAtWork
from enginemath.pages.steps import Cell, lesson_named
from enginemath.pages.working import Working
from enginemath.sheets.own_engine.bench_record import BenchRecord
from tests.sheets.own_engine.bench import filled_eight, new_eight

SAYS = Cell("show_own_engine()", "working")
PRICES = """\
format = 1
[target]
ratio = [9.8, 10.6]
squish = ["0.040 in", "0.060 in"]
[[gasket]]
name = "steel"
bore = "4.100 in"
compressed_thickness = "0.041 in"
price = 64
[deck_cut]
step = "0.005 in"
max = "0.015 in"
price = 200
[tolerances]
deck_cut = "0.001 in"
"""


def told(folder: Path) -> tuple[str, list[str]]:
    """What the cell prints on a page of this folder, and the pages that its links save."""
    shown, _ = Working(folder=folder).run(SAYS)
    texts = [each.value for each in shown if each.kind == "text"]
    links = [each.value for each in shown if each.kind == "html"]
    assert len(texts) == 1
    return texts[0], links


def test_the_last_part_of_lesson_11_speaks_of_it() -> None:
    turn = next(s for s in lesson_named("11-build-sheet").steps if s.title == "Your turn")
    (cell,) = [cell for cell in turn.cells if cell.code == SAYS.code]
    assert turn.parts[cell.part - 1].title == "My order: our own engine"
    assert cell.kind == "working"


def test_without_one_it_says_where_to_begin(tmp_path: Path) -> None:
    assert told(tmp_path) == (NONE_YET, [])


def test_a_page_looks_for_it_in_the_work_folder(tmp_path: Path) -> None:
    """A server of pages runs in a folder of its own."""
    BenchRecord(new_eight(tmp_path))
    lesson = lesson_named("11-build-sheet")
    turn = next(s for s in lesson.steps if s.title == "Your turn")
    at_work = LessonAtWork(lesson, lambda: {"panels": {}, "guesses": {}}, tmp_path)
    at_work.reach(replace(turn, cells=(SAYS,), boxes=()))
    ((shown, *_),) = at_work.reached[turn.number].shown
    assert shown.value.startswith("bay3: ")


def test_while_readings_are_missing_it_says_what_is_next(tmp_path: Path) -> None:
    record = BenchRecord(new_eight(tmp_path))
    assert record.take(record.boxes[0], "0.0210").kept
    first, second = told(tmp_path)[0].splitlines()
    assert re.fullmatch(r"bay3: ratio \d+\.\d to \d+\.\d so far", first)
    next_one = "deck clearance, cylinder 1, right of the pin (dial)"
    assert second == f"readings: 1 of 72, next {next_one}"


def test_once_all_is_read_it_has_plans_by_banks_and_their_orders(tmp_path: Path) -> None:
    prices = tmp_path / "bay3-options.toml"
    sheet = filled_eight(tmp_path)
    text, links = told(tmp_path)
    assert text.splitlines()[0].startswith("bay3: ratio 9.67 ± 0.03")
    assert f"lay the shop's price list beside it, as {prices.name}" in text
    assert links == []
    prices.write_text(PRICES)
    text, links = told(sheet.parent)
    plans = re.findall(r"plan (\d): price (\d+), every limit kept with (.+)", text)
    assert [number for number, *_ in plans] == ["1", "2", "3"]
    assert "deck left cut 0.0150 in, deck right cut 0.0150 in, gasket “steel”" in text
    (link,) = links
    assert link.count("<a ") == 3
    page = base64.b64decode(re.findall(r"base64,([^\"]+)", link)[0]).decode()
    assert 'download="bay3-order-1.html"' in link
    assert "deck of bank right" in page
    prices.write_text(PRICES.replace("[9.8", "[19.8").replace("10.6]", "20.6]"))
    assert "No plan of this price list keeps every limit." in told(tmp_path)[0]
    prices.write_text(PRICES.replace("ratio", "ration"))
    text, links = told(tmp_path)
    assert "ration" in text
    assert links == []
