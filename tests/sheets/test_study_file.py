"""Reading a class's measurements, and refusing a table that is not whole."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.sheets.study_file import read_study, study_of
from enginemath.units import Refused

HEADINGS = "group,cylinder,repeat,volume"
GOOD = [
    "A,1,1,45.40 cc",
    "A,1,2,45.15 cc",
    "A,2,1,46.40 cc",
    "A,2,2,46.35 cc",
    "B,1,1,45.55 cc",
    "B,1,2,45.60 cc",
    "B,2,1,46.60 cc",
    "B,2,2,46.70 cc",
]


def text(rows: list[str], headings: str = HEADINGS) -> str:
    return "\n".join([headings, *rows])


def test_a_whole_table() -> None:
    study = study_of(text(GOOD))
    assert study.groups == ("A", "B")
    assert study.chambers == ("1", "2")
    assert (study.unit, study.repeats) == ("cc", 2)
    assert study.readings[1][0] == (45.55, 45.60)
    assert study.mean_of_group("A") == pytest.approx(45.825)
    assert study.mean_of_chamber("2") == pytest.approx(46.5125)
    assert study.mean == pytest.approx(45.96875)


@given(st.permutations(GOOD))
def test_the_order_of_the_rows_does_not_matter(rows: list[str]) -> None:
    study, shuffled = study_of(text(GOOD)), study_of(text(rows))
    for group in study.groups:
        for chamber in study.chambers:
            cells = [
                s.readings[s.groups.index(group)][s.chambers.index(chamber)]
                for s in (study, shuffled)
            ]
            assert sorted(cells[0]) == sorted(cells[1])


def test_other_columns_headings_and_units() -> None:
    rows = [f"{row.replace(' cc', ' mL')},Tuesday" for row in GOOD[:7]] + ["B,2,2,2.8498 cu in,"]
    study = study_of(text(rows, "Group, Chamber,repeat,reading,day"))
    assert study.unit == "mL"
    assert study.readings[1][1][1] == pytest.approx(46.70, abs=0.001)


def test_empty_rows_and_a_spreadsheets_mark(tmp_path: Path) -> None:
    file = tmp_path / "class.csv"
    file.write_text(text([*GOOD[:4], "", ",,,", *GOOD[4:]]), encoding="utf-8-sig")
    assert read_study(file).groups == ("A", "B")


@pytest.mark.parametrize(
    ("rows", "where", "what"),
    [
        ([*GOOD[:2], "A,2,1,forty", *GOOD[3:]], "row 4, column volume", '"forty"'),
        ([*GOOD[:2], "A,2,1,46.40", *GOOD[3:]], "row 4, column volume", "no unit"),
        ([*GOOD[:2], "A,2,1,nan cc", *GOOD[3:]], "row 4, column volume", "nan"),
        ([*GOOD[:2], "A,2,1,46.40 mm", *GOOD[3:]], "row 4, column volume", "is a length"),
        ([*GOOD[:2], ",2,1,46.40 cc", *GOOD[3:]], "row 4, column group", "nothing written"),
        ([*GOOD[:2], "A, ,1,46.40 cc", *GOOD[3:]], "row 4, column cylinder", "nothing written"),
        ([*GOOD[:2], "A,2", *GOOD[3:]], "row 4, column repeat", "nothing written"),
        ([*GOOD[:2], "A,2,1,46,40 cc", *GOOD[3:]], "row 4", "a decimal point, not a comma"),
        ([*GOOD[:2], "A,1,2,46.40 cc", *GOOD[3:]], "row 4, column repeat", "in row 3 already"),
        (GOOD[:7], "row 8, column repeat", "group B read cylinder 2 once, others are read 2 times"),
        (GOOD[:6], "row 7, column cylinder", "group B end here, and none is of cylinder 2"),
        (GOOD[:4], "row 5, column group", "only one"),
        ([*GOOD[:2], *GOOD[4:6]], "row 5, column cylinder", "only one"),
        (GOOD[::2], "row 5, column repeat", "only one"),
        ([], "row 2, column group", "no readings"),
        ([*GOOD[:2], '"A,2,1,46.40 cc', *GOOD[3:]], "row 4", "a quote is left open"),
        ([*GOOD[:2], 'A,2,"1,46.40 cc', 'A,2,"2,46.35 cc'], "row 4", "is one left open"),
        ([*GOOD[:2], "A,2,1," + "4" * 200_000, *GOOD[3:]], "row 4", "a cell far too long"),
    ],
)
def test_a_table_that_is_not_whole(rows: list[str], where: str, what: str) -> None:
    with pytest.raises(Refused) as refusal:
        study_of(text(rows))
    assert str(refusal.value).startswith(where)
    assert what in str(refusal.value)


@pytest.mark.parametrize("missing", ["group", "cylinder", "repeat", "volume"])
def test_a_missing_column(missing: str) -> None:
    with pytest.raises(Refused, match=f"row 1, column {missing}: missing"):
        study_of(text(GOOD, HEADINGS.replace(missing, "remark")))


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be read"):
        read_study(tmp_path / "none.csv")
    with pytest.raises(Refused, match="cannot be read"):
        read_study(tmp_path)
    picture = tmp_path / "picture.csv"
    picture.write_bytes(b"\x89PNG\xff\xfe")
    with pytest.raises(Refused, match="not a text file in UTF-8"):
        read_study(picture)
    empty = tmp_path / "empty.csv"
    empty.touch()
    with pytest.raises(Refused, match=f"^{re.escape(str(empty))}: row 1, column group: missing"):
        read_study(empty)


def test_a_study_of_thousands_of_groups_is_refused_at_once() -> None:
    rows = (f"{n},{c},1,4 cc" for n in range(6000) for c in (1, 2))
    started = time.process_time()
    with pytest.raises(Refused, match="only one; two or more tell"):
        study_of("\n".join([HEADINGS, *rows]))
    assert time.process_time() - started < 1.5


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(rows: str) -> None:
    try:
        study_of(f"{HEADINGS}\n{rows}")
    except Refused as refusal:
        assert "row" in str(refusal)  # noqa: PT017
