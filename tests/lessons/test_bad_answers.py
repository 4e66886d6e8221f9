"""Whatever a student writes as an answer, the cells below it say a sentence and never fail."""

from __future__ import annotations

import ast
import contextlib
import io
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import nbformat
import pytest

from enginemath import lesson
from enginemath.lesson.plainly import say_plainly
from enginemath.sheets import class_readings

SOLVED = sorted((Path(__file__).parents[2] / "instructor" / "solved").glob("*.ipynb"))
BAD: list[Any] = [
    *("", "   ", "text", "5 mm", "5 cc", "5", "1/2 in", "1/0 mm", "9e99 cc", "9e999 mm", "-3 cc"),
    *("5,2 cc", "nan cc", "²", "x" * 500, "\x00", "5 cc 5 cc", "1 mil"),
    *(None, ..., 5, 5.5, -1, True, [], float("nan"), 10**400),
]


@pytest.fixture(autouse=True)
def records_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """They are the same whatever a student writes, and to read them takes most of the time."""
    monkeypatch.setattr(class_readings, "fills", cache(class_readings.fills))
    monkeypatch.setattr(lesson, "group_sheet", cache(lesson.group_sheet))


def answer_cells(path: Path) -> Iterator[tuple[dict[str, Any], list[str], list[str]]]:
    """Each answer cell of a lesson as solved: the names so far, its own names, what follows it."""
    cells = [c for c in nbformat.read(path, as_version=4).cells if c.cell_type == "code"]
    names: dict[str, Any] = {}
    for place, cell in enumerate(cells):
        run(cell.source, names)
        if "answer" in cell.metadata.get("tags", []):
            below = []
            for later in cells[place + 1 :]:
                if "answer" in later.metadata.get("tags", []):
                    break
                below.append(later.source)
            yield names, [node.targets[0].id for node in ast.parse(cell.source).body], below


def run(source: str, names: dict[str, Any]) -> str:
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(source, "cell", "exec"), names)
    return printed.getvalue()


def mentions(source: str, wanted: set[str]) -> bool:
    used = {node.id for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Name)}
    return bool(used & wanted)


def checks(own: list[str], below: list[str]) -> list[str]:
    """The cells below that use the answers, or what was made of them."""
    wanted, found = set(own), []
    for source in below:
        if mentions(source, wanted):
            found.append(source)
            wanted |= {
                node.id
                for node in ast.walk(ast.parse(source))
                if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
            }
    return found


@pytest.mark.parametrize("path", SOLVED, ids=lambda path: path.stem)
def test_any_answer_gets_a_sentence(path: Path) -> None:
    asked = 0
    for names, own, below in answer_cells(path):
        cells = checks(own, below)
        assert cells, f"no cell checks {own}"
        for name in own:
            right = names[name]
            for bad in BAD:
                names[name] = bad
                said = "".join(run(cell, names) for cell in cells)
                assert said.strip(), f"{name} = {bad!r:.40}: nothing said"
                assert "Traceback" not in said
                asked += 1
            names[name] = right
    assert asked


def test_a_forgotten_quote_gets_a_sentence() -> None:
    with pytest.raises(NameError) as missing:
        run("my_ratio = nine", {})
    assert "put your answer in quotes" in say_plainly(missing.value)
