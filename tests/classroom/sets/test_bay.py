"""A class set about the engine in the bay: dealt out, complete, and with nothing to read off."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.classroom.sets.bay.benches import deal
from enginemath.classroom.sets.key import read_key
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.classroom.sets.roster import Student, roster_of
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.cli import main
from enginemath.sheets import EXAMPLE, parse
from enginemath.sheets.kit_data import path
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import Refused
from tests.classroom.bay_sets import AtTheBench, fill_in, make_bay
from tests.classroom.class_sets import SECRET, class_of
from tests.classroom.sets.test_worksheets import everything_in

FOUR = parse(EXAMPLE).engine
IN_BANKS = """
[[bank]]
name = "left"
cylinders = [1, 3, 5, 7]
[[bank]]
name = "right"
cylinders = [2, 4, 6, 8]
"""
EIGHT = parse(
    path("heron-eight.toml").read_text(encoding="utf-8") + IN_BANKS, path("heron-eight.toml").parent
).engine


def grouped(*groups: str) -> list[Student]:
    return [Student(str(n), f"S{n}", group=group) for n, group in enumerate(groups)]


@given(st.integers(1, 60))
def test_cylinders_are_dealt_evenly(count: int) -> None:
    benches = deal(class_of(count), [FOUR])
    shares = Counter(bench.cylinder for bench in benches)
    assert max(shares.values()) - min(shares.values()) <= (1 if count >= 4 else 0)
    assert len(shares) == min(count, 4)
    assert [bench.cylinder for bench in benches] == sorted(bench.cylinder for bench in benches)
    assert all(bool(bench.group) == (count > 4) for bench in benches)


def test_groups_of_the_roster_stay_together_and_share_where_they_are_many() -> None:
    benches = deal(grouped("A", "B", "A", "C", "D", "E", "B"), [FOUR])
    assert [bench.cylinder for bench in benches] == [1, 2, 1, 3, 4, 1, 2]
    assert benches[0].group == "A"


def test_engines_are_dealt_in_turn() -> None:
    benches = deal(class_of(6), [EIGHT, FOUR])
    assert [(bench.engine, bench.cylinder) for bench in benches] == [
        *((0, 1), (1, 1), (0, 2), (1, 2), (0, 3), (1, 3)),
    ]


def test_a_bank_for_each_group() -> None:
    benches = deal(grouped(*"AAAAABB"), [EIGHT], by_bank=True)
    assert [bench.cylinder for bench in benches] == [1, 3, 5, 7, 1, 2, 4]
    assert {bench.bank for bench in benches[:5]} == {"left"}


def test_a_group_for_some_is_refused() -> None:
    with pytest.raises(Refused, match="S1 has no group"):
        deal(grouped("A", ""), [FOUR])


def test_no_bank_to_deal_by() -> None:
    with pytest.raises(Refused, match="no sheet names"):
        deal(class_of(3), [FOUR], by_bank=True)


def test_a_roster_s_group_stands_for_the_period_where_there_is_none() -> None:
    (alone,) = roster_of("name,id,group\nAna,7,B\n")
    (both,) = roster_of("name,id,class,group\nAna,7,2b,B\n")
    assert (alone.period, alone.group) == ("B", "B")
    assert (both.period, both.group) == ("2b", "B")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> ClassSet:
    engines = "heron-four", "heron-eight"
    return make_bay(tmp_path_factory.mktemp("bay"), 6, *engines, hints=True)


def test_nothing_on_record_can_be_read_off_a_student_s_files(made: ClassSet) -> None:
    for entry in made.key.entries:
        text = everything_in(made.folder, entry)
        assert entry.bay
        found = {abs(float(number)) for number in re.findall(r"\d+\.\d+", text)}
        right = [abs(value) for value in entry.assignment.right.values()]
        expected = [abs(each.value) for each in entry.bay.record.expected.values()]
        for value in [*right, *expected]:
            assert min(abs(number - value) for number in found) > 1e-3, value
            assert f"{value:.2f}" not in text


def test_the_search_for_the_record_can_fail(made: ClassSet) -> None:
    answers = (made.instructor / "answers.html").read_text(encoding="utf-8")
    for entry in made.key.entries:
        assert entry.assignment.written("swept_volume") in answers


def test_every_box_stands_on_both_sheets_and_in_the_table(made: ClassSet) -> None:
    table = (made.instructor / "typed-answers.csv").read_text(encoding="utf-8-sig").split("\n")[0]
    for entry in made.key.entries:
        assert entry.bay
        stem = made.students / entry.student.file
        page = stem.with_name(f"{stem.name}.html").read_text(encoding="utf-8")
        text = stem.with_name(f"{stem.name}.ipynb").read_text(encoding="utf-8")
        nbformat.validate(nbformat.reads(text, 4))
        for box in entry.bay.record.boxes:
            assert f"{box.name} = " in text
            assert box.name in table.split(",")
        assert page.count('class="ruled-box') == len(entry.bay.record.boxes)


def test_a_check_cell_judges_from_what_was_read(
    made: ClassSet, capsys: pytest.CaptureFixture[str]
) -> None:
    entry = made.key.entries[1]
    assert entry.bay
    paper = AtTheBench(entry.bay.record, 3).paper(entry)
    paper |= {"gasket_volume": "1.23 cc", "read_bore": paper["read_bore"].split()[0]}
    text = (made.students / f"{entry.student.file}.ipynb").read_text(encoding="utf-8")
    names: dict[str, object] = {}
    for cell in nbformat.reads(fill_in(text, paper), 4).cells:
        if cell.cell_type == "code":
            exec(cell.source, names)
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "bore: right; write the unit: in was taken"
    assert said[1:4] == [f"{name}: right" for name in ("swept volume", "displacement",
                                                       "chamber volume")]  # fmt: skip
    assert said[4].startswith("gasket volume: not yet")


def test_the_key_is_read_again_and_an_older_kit_would_refuse_it(made: ClassSet) -> None:
    file = made.instructor / "key.json"
    assert json.loads(file.read_text(encoding="utf-8"))["format"] == 2
    again = read_key(file, ClassSecret(SECRET).salted(_salt(made)))
    assert [e.assignment.right for e in again.entries] == [
        e.assignment.right for e in made.key.entries
    ]
    assert again.entries == made.key.entries
    assert again.names == made.key.names


def test_a_changed_record_in_the_key_is_told(made: ClassSet, tmp_path: Path) -> None:
    content = json.loads((made.instructor / "key.json").read_text(encoding="utf-8"))
    content["students"][0]["bay"]["record"]["readings"]["bore"] += 1
    file = tmp_path / "key.json"
    file.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(SheetRefused, match="changed since it was made"):
        read_key(file, ClassSecret(SECRET).salted(_salt(made)))


def _salt(made: ClassSet) -> str:
    file = made.instructor / "class-salt.txt"
    return file.read_text(encoding="utf-8").strip() if file.exists() else ""


def test_the_same_again_changes_nothing_and_who_joins_late_gets_a_sheet(tmp_path: Path) -> None:
    make_bay(tmp_path, grouped("A", "B", "A"))
    before = {file: file.read_bytes() for file in (tmp_path / "students").iterdir()}
    make_bay(tmp_path, grouped("A", "B", "A", "B"))
    after = {file: file.read_bytes() for file in (tmp_path / "students").iterdir()}
    assert after.items() > before.items()
    assert len(after) == len(before) + 2


ROSTER = "name,id\n" + "".join(f"Student {n},T-{n}\n" for n in range(6))


def typed(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str]:
    code = main([str(each) for each in arguments])
    out, err = capsys.readouterr()
    assert (out == "") == (code == 2)
    return code, out or err


@pytest.fixture
def bay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("roster.csv").write_text(ROSTER, encoding="utf-8")
    for name in ("heron-four.toml", "heron-four-readings.csv"):
        Path(name).write_bytes(path(name).read_bytes())
    return tmp_path


def test_how_a_large_class_shares_is_printed(capsys: pytest.CaptureFixture[str], bay: Path) -> None:
    sheet = ("class-set", "roster.csv", "--engine", "heron-four.toml")
    code, said = typed(capsys, *sheet, "--out", "set")
    assert code == 0
    assert said.splitlines()[:4] == [
        "Heron Four, cylinder 1: group 1: Student 0, Student 1",
        "Heron Four, cylinder 2: group 2: Student 2, Student 3",
        "Heron Four, cylinder 3: group 3: Student 4",
        "Heron Four, cylinder 4: group 4: Student 5",
    ]
    summary = (bay / "set" / "instructor" / "summary.html").read_text(encoding="utf-8")
    assert "Student 2, Student 3" in summary
    assert "<td>in the bay</td><td>Heron Four: 4 cylinders</td>" in summary


def test_missing_readings_are_named_and_nothing_is_written(
    capsys: pytest.CaptureFixture[str], bay: Path
) -> None:
    table = bay / "heron-four-readings.csv"
    rows = table.read_text(encoding="utf-8").splitlines()
    kept = [row for row in rows if not row.startswith(("gasket bore", "chamber,3"))]
    table.write_text("\n".join(kept), encoding="utf-8")
    sheet = ("class-set", "roster.csv", "--engine", "heron-four.toml")
    code, said = typed(capsys, *sheet, "--out", "set")
    assert code == 2
    assert "readings missing: chamber (cylinder 3), gasket bore" in said
    assert "heron-four.toml" in said
    assert not (bay / "set").exists()


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--engine", "no-such.toml"), "no-such.toml"),
        (("--engine", "heron-four.toml", "--level", "dish"), "not both"),
        (("--engine", "heron-four.toml", "--by-bank"), "no sheet names a [[bank]]"),
        (("--by-bank",), "give --engine SHEET too"),
        (("--engine", "roster.csv"), "roster.csv"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    capsys: pytest.CaptureFixture[str], bay: Path, more: tuple[str, ...], says: str
) -> None:
    code, said = typed(capsys, "class-set", "roster.csv", "--out", "set", *more)
    assert code == 2
    assert says in said
    assert said.count("\n") == 1
    assert not (bay / "set").exists()
