"""Answers taken out of notebooks as they were written: no code of a student's is ever run."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.classroom.marking.papers import Written, read_notebook, read_table
from enginemath.units import Refused

NAMES = ("swept_volume", "compression_ratio")


def notebook(*sources: str, **metadata: object) -> str:
    cells = [{"cell_type": "code", "source": source} for source in sources]
    return json.dumps({"cells": cells, "metadata": metadata, "nbformat": 4})


def read(*sources: str) -> Written:
    return read_notebook(notebook(*sources), NAMES).answers.get("swept_volume", Written())


@pytest.mark.parametrize(
    ("source", "text"),
    [
        ('swept_volume = "588.31 cc"', "588.31 cc"),
        ("swept_volume = 588.30", "588.30"),
        ("swept_volume = -9.80", "-9.80"),
        ("swept_volume = +9", "9"),
        ("swept_volume = 5_88.3", "588.3"),
        ("swept_volume = 5.883e2  # cc", "5.883e2"),
        ("swept_volume: float = 588.31", "588.31"),
        ('x = swept_volume = "1"', "1"),
        ("é = 1; swept_volume = 588.31", "588.31"),
        ('"""\nswept_volume = 7\n"""\nswept_volume = 8', "8"),
        ("%matplotlib inline\n!ls\nswept_volume = 588.31", "588.31"),
        ("%%time\nswept_volume = 588.31", "588.31"),
        ("swept_volume = 588.31\nfor i in", "588.31"),
        ("    swept_volume = 588.31\nx = (", "588.31"),
        ("swept_volume = 'two\\\nlines'", "twolines"),
        ("# swept_volume = 5", ""),
        ('swept_volume = ""', ""),
        ("swept_volume = None", ""),
        ("swept_volume = ...", ""),
        ("swept_volume == 5", ""),
        ("other_swept_volume = 5", ""),
    ],
)
def test_what_is_taken(source: str, text: str) -> None:
    assert read(source) == Written(text)


@pytest.mark.parametrize(
    "value",
    ["disc(1, 2)", "1 + 1", "f'{x}'", "[1]", "True", "-'5'", "b'5'", "x", "1j", "9 if x else 8"],
)
def test_code_is_no_answer(value: str) -> None:
    assert "write the number itself" in read(f"swept_volume = {value}").doubt


@pytest.mark.parametrize(
    "line",
    ["swept_volume = 588.31 cc", 'swept_volume = "588.31', "swept_volume = “588.31”",
     "swept_volume = π/4 * (", "swept_volume = " + "9" * 10_000],
)  # fmt: skip
def test_a_line_that_breaks_off_is_not_taken_for_nothing(line: str) -> None:
    assert "between quotes" in read(line, 'swept_volume = ""').doubt
    assert read('swept_volume = "588.31"', line) == Written("588.31")


def test_a_decimal_comma_without_quotes_is_seen_as_one() -> None:
    assert read("swept_volume = 588,31") == Written("588,31")


def test_code_is_never_run(tmp_path: Path) -> None:
    trap = tmp_path / "ran"
    evil = f"open({str(trap)!r}, 'w').close()"
    read(
        evil,
        f"swept_volume = {evil}",
        f"swept_volume = __import__('os').system('touch {trap}')",
        f"!touch {trap}\nswept_volume = 5",
        f"swept_volume = f'{{{evil}}}'",
    )
    assert not trap.exists()


def test_the_last_answer_counts_and_others_are_noted() -> None:
    cells = ('swept_volume = "1"', 'swept_volume = "2"', 'swept_volume = ""')
    paper = read_notebook(notebook(*cells), NAMES)
    assert paper.answers["swept_volume"] == Written("2", before=("1",))
    assert paper.notes == ["swept volume was written more than once: the last counts, not 1"]


def test_the_same_answer_twice_is_no_matter() -> None:
    cell = 'swept_volume = "1"'
    assert read_notebook(notebook(cell, cell), NAMES).notes == []


def test_code_after_an_answer_counts_as_the_last() -> None:
    written = read('swept_volume = "1"', "swept_volume = area * stroke")
    assert (written.text, written.before) == ("", ("1",))
    assert written.doubt


def test_who_it_is() -> None:
    text = notebook("student_id = '7'", enginemath={"student": "7", "sheet": "ab"})
    paper = read_notebook(text, NAMES)
    assert (paper.signed, paper.issued) == ("7", ("7", "ab"))


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", "7", '{"cells": 5}', '{"cells": null}', "[" * 200_000, "{}", "\x00"],
)
def test_what_is_no_notebook(text: str) -> None:
    with pytest.raises(Refused, match="not a"):
        read_notebook(text, NAMES)


@pytest.mark.parametrize(
    "cell",
    [None, 5, [], {}, {"cell_type": "code"}, {"cell_type": "code", "source": 5},
     {"cell_type": "code", "source": [1, None, "swept_volume = 5"]},
     {"cell_type": "markdown", "source": "swept_volume = 6"}],
)  # fmt: skip
def test_odd_cells_are_passed_over(cell: object) -> None:
    odd = json.dumps({"cells": [cell, {"cell_type": "code", "source": "compression_ratio = 9"}]})
    assert read_notebook(odd, NAMES).answers["compression_ratio"] == Written("9")


@pytest.mark.parametrize("depth", [200, 20_000])
def test_deep_code_is_survived(depth: int) -> None:
    for source in ("(" * depth + "swept_volume", "swept_volume = " + "-" * depth + "1"):
        assert read(source).text == ""


def test_a_cell_too_long_is_noted() -> None:
    paper = read_notebook(notebook("swept_volume = 1\n" + "x = 1\n" * 100_000), NAMES)
    assert paper.notes == ["cell 1 is too long to be read"]


@settings(max_examples=150)
@given(st.lists(st.text(max_size=60) | st.from_regex(r"swept_volume ?= ?.{0,30}"), max_size=4))
def test_any_text_in_cells_is_survived(sources: list[str]) -> None:
    answers = read_notebook(notebook(*sources), NAMES).answers
    assert set(answers) <= set(NAMES)


@settings(max_examples=100)
@given(st.binary(max_size=80))
def test_any_bytes_end_in_an_answer_or_a_refusal(content: bytes) -> None:
    with contextlib.suppress(Refused):
        read_notebook(content.decode("latin-1"), NAMES)


def test_a_table() -> None:
    text = "Name;ID;Swept volume;Compression-Ratio;else\nAna;7;588,3;9.83;x\nBen;8;;;\nC;9;'5\n"
    first, second = read_table(text, NAMES)
    assert first[0] == 2
    assert first[1].signed == "7"
    assert first[1].answers == {
        "swept_volume": Written("588,3"),
        "compression_ratio": Written("9.83"),
    }
    assert second[1].answers == {"swept_volume": Written("5")}


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "id,name\n1,2\n", "swept_volume\n5\n", "\0"])
def test_what_is_no_table(text: str) -> None:
    with pytest.raises(Refused):
        read_table(text, NAMES)
