"""The roster: what is read, and what is refused with its row."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.classroom.from_outside import cell, csv_text, file_stem
from enginemath.classroom.sets.roster import Student, read_roster, roster_of
from enginemath.sheets.csv_table import csv_rows
from enginemath.units import Refused

HOSTILE = '"Silva, Ana",1\n=cmd(),2\n<script>alert(1)</script>,3\nJosé 🔧👩‍🔧,4\n../../x,../y\n'


def test_names_are_kept_as_they_are() -> None:
    names = [student.name for student in roster_of("name,id\n" + HOSTILE)]
    assert names == ["Silva, Ana", "=cmd()", "<script>alert(1)</script>", "José 🔧👩‍🔧", "../../x"]


def test_two_students_of_one_name() -> None:
    one, other = roster_of("name,id\nNoor Haddad,7\nNoor Haddad,8\n")
    assert one.file != other.file


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("parted", [",", ";", "\t"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_spreadsheets_differ(mark: str, parted: str, ends: str, tmp_path: Path) -> None:
    rows = ["Period,ID,Name", "A,0042,Ana Silva", ",,", "B,0043,Ben Okafor"]
    file = tmp_path / "roster.csv"
    file.write_bytes((mark + ends.join(rows).replace(",", parted)).encode())
    assert read_roster(file) == (
        Student("0042", "Ana Silva", "A"),
        Student("0043", "Ben Okafor", "B"),
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("name,id\n", "no student"),
        ("name,period\nAna,A\n", "row 1: no column id"),
        ("name,name,id\nAna,Ana,1\n", "row 1: two columns name"),
        ("name,id\nAna,1\n,2\n", "row 3: no name"),
        ("name,id\nAna,1\nBen\n", "row 3: no id"),
        ("name,id\nAna,1\nBen,2\nCleo,1\n", "row 4: id 1 is in row 2 already (Ana)"),
        ("name,id\nAna,a1\nBen,A1\n", "row 3: id A1 is in row 2 already"),
        ("name,id\nAna,1\0\n", "not a plain text file"),
        ("name,id\n" + 200 * "x" + ",1\n", "row 2: name of more than"),
        ("name,id\nAna,\u202e1\n", "row 2: id ?1: use letters and digits"),
        ("name,id\nSilva, Ana,1\nBen,2\n", "row 2: 3 cells under 2 headings"),
        ('name,id\nAna,1\n"Ben,2\nCleo,3\n', "row 3: a quote is left open"),
        ('name,id\nAna,1\n"Ben,2\n"Cleo,3"\n', "row 3: letters after a closing quote"),
        ('name,id\nAna,1\n"Ben\n,2",3\nCleo,3\n', "row 3: a cell goes on in the next row"),
        ("name,id\nAna;1\nBen;2\n", "row 2: no id"),
        ("name,id\n" + "x" * 150_000 + ",1\n", "row 2: a cell far too long"),
    ],
)
def test_a_bad_roster_is_refused_with_its_row(text: str, words: str, tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Refused) as refusal:
        read_roster(file)
    assert words in str(refusal.value)
    assert "roster.csv" in str(refusal.value)


def test_a_spreadsheet_may_say_what_parts_its_cells() -> None:
    assert roster_of('sep=;\n"name, first";id;name\nx;1;Ana, Silva\n')[0].name == "Ana, Silva"


def test_names_and_ids_of_the_same_letters_get_two_files() -> None:
    students = roster_of('name,id\nLi,2-14\n"Li 2",14\nLi-2,14x\n')
    assert [one.file for one in students] == ["li-2-14", "li-2-14-8527a8", "li-2-14x"]
    assert roster_of("name,id\nLi,2-14\n")[0].file == "li-2-14"


def test_a_roster_in_another_code_page(tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_bytes("name,id\nJosé,1\n".encode("cp1252"))
    with pytest.raises(Refused, match="UTF-8"):
        read_roster(file)


@given(name=st.text(max_size=50), id=st.text(min_size=1, max_size=30))
def test_a_file_name_is_one_plain_word(name: str, id: str) -> None:
    stem = file_stem(name, id)
    assert stem.strip("abcdefghijklmnopqrstuvwxyz0123456789-") == ""
    assert 3 <= len(stem) <= 90


@given(ids=st.sets(st.text(min_size=1, max_size=4), min_size=2, max_size=12))
def test_two_ids_never_share_a_file(ids: set[str]) -> None:
    assert len({file_stem("Ana", id) for id in ids}) == len(ids)


@given(st.text(max_size=40))
def test_no_cell_begins_a_formula(text: str) -> None:
    assert cell(text).lstrip()[:1] not in ("=", "+", "-", "@", "\t", "\r", "|", "%")


@given(st.lists(st.text("ab,;\"'\n é", min_size=1, max_size=8), min_size=2, max_size=5))
def test_a_table_reads_back(cells: list[str]) -> None:
    shown = [cell(each) for each in cells]
    headings = ",".join("abcdefgh"[: len(cells)])
    rows = list(csv_rows(f"{headings}\r\n" + csv_text([cells]).lstrip("\ufeff")))
    assert [row for _, row in rows[1:]] == (
        [[s.strip() for s in shown]] if any(map(str.strip, shown)) else []
    )
