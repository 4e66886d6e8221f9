"""A class marked: faults by file, the rest marked, nothing half written, and the same again."""

from __future__ import annotations

import contextlib
import csv
import errno
import importlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from io import StringIO
from pathlib import Path

import pytest

from enginemath.classroom.commands import mark
from enginemath.classroom.marking import mark_class as mark_module
from enginemath.classroom.marking.mark_class import ClassMarks, mark_class
from enginemath.classroom.marking.reteach import (
    by_question,
    mistakes_made,
    needs_a_word,
    to_reteach,
)
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import ClassSet, make_class_set
from enginemath.classroom.sets.roster import roster_of
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.sheets import text_file
from enginemath.units import Refused
from tests.classroom.class_sets import SECRET, filled, hand_in, make, right
from tests.classroom.sets.test_roster import HOSTILE


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> ClassSet:
    return make(tmp_path_factory.mktemp("set"), 8)


@pytest.fixture
def back(made: ClassSet, tmp_path: Path) -> Path:
    """Everybody is right, but nothing came from the last student."""
    for entry in made.key.entries[:-1]:
        hand_in(made, tmp_path / "back", entry, right(entry))
    return tmp_path / "back"


def tree(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {
        str(file.relative_to(folder)): (file.read_bytes(), file.stat().st_mtime_ns)
        for file in sorted(folder.rglob("*"))
        if file.is_file() and not file.is_symlink()
    }


def rows(folder: Path) -> list[dict[str, str]]:
    text = (folder / "gradebook.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline="")))


def run(made: ClassSet, back: Path, out: Path) -> str:
    return str(mark(back, out, SECRET, None, made.folder))


def test_right_papers_get_full_marks(made: ClassSet, back: Path, tmp_path: Path) -> None:
    said = run(made, back, tmp_path / "marks")
    assert said.startswith("7 of 8 papers marked, 100 % on average")
    table = rows(tmp_path / "marks")
    assert [row["score"] for row in table] == ["7"] * 7 + [""]
    assert [row["id"] for row in table] == [entry.student.id for entry in made.key.entries]
    assert table[-1]["notes"] == "nothing came back"


def test_again_changes_nothing_and_no_paper_is_touched(
    made: ClassSet, back: Path, tmp_path: Path
) -> None:
    before, out = tree(back), tmp_path / "marks"
    run(made, back, out)
    first = tree(out)
    run(made, back, out)
    assert tree(out) == first
    assert tree(back) == before
    run(made, back, tmp_path / "elsewhere")
    assert {n: c for n, (c, _) in tree(tmp_path / "elsewhere").items()} == {
        n: c for n, (c, _) in first.items()
    }


def test_marks_inside_the_folder_are_not_read_as_papers(
    made: ClassSet, back: Path, tmp_path: Path
) -> None:
    first = run(made, back, back / "marks")
    assert run(made, back, back / "marks") == first
    assert "not marked" not in first


def bad_file(folder: Path, kind: str) -> str:
    """Put something into the folder that cannot be marked; its name."""
    name = {"docx": "essay.docx", "zip": "work.zip", "notebook zip": "packed.ipynb"}.get(kind)
    file = folder / (name or f"{kind}.ipynb")
    if kind == "huge":
        with file.open("wb") as handle:
            handle.truncate(200_000_000)
    elif kind in ("zip", "notebook zip"):
        # What a bomb looks like from outside; it is never opened, so it need not be one inside.
        file.write_bytes(b"PK\x03\x04" + bytes(1000))
    elif kind == "link":
        file.symlink_to("/etc/passwd")
    elif kind == "pipe":
        os.mkfifo(file)
    elif kind == "deep":
        file.write_text("[" * 300_000)
    elif kind == "binary":
        file.write_bytes(bytes(range(256)) * 40)
    elif kind == "nothing":
        file.write_bytes(b"")
    elif kind == "docx":
        file.write_bytes(b"PK\x03\x04")
    return file.name


@pytest.mark.skipif(os.name != "posix", reason="pipes and links as on Unix")
@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("huge", "too large: 200 MB"),
        ("zip", "archive"),
        ("notebook zip", "a zip archive; not opened"),
        ("link", "a link to another place; not followed"),
        ("pipe", "not a plain file"),
        ("deep", "not a whole notebook"),
        ("binary", "not a text file"),
        ("nothing", "not a whole notebook"),
        ("docx", "neither a notebook nor a table"),
    ],
)
def test_a_bad_file_is_named_and_the_others_are_marked(
    made: ClassSet, back: Path, tmp_path: Path, kind: str, words: str
) -> None:
    name = bad_file(back, kind)
    started = time.monotonic()
    said = run(made, back, tmp_path / "marks")
    assert time.monotonic() - started < 5
    assert said.startswith("7 of 8 papers marked, 100 %")
    (fault,) = (line for line in said.splitlines() if name in line)
    assert words in fault
    assert name in (tmp_path / "marks" / "class.html").read_text(encoding="utf-8")


def written_in(*sources: str, **metadata: object) -> str:
    cells = [{"cell_type": "code", "source": each} for each in sources]
    return json.dumps({"cells": cells, "metadata": metadata})


HOSTILE_PAPERS = {
    "power": written_in('compression_ratio = "0e999"', "swept_volume = .0E+576"),
    "tuple": written_in("swept_volume = é, 1\ncompression_ratio = (1,\n'é' ,\n2)"),
    "letters": written_in(r"swept_volume = '\ud800'", "compression_ratio = '\ud800'"),
    "signed by half a letter": written_in("student_id = '\udfff'", "swept_volume = 1"),
    "lines": written_in("swept_volume = (\n" * 1_000_000),
    "parts": "[" + "[]," * 8_000_000,
    "braces": written_in("swept_volume = f'" + "{1}" * 33_000 + "'"),
    "minus": written_in("swept_volume = " + "-" * 90_000 + "1"),
    "points": written_in("swept_volume = a" + ".a" * 45_000),
    "fractions": written_in("swept_volume = '½ cc'", "gasket_volume = '9½'", "deck_volume = '⅝'"),
    "deep": written_in("swept_volume = " + "(" * 100_000),
    "numbers": written_in("swept_volume = " + "9" * 4000, "deck_volume = '1e-320 cc'"),
    "marks": written_in("swept_volume = 1", enginemath={"student": ["7"], "sheet": {"a": 1}}),
    "null": "null",
}


@pytest.mark.parametrize("kind", HOSTILE_PAPERS)
def test_no_paper_moves_the_marks_of_the_others(
    made: ClassSet, back: Path, tmp_path: Path, kind: str
) -> None:
    """Signed by the last student, whose own paper did not come back."""
    run(made, back, tmp_path / "alone")
    (back / f"{made.key.entries[-1].student.file}.ipynb").write_text(
        HOSTILE_PAPERS[kind], encoding="utf-8"
    )
    started = time.process_time()
    run(made, back, tmp_path / "marks")
    assert time.process_time() - started < 3
    alone, beside = (
        {name: content for name, (content, _) in tree(tmp_path / folder / "feedback").items()}
        for folder in ("alone", "marks")
    )
    assert alone.items() <= beside.items()
    assert rows(tmp_path / "marks")[:-1] == rows(tmp_path / "alone")[:-1]


@pytest.mark.parametrize(
    "error", [OverflowError("too large"), RecursionError(), MemoryError(), ValueError("\ud800"),
              UnicodeDecodeError("utf-8", b"x", 0, 1, "odd"), AssertionError()]
)  # fmt: skip
@pytest.mark.parametrize("where", ["returned.read_notebook", "mark_class.judge_all"])
def test_a_fault_of_the_kit_holds_up_one_paper_alone(
    made: ClassSet,
    back: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    where: str,
    error: Exception,
) -> None:
    room, name = where.split(".")
    module = importlib.import_module(f"enginemath.classroom.marking.{room}")
    work = getattr(module, name)

    def fails_on_the_second(*given: object) -> object:
        seen.append(1)
        if len(seen) == 2:
            raise error
        return work(*given)

    run(made, back, tmp_path / "alone")
    seen: list[int] = []
    monkeypatch.setattr(module, name, fails_on_the_second)
    said = run(made, back, tmp_path / "marks")
    assert said.startswith("6 of 8 papers marked, 100 %")
    assert "student-1-1001.ipynb: " in said
    assert "mark it by hand" in said
    before, after = rows(tmp_path / "alone"), rows(tmp_path / "marks")
    assert before[1]["score"] == "7"
    assert after[1]["score"] == ""
    assert "mark it by hand" in after[1]["notes"]
    assert before[:1] + before[2:] == after[:1] + after[2:]


@pytest.mark.skipif(os.name != "posix", reason="the processor's time is counted as on Unix")
def test_a_paper_that_takes_for_ever_is_left(
    made: ClassSet, back: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("enginemath.classroom.marking.fenced.MOST_SECONDS", 0.2)
    judge = mark_module.judge_all

    def for_ever(assignment: Assignment, answers: object) -> object:
        while assignment.sheet is made.key.entries[0].assignment.sheet:
            with contextlib.suppress(Exception):
                sum(range(100))
        return judge(assignment, answers)  # type: ignore[arg-type]

    monkeypatch.setattr(mark_module, "judge_all", for_ever)
    marks = mark_class(back, made.key)
    assert [fault.reason for fault in marks.faults] == [
        "takes too long to be read or marked; mark it by hand"
    ]
    assert len(marks.returned) == 6


def test_the_paper_with_the_sheets_mark_wins(made: ClassSet, back: Path, tmp_path: Path) -> None:
    """A fuller paper and a later row that only say this student's id move nothing."""
    one = made.key.entries[0]
    own = dict(list(right(one).items())[:3])
    hand_in(made, back, one, own)
    run(made, back, tmp_path / "alone")
    wrong = [f"{name} = '1.00'" for name in right(one)]
    (back / "z.ipynb").write_text(written_in("student_id = '1000'", *wrong), encoding="utf-8")
    heading, row = ",".join(["id", *right(one)]), ",".join(["1000", *["1"] * len(wrong)])
    (back / "zz.csv").write_text(f"{heading}\n{row}\n", encoding="utf-8")
    run(made, back, tmp_path / "marks")
    alone, beside = rows(tmp_path / "alone"), rows(tmp_path / "marks")
    assert beside[0].pop("score") == alone[0].pop("score") == "3"
    assert alone[1:] == beside[1:]
    assert "z.ipynb holds other answers and has no mark of the sheet" in beside[0]["notes"]
    assert "zz.csv holds other answers and has no mark" in beside[0]["notes"]


def test_a_key_among_what_came_back_is_nobodys(made: ClassSet, back: Path, tmp_path: Path) -> None:
    """A student's own key, with its secret beside it, neither marks the class nor stops it."""
    theirs = make(tmp_path / "theirs", 1)
    shutil.copy(theirs.instructor / "key.json", back)
    (back / "class-secret.txt").write_text(SECRET, encoding="utf-8")
    with pytest.raises(Refused, match="no key beside"):
        mark(back, tmp_path / "marks")
    shutil.copytree(made.instructor, tmp_path / "instructor")
    assert str(mark(back, tmp_path / "marks", SECRET)).startswith("7 of 8 papers marked, 100 %")


def test_a_folder_named_like_a_paper_is_told(made: ClassSet, back: Path, tmp_path: Path) -> None:
    (back / f"{made.key.entries[-1].student.file}.ipynb").mkdir()
    said = run(made, back, tmp_path / "marks")
    assert "student-7-1007.ipynb: a folder with nothing in it" in said
    assert "a folder with nothing in it" in rows(tmp_path / "marks")[-1]["notes"]


def test_of_two_papers_without_a_mark_the_better_counts(made: ClassSet, tmp_path: Path) -> None:
    one, back = made.key.entries[0], tmp_path / "back"
    back.mkdir()
    answers = right(one)
    heading = ",".join(["id", *answers])
    table = [heading, ",".join(["1000", *answers.values()]), ",".join(["1000"] + ["1"] * 7)]
    (back / "a.csv").write_text("\n".join(table), encoding="utf-8")
    (back / "b.csv").write_text("\n".join([heading, table[2]]), encoding="utf-8")
    run(made, back, tmp_path / "marks")
    row = rows(tmp_path / "marks")[0]
    assert (row["score"], row["file"]) == ("7", "a.csv")
    assert "a.csv, row 3: a second row of this student" in row["notes"]
    assert "b.csv holds other answers" in row["notes"]


def test_a_blank_sheet_with_its_mark_is_no_paper_beside_a_typed_row(
    made: ClassSet, tmp_path: Path
) -> None:
    one, back = made.key.entries[0], tmp_path / "back"
    hand_in(made, back, one, {})
    table = [",".join(["id", *right(one)]), ",".join(["1000", *right(one).values()])]
    (back / "typed.csv").write_text("\n".join(table), encoding="utf-8")
    run(made, back, tmp_path / "marks")
    assert rows(tmp_path / "marks")[0]["score"] == "7"


def test_ids_that_look_like_formulas_come_back_from_the_kits_own_table(tmp_path: Path) -> None:
    students = roster_of("name,id\nAna,-12\nBen,=1+1\nCleo,@x\nDo,7\n")
    made = make_class_set(students, tmp_path / "set", LEVELS["flat"], ClassSecret(SECRET))
    text = (made.instructor / "typed-answers.csv").read_text(encoding="utf-8-sig")
    (tmp_path / "back").mkdir()
    lines = [line.replace(",,", ",1.00 cc,", 1) for line in text.splitlines()]
    (tmp_path / "back" / "typed.csv").write_text("\n".join(lines), encoding="utf-8")
    said = run(made, tmp_path / "back", tmp_path / "marks")
    assert said.startswith("4 of 4 papers marked")
    assert "not marked" not in said


def test_a_table_of_strangers_is_told_in_short(made: ClassSet, back: Path, tmp_path: Path) -> None:
    table = ["id,swept_volume", *(f"x{n},1" for n in range(500)), *["1000,5"] * 500]
    (back / "t.csv").write_text("\n".join(table), encoding="utf-8")
    marks = mark_class(back, made.key)
    assert len(marks.faults) == 51
    assert str(marks.faults[-1]) == "t.csv: and 930 more rows"


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_truncated_notebook(made: ClassSet, back: Path, tmp_path: Path, share: float) -> None:
    file = next(back.glob("*1000.ipynb"))
    text = file.read_text(encoding="utf-8")
    file.write_text(text[: int(share * len(text))], encoding="utf-8")
    said = run(made, back, tmp_path / "marks")
    assert said.startswith("6 of 8 papers marked")
    assert f"{file.name}: not a whole notebook" in said
    row = rows(tmp_path / "marks")[0]
    assert row["score"] == ""
    assert row["notes"].startswith("not marked:")


def change(file: Path, **fields: object) -> dict[str, object]:
    content: dict[str, object] = json.loads(file.read_text(encoding="utf-8"))
    content |= fields
    file.write_text(json.dumps(content), encoding="utf-8")
    return content


@pytest.mark.parametrize(
    "state", ["renamed", "in a folder", "reordered", "cleared", "unmarked", "utf-16"]
)
def test_notebooks_in_any_state(made: ClassSet, back: Path, tmp_path: Path, state: str) -> None:
    file = next(back.glob("*1000.ipynb"))
    content = json.loads(file.read_text(encoding="utf-8"))
    if state == "renamed":
        file.rename(back / "Untitled (3).ipynb")
    elif state == "in a folder":
        (back / "a" / "b").mkdir(parents=True)
        file.rename(back / "a" / "b" / file.name)
    elif state == "reordered":
        change(file, cells=content["cells"][::-1])
    elif state == "cleared":
        cells = [
            {"cell_type": c["cell_type"], "source": "".join(c["source"])} for c in content["cells"]
        ]
        change(file, cells=cells)
    elif state == "unmarked":
        change(file, metadata={})
        file.rename(back / "x.ipynb")
    elif state == "utf-16":
        file.write_text(file.read_text(encoding="utf-8"), encoding="utf-16")
    assert run(made, back, tmp_path / "marks").startswith("7 of 8 papers marked, 100 %")


def test_known_by_the_files_name_alone(made: ClassSet, back: Path, tmp_path: Path) -> None:
    file = next(back.glob("*1000.ipynb"))
    content = change(file, metadata=None)
    cells = [c for c in content["cells"] if "student_id" not in "".join(c["source"])]  # type: ignore[attr-defined]
    change(file, cells=cells)
    run(made, back, tmp_path / "marks")
    assert "name alone" in rows(tmp_path / "marks")[0]["notes"]
    file.rename(back / "x.ipynb")
    assert "no such student on the roster" in run(made, back, tmp_path / "marks")


def test_strangers_copies_and_other_sets(made: ClassSet, back: Path, tmp_path: Path) -> None:
    one, other = next(back.glob("*1000.ipynb")), next(back.glob("*1001.ipynb"))
    text = one.read_text(encoding="utf-8")
    other.write_text(text.replace("student_id = '1000'", "student_id = '1001'"), encoding="utf-8")
    (back / "s.ipynb").write_text(
        text.replace("'1000'", "'9'").replace('"1000"', '"9"'), encoding="utf-8"
    )
    late = make(tmp_path / "late", 8, "flat")
    hand_in(late, back, late.key.entries[2], right(late.key.entries[2]))
    said = run(made, back, tmp_path / "marks")
    assert "the sheet of Student 0 (1000), signed as Student 1 (1001): not marked" in said
    assert "s.ipynb: handed out to id 9: not on the roster" in said
    assert "a sheet of another class set" in said
    assert said.startswith("5 of 8 papers marked")
    notes = [row["notes"] for row in rows(tmp_path / "marks")]
    assert notes[0] == "", "their own paper came back too"
    assert "the sheet of Student 0 (1000), signed as Student 1 (1001)" in notes[1]


def test_two_papers_of_one_student(made: ClassSet, back: Path, tmp_path: Path) -> None:
    file = next(back.glob("*1000.ipynb"))
    blank = (made.students / file.name).read_text(encoding="utf-8")
    (back / "z.ipynb").write_text(blank, encoding="utf-8")
    run(made, back, tmp_path / "marks")
    row = rows(tmp_path / "marks")[0]
    assert (row["score"], row["file"]) == ("7", file.name)
    assert "two papers came back" in row["notes"]


def test_answers_typed_into_a_table(made: ClassSet, back: Path, tmp_path: Path) -> None:
    last = made.key.entries[-1]
    answers = right(last)
    typed = (made.instructor / "typed-answers.csv").read_text(encoding="utf-8-sig").splitlines()
    typed[-1] = ",".join([last.student.id, last.student.name, *answers.values()])
    (back / "typed-answers.csv").write_text("\n".join([*typed, "=1+1,x" + ",5" * 7]), "utf-8")
    said = run(made, back, tmp_path / "marks")
    assert said.startswith("8 of 8 papers marked, 100 %")
    assert "typed-answers.csv, row 10: id =1+1: not on the roster" in said


def test_of_two_rows_of_one_student_the_last_answer_counts(made: ClassSet, tmp_path: Path) -> None:
    last = made.key.entries[-1]
    answers = right(last)
    first_name = next(iter(answers))
    table = [
        ",".join(["id", *answers]),
        ",".join([last.student.id, "1.0 cc", *list(answers.values())[1:]]),
        ",".join([last.student.id, answers[first_name], *[""] * (len(answers) - 1)]),
    ]
    back = tmp_path / "table"
    back.mkdir()
    (back / "typed.csv").write_text("\n".join(table), encoding="utf-8")
    run(made, back, tmp_path / "marks")
    row = next(row for row in rows(tmp_path / "marks") if row["id"] == last.student.id)
    assert row["score"] == str(len(answers))
    assert "typed.csv, row 3: a second row of this student" in row["notes"]


def test_answers_of_another_students_engine(made: ClassSet, back: Path, tmp_path: Path) -> None:
    one, other = made.key.entries[:2]
    file = hand_in(made, back, one, right(other))
    assert file.exists()
    run(made, back, tmp_path / "marks")
    first, second = rows(tmp_path / "marks")[:2]
    assert "right for the engine of Student 1 (1001)" in first["notes"]
    assert second["notes"] == ""


def test_hostile_names_reach_no_spreadsheet_and_no_page(tmp_path: Path) -> None:
    students = roster_of("name,id\n" + HOSTILE)
    made = make_class_set(students, tmp_path / "set", LEVELS["flat"], ClassSecret(SECRET))
    for entry in made.key.entries:
        hand_in(made, tmp_path / "back", entry, {"swept_volume": "=HYPERLINK(1)"})
    out = tmp_path / "marks"
    run(made, tmp_path / "back", out)
    for row in rows(out):
        assert all(not value.startswith(("=", "+", "-", "@")) for value in row.values())
    pages = list(out.rglob("*.html"))
    assert len(pages) == len(students) + 1
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert "<script" not in text
        assert page.resolve().is_relative_to(out.resolve())
    assert not (tmp_path / "x.html").exists()


def test_feedback_holds_no_answer(made: ClassSet, tmp_path: Path) -> None:
    entry = made.key.entries[0]
    wrong = {
        q.name: q.written(next(iter(entry.assignment.tempting(q.name).values())))
        for q in entry.assignment.questions
    }
    hand_in(made, tmp_path / "back", entry, wrong)
    run(made, tmp_path / "back", tmp_path / "marks")
    (page,) = (tmp_path / "marks" / "feedback").iterdir()
    text = page.read_text(encoding="utf-8")
    for question in entry.assignment.questions:
        assert question.written(abs(entry.assignment.right[question.name])) not in text
        assert wrong[question.name].replace("-", "") in text


@pytest.fixture
def marks(made: ClassSet, tmp_path: Path) -> ClassMarks:
    """Three forget the plus one, two use the free thickness and carry on, one is a riddle."""
    folder = tmp_path / "back"
    for number, entry in enumerate(made.key.entries[:-1]):
        answers, values = right(entry), entry.assignment.right
        if number < 3:
            answers["compression_ratio"] = f"{values['compression_ratio'] - 1:.3f}"
        elif number < 5:
            free = entry.assignment.tempting("gasket_volume")["gasket-uncompressed"]
            clearance = values["clearance_volume"] - values["gasket_volume"] + free
            answers["gasket_volume"] = f"{free:.2f}"
            answers["clearance_volume"] = f"{clearance:.2f}"
            answers["compression_ratio"] = f"{values['swept_volume'] / clearance + 1:.3f}"
        elif number == 5:
            answers = {"swept_volume": "1234.56", "gasket_volume": "who knows"}
        hand_in(made, folder, entry, answers)
    return mark_class(folder, made.key)


def test_what_the_class_page_says(marks: ClassMarks, tmp_path: Path) -> None:
    counts = {count.id: len(count.students) for count in mistakes_made(marks)}
    assert counts == {"forgot-plus-one": 3, "gasket-uncompressed": 2}
    assert [count.id for count in to_reteach(marks)] == ["forgot-plus-one", "gasket-uncompressed"]
    questions = {count.question.name: count for count in by_question(marks)}
    assert questions["clearance_volume"].verdicts["follows"] == 2
    assert questions["compression_ratio"].verdicts["mistake"] == 3
    words = {one.student.name: "; ".join(reasons) for one, reasons in needs_a_word(marks)}
    assert set(words) == {"Student 5", "Student 7"}
    assert "not readable: gasket volume" in words["Student 5"]
    assert "ask for the working: swept volume" in words["Student 5"]
    assert words["Student 7"] == "nothing came back"


def test_a_wrong_secret_marks_nothing(made: ClassSet, back: Path, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="nothing was marked"):
        mark(back, tmp_path / "marks", "wrong", None, made.folder)
    assert not (tmp_path / "marks").exists()


def test_an_empty_folder_and_a_missing_one(made: ClassSet, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert run(made, tmp_path / "empty", tmp_path / "marks").startswith("0 of 8 papers marked")
    with pytest.raises(Refused, match="no such folder"):
        run(made, tmp_path / "none", tmp_path / "marks")
    with pytest.raises(Refused, match="folder of their own"):
        run(made, tmp_path / "empty", tmp_path / "empty")


@pytest.fixture
def full_disk(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A disk that takes no page whose name is listed; an empty name stands for every page."""
    refused: list[str] = []
    sync = os.fsync
    replace = text_file._replace

    def write(target: Path, content: bytes) -> None:
        def no_room(handle: int) -> None:
            if any(name in target.name for name in refused):
                raise OSError(errno.ENOSPC, "No space left on device")
            sync(handle)

        monkeypatch.setattr(os, "fsync", no_room)
        replace(target, content)

    monkeypatch.setattr(text_file, "_replace", write)
    return refused


def test_a_disk_that_fills(
    made: ClassSet, back: Path, tmp_path: Path, full_disk: list[str]
) -> None:
    out = tmp_path / "marks"
    run(made, back, out)
    before = tree(out)
    hand_in(made, back, made.key.entries[0], {"swept_volume": "1"})
    full_disk.append("")
    with pytest.raises(Refused, match="No space left") as refusal:
        run(made, back, out)
    assert "and 2 more files" in str(refusal.value)
    assert tree(out) == before


def test_a_page_that_cannot_be_written_does_not_stop_the_others(
    made: ClassSet, back: Path, tmp_path: Path, full_disk: list[str]
) -> None:
    out = tmp_path / "marks"
    full_disk.append("1003")
    with pytest.raises(Refused, match=r"student-3-1003\.html"):
        run(made, back, out)
    assert len(rows(out)) == 8
    assert len(list((out / "feedback").iterdir())) == 6


@pytest.mark.skipif(os.name != "posix", reason="signals as on Unix")
def test_a_kill_in_the_middle_leaves_the_old_gradebook_or_the_new(
    made: ClassSet, back: Path, tmp_path: Path
) -> None:
    out = tmp_path / "marks"
    run(made, back, out)
    old = (out / "gradebook.csv").read_bytes()
    hand_in(made, back, made.key.entries[0], {"swept_volume": "1"})
    run(made, back, tmp_path / "new")
    new = (tmp_path / "new" / "gradebook.csv").read_bytes()
    assert old != new
    # Stops for a while before every file takes its place, so that the kill comes in between.
    code = (
        "import os, sys, time; from pathlib import Path; real = os.replace\n"
        "def slow(a, b):\n    print('writing', flush=True); time.sleep(0.3); real(a, b)\n"
        "os.replace = slow\n"
        "from enginemath.classroom.commands import mark\n"
        "mark(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3], None, Path(sys.argv[4]))\n"
    )
    given = [str(back), str(out), SECRET, str(made.folder)]
    for writes in (1, 3):
        process = subprocess.Popen(
            [sys.executable, "-c", code, *given], stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        for _ in range(writes):
            assert process.stdout.readline() == "writing\n"
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        assert (out / "gradebook.csv").read_bytes() in (old, new)
        for page in (out / "feedback").glob("*.html"):
            assert page.read_text(encoding="utf-8").endswith("</html>\n")
    run(made, back, out)
    assert (out / "gradebook.csv").read_bytes() == new


def test_many_hands_give_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from enginemath.classroom import in_parallel

    folders = []
    for name, enough in (("alone", 10**9), ("together", 2)):
        monkeypatch.setattr(in_parallel, "ENOUGH", enough)
        made = make(tmp_path / name / "set", 6, "flat")
        for entry in made.key.entries:
            hand_in(made, tmp_path / name / "back", entry, {"swept_volume": "77"})
        run(made, tmp_path / name / "back", tmp_path / name / "marks")
        folders.append({n: c for n, (c, _) in tree(tmp_path / name).items()})
    assert folders[0] == folders[1]


def test_filled_is_what_it_says(made: ClassSet) -> None:
    text = next(made.students.glob("*.ipynb")).read_text(encoding="utf-8")
    assert 'swept_volume = \\"5\\"' in filled(text, {"swept_volume": "5"})


def test_one_hand_does_it_where_no_second_process_starts(monkeypatch: pytest.MonkeyPatch) -> None:
    import concurrent.futures

    from enginemath.classroom import in_parallel

    def none_left(workers: int, **_: object) -> None:
        raise OSError(errno.EAGAIN, "no more processes")

    monkeypatch.setattr(concurrent.futures, "ProcessPoolExecutor", none_left)
    assert in_parallel.for_each(abs, [-number for number in range(100)]) == list(range(100))
