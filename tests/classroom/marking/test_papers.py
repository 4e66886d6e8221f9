"""Answers taken out of notebooks as they were written: no code of a student's is ever run."""

from __future__ import annotations

import contextlib
import json
import time
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
        ("swept_volume == 5", "5"),
        ('swept_volume: "9 cc"', "9 cc"),
        ("swept_volume: float", ""),
        ("Swept_Volume = 9", "9"),
        ("sweptVolume = 9", "9"),
        ("ｓwept_volume = 9", "9"),
        ("a, swept_volume = 1, '9 cc'", "9 cc"),
        ("[swept_volume, a] = ['9 cc', 1]", "9 cc"),
        ("(a, (b, swept_volume)) = 1, (2, -9.0)", "-9.0"),
        ("print(swept_volume := 588.31)", "588.31"),
        ("if True:\n    swept_volume = 588.31\nelse:\n    pass", "588.31"),
        ("for n in [1]:\n  with x:\n    swept_volume = 588.31", "588.31"),
        ("%time swept_volume = 588.31", "588.31"),
        ("%timeit -n 5 swept_volume = 588.31", "588.31"),
        ("def f():\n    swept_volume = 588.31", ""),
        ("if swept_volume == 5:\n    pass", ""),
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


@pytest.mark.parametrize(
    "source",
    ["swept_volume = (1,\n2)", "swept_volume += 1", "a, *swept_volume = 1, 2",
     "a, swept_volume = f()", "swept_volume = 588,\\\n31", "swept_volume = é(1,\n é)"],
)  # fmt: skip
def test_what_goes_over_lines_or_is_worked_out_is_code(source: str) -> None:
    assert "write the number itself" in read(source).doubt


@pytest.mark.parametrize("line", ["Swept volume = 588.31 cc", "swept-volume: 588 cc"])
def test_a_name_with_spaces_is_seen(line: str) -> None:
    assert "between quotes" in read(line).doubt


@pytest.mark.parametrize(
    "source",
    ["# swept_volume = 588.31", "print('swept volume 588.31')", "d = {'swept_volume': 588.31}",
     "def f():\n    swept_volume = 588.31", "!swept_volume = 5", "for swept_volume in [5]: pass"],
)  # fmt: skip
def test_what_is_mentioned_but_not_read_is_told(source: str) -> None:
    told = ["swept volume is mentioned but not read (cell 2)"]
    assert read_notebook(notebook('swept_volume = ""', source), NAMES).notes == told
    assert read_notebook(notebook('swept_volume = "5"', source), NAMES).notes == []


def test_an_answer_in_a_cell_of_text_is_told() -> None:
    text = json.dumps({"cells": [{"cell_type": "markdown", "source": "swept_volume = 588.31"}]})
    assert "mentioned but not read" in read_notebook(text, NAMES).notes[0]


def test_the_kits_own_check_is_no_mention() -> None:
    check = "from enginemath.lesson import check\ncheck(sheet, swept_volume=swept_volume)"
    assert read_notebook(notebook('swept_volume = ""', check), NAMES).notes == []


def test_half_a_letter_is_written_as_a_question_mark() -> None:
    text = notebook(r"swept_volume = '9\ud800'", "student_id = '\ud800'",
                    enginemath={"student": "\ud800", "sheet": []})  # fmt: skip
    paper = read_notebook(text, NAMES)
    assert paper.answers["swept_volume"] == Written("9?")
    assert (paper.signed, paper.issued) == ("?", ("?", "?"))


def seconds(text: str) -> float:
    started = time.process_time()
    with contextlib.suppress(Refused):
        read_notebook(text, NAMES)
    return time.process_time() - started


@pytest.mark.parametrize(
    "text",
    [
        notebook("swept_volume = (\n" * 1_400_000),
        notebook(*["swept_volume = (\n" * 12_000] * 120),
        notebook(*["swept_volume = (\n"] * 60_000),
        "[" + "[]," * 8_000_000,
        '{"cells": [' + '"\\"",' * 3_000_000,
        '"' + '\\"' * 12_000_000,
        notebook("swept_volume = " + "-" * 190_000 + "1"),
        notebook("swept_volume = " + "''" * 90_000),
        notebook("swept_volume = " + "1+" * 90_000 + "1"),
        notebook("swept_volume = " + "[{" * 90),
        notebook("(swept_volume := " * 90),
    ],
    ids=["one cell", "cells", "small cells", "lists", "texts", "quotes", "minus", "joined", "sum",
         "brackets", "walrus"],
)  # fmt: skip
def test_no_notebook_takes_long(text: str) -> None:
    assert len(text) <= 26_000_000
    assert seconds(text) < 2


def test_a_picture_of_many_points_is_no_part() -> None:
    picture = [{"data": {"image/svg+xml": '<path d="' + "1,2 " * 1_500_000 + '"/>'}}]
    cell = {"cell_type": "code", "source": "swept_volume = 5", "outputs": picture}
    text = json.dumps({"cells": [cell]})
    assert read_notebook(text, NAMES).answers["swept_volume"] == Written("5")
    with pytest.raises(Refused, match="too many parts"):
        read_notebook(json.dumps({"cells": [], "x": [1] * 500_000}), NAMES)


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


def test_commas_are_points_where_they_can_be_nothing_else() -> None:
    text = "id;swept volume;compression ratio\n7;588,31;9,832\n8;-0,5 cc;\n"
    (_, first), (_, second) = read_table(text, NAMES)
    assert [each.text for each in first.answers.values()] == ["588.31", "9.832"]
    assert second.answers["swept_volume"].text == "-0.5 cc"
    assert "decimal commas are read as points" in first.notes[0]
    ((_, unsure),) = read_table("id;swept volume\n7;1,234\n", NAMES)
    assert (unsure.answers["swept_volume"].text, unsure.notes) == ("1,234", [])


def test_a_row_that_cannot_be_read_is_told_and_the_others_are_read() -> None:
    text = 'id,swept volume\n7,588,31\n8,9.5\n9,"7\n10,8\n'
    refused: list[tuple[int, Refused]] = []
    papers = read_table(text, NAMES, refused)
    assert [(row, paper.signed) for row, paper in papers] == [(3, "8")]
    assert [row for row, _ in refused] == [2, 4]
    assert "decimal point, not a comma" in str(refused[0][1])
    assert "a quote is left open" in str(refused[1][1])
    with pytest.raises(Refused, match="row 2"):
        read_table(text, NAMES)


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "id,name\n1,2\n", "swept_volume\n5\n", "\0"])
def test_what_is_no_table(text: str) -> None:
    with pytest.raises(Refused):
        read_table(text, NAMES)
